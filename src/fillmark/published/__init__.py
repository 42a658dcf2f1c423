"""Numbers from published sources, as data, each with its source and place.

One module per topic; every module-level `Figure`, `Band` and `Fact` is part of the catalog.
"""

from collections.abc import Iterator
from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from fillmark.published.figure import Band, Basis, Fact, Figure, Printed, Source

__all__ = ["Band", "Basis", "Fact", "Figure", "Printed", "Source", "all_figures", "find_figure"]


def _printed(value: object) -> Iterator[Printed]:
    """The numbers in a value: itself, or those in a tuple, list or dict."""
    if isinstance(value, Figure | Band | Fact):
        yield value
    elif isinstance(value, tuple | list):
        for item in value:
            yield from _printed(item)
    elif isinstance(value, dict):
        for item in value.values():
            yield from _printed(item)


@cache
def all_figures() -> tuple[Printed, ...]:
    """Every number in use, by id. A module lists its numbers at top level, or in a top-level tuple or dict.

    Raises:
        ValueError: two different numbers share an id.
    """
    found: dict[str, Printed] = {}
    for module in iter_modules(__path__):
        for value in vars(import_module(f"{__name__}.{module.name}")).values():
            for printed in _printed(value):
                if found.setdefault(printed.id, printed) != printed:
                    raise ValueError(f"two different numbers are called {printed.id}")
    return tuple(found[key] for key in sorted(found))
