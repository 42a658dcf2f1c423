"""Flow tests of batches, and what they teach."""
