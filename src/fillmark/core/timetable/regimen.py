"""What a day must hold: meals, medicines and tasks with their rules, the people, and what the household wishes.

Times are wall-clock minutes after midnight; the same day is lived again and again, so a gap counts across midnight too.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from enum import StrEnum

from fillmark.core.timetable.clock import DAY_MINUTES, Window, check_clock
from fillmark.core.values.errors import BadPlan

MEAL = "meal"
"""The name a meal goes by beside the names of medicines and tasks."""


class Kind(StrEnum):
    """What a duty is."""

    MEDICINE = "medicine"
    TASK = "task"


@dataclass(frozen=True, slots=True)
class AnyFood:
    """Food makes no difference."""


@dataclass(frozen=True, slots=True)
class WithMeal:
    """In the same session as a meal."""


@dataclass(frozen=True, kw_only=True, slots=True)
class BeforeMeal:
    """A meal starts at least and at most so long after it, and none sooner [minutes]."""

    least_minutes: int
    most_minutes: int

    def __post_init__(self) -> None:
        if not 0 < self.least_minutes <= self.most_minutes:
            raise BadPlan(
                field="food.before_meal",
                got=f"{self.least_minutes} to {self.most_minutes} minutes before a meal",
                allowed="1 minute or more, the shorter time first",
                remedy="Ask the vet how long before the meal it is to be given.",
            )

    def __str__(self) -> str:
        if self.most_minutes >= DAY_MINUTES:
            return f"at least {self.least_minutes} minutes before the next meal"
        return f"{self.least_minutes} to {self.most_minutes} minutes before a meal"


@dataclass(frozen=True, kw_only=True, slots=True)
class EmptyStomach:
    """No meal has started so long before it, and none starts so long after it [minutes]."""

    after_minutes: int
    before_minutes: int

    def __post_init__(self) -> None:
        if self.after_minutes <= 0 or self.before_minutes <= 0:
            raise BadPlan(
                field="food.empty_stomach",
                got=f"{self.after_minutes} minutes after and {self.before_minutes} minutes before a meal",
                allowed="1 minute or more for both",
                remedy="Ask the vet how long after one meal and before the next it is to be given.",
            )


Food = AnyFood | WithMeal | BeforeMeal | EmptyStomach


@dataclass(frozen=True, kw_only=True, slots=True)
class Duty:
    """A medicine or a task that must happen so many times a day.

    Attributes:
        name: As the household calls it; no two alike.
        kind: Medicine or task.
        times: How often a day; None means with each meal.
        shortest_gap_minutes: Never closer than this to its own next time [minutes].
        longest_gap_minutes: Never further apart than this [minutes]; None sets no bound.
        least_gap_minutes: No way out of a clash brings them closer than this [minutes]: the vet's own gap, or else half
            of what was ordered; None is half of an even distance.
        food: How it stands to meals.
        window: The part of the day it belongs in.
        skill: What a person must have been trained for to do it.
    """

    name: str
    kind: Kind = Kind.MEDICINE
    times: int | None
    shortest_gap_minutes: int = 0
    longest_gap_minutes: int | None = None
    least_gap_minutes: int | None = None
    food: Food = field(default_factory=AnyFood)
    window: Window | None = None
    skill: str | None = None

    def __post_init__(self) -> None:
        if not self.name.strip() or self.name == MEAL:
            raise BadPlan(
                field="duty.name",
                got=f'"{self.name}" as a name',
                allowed=f'any name except "{MEAL}"',
                remedy="Give the medicine or task its own name.",
            )
        if self.times is None:
            if self.food != WithMeal():
                raise BadPlan(
                    field="duty.food",
                    got=f"{self.name} with each meal, and another rule about food",
                    allowed="with each meal alone",
                    remedy="State how often a day it is given, or leave the other rule out.",
                )
            return
        if not 1 <= self.times <= 24:
            raise BadPlan(
                field="duty.times",
                got=f"{self.name} {self.times} times a day",
                allowed="1 to 24 times a day",
                remedy="Copy how often from the vet's order.",
            )
        longest = DAY_MINUTES if self.longest_gap_minutes is None else self.longest_gap_minutes
        if not (0 <= self.shortest_gap_minutes * self.times <= DAY_MINUTES <= longest * self.times):
            raise BadPlan(
                field="duty.gap_minutes",
                got=f"{self.name} {self.times} times a day, {self.shortest_gap_minutes} to {longest} minutes apart",
                allowed="gaps of which so many fill a day of 24 hours",
                remedy="Check the hours between doses against the number of doses.",
            )

    @property
    def floor_minutes(self) -> int:
        """The least that a way out of a clash may leave between two of them [minutes]."""
        half = DAY_MINUTES // (self.times or 1) // 2
        return min(self.shortest_gap_minutes, half if self.least_gap_minutes is None else self.least_gap_minutes)


def every_hours(
    name: str,
    *,
    hours: int,
    tolerance_minutes: int,
    food: Food | None = None,
    window: Window | None = None,
    skill: str | None = None,
) -> Duty:
    """A medicine every so many hours, each gap at most so much shorter or longer.

    Every 24 hours is once a day; longer intervals are once on the days they fall due.

    Args:
        name: As the household calls it.
        hours: Between doses [hours].
        tolerance_minutes: How far a gap may differ [minutes].
        food: How it stands to meals.
        window: The part of the day it belongs in.
        skill: What a person must have been trained for.
    Raises:
        BadPlan: so many hours do not fill a day within the tolerance.
    Source:
        the vet's order
    """
    if hours <= 0 or tolerance_minutes < 0:
        raise BadPlan(
            field="duty.hours",
            got=f"{name} every {hours} hours, {tolerance_minutes} minutes early or late",
            allowed="1 hour or more, and 0 minutes or more",
            remedy="Copy the interval from the vet's order.",
        )
    times = max(1, round(24 / hours))
    once = times == 1
    return Duty(
        name=name,
        times=times,
        shortest_gap_minutes=0 if once else max(0, hours * 60 - tolerance_minutes),
        least_gap_minutes=hours * 60 // 2,
        longest_gap_minutes=None if once else hours * 60 + tolerance_minutes,
        food=food or AnyFood(),
        window=window,
        skill=skill,
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class Meals:
    """The day's meals.

    Attributes:
        fewest: At least so many a day.
        most: At most so many a day.
        shortest_gap_minutes: From the start of one to the start of the next, at least [minutes].
        longest_gap_minutes: At most [minutes]; None sets no bound.
        least_gap_minutes: No way out of a clash brings them closer than this [minutes]; None is half the shortest gap.
        window: The part of the day they belong in.
        upright_minutes: After a meal starts, the animal is held upright so long and no other session starts [minutes].
        may_be_at_night: Whether a meal may fall inside the household's night.
        skill: What a person must have been trained for to feed.
    """

    fewest: int
    most: int
    shortest_gap_minutes: int
    longest_gap_minutes: int | None = None
    least_gap_minutes: int | None = None
    window: Window | None = None
    upright_minutes: int = 0
    may_be_at_night: bool = True
    skill: str | None = None

    def __post_init__(self) -> None:
        if not 0 <= self.fewest <= self.most <= 24:
            raise BadPlan(
                field="meals.fewest",
                got=f"{self.fewest} to {self.most} meals a day",
                allowed="0 to 24, the smaller number first",
                remedy="Copy the number of meals from the vet's plan.",
            )
        if self.shortest_gap_minutes < 0 or self.upright_minutes < 0:
            raise BadPlan(
                field="meals.shortest_gap_minutes",
                got=f"{self.shortest_gap_minutes} minutes between meals, {self.upright_minutes} minutes upright",
                allowed="0 minutes or more",
                remedy="Copy the times from the vet's plan.",
            )

    @property
    def floor_minutes(self) -> int:
        """The least that a way out of a clash may leave between two meals [minutes]."""
        least = self.shortest_gap_minutes // 2 if self.least_gap_minutes is None else self.least_gap_minutes
        return min(self.shortest_gap_minutes, least)


@dataclass(frozen=True, slots=True)
class Apart:
    """Two duties, or a duty and meals, never closer than this in either order [minutes]."""

    first: str
    second: str
    minutes: int


@dataclass(frozen=True, slots=True)
class Available:
    """When a person can come, on one weekday (Monday is 0). A window past midnight belongs to the day it starts on."""

    weekday: int
    window: Window


@dataclass(frozen=True, kw_only=True, slots=True)
class Attendant:
    """Someone who comes to the animal, what they are trained for, and when they can."""

    name: str
    skills: frozenset[str] = frozenset()
    available: tuple[Available, ...] = ()

    def is_available(self, *, weekday: int, clock: int, minutes: int = 0) -> bool:
        """Whether they can come at this clock time, and stay so long [minutes].

        Args:
            weekday: 0 for Monday to 6.
            clock: Minutes after midnight.
            minutes: How long they stay [minutes].
        """
        return any(
            (shown.weekday == weekday and _stays(shown.window, clock, minutes, wrapped=False))
            or ((shown.weekday + 1) % 7 == weekday and _stays(shown.window, clock, minutes, wrapped=True))
            for shown in self.available
        )


def _stays(window: Window, clock: int, minutes: int, *, wrapped: bool) -> bool:
    """Whether clock to clock + minutes lies in the window's first day, or in what passes into the next day."""
    length = (window.until_clock - window.from_clock) % DAY_MINUTES or DAY_MINUTES
    since = clock - window.from_clock + (DAY_MINUTES if wrapped else 0)
    return since >= 0 and since + minutes <= length


@dataclass(frozen=True, slots=True)
class Insisted:
    """A clock time at which the household insists on a session, or on a meal or duty by name."""

    clock: int
    what: str | None = None

    def __post_init__(self) -> None:
        check_clock(field="insisted.clock", clock=self.clock)


@dataclass(frozen=True, slots=True)
class UsualTimes:
    """The clock times of the present day, or those wished for: of a meal or duty by name, or of every session."""

    clocks: tuple[int, ...]
    what: str | None = None

    def __post_init__(self) -> None:
        for clock in self.clocks:
            check_clock(field="usual.clocks", clock=clock)


@dataclass(frozen=True, kw_only=True, slots=True)
class Regimen:
    """Everything a day's timetable must hold and would like to hold.

    Attributes:
        meals: The meals; None when the tube is idle.
        duties: Medicines and tasks.
        apart: What must be kept apart.
        water_gap_minutes: Water goes through the tube at least this often, with or without a meal [minutes].
        night: When the household sleeps.
        quiet: Parts of the day in which the household insists on no session.
        insisted: Clock times the household insists on.
        most_sessions: The household insists on no more trips than this.
        people: Who can come; empty when that plays no part.
        weekdays: The weekdays this day is lived on (Monday is 0).
        usual: Present or wished-for times.
        grid_minutes: Sessions start on whole steps of this [minutes].
        stand_ins: The rules, by id, of which the order leaves something open that a figure stands in for.
    """

    meals: Meals | None = None
    duties: tuple[Duty, ...] = ()
    apart: tuple[Apart, ...] = ()
    water_gap_minutes: int | None = None
    night: Window | None = None
    quiet: tuple[Window, ...] = ()
    insisted: tuple[Insisted, ...] = ()
    most_sessions: int | None = None
    people: tuple[Attendant, ...] = ()
    weekdays: tuple[int, ...] = tuple(range(7))
    usual: tuple[UsualTimes, ...] = ()
    grid_minutes: int = 15
    stand_ins: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        if self.grid_minutes <= 0 or DAY_MINUTES % self.grid_minutes:
            raise BadPlan(
                field="grid_minutes",
                got=f"a grid of {self.grid_minutes} minutes",
                allowed="a number of minutes that divides 24 hours",
                remedy="Use 15 minutes.",
            )
        names = [duty.name for duty in self.duties]
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            raise BadPlan(
                field="duties",
                got=f"{', '.join(twice)} more than once",
                allowed="each medicine and task once",
                remedy="Give each its own name, or leave the repeated one out.",
            )
        known = {*names, MEAL}
        for name in self._named():
            if name not in known:
                raise BadPlan(
                    field="regimen",
                    got=f'"{name}", which is no medicine or task of this day',
                    allowed=", ".join(sorted(known)),
                    remedy="Use a name that stands in the list.",
                )
        for pair in self.apart:
            if pair.first == pair.second or not 0 < pair.minutes <= DAY_MINUTES // 2:
                raise BadPlan(
                    field="apart",
                    got=f"{pair.first} and {pair.second} {pair.minutes} minutes apart",
                    allowed="two different names, 1 minute to 12 hours",
                    remedy="Copy the time between them from the vet's order.",
                )

    def _named(self) -> Iterator[str]:
        for pair in self.apart:
            yield from (pair.first, pair.second)
        yield from (wish.what for wish in self.insisted if wish.what is not None)
        yield from (wish.what for wish in self.usual if wish.what is not None)

    def duty(self, name: str) -> Duty:
        """The medicine or task of that name."""
        return next(duty for duty in self.duties if duty.name == name)

    def with_duty(self, changed: Duty) -> "Regimen":
        """The same day with one duty's rules changed."""
        return replace(self, duties=tuple(changed if duty.name == changed.name else duty for duty in self.duties))

    def usual_clocks(self, name: str) -> tuple[int, ...]:
        """The usual clock times of a meal or duty; those of every session where it has none of its own."""
        own = [wish.clocks for wish in self.usual if wish.what == name]
        shared = [wish.clocks for wish in self.usual if wish.what is None]
        return tuple(clock for clocks in own or shared for clock in clocks)
