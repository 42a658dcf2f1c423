"""What does a day ask for, step by step?"""
