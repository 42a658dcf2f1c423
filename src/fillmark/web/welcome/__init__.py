"""What a household without an animal sees first."""
