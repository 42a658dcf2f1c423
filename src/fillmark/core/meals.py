"""How much per meal, in how many fills, how fast, and how heavy is that on the stomach?"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import floor

from fillmark.core.errors import OutOfRange
from fillmark.core.explain import Explained
from fillmark.core.limits import check_at_least, check_range
from fillmark.core.quantities import write_number
from fillmark.published import Figure
from fillmark.published.blend import VOLUME_LIMITS_ML
from fillmark.published.input_limits import WEIGHT_LIMITS_KG
from fillmark.published.meals import (
    IDLE_FLUSHES_PER_DAY,
    LADDER_BAND_HIGH,
    LADDER_BAND_LOW,
    LADDER_GASTROSTOMY_CAT,
    LADDER_LONG_FAST,
    LADDER_RECENT_MEAL,
    MEALS_LIMITS,
    PACE_LIMITS_ML_PER_MINUTE,
    PUBLISHED_MEAL_ML_PER_KG,
    TAPER_FROM_BY_MOUTH_FRACTION,
)


def _check_step(step_ml: float) -> None:
    check_at_least(
        field="step_ml",
        value=step_ml,
        least=0.01,
        unit="mL",
        remedy="Enter the distance between two marks of the syringe.",
    )


def split_day(*, day_ml: float, meals: int, step_ml: float) -> Explained[tuple[float, ...]]:
    """Each meal of the day, on a mark of the syringe, so that together they are the day [mL].

    The day is rounded to the syringe's step once; the odd steps go to the first meals, so that a day cut short has lost
    less. No two meals differ by more than one step.

    Args:
        day_ml: Blend of the whole day [mL].
        meals: Number of meals.
        step_ml: Distance between two marks of the syringe [mL].
    Raises:
        OutOfRange: a number can only be a slip.
    Source:
        arithmetic only
    """
    check_range(field="day_ml", value=day_ml, limits=VOLUME_LIMITS_ML)
    check_range(field="meals", value=meals, limits=MEALS_LIMITS)
    _check_step(step_ml)
    steps = round(day_ml / step_ml)
    base, odd = divmod(steps, meals)
    # rounded to a nanoliter: 3 × 0.1 shall read 0.3
    volumes = tuple(round((base + (index < odd)) * step_ml, 6) for index in range(meals))
    total = sum(volumes)
    each = f"{meals} × {write_number(volumes[0])} mL"
    if odd:
        each = f"{odd} × {write_number(volumes[0])} mL + {meals - odd} × {write_number(volumes[-1])} mL"
    return Explained(
        value=volumes,
        because=f"{write_number(day_ml)} mL in {meals} meals, on marks of {write_number(step_ml)} mL: {each} = "
        f"{write_number(total)} mL",
    )


def fills(*, meal_ml: float, syringe_ml: float) -> Explained[tuple[float, ...]]:
    """How often the syringe is filled for a meal, and to which mark [mL each].

    Full syringes first, the rest last. Even fills would need a mark that must be found every time; a full syringe
    cannot be misread, so only the last mark has to be looked for, and the number of fills is the least there is.

    Args:
        meal_ml: Blend of the meal [mL].
        syringe_ml: What the syringe holds at its last mark [mL].
    Raises:
        OutOfRange: a number can only be a slip.
    Source:
        arithmetic only
    """
    check_range(field="meal_ml", value=meal_ml, limits=VOLUME_LIMITS_ML)
    check_at_least(
        field="syringe_ml", value=syringe_ml, least=0.5, unit="mL", remedy="Enter the last mark of the syringe."
    )
    full = floor((meal_ml + 1e-9) / syringe_ml)
    rest = round(meal_ml - full * syringe_ml, 6)
    volumes = (syringe_ml,) * full + ((rest,) if rest > 0 else ())
    parts = [f"{full} × {write_number(syringe_ml)} mL"] if full else []
    if rest > 0:
        parts.append(f"{write_number(rest)} mL")
    return Explained(value=volumes, because=f"{write_number(meal_ml)} mL = {' + '.join(parts) or 'nothing'}")


@dataclass(frozen=True, kw_only=True, slots=True)
class Pace:
    """How fast a meal goes in."""

    minutes: float
    ml_per_minute: float
    seconds_per_fill: tuple[float, ...]


def pace(
    *, fill_volumes_ml: Sequence[float], minutes: float | None = None, ml_per_minute: float | None = None
) -> Explained[Pace]:
    """How long the meal and each fill take, from the vet's minutes or the vet's mL/min.

    Args:
        fill_volumes_ml: The fills of the meal, in order [mL].
        minutes: The vet's time for the whole meal [minutes].
        ml_per_minute: The vet's pace [mL/min]. Exactly one of the two is given.
    Raises:
        OutOfRange: both or none were given, there is no meal, or the pace can only be a slip.
    Source:
        the vet's order
    """
    meal_ml = sum(fill_volumes_ml)
    if (minutes is None) == (ml_per_minute is None) or meal_ml <= 0:
        raise OutOfRange(
            field="pace",
            got=f"A meal of {write_number(meal_ml)} mL with "
            f"{'both minutes and mL/min' if minutes is not None and ml_per_minute is not None else 'no usable pace'}",
            allowed="a meal above 0 mL with either minutes or mL/min",
            remedy="Enter the one the vet gave.",
        )
    if minutes is not None:
        check_at_least(field="minutes", value=minutes, least=0.1, unit="minutes", remedy="Read the vet's order again.")
        rate = meal_ml / minutes
        because = f"{write_number(meal_ml)} mL ÷ {write_number(minutes)} minutes = {write_number(rate)} mL/min"
    else:
        assert ml_per_minute is not None  # noqa: S101 - the check above left just this one
        rate = ml_per_minute
    check_range(field="pace", value=rate, limits=PACE_LIMITS_ML_PER_MINUTE, remedy="Read the vet's order again.")
    if minutes is None:
        minutes = meal_ml / rate
        because = f"{write_number(meal_ml)} mL ÷ {write_number(rate)} mL/min = {write_number(minutes)} minutes"
    return Explained(
        value=Pace(
            minutes=minutes,
            ml_per_minute=rate,
            seconds_per_fill=tuple(60 * volume / rate for volume in fill_volumes_ml),
        ),
        because=because,
        figures=(PACE_LIMITS_ML_PER_MINUTE,),
    )


class LoadLevel(StrEnum):
    """Where a meal stands against the vet's limits."""

    BELOW_WARNING = "below the vet's warning"
    OVER_WARNING = "over the vet's warning"
    OVER_CAP = "over the vet's cap"
    NO_LIMIT_STATED = "no limit stated"


@dataclass(frozen=True, kw_only=True, slots=True)
class Load:
    """What one session puts into the stomach."""

    total_ml: float
    ml_per_kg: float
    level: LoadLevel


def load(
    *,
    blend_ml: float,
    flush_ml: float,
    medicine_water_ml: float,
    weight_kg: float,
    warn_ml_per_kg: float | None,
    cap_ml_per_kg: float | None,
) -> Explained[Load]:
    """What one session puts into the stomach, flushes and medicine water included, against the vet's limits.

    Args:
        blend_ml: Blend of the meal [mL].
        flush_ml: All flushes of the session together [mL].
        medicine_water_ml: Medicines and the water they are given in [mL].
        weight_kg: Weight today [kg].
        warn_ml_per_kg: Where the vet wants to be asked [mL/kg], or None when not stated.
        cap_ml_per_kg: What the vet allows at most [mL/kg], or None when not stated.
    Raises:
        OutOfRange: a number can only be a slip, or the warning lies above the cap.
    Source:
        meals.ml_per_kg_* where the vet stated no limit
    """
    check_range(field="weight_kg", value=weight_kg, limits=WEIGHT_LIMITS_KG)
    for field, value in (("blend_ml", blend_ml), ("flush_ml", flush_ml), ("medicine_water_ml", medicine_water_ml)):
        check_range(field=field, value=value, limits=VOLUME_LIMITS_ML)
    for field, limit in (("warn_ml_per_kg", warn_ml_per_kg), ("cap_ml_per_kg", cap_ml_per_kg)):
        if limit is not None:
            check_at_least(field=field, value=limit, least=0.1, unit="mL/kg", remedy="Read the vet's order again.")
    if warn_ml_per_kg is not None and cap_ml_per_kg is not None and warn_ml_per_kg > cap_ml_per_kg:
        raise OutOfRange(
            field="warn_ml_per_kg",
            got=f"A warning at {write_number(warn_ml_per_kg)} mL/kg above the cap",
            allowed=f"{write_number(cap_ml_per_kg)} mL/kg or less",
            remedy="Read both numbers in the vet's order again.",
        )
    total_ml = blend_ml + flush_ml + medicine_water_ml
    ml_per_kg = total_ml / weight_kg
    # a meal planned exactly at the cap must not trip over the last binary digit
    over = ml_per_kg - 1e-9
    cautions: tuple[str, ...] = ()
    if cap_ml_per_kg is not None and over > cap_ml_per_kg:
        level = LoadLevel.OVER_CAP
        cautions = (f"More than the vet allows ({write_number(cap_ml_per_kg)} mL/kg): do not give this much at once.",)
    elif warn_ml_per_kg is not None and over > warn_ml_per_kg:
        level = LoadLevel.OVER_WARNING
        cautions = (f"Over the vet's warning of {write_number(warn_ml_per_kg)} mL/kg: watch closely, ask the vet.",)
    elif cap_ml_per_kg is None and warn_ml_per_kg is None:
        level = LoadLevel.NO_LIMIT_STATED
        bands = ", ".join(f"{write_number(band.low)}–{write_number(band.high)}" for band in PUBLISHED_MEAL_ML_PER_KG)
        cautions = (f"The vet stated no limit. Print disagrees ({bands} mL/kg): ask which one holds for this animal.",)
    else:
        level = LoadLevel.BELOW_WARNING
    return Explained(
        value=Load(total_ml=total_ml, ml_per_kg=ml_per_kg, level=level),
        because=f"({write_number(blend_ml)} blend + {write_number(flush_ml)} flush + "
        f"{write_number(medicine_water_ml)} medicine water) mL ÷ {write_number(weight_kg)} kg = "
        f"{write_number(ml_per_kg, digits=3)} mL/kg",
        figures=PUBLISHED_MEAL_ML_PER_KG if level is LoadLevel.NO_LIMIT_STATED else (),
        cautions=cautions,
    )


def largest_blend_per_meal(
    *, weight_kg: float, cap_ml_per_kg: float, flush_ml: float, medicine_water_ml: float, step_ml: float
) -> Explained[float]:
    """The most blend a meal may hold under the vet's cap, on a mark of the syringe [mL], 0 or more.

    Source:
        the vet's cap
    """
    check_range(field="weight_kg", value=weight_kg, limits=WEIGHT_LIMITS_KG)
    _check_step(step_ml)
    room_ml = cap_ml_per_kg * weight_kg - flush_ml - medicine_water_ml
    steps = floor((room_ml + 1e-9) / step_ml)
    ml = max(0.0, round(steps * step_ml, 6))
    return Explained(
        value=ml,
        because=f"{write_number(cap_ml_per_kg)} mL/kg × {write_number(weight_kg)} kg − {write_number(flush_ml)} mL "
        f"flush − {write_number(medicine_water_ml)} mL medicine water leaves {write_number(ml)} mL",
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class Ladder:
    """Steps up to the full day, as shares of it, lowest first."""

    name: str
    rungs: tuple[Figure, ...]

    @property
    def last(self) -> int:
        return len(self.rungs)


LADDERS: tuple[Ladder, ...] = (
    Ladder(name="after more than three days without food", rungs=LADDER_LONG_FAST),
    Ladder(name="after eating recently", rungs=LADDER_RECENT_MEAL),
    Ladder(name="new gastrostomy tube in a cat", rungs=LADDER_GASTROSTOMY_CAT),
    Ladder(name="assisted feeding, lower end", rungs=LADDER_BAND_LOW),
    Ladder(name="assisted feeding, upper end", rungs=LADDER_BAND_HIGH),
)
"""The schemes found in print; the vet chooses one, or orders another."""


def _rung(ladder: Ladder, number: int) -> Figure:
    if number not in range(1, ladder.last + 1):
        raise OutOfRange(
            field="rung",
            got=f"Step {number} of the ladder",
            allowed=f"1 to {ladder.last}",
            remedy="Count the days from the first tube meal.",
        )
    return ladder.rungs[number - 1]


def rung_amount(ladder: Ladder, *, full: float, rung: int, unit: str = "kcal") -> Explained[float]:
    """What this step gives of the full day, in the unit of the full day (kcal or mL).

    Args:
        ladder: The scheme the vet chose.
        full: The full day.
        rung: Which step, 1 being the first.
        unit: For the working.
    Raises:
        OutOfRange: the ladder has no such step.
    Source:
        the ladder's figures
    """
    check_at_least(field="full day", value=full, least=0, unit=unit, remedy="Check the vet's energy goal.")
    figure = _rung(ladder, rung)
    amount = full * figure.value
    return Explained(
        value=amount,
        because=f"step {rung} of {ladder.last}: {write_number(full)} {unit} × {figure.value:.0%} = "
        f"{write_number(amount)} {unit}",
        figures=(figure,),
    )


def next_rung(ladder: Ladder, *, rung: int, vomited: bool, all_kept: bool) -> Explained[int]:
    """The step for tomorrow: back after vomiting, the same when not all was kept, else one up; never two.

    Args:
        ladder: The scheme the vet chose.
        rung: Today's step, 1 being the first.
        vomited: The animal vomited or regurgitated a tube meal today.
        all_kept: Every meal of today was given whole and stayed in.
    Raises:
        OutOfRange: the ladder has no such step.
    Source:
        the ladder's figures
    """
    _rung(ladder, rung)
    return next_step(rung=rung, last=ladder.last, vomited=vomited, all_kept=all_kept)


def next_step(*, rung: int, last: int, vomited: bool, all_kept: bool) -> Explained[int]:
    """The step for tomorrow of any ladder, print's or the vet's own; see `next_rung`.

    Args:
        rung: Today's step, 1 being the first.
        last: The last step.
        vomited: The animal vomited or regurgitated a tube meal today.
        all_kept: Every meal of today was given whole and stayed in.
    Source:
        arithmetic only
    """
    if vomited:
        tomorrow = max(1, rung - 1)
        return Explained(
            value=tomorrow,
            because=f"vomiting: step {rung} → step {tomorrow}",
            cautions=("The animal vomited: call the vet before the next meal.",),
        )
    if not all_kept:
        return Explained(value=rung, because=f"not all of today's food was given and kept: stay on step {rung}")
    tomorrow = min(last, rung + 1)
    return Explained(value=tomorrow, because=f"all kept: step {rung} → step {tomorrow} of {last}")


def weaning_tube_energy(*, goal_kcal: float, by_mouth_kcal: float) -> Explained[float]:
    """Energy still to give by tube while the animal learns to eat [kcal/day], 0 or more.

    Tube meals stay whole until it eats the share by mouth from which print tapers; then the tube fills up the rest.

    Source:
        meals.taper_from, meals.idle_flushes
    """
    check_at_least(field="goal_kcal", value=goal_kcal, least=1, unit="kcal", remedy="Check the vet's energy goal.")
    check_at_least(field="by_mouth_kcal", value=by_mouth_kcal, least=0, unit="kcal", remedy="Check what was eaten.")
    share = by_mouth_kcal / goal_kcal
    if share < TAPER_FROM_BY_MOUTH_FRACTION.value:
        return Explained(
            value=goal_kcal,
            because=f"{share:.0%} by mouth is below {TAPER_FROM_BY_MOUTH_FRACTION.value:.0%}: tube meals stay whole",
            figures=(TAPER_FROM_BY_MOUTH_FRACTION,),
        )
    rest = max(0.0, goal_kcal - by_mouth_kcal)
    return Explained(
        value=rest,
        because=f"{write_number(goal_kcal)} − {write_number(by_mouth_kcal)} kcal by mouth = {write_number(rest)} kcal "
        "by tube",
        figures=(TAPER_FROM_BY_MOUTH_FRACTION, IDLE_FLUSHES_PER_DAY),
        cautions=()
        if rest
        else (
            f"The tube stands idle: flush it {write_number(IDLE_FLUSHES_PER_DAY.value)} times a day until the vet "
            "takes it out.",
        ),
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class Spread:
    """What the meals still to come can carry after something went wrong [mL of blend]."""

    blend_ml_per_meal: tuple[float, ...]
    carried_ml: float  # of what was missing
    let_go_ml: float  # never pushed after


def spread_missing(
    *, planned_ml: Sequence[float], missing_ml: float, day_left_ml: float, most_ml: Sequence[float], step_ml: float
) -> Explained[Spread]:
    """Spread what a missed, short or returned meal left out over the meals still to come; the rest is let go.

    No meal passes the cap, no meal is doubled, no meal is added, and the day never gets more than it still needs.

    Args:
        planned_ml: Blend planned for each meal still to come today, in order [mL].
        missing_ml: Blend that should be in by now and is not [mL].
        day_left_ml: Blend the day still needs in all [mL].
        most_ml: The most blend each of them may hold, from the vet's cap [mL].
        step_ml: Distance between two marks of the syringe [mL].
    Raises:
        OutOfRange: a number can only be a slip.
    Source:
        the vet's cap
    """
    for field, value in (
        ("missing_ml", missing_ml),
        ("day_left_ml", day_left_ml),
        *(("planned_ml", planned) for planned in planned_ml),
        *(("most_ml", most) for most in most_ml),
    ):
        check_range(field=field, value=value, limits=VOLUME_LIMITS_ML)
    _check_step(step_ml)
    meals = list(planned_ml)
    # an own bound below the cap: no meal reaches twice its plan, whatever the cap allows
    room = [
        max(0, floor((min(most - planned, planned - step_ml) + 1e-9) / step_ml))
        for planned, most in zip(planned_ml, most_ml, strict=True)
    ]
    still_needed = max(0.0, day_left_ml - sum(meals))
    steps = floor((min(missing_ml, still_needed) + 1e-9) / step_ml)
    carried = 0
    while carried < steps and any(room):
        # one step at a time to the meal with the most room, so that no meal is loaded before another
        index = max(range(len(meals)), key=lambda i: room[i])
        meals[index] = round(meals[index] + step_ml, 6)
        room[index] -= 1
        carried += 1
    carried_ml = round(carried * step_ml, 6)
    let_go_ml = max(0.0, round(missing_ml - carried_ml, 6))
    return Explained(
        value=Spread(blend_ml_per_meal=tuple(meals), carried_ml=carried_ml, let_go_ml=let_go_ml),
        because=f"{write_number(missing_ml)} mL are missing; {len(meals)} meals to come carry "
        f"{write_number(carried_ml)} mL of it under the cap; {write_number(let_go_ml)} mL are let go",
        cautions=("Never double a meal to catch up.",) if let_go_ml else (),
    )
