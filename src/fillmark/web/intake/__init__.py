"""One day of feeding: in, back and kept, and the rest of today."""
