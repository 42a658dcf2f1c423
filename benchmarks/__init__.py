"""The figures this project promises, each measured beside its peer in the same run."""
