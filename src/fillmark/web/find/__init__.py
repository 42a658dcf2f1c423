"""Looking something up in the whole record."""
