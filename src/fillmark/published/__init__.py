"""Numbers from published sources, as data, each with its source and place.

One module per topic; every module-level `Figure` and `Band` is part of the catalog.
"""

from collections.abc import Iterator
from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from fillmark.published.figure import Band, Basis, Figure, Printed, Source

__all__ = ["Band", "Basis", "Figure", "Printed", "Source", "all_figures", "find_figure"]


def _values(module_name: str) -> Iterator[object]:
    for value in vars(import_module(module_name)).values():
        if isinstance(value, tuple | list):
            yield from value
        elif isinstance(value, dict):
            yield from value.values()
        else:
            yield value


@cache
def all_figures() -> tuple[Printed, ...]:
    """Every number in use, by id. A module lists its numbers at top level, or in a top-level tuple or dict.

    Raises:
        ValueError: two different numbers share an id.
    """
    found: dict[str, Printed] = {}
    for module in iter_modules(__path__):
        for value in _values(f"{__name__}.{module.name}"):
            if not isinstance(value, Figure | Band):
                continue
            if found.setdefault(value.id, value) != value:
                raise ValueError(f"two different numbers are called {value.id}")
    return tuple(found[key] for key in sorted(found))


def find_figure(figure_id: str) -> Printed:
    """The number with this id.

    Raises:
        KeyError: there is none.
    """
    for figure in all_figures():
        if figure.id == figure_id:
            return figure
    raise KeyError(figure_id)
