"""The rest of today planned anew."""
