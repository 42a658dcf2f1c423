"""The plan in force, and its versions as files."""
