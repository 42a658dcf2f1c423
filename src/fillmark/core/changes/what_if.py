"""What if the day were fed in another way, through another tube, or away from home? Old and new side by side.

Nothing here changes anything: what a person wants to keep becomes a new plan with the vet's word.
"""

from dataclasses import dataclass
from math import ceil
from typing import Generic, TypeVar

from fillmark.core.changes.blend_option import (
    BlendLimit,
    BlendOption,
    BlendWishes,
    CannedFood,
    limits_broken,
    make_option,
)
from fillmark.core.tube.flow import bore, outer_diameter, push_compared
from fillmark.core.values.explain import Explained
from fillmark.core.values.limits import check_range
from fillmark.core.values.quantities import write_number
from fillmark.published.input_limits import AWAY_LIMITS_DAYS, KEEPS_LIMITS_DAYS

T = TypeVar("T", covariant=True)
_TINY = 1e-9


@dataclass(frozen=True, kw_only=True, slots=True)
class Change(Generic[T]):
    """One question of "what if": what is beside what would be.

    Attributes:
        breaks: The vet's limits that the new one breaks.
    """

    old: T
    new: T
    breaks: tuple[BlendLimit, ...] = ()


def _in_short(option: BlendOption) -> str:
    return (
        f"{option.meals} × {write_number(option.blend_ml_per_meal)} mL "
        f"({write_number(option.ml_per_kg, digits=3)} mL/kg)"
    )


def what_if(
    food: CannedFood,
    wishes: BlendWishes,
    old: BlendOption,
    *,
    meals: int | None = None,
    new_food: CannedFood | None = None,
) -> Explained[Change[BlendOption]]:
    """The day as it is beside the day with another number of meals or another can.

    Args:
        food: The canned food.
        wishes: The vet's limits and the household's syringe.
        old: The day as it is.
        meals: Another number of meals a day; none for as many as now.
        new_food: Another can; none for the same.
    Source:
        arithmetic only
    """
    kind = new_food or food
    new = make_option(
        kind,
        wishes,
        meals=meals or old.meals,
        added_ml_per_can=max(old.added_ml_per_can, kind.least_added_ml_per_can),
    )
    broken = limits_broken(new, wishes)
    cautions = [f"This breaks the vet's limit: {', '.join(broken)}."] if broken else []
    if new_food is not None:
        cautions.append(
            f"{new_food.name} in place of {food.name}: ask the vet whether it suits, and test the first batch."
        )
    return Explained(
        value=Change(old=old, new=new, breaks=broken),
        because=f"{_in_short(old)} → {_in_short(new)}",
        cautions=tuple(cautions),
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class OtherTube:
    """A feeding tube: its outside in French, and its bore as the maker states it [mm], or None when not stated."""

    french: float
    inner_mm: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class TubeFit:
    """What a tube is like for this blend.

    Attributes:
        outer_mm: Its outside [mm].
        push_times: How many times harder the same blend at the same pace pushes than through the old tube; None where a
            maker states no bore.
    """

    tube: OtherTube
    outer_mm: float
    push_times: float | None


def what_if_tube(*, old: OtherTube, new: OtherTube, flow_index: float = 1.0) -> Explained[Change[TubeFit]]:
    """This tube beside another one: how much harder or easier the same blend would push.

    Args:
        old: The tube in use.
        new: The other one.
        flow_index: n of the power law, 1 for a liquid like water; a blend that thins when pushed has less.
    Raises:
        OutOfRange: a number can only be a slip.
    Source:
        flow.mm_per_french; Darby, equation 6-44
    """
    outside = [outer_diameter(french=tube.french) for tube in (old, new)]
    fits = [TubeFit(tube=old, outer_mm=outside[0].value, push_times=1.0)]
    cautions = ["The flow limit was set for the old tube: ask the vet for the new one, and test a batch before use."]
    if old.inner_mm is None or new.inner_mm is None:
        times = None
        because = f"{write_number(old.french)} Fr → {write_number(new.french)} Fr outside; the bore is not stated"
        cautions.append("French is the outside only: the push cannot be compared without both makers' inner diameters.")
        parts = (*outside,)
    else:
        bores = [bore(french=tube.french, inner_mm=tube.inner_mm) for tube in (old, new)]
        push = push_compared(inner_mm=new.inner_mm, than_mm=old.inner_mm, flow_index=flow_index)
        times = push.value
        because = (
            f"{write_number(old.inner_mm)} mm → {write_number(new.inner_mm)} mm inside: "
            f"{write_number(times, digits=2)} times the push for the same blend at the same pace"
        )
        parts = (*bores, push)
    fits.append(TubeFit(tube=new, outer_mm=outside[1].value, push_times=times))
    cautions.append("Which tube an animal gets, and when, the vet decides.")
    return Explained(
        value=Change(old=fits[0], new=fits[1]), because=because, parts=tuple(parts), cautions=tuple(cautions)
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class Provisions:
    """What feeding this way takes for some days.

    Attributes:
        blend_ml: All blend [mL].
        batches: How often blend is made, none older than it keeps.
        cans: Whole cans to have; what is left of an opened one does not outlast its batch.
        waste_cans: Of these, left over.
        mixing_water_ml: Water stirred into the blend [mL].
        beside_water_ml: Water for flushes, and that medicines are given in [mL].
        fills: Syringes pushed.
        ahead_days: Days that one batch made before leaving feeds.
    """

    days: int
    meals: int
    blend_ml: float
    batches: int
    cans: int
    waste_cans: float
    mixing_water_ml: float
    beside_water_ml: float
    fills: int
    ahead_days: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Journey:
    """Some days away: what one day takes beside what all of them take, and what to bring."""

    change: Change[Provisions]
    bring: tuple[str, ...]


def provisions(food: CannedFood, wishes: BlendWishes, option: BlendOption, *, days: int) -> Provisions:
    """What feeding this way takes for some days, batch by batch.

    Args:
        food: The canned food.
        wishes: The vet's limits and the household's syringe.
        option: The way the day is fed.
        days: How many days [days].
    Raises:
        OutOfRange: the days or the storage life can only be a slip.
    Source:
        arithmetic only
    """
    check_range(field="days", value=days, limits=AWAY_LIMITS_DAYS)
    check_range(field="keeps_days", value=food.keeps_days, limits=KEEPS_LIMITS_DAYS)
    full, rest = divmod(days, food.keeps_days)
    cans = [option.cans_per_day * food.keeps_days] * full + ([option.cans_per_day * rest] if rest else [])
    opened = sum(ceil(batch - _TINY) for batch in cans)
    medicine_ml = wishes.medicine_water_ml_per_day
    if medicine_ml is None:
        medicine_ml = option.meals * wishes.medicine_water_ml_per_meal
    return Provisions(
        days=days,
        meals=option.meals * days,
        blend_ml=option.blend_ml_per_meal * option.meals * days,
        batches=len(cans),
        cans=opened,
        waste_cans=max(0.0, opened - option.cans_per_day * days),
        mixing_water_ml=option.cans_per_day * days * option.added_ml_per_can,
        beside_water_ml=(option.meals * wishes.flush_ml_per_meal + medicine_ml) * days,
        fills=option.fills * days,
        ahead_days=min(days, food.keeps_days),
    )


def _counted(count: int, unit: str) -> str:
    if unit == "can":
        return f"{count} can{'s' * (count != 1)}"
    return f"the foods for {count} batch{'es' * (count != 1)}"


def what_if_away(food: CannedFood, wishes: BlendWishes, option: BlendOption, *, days: int) -> Explained[Journey]:
    """One day at home beside some days away: cans, blend made ahead as far as it keeps, and what to bring.

    Args:
        food: The canned food.
        wishes: The vet's limits and the household's syringe.
        option: The way the day is fed.
        days: How long they are away [days].
    Raises:
        OutOfRange: the days or the storage life can only be a slip.
    Source:
        arithmetic only
    """
    day, away = (provisions(food, wishes, option, days=count) for count in (1, days))
    ahead_ml = option.blend_ml_per_meal * option.meals * away.ahead_days
    liters = write_number(ceil((away.mixing_water_ml + away.beside_water_ml) / 100) / 10)
    bring = [
        f"{_counted(away.cans, food.unit)} of {food.name}, and one more in case one is spoiled",
        f"{write_number(round(ahead_ml))} mL of blend made before leaving, kept cold: it feeds {away.ahead_days} "
        f"day{'s' * (away.ahead_days != 1)}",
        f"{liters} L of drinking water: {write_number(round(away.mixing_water_ml))} mL for the blend, "
        f"{write_number(round(away.beside_water_ml))} mL for flushes and medicines",
        f"two {write_number(wishes.syringe_ml)} mL feeding syringes, in case one fails",
        "every medicine for the days away and two more, in its own labeled container",
        "the printed sheet, the vet's numbers, and the number of a clinic where you will be",
    ]
    cautions = []
    if away.batches > 1:
        bring.insert(2, "the blender, jug and sieve: the rest is made where you are")
        cautions.append(
            f"Blend keeps for {food.keeps_days} day{'s' * (food.keeps_days != 1)}: the other "
            f"{away.days - away.ahead_days} days cannot be made before leaving."
        )
    cautions.append(
        "What stood warm on the way is thrown away: count its days from when it was made, not from arrival."
    )
    cautions.append("Frozen and thawed blend flows differently: test it before it is given.")
    return Explained(
        value=Journey(change=Change(old=day, new=away), bring=tuple(bring)),
        because=f"{days} days × {option.meals} meals × {write_number(option.blend_ml_per_meal)} mL = "
        f"{write_number(away.blend_ml)} mL in {away.batches} batch{'es' * (away.batches != 1)} of {food.keeps_days} "
        f"day{'s' * (food.keeps_days != 1)}: {away.cans} {food.unit}{'s' if food.unit == 'can' else 'es'}",
        cautions=tuple(cautions),
    )
