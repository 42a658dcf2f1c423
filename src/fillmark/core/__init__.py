"""The arithmetic and the decisions: pure values in, pure values out. No clock, disk, environment or chance."""
