"""One entry: what it says, what became of it, and how it is put right without erasing anything."""
