"""What is in force? The care plan, one document per version."""
