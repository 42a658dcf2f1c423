"""What would be different with another plan?"""
