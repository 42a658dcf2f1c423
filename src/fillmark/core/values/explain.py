"""A number that carries its own working: one mechanism for screen, paper and command line."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Generic, TypeVar

from fillmark.published import Printed

T = TypeVar("T", covariant=True)


@dataclass(frozen=True, kw_only=True, slots=True)
class Explained(Generic[T]):
    """A value, the sum as a person would write it, and where its numbers come from.

    Attributes:
        value: The exact, unrounded value.
        because: One line of working ("70 × 12 kg^0.75 = 451 kcal/day").
        figures: The published numbers this line used.
        parts: The explained values this line was worked out from, in the order they were used.
        cautions: What a person must be told with this value ("predicted, not measured").
    """

    value: T
    because: str
    figures: tuple[Printed, ...] = ()
    parts: tuple["Explained[object]", ...] = ()
    cautions: tuple[str, ...] = ()

    def all_parts(self) -> Iterator["Explained[object]"]:
        """Everything this was worked out from, what was worked out first coming first."""
        for part in self.parts:
            yield from part.all_parts()
            yield part

    def working(self) -> Iterator[str]:
        """Each line of the working, what was worked out first coming first."""
        for part in self.parts:
            yield from part.working()
        yield self.because

    def all_figures(self) -> tuple[Printed, ...]:
        """Every published number used anywhere in the working, each once, in order of use."""
        found: dict[str, Printed] = {}
        for part in self.parts:
            found.update((figure.id, figure) for figure in part.all_figures())
        found.update((figure.id, figure) for figure in self.figures)
        return tuple(found.values())

    def all_cautions(self) -> tuple[str, ...]:
        """Every caution raised anywhere in the working, each once."""
        found: dict[str, None] = {}
        for part in self.parts:
            found.update(dict.fromkeys(part.all_cautions()))
        found.update(dict.fromkeys(self.cautions))
        return tuple(found)
