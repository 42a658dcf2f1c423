"""A batch as it was made, what it holds, and the mark for it."""
