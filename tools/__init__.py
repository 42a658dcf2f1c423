"""What keeps this checkout in order; none of it is in the package."""
