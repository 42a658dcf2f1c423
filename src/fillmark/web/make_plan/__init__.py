"""A plan made question by question, and changed the same way."""
