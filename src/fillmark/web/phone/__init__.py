"""What a phone keeps for times without a signal."""
