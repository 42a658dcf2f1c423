"""Other ways to feed the day, and what if."""
