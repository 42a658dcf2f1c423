"""Topics of print that nothing in the core computes yet, each with its reason. Empty when all are."""

NOT_YET: dict[str, str] = {}
