"""Photos, and how each animal is told apart."""
