"""What can be written down, and what does it add up to?"""
