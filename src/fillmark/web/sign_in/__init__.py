"""Signing in, by a link that works once or by name and password."""
