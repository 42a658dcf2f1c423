"""Which ways of feeding the day are possible, and which are the best of their kind?

One food, mixed with water: every way is looked at, so nothing is missed. For mixes of several foods see `mixes.py`.
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TypeVar

from fillmark.core.errors import OutOfRange
from fillmark.core.explain import Explained
from fillmark.core.limits import check_at_least, check_range
from fillmark.core.quantities import write_number
from fillmark.core.water import WaterBand
from fillmark.published.blend import VOLUME_LIMITS_ML, WHOLE_CAN_SLACK
from fillmark.published.input_limits import KEEPS_LIMITS_DAYS, WEIGHT_LIMITS_KG
from fillmark.published.meals import MEALS_LIMITS

_TINY = 1e-9


@dataclass(frozen=True, kw_only=True, slots=True)
class CannedFood:
    """One food in its can, or a recipe of several in its batch. Volumes predicted from ounces are as good as their
    caution says.

    Attributes:
        unit: What it is counted in, "can" or "batch"; the other names say "can" for both.
    """

    name: str
    kcal_per_can: float
    ml_per_can: float
    water_ml_per_can: float  # moisture of the food
    least_added_ml_per_can: float = 0.0  # from the flow tests: less does not pass this tube
    most_added_ml_per_can: float = 400.0
    keeps_days: int = 1  # how long an opened can or a batch keeps
    unit: str = "can"


@dataclass(frozen=True, kw_only=True, slots=True)
class Wishes:
    """What the vet ordered and the household wants, for one day of feeding."""

    kcal_per_day: float
    weight_kg: float
    cap_ml_per_kg: float  # per meal, flushes and medicine water included
    flush_ml_per_meal: float
    medicine_water_ml_per_meal: float
    water_band: WaterBand  # all water of the day
    by_mouth_water_ml: float
    syringe_ml: float
    step_ml: float
    ml_per_minute: float
    fewest_meals: int = 2
    most_meals: int = 6
    most_meals_without_night: int = 4  # more than these need a meal at night
    warn_ml_per_kg: float | None = None  # the vet wants to be asked above this; allowed, but proposed last
    medicine_water_ml_per_day: float | None = None  # of all sessions; when not given, that of each meal counts
    water_step_ml: float = 5.0  # added water per can is tried in these steps

    def __post_init__(self) -> None:
        check_range(field="weight_kg", value=self.weight_kg, limits=WEIGHT_LIMITS_KG)
        for field in ("fewest_meals", "most_meals"):
            check_range(field=field, value=getattr(self, field), limits=MEALS_LIMITS)
        if self.fewest_meals > self.most_meals:
            raise OutOfRange(
                field="fewest_meals",
                got=f"At least {self.fewest_meals} meals a day",
                allowed=f"{self.most_meals} or fewer",
                remedy="Check both numbers of meals.",
            )
        for field in ("flush_ml_per_meal", "medicine_water_ml_per_meal", "by_mouth_water_ml"):
            check_range(field=field, value=getattr(self, field), limits=VOLUME_LIMITS_ML)
        if self.medicine_water_ml_per_day is not None:
            check_range(
                field="medicine_water_ml_per_day", value=self.medicine_water_ml_per_day, limits=VOLUME_LIMITS_ML
            )
        for field, unit in (
            ("kcal_per_day", "kcal"),
            ("cap_ml_per_kg", "mL/kg"),
            ("syringe_ml", "mL"),
            ("step_ml", "mL"),
            ("ml_per_minute", "mL/min"),
            ("water_step_ml", "mL"),
        ):
            check_at_least(field=field, value=getattr(self, field), least=0.01, unit=unit, remedy="Check the plan.")


@dataclass(frozen=True, kw_only=True, slots=True)
class BlendOption:
    """One way to feed the day."""

    meals: int
    added_ml_per_can: float
    blend_ml_per_meal: float
    ml_per_kg: float  # of one session, flushes and medicine water included
    kcal_per_ml: float
    kcal_per_day: float
    water_ml: float  # all of the day
    water_due_ml: float  # up to the vet's lower end, 0 or more
    cans_per_day: float
    cans_opened: int  # whole cans over the days a can keeps
    waste_cans: float  # of these, left over
    fills: int  # of the day
    minutes: float  # of pushing, of the day
    needs_night_meal: bool

    @property
    def uses_whole_cans(self) -> bool:
        """Whether next to nothing of the opened cans is left over."""
        return _is_next_to_nothing(self.waste_cans)

    @property
    def costs(self) -> tuple[float, ...]:
        """What is weighed, each the less the better."""
        return (
            self.meals,
            self.ml_per_kg,
            -self.kcal_per_ml,
            self.water_due_ml,
            self.cans_opened,
            self.fills,
            self.minutes,
        )


def _is_next_to_nothing(cans: float) -> bool:
    return cans <= WHOLE_CAN_SLACK.value


def _exceeds(value: float, limit: float) -> bool:
    """Whether it is more than the limit, by more than the last digits of the arithmetic."""
    return value > limit + _TINY


def make_option(food: CannedFood, wishes: Wishes, *, meals: int, added_ml_per_can: float) -> BlendOption:
    """What feeding the day this way comes to, whether or not it is possible.

    The meal is rounded up to the syringe's next mark: a day rounded down would starve slowly.

    Source:
        arithmetic only
    """
    batch_ml = food.ml_per_can + added_ml_per_can
    kcal_per_ml = food.kcal_per_can / batch_ml
    steps = math.ceil(wishes.kcal_per_day / kcal_per_ml / meals / wishes.step_ml - _TINY)
    meal_ml = steps * wishes.step_ml
    day_ml = meal_ml * meals
    cans = day_ml / batch_ml
    other_ml = wishes.flush_ml_per_meal + wishes.medicine_water_ml_per_meal
    medicine_ml = wishes.medicine_water_ml_per_day
    if medicine_ml is None:
        medicine_ml = meals * wishes.medicine_water_ml_per_meal
    beside_ml = meals * wishes.flush_ml_per_meal + medicine_ml + wishes.by_mouth_water_ml
    water_ml = cans * (food.water_ml_per_can + added_ml_per_can) + beside_ml
    opened = math.ceil(cans * food.keeps_days - _TINY)
    return BlendOption(
        meals=meals,
        added_ml_per_can=added_ml_per_can,
        blend_ml_per_meal=meal_ml,
        ml_per_kg=(meal_ml + other_ml) / wishes.weight_kg,
        kcal_per_ml=kcal_per_ml,
        kcal_per_day=day_ml * kcal_per_ml,
        water_ml=water_ml,
        water_due_ml=max(0.0, wishes.water_band.low_ml - water_ml),
        cans_per_day=cans,
        cans_opened=opened,
        waste_cans=max(0.0, opened - cans * food.keeps_days),
        fills=meals * math.ceil(meal_ml / wishes.syringe_ml - _TINY),
        minutes=day_ml / wishes.ml_per_minute,
        needs_night_meal=meals > wishes.most_meals_without_night,
    )


class Limit(StrEnum):
    """What stands in the way of a better day: the vet's limits first, then what the food and the household set."""

    CAP = "cap per meal"
    MOST_WATER = "most water a day"
    WARNING = "warning per meal"
    FLOW = "flow limit"
    MEALS = "number of meals"
    STORAGE = "storage life"
    WHOLE_CANS = "whole cans"


def limits_broken(option: BlendOption, wishes: Wishes) -> tuple[Limit, ...]:
    """Which of the vet's limits this way breaks; empty when none.

    Source:
        the vet's orders
    """
    broken = []
    if _exceeds(option.ml_per_kg, wishes.cap_ml_per_kg):
        broken.append(Limit.CAP)
    if _exceeds(option.water_ml, wishes.water_band.high_ml):
        broken.append(Limit.MOST_WATER)
    return tuple(broken)


def added_water_choices(food: CannedFood, wishes: Wishes) -> tuple[float, ...]:
    """The amounts of added water that are tried for each can [mL]: from the flow limit up, in steps.

    Source:
        the household's flow tests
    """
    count = int((food.most_added_ml_per_can - food.least_added_ml_per_can + _TINY) // wishes.water_step_ml)
    return tuple(food.least_added_ml_per_can + index * wishes.water_step_ml for index in range(count + 1))


Scored = TypeVar("Scored", bound=BlendOption)


def best_of_their_kind(options: Iterable[Scored]) -> tuple[Scored, ...]:
    """The options that no other beats in one respect without losing in another, cheapest first.

    Sorted first, only an option before it can beat another. Which of those are no worse is one bit each in a whole
    number, cost by cost: a thousand comparisons in one step.

    Source:
        arithmetic only
    """
    alike: dict[tuple[float, ...], list[Scored]] = {}
    for option in options:
        alike.setdefault(option.costs, []).append(option)
    costs = sorted(alike)
    no_worse = [(1 << place) - 1 for place in range(len(costs))]
    # being sorted has settled the first cost
    for of_each in list(zip(*costs, strict=True))[1:]:
        by_cost: dict[float, list[int]] = {}
        for place, cost in enumerate(of_each):
            by_cost.setdefault(cost, []).append(place)
        so_far = 0
        for cost in sorted(by_cost):
            for place in by_cost[cost]:
                so_far |= 1 << place
            for place in by_cost[cost]:
                no_worse[place] &= so_far
    return tuple(
        option for cost, beaten_by in zip(costs, no_worse, strict=True) if not beaten_by for option in alike[cost]
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class Loosened:
    """What one limit, loosened and nothing else, would buy.

    Attributes:
        limit: Which one.
        needed: How far it would have to be loosened, in the limit's own unit.
        option: The way of feeding that this would allow.
        buys: What would be better, in words.
        unit: What the food is counted in.
    """

    limit: Limit
    needed: float
    option: BlendOption
    buys: str
    unit: str = "can"

    @property
    def words(self) -> str:
        """As a sentence, with who may loosen it."""
        up = write_number(math.ceil(self.needed * 10 - _TINY) / 10)
        match self.limit:
            case Limit.CAP:
                return f"At {up} mL/kg there could be {self.buys}: only the vet may raise the cap."
            case Limit.WARNING:
                return f"If {up} mL/kg needed no question there could be {self.buys}: ask the vet."
            case Limit.MOST_WATER:
                return f"With {up} mL of water a day there could be {self.buys}: only the vet may raise it."
            case Limit.FLOW:
                return (
                    f"If the blend passed with {write_number(self.needed)} mL of water a {self.unit} there could be "
                    f"{self.buys}: only a flow test tells."
                )
            case Limit.MEALS:
                return f"With another number of meals there could be {self.buys}: ask the vet."
            case Limit.STORAGE:
                opened = "an opened can" if self.unit == "can" else "a batch"
                return (
                    f"If {opened} kept for {write_number(self.needed)} days there could be {self.buys}: its label "
                    "says how long it keeps."
                )
        return f"With {write_number(self.needed, digits=2)} of a {self.unit} left over there could be {self.buys}."


@dataclass(frozen=True, kw_only=True, slots=True)
class BlendChoice:
    """All ways worth choosing from, the one proposed, and what stands in the way of a better one.

    Attributes:
        best: The best of their kind.
        proposed: The one that comes first by the stated order; None when no way keeps the limits.
        binding: The vet's limits that ways with fewer meals break.
        loosened: What each limit would buy, the smallest loosening first.
    """

    best: tuple[BlendOption, ...]
    proposed: BlendOption | None
    binding: tuple[Limit, ...]
    loosened: tuple[Loosened, ...]


_WANTED = (Limit.WARNING, "water", Limit.WHOLE_CANS, "meals")


def _is_over_warning(option: BlendOption, wishes: Wishes) -> bool:
    return wishes.warn_ml_per_kg is not None and _exceeds(option.ml_per_kg, wishes.warn_ml_per_kg)


def _wanted(option: BlendOption, wishes: Wishes) -> tuple[float, ...]:
    """What is wanted of a way, each the less the better, by `_WANTED` in the order in which it counts."""
    return (
        _is_over_warning(option, wishes),
        _exceeds(option.water_due_ml, 0),
        not option.uses_whole_cans,
        option.meals,
    )


def _preference(option: BlendOption, wishes: Wishes) -> tuple[float, ...]:
    # inside the vet's limits first (done by the search), below the vet's warning → water met → whole cans → fewer meals
    # → fewer fills → no night meal; then the thicker mix
    return (*_wanted(option, wishes), option.fills, option.needs_night_meal, *option.costs)


def find_blend_options(food: CannedFood, wishes: Wishes) -> Explained[BlendChoice]:
    """Every way to feed the day with this food that keeps the vet's limits and is the best of its kind.

    Args:
        food: The canned food.
        wishes: The vet's limits and the household's.
    Returns:
        The best of their kind, exactly; the one proposed by the order safe → whole cans → fewer meals → fewer fills →
        no night meal; the limits that bind; and what each limit, loosened, would buy. Nothing is proposed when no way
        keeps the limits.
    Raises:
        OutOfRange: a number can only be a slip.
    Source:
        the vet's orders; arithmetic only
    """
    check_at_least(field="kcal_per_can", value=food.kcal_per_can, least=1, unit="kcal", remedy="Check the label.")
    check_at_least(field="ml_per_can", value=food.ml_per_can, least=1, unit="mL", remedy="Measure the can's volume.")
    everything = [
        make_option(food, wishes, meals=meals, added_ml_per_can=added)
        for meals in range(wishes.fewest_meals, wishes.most_meals + 1)
        for added in added_water_choices(food, wishes)
    ]
    judged = [(option, limits_broken(option, wishes)) for option in everything]
    inside = [option for option, broken in judged if not broken]
    best = best_of_their_kind(inside)
    proposed = min(best, key=lambda option: _preference(option, wishes), default=None)
    in_the_way = [broken for option, broken in judged if proposed is None or option.meals < proposed.meals]
    binding = tuple(sorted({limit for broken in in_the_way for limit in broken}))
    loosened = tuple(_all_loosened(food, wishes, judged, proposed))
    cautions: tuple[str, ...]
    if proposed is None:
        because = f"none of {len(everything)} ways keeps every limit: {', '.join(binding) or 'no way was allowed'}"
        cautions = ("No way of feeding keeps the vet's limits: show this to the vet.",)
    else:
        due = write_number(proposed.water_due_ml, digits=3)
        because = (
            f"{len(best)} of {len(everything)} ways are worth choosing from; proposed: {proposed.meals} meals of "
            f"{write_number(proposed.blend_ml_per_meal)} mL ({write_number(proposed.ml_per_kg, digits=3)} mL/kg), "
            f"{write_number(proposed.added_ml_per_can)} mL water a can, "
            f"{write_number(proposed.kcal_per_ml, digits=3)} kcal/mL"
        )
        cautions = (
            (f"{due} mL of the day's water is not in this plan: give it as extra flushes.",)
            if _exceeds(proposed.water_due_ml, 0)
            else ()
        )
    first_of_each = {one.limit: one for one in reversed(loosened)}
    return Explained(
        value=BlendChoice(best=best, proposed=proposed, binding=binding, loosened=loosened),
        because=because,
        cautions=(*cautions, *(one.words for one in loosened if first_of_each[one.limit] is one)),
    )


Judged = list[tuple[BlendOption, tuple[Limit, ...]]]


def _all_loosened(food: CannedFood, wishes: Wishes, judged: Judged, proposed: BlendOption | None) -> Iterator[Loosened]:
    """For each limit, the smallest loosening that buys what no way inside the limits has, then each that buys more."""
    inside = [option for option, broken in judged if not broken]
    ways: dict[Limit, Iterable[tuple[float, float, BlendOption]]] = {
        # how far from the limit, the loosened limit, what it allows
        Limit.CAP: ((o.ml_per_kg, o.ml_per_kg, o) for o, broken in judged if broken == (Limit.CAP,)),
        Limit.MOST_WATER: ((o.water_ml, o.water_ml, o) for o, broken in judged if broken == (Limit.MOST_WATER,)),
        Limit.WARNING: ((o.ml_per_kg, o.ml_per_kg, o) for o in inside if _is_over_warning(o, wishes)),
        Limit.FLOW: (
            (food.least_added_ml_per_can - o.added_ml_per_can, o.added_ml_per_can, o)
            for o in _thicker_ways(food, wishes)
        ),
        Limit.MEALS: (
            (max(wishes.fewest_meals - o.meals, o.meals - wishes.most_meals), o.meals, o)
            for o in _ways_with_other_meals(food, wishes)
        ),
        Limit.STORAGE: ((days, days, o) for days, o in _ways_with_longer_storage(food, wishes, inside)),
        Limit.WHOLE_CANS: ((o.waste_cans, o.waste_cans, o) for o in inside if not o.uses_whole_cans),
    }
    to_be_had = {_wanted(option, wishes) for option in inside}
    for limit, found in ways.items():
        # a wish that is loosened counts neither for a way nor against it; who has to give it up has not got it yet
        place = _WANTED.index(limit) if limit in _WANTED else None
        if place is not None and proposed is not None and _wanted(proposed, wishes)[place]:
            continue
        had = {_without(wanted, place) for wanted in to_be_had if place is None or not wanted[place]}
        for needed, option in _nearest(found, wishes, place):
            wanted = _without(_wanted(option, wishes), place)
            if not any(all(one <= other for one, other in zip(known, wanted, strict=True)) for known in had):
                had.add(wanted)
                yield Loosened(
                    limit=limit,
                    needed=needed,
                    option=option,
                    buys=_buys(option, proposed, wishes, place, unit=food.unit),
                    unit=food.unit,
                )


def _without(wanted: tuple[float, ...], place: int | None) -> tuple[float, ...]:
    return tuple(one for at, one in enumerate(wanted) if at != place)


def _nearest(
    found: Iterable[tuple[float, float, BlendOption]], wishes: Wishes, place: int | None
) -> list[tuple[float, BlendOption]]:
    """Of all ways that give the same, the one with the smallest loosening; those first that need the least."""
    nearest: dict[tuple[float, ...], tuple[float, BlendOption]] = {}
    for _, needed, option in sorted(found, key=lambda way: (way[0], _preference(way[2], wishes))):
        nearest.setdefault(_without(_wanted(option, wishes), place), (needed, option))
    return list(nearest.values())


def _buys(option: BlendOption, proposed: BlendOption | None, wishes: Wishes, place: int | None, *, unit: str) -> str:
    """What would be better, and what worse, in words."""
    count = f"{option.meals} meal{'s' * (option.meals != 1)}"
    due = write_number(option.water_due_ml, digits=3)
    after = _wanted(option, wishes)
    before = _wanted(proposed, wishes) if proposed else (False, False, False, option.meals)
    words = (
        ("meals below the vet's warning", "meals over the vet's warning"),
        ("all of the day's water", f"{due} mL of the day's water still due"),
        (f"no part of a {unit} left over", f"part of a {unit} left over"),
        (count, count),
    )
    judged = [(words[at], after[at] - before[at]) for at in reversed(range(len(words))) if at != place]
    better = [gain for (gain, _), change in judged if change < 0]
    worse = [loss for (_, loss), change in judged if change > 0]
    said = " and ".join(better) if proposed else f"{count} inside every other limit"
    return said + (f", but with {' and '.join(worse)}" if worse else "")


def _inside(
    food: CannedFood, wishes: Wishes, *, meals: Iterable[int], waters: Iterable[float]
) -> Iterator[BlendOption]:
    waters = tuple(waters)
    for count in meals:
        for added in waters:
            option = make_option(food, wishes, meals=count, added_ml_per_can=added)
            if not limits_broken(option, wishes):
                yield option


def _thicker_ways(food: CannedFood, wishes: Wishes) -> Iterator[BlendOption]:
    """Ways with less water than the flow tests ask for, down to none."""
    steps = math.ceil(food.least_added_ml_per_can / wishes.water_step_ml - _TINY)
    waters = (*(food.least_added_ml_per_can - wishes.water_step_ml * step for step in range(1, steps)), 0.0)
    return _inside(food, wishes, meals=range(wishes.fewest_meals, wishes.most_meals + 1), waters=waters)


def _ways_with_other_meals(food: CannedFood, wishes: Wishes) -> Iterator[BlendOption]:
    """Ways with fewer meals than the fewest, or twice as many as the most at most."""
    fewer = range(int(MEALS_LIMITS.low), wishes.fewest_meals)
    more = range(wishes.most_meals + 1, min(2 * wishes.most_meals, int(MEALS_LIMITS.high)) + 1)
    return _inside(food, wishes, meals=(*fewer, *more), waters=added_water_choices(food, wishes))


def _ways_with_longer_storage(
    food: CannedFood, wishes: Wishes, inside: Iterable[BlendOption]
) -> Iterator[tuple[int, BlendOption]]:
    """Ways that use whole cans once an opened can keeps longer: for each number of meals, the shortest that will do."""
    shortest: dict[tuple[float, ...], tuple[int, BlendOption]] = {}
    for option in (option for option in inside if not option.uses_whole_cans):
        wanted = _wanted(option, wishes)
        known, _ = shortest.get(wanted, (int(KEEPS_LIMITS_DAYS.high) + 1, option))
        for days in range(food.keeps_days + 1, known):
            cans = option.cans_per_day * days
            if _is_next_to_nothing(math.ceil(cans - _TINY) - cans):
                shortest[wanted] = (days, option)
                break
    for days, option in shortest.values():
        longer = replace(food, keeps_days=days)
        yield days, make_option(longer, wishes, meals=option.meals, added_ml_per_can=option.added_ml_per_can)
