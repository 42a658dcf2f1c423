"""What is in force: the care plan, one document per version?"""
