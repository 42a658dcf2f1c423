"""What is a page of a plan that is being made: which part it fills, and what it asks for?"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from fillmark.core.plan.answers import PlanField, Raw, fields_of, part_inside
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.values.document import Part


@dataclass(frozen=True, kw_only=True, slots=True)
class Page:
    """One thing to look at, and what is asked about it.

    Attributes:
        key: Its short name, for its address.
        place: Which part of the plan it fills; "[]" after what there may be several of ("medicines[].food").
        title: What is to be looked at.
        asks: The keys that it asks for, four at most.
        more: Keys that few sheets need, behind one line.
        is_aside: Few sheets need it: it stands behind "the sheet says more about", and is not gone through.
        is_idle: Whether earlier answers make it needless, by the part and what holds it.
        one: What one of several is called; empty where another page begins with it.
        is_mostly_one: Most sheets have just one of them: it is not asked whether there are more.
        beside: The page from which it is offered, where that is about another part of the plan.
    """

    key: str
    place: str
    title: str
    asks: tuple[str, ...]
    more: tuple[str, ...] = ()
    is_aside: bool = False
    is_idle: Callable[[Raw], bool] | None = None
    one: str = ""
    is_mostly_one: bool = False
    beside: str = ""

    @property
    def steps(self) -> tuple[tuple[str, bool], ...]:
        """The way to its part: each key, and whether one of several stands there."""
        return tuple((step.removesuffix("[]"), step.endswith("[]")) for step in self.place.split("."))

    @property
    def depth(self) -> int:
        """How many lists lead to its part."""
        return self.place.count("[]")

    @property
    def is_list(self) -> bool:
        """Whether its part is itself one of several."""
        return self.place.endswith("[]")

    @property
    def names(self) -> tuple[str, ...]:
        """Every key that it asks for."""
        return (*self.asks, *self.more)


@cache
def part_of(page: Page) -> type[Part]:
    """Which part of the plan a page fills."""
    kind: type[Part] = CarePlan
    for key, _ in page.steps:
        found = part_inside(kind, key)
        if found is None:
            raise KeyError(page.place)
        kind = found[0]
    return kind


@cache
def asked_on(page: Page) -> tuple[PlanField, ...]:
    """What a page asks for: first what most sheets say, then the rest."""
    known = fields_of(part_of(page), part_key=page.steps[-1][0])
    return tuple(known[name] for name in page.names)
