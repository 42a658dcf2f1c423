"""What does the animal need, and what does the food hold?"""
