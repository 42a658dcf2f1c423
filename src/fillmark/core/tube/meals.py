"""A meal: how a day is split, how many fills, how fast, and how much at once."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import floor

from fillmark.core.values.errors import OutOfRange
from fillmark.core.values.explain import Explained
from fillmark.core.values.limits import check_at_least, check_range
from fillmark.core.values.quantities import write_number, write_sum
from fillmark.published.blend import VOLUME_LIMITS_ML
from fillmark.published.input_limits import WEIGHT_LIMITS_KG
from fillmark.published.meals import (
    MEALS_LIMITS,
    PACE_LIMITS_ML_PER_MINUTE,
    PUBLISHED_MEAL_ML_PER_KG,
)


def check_step(step_ml: float) -> None:
    """Refuse a step that no syringe has [mL]."""
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
    check_step(step_ml)
    steps = round(day_ml / step_ml)
    base, odd = divmod(steps, meals)
    # rounded to a nanoliter: 3 × 0.1 shall read 0.3
    volumes = tuple(round((base + (index < odd)) * step_ml, 6) for index in range(meals))
    counts = [odd, meals - odd] if odd else [meals]
    written = write_sum([volumes[0], volumes[-1]][: len(counts)], counts=counts)
    each = " + ".join(f"{count} × {ml} mL" for count, ml in zip(counts, written.parts, strict=True))
    return Explained(
        value=volumes,
        because=f"{write_number(day_ml)} mL in {meals} meals, on marks of {write_number(step_ml)} mL: {each} = "
        f"{written.total} mL",
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
    counts = [full, 1 if rest > 0 else 0]
    written = write_sum([syringe_ml, rest], counts=counts)
    parts = [f"{full} × {written.parts[0]} mL"] if full else []
    parts += [f"{written.parts[1]} mL"] if rest > 0 else []
    return Explained(value=volumes, because=f"{written.total} mL = {' + '.join(parts) or 'nothing'}")


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
    total_words: str  # as it stands beside its parts
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
    written = write_sum([blend_ml, flush_ml, medicine_water_ml])
    ml_per_kg = total_ml / weight_kg
    level, cautions = _judge_load(ml_per_kg, warn_ml_per_kg=warn_ml_per_kg, cap_ml_per_kg=cap_ml_per_kg)
    return Explained(
        value=Load(total_ml=total_ml, total_words=written.total, ml_per_kg=ml_per_kg, level=level),
        because=f"({written.parts[0]} blend + {written.parts[1]} flush + {written.parts[2]} medicine water) mL ÷ "
        f"{write_number(weight_kg)} kg = "
        f"{write_number(ml_per_kg, digits=3)} mL/kg",
        figures=PUBLISHED_MEAL_ML_PER_KG if level is LoadLevel.NO_LIMIT_STATED else (),
        cautions=cautions,
    )


def _judge_load(
    ml_per_kg: float, *, warn_ml_per_kg: float | None, cap_ml_per_kg: float | None
) -> tuple[LoadLevel, tuple[str, ...]]:
    # a meal planned exactly at the cap must not trip over the last binary digit
    over = ml_per_kg - 1e-9
    if cap_ml_per_kg is not None and over > cap_ml_per_kg:
        cap = write_number(cap_ml_per_kg)
        return LoadLevel.OVER_CAP, (f"More than the vet allows ({cap} mL/kg): do not give this much at once.",)
    if warn_ml_per_kg is not None and over > warn_ml_per_kg:
        warning = write_number(warn_ml_per_kg)
        return LoadLevel.OVER_WARNING, (f"Over the vet's warning of {warning} mL/kg: watch closely, ask the vet.",)
    if cap_ml_per_kg is not None or warn_ml_per_kg is not None:
        return LoadLevel.BELOW_WARNING, ()
    bands = ", ".join(
        f"{write_number(band.low, digits=2)}–{write_number(band.high, digits=2)}" for band in PUBLISHED_MEAL_ML_PER_KG
    )
    return LoadLevel.NO_LIMIT_STATED, (
        f"The vet stated no limit. Print disagrees ({bands} mL/kg): ask which one holds for this animal.",
    )


def largest_blend_per_meal(
    *, weight_kg: float, cap_ml_per_kg: float, flush_ml: float, medicine_water_ml: float, step_ml: float
) -> Explained[float]:
    """The most blend a meal may hold under the vet's cap, on a mark of the syringe [mL], 0 or more.

    Args:
        weight_kg: Weight [kg].
        cap_ml_per_kg: The most one session may hold [mL/kg].
        flush_ml: All flushes of the session [mL].
        medicine_water_ml: Medicines with their carrier [mL].
        step_ml: From one mark of the syringe to the next [mL].
    Source:
        the vet's cap
    """
    check_range(field="weight_kg", value=weight_kg, limits=WEIGHT_LIMITS_KG)
    check_step(step_ml)
    room_ml = cap_ml_per_kg * weight_kg - flush_ml - medicine_water_ml
    steps = floor((room_ml + 1e-9) / step_ml)
    ml = max(0.0, round(steps * step_ml, 6))
    return Explained(
        value=ml,
        because=f"{write_number(cap_ml_per_kg)} mL/kg × {write_number(weight_kg)} kg − {write_number(flush_ml)} mL "
        f"flush − {write_number(medicine_water_ml)} mL medicine water leaves {write_number(ml)} mL",
    )
