"""What is still to come today?"""
