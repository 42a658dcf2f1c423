"""The plan in force, its versions as files, and taking one in."""
