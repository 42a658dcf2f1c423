"""The ways to feed a day that are worth choosing from, and what loosening a limit would buy."""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from fillmark.core.changes.blend_option import (
    DUST,
    BlendLimit,
    BlendOption,
    BlendWishes,
    CannedFood,
    added_water_choices,
    best_of_their_kind,
    exceeds,
    is_next_to_nothing,
    limits_broken,
    make_option,
)
from fillmark.core.values.explain import Explained
from fillmark.core.values.limits import check_at_least
from fillmark.core.values.quantities import write_number
from fillmark.published.input_limits import KEEPS_LIMITS_DAYS
from fillmark.published.meals import MEALS_LIMITS


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

    limit: BlendLimit
    needed: float
    option: BlendOption
    buys: str
    unit: str = "can"

    @property
    def words(self) -> str:
        """As a sentence, with who may loosen it."""
        up = write_number(math.ceil(self.needed * 10 - DUST) / 10)
        match self.limit:
            case BlendLimit.CAP:
                return f"At {up} mL/kg there could be {self.buys}: only the vet may raise the cap."
            case BlendLimit.WARNING:
                return f"If {up} mL/kg needed no question there could be {self.buys}: ask the vet."
            case BlendLimit.MOST_WATER:
                return f"With {up} mL of water a day there could be {self.buys}: only the vet may raise it."
            case BlendLimit.FLOW:
                return (
                    f"If the blend passed with {write_number(self.needed)} mL of water a {self.unit} there could be "
                    f"{self.buys}: only a flow test tells."
                )
            case BlendLimit.MEALS:
                return f"With another number of meals there could be {self.buys}: ask the vet."
            case BlendLimit.STORAGE:
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
    binding: tuple[BlendLimit, ...]
    loosened: tuple[Loosened, ...]


_WANTED = (BlendLimit.WARNING, "water", BlendLimit.WHOLE_CANS, "meals")


def _is_over_warning(option: BlendOption, wishes: BlendWishes) -> bool:
    return wishes.warn_ml_per_kg is not None and exceeds(option.ml_per_kg, wishes.warn_ml_per_kg)


def _wanted(option: BlendOption, wishes: BlendWishes) -> tuple[float, ...]:
    """What is wanted of a way, each the less the better, by `_WANTED` in the order in which it counts."""
    return (
        _is_over_warning(option, wishes),
        exceeds(option.water_due_ml, 0),
        not option.uses_whole_cans,
        option.meals,
    )


def _preference(option: BlendOption, wishes: BlendWishes) -> tuple[float, ...]:
    # inside the vet's limits first (done by the search), below the vet's warning → water met → whole cans → fewer meals
    # → fewer fills → no night meal; then the thicker mix
    return (*_wanted(option, wishes), option.fills, option.needs_night_meal, *option.costs)


def find_blend_options(food: CannedFood, wishes: BlendWishes) -> Explained[BlendChoice]:
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
            if exceeds(proposed.water_due_ml, 0)
            else ()
        )
    first_of_each = {one.limit: one for one in reversed(loosened)}
    return Explained(
        value=BlendChoice(best=best, proposed=proposed, binding=binding, loosened=loosened),
        because=because,
        cautions=(*cautions, *(one.words for one in loosened if first_of_each[one.limit] is one)),
    )


Judged = list[tuple[BlendOption, tuple[BlendLimit, ...]]]


def _all_loosened(
    food: CannedFood, wishes: BlendWishes, judged: Judged, proposed: BlendOption | None
) -> Iterator[Loosened]:
    """For each limit, the smallest loosening that buys what no way inside the limits has, then each that buys more."""
    inside = [option for option, broken in judged if not broken]
    ways: dict[BlendLimit, Iterable[tuple[float, float, BlendOption]]] = {
        # how far from the limit, the loosened limit, what it allows
        BlendLimit.CAP: ((o.ml_per_kg, o.ml_per_kg, o) for o, broken in judged if broken == (BlendLimit.CAP,)),
        BlendLimit.MOST_WATER: (
            (o.water_ml, o.water_ml, o) for o, broken in judged if broken == (BlendLimit.MOST_WATER,)
        ),
        BlendLimit.WARNING: ((o.ml_per_kg, o.ml_per_kg, o) for o in inside if _is_over_warning(o, wishes)),
        BlendLimit.FLOW: (
            (food.least_added_ml_per_can - o.added_ml_per_can, o.added_ml_per_can, o)
            for o in _thicker_ways(food, wishes)
        ),
        BlendLimit.MEALS: (
            (max(wishes.fewest_meals - o.meals, o.meals - wishes.most_meals), o.meals, o)
            for o in _ways_with_other_meals(food, wishes)
        ),
        BlendLimit.STORAGE: ((days, days, o) for days, o in _ways_with_longer_storage(food, wishes, inside)),
        BlendLimit.WHOLE_CANS: ((o.waste_cans, o.waste_cans, o) for o in inside if not o.uses_whole_cans),
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
    found: Iterable[tuple[float, float, BlendOption]], wishes: BlendWishes, place: int | None
) -> list[tuple[float, BlendOption]]:
    """Of all ways that give the same, the one with the smallest loosening; those first that need the least."""
    nearest: dict[tuple[float, ...], tuple[float, BlendOption]] = {}
    for _, needed, option in sorted(found, key=lambda way: (way[0], _preference(way[2], wishes))):
        nearest.setdefault(_without(_wanted(option, wishes), place), (needed, option))
    return list(nearest.values())


def _buys(
    option: BlendOption, proposed: BlendOption | None, wishes: BlendWishes, place: int | None, *, unit: str
) -> str:
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
    food: CannedFood, wishes: BlendWishes, *, meals: Iterable[int], waters: Iterable[float]
) -> Iterator[BlendOption]:
    waters = tuple(waters)
    for count in meals:
        for added in waters:
            option = make_option(food, wishes, meals=count, added_ml_per_can=added)
            if not limits_broken(option, wishes):
                yield option


def _thicker_ways(food: CannedFood, wishes: BlendWishes) -> Iterator[BlendOption]:
    """Ways with less water than the flow tests ask for, down to none."""
    steps = math.ceil(food.least_added_ml_per_can / wishes.water_step_ml - DUST)
    waters = (*(food.least_added_ml_per_can - wishes.water_step_ml * step for step in range(1, steps)), 0.0)
    return _inside(food, wishes, meals=range(wishes.fewest_meals, wishes.most_meals + 1), waters=waters)


def _ways_with_other_meals(food: CannedFood, wishes: BlendWishes) -> Iterator[BlendOption]:
    """Ways with fewer meals than the fewest, or twice as many as the most at most."""
    fewer = range(int(MEALS_LIMITS.low), wishes.fewest_meals)
    more = range(wishes.most_meals + 1, min(2 * wishes.most_meals, int(MEALS_LIMITS.high)) + 1)
    return _inside(food, wishes, meals=(*fewer, *more), waters=added_water_choices(food, wishes))


def _ways_with_longer_storage(
    food: CannedFood, wishes: BlendWishes, inside: Iterable[BlendOption]
) -> Iterator[tuple[int, BlendOption]]:
    """Ways that use whole cans once an opened can keeps longer: for each number of meals, the shortest that will do."""
    shortest: dict[tuple[float, ...], tuple[int, BlendOption]] = {}
    for option in (option for option in inside if not option.uses_whole_cans):
        wanted = _wanted(option, wishes)
        known, _ = shortest.get(wanted, (int(KEEPS_LIMITS_DAYS.high) + 1, option))
        for days in range(food.keeps_days + 1, known):
            cans = option.cans_per_day * days
            if is_next_to_nothing(math.ceil(cans - DUST) - cans):
                shortest[wanted] = (days, option)
                break
    for days, option in shortest.values():
        longer = replace(food, keeps_days=days)
        yield days, make_option(longer, wishes, meals=option.meals, added_ml_per_can=option.added_ml_per_can)
