"""Care plans of an invented household, inside the package so that the demonstration finds them everywhere."""

from importlib.resources import files


def example_plan(name: str) -> bytes:
    """The example plan with this name ("juniper", "sorrel"), as TOML bytes."""
    return (files(__name__) / f"{name}.toml").read_bytes()
