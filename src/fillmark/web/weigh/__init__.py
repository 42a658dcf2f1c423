"""Every weighing, the form for one, and whether the plan follows."""
