"""The mark to fill a syringe to."""

from collections.abc import Sequence
from decimal import ROUND_HALF_DOWN, Decimal

from fillmark.core.tube.meals import fills as split_fills
from fillmark.core.tube.syringe import (
    Mark,
    Syringe,
    dead_space,
    exact,
    has_middle_line,
    smallest_measurable_ml,
    tolerance_ml,
)
from fillmark.core.values.errors import CannotDraw, OutOfRange
from fillmark.core.values.explain import Explained
from fillmark.core.values.quantities import Volume, write_number
from fillmark.published import Printed
from fillmark.published.syringe import (
    ENTERAL_TIP_DISPLACED_ML,
    ENTERAL_TIP_WARN_BELOW_ML,
    ONE_ML_UNRELIABLE_ML,
    REFUSED_ERROR_FRACTION,
    SILENT_ERROR_FRACTION,
)

_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")


def _ordinal(number: int) -> str:
    if number <= len(_ORDINALS):
        return _ORDINALS[number - 1]
    ending = "th" if number % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{ending}"


def _reading(syringe: Syringe, drawn: Decimal) -> str:
    """Where the line is, counted from the nearest line that cannot be mistaken."""
    step, numbered = exact(syringe.step_ml), exact(syringe.numbered_every_ml)
    per_number = int(numbered / step)
    below = drawn // numbered * numbered
    past = int((drawn - below) / step)
    if past == 0:
        return f"the line at {write_number(drawn)}"
    if drawn == exact(syringe.size_ml):
        return f"the last line, {write_number(drawn)}"
    if has_middle_line(per_number) and past >= per_number // 2:
        above = below + numbered
        middle = (
            f"the middle line between {write_number(below)} and {write_number(above)}"
            if above <= exact(syringe.size_ml)
            else f"the middle line after {write_number(below)}"  # the scale ends before the next number
        )
        past -= per_number // 2
        return middle if past == 0 else f"the {_ordinal(past)} small line after {middle}"
    return f"the {_ordinal(past)} small line after {write_number(below)}"


def rounding_caution(*, error_fraction: float, asked: str, came: str) -> tuple[str, ...]:
    """What to say about a rounding, by how far it is off; nothing when it is close.

    Args:
        error_fraction: How far off it is [fraction of what was asked].
        asked: What was ordered, in words.
        came: What can be measured, in words.
    Raises:
        CannotDraw: it is so far off that the vet must be asked.
    """
    off = abs(error_fraction)
    if off > REFUSED_ERROR_FRACTION.value:
        raise CannotDraw(
            field="dose",
            got=f"{asked}, when the nearest this household can measure is {came} ({off:.1%} off)",
            allowed=f"{REFUSED_ERROR_FRACTION.value:.0%} off at most",
            remedy="Do not give it like this. Ask the vet for another strength, or for another syringe.",
        )
    if off > SILENT_ERROR_FRACTION.value:
        return (f"Rounded from {asked} to {came}: {off:.1%} {'more' if error_fraction > 0 else 'less'} than ordered.",)
    return ()


def _round_to_step(volume: Volume, syringe: Syringe) -> Decimal:
    """The nearest line [mL]; half way between two, the lower one, so that a tie never gives more than was ordered."""
    step = exact(syringe.step_ml)
    return (volume.ml / step).quantize(Decimal(1), rounding=ROUND_HALF_DOWN) * step


def _error(volume: Volume, syringe: Syringe) -> Decimal:
    return (_round_to_step(volume, syringe) - volume.ml) / volume.ml


def find_mark(*, volume: Volume, syringes: Sequence[Syringe]) -> Explained[Mark]:
    """The smallest syringe of the household that holds a volume, and the line to fill it to.

    Where the smallest one's lines are too coarse for this volume and another syringe comes closer, that one is taken;
    and where its tip displaces too much of so little, one with another tip.

    Args:
        volume: What is to be drawn, exact.
        syringes: What this household owns.
    Raises:
        CannotDraw: none holds it, or the nearest line is further off than a dose may be.
    Source:
        syringe.silent_error, syringe.refused_error, syringe.enteral_tip_*, syringe.dead_space_*, syringe.tolerance_*
    """
    holding = sorted(
        (syringe for syringe in syringes if volume.ml <= exact(syringe.size_ml)),
        key=lambda syringe: (syringe.size_ml, syringe.step_ml, syringe.tip == "enteral"),
    )
    if volume.ml == 0 or not holding:
        largest = max((syringe.size_ml for syringe in syringes), default=0.0)
        raise CannotDraw(
            field="dose",
            got=f"{volume} to draw",
            allowed=f"more than 0 mL, up to {write_number(largest)} mL in this household's largest syringe",
            remedy="Add a larger syringe to the plan, or ask the vet for another strength."
            if volume.ml
            else "Check the dose and the strength.",
        )
    close = [syringe for syringe in holding if abs(_error(volume, syringe)) <= exact(SILENT_ERROR_FRACTION.value)]
    trusted = [syringe for syringe in close if not (_is_displaced(volume, syringe) or _is_too_little(volume, syringe))]
    closest = min(holding, key=lambda syringe: abs(_error(volume, syringe)))
    syringe = (*trusted, *close, closest)[0]
    error_fraction = float(_error(volume, syringe))
    drawn = Volume(_round_to_step(volume, syringe))
    rounding = rounding_caution(error_fraction=error_fraction, asked=str(volume), came=f"{drawn} in the {syringe.name}")
    tip, tip_figures = _tip_caution(drawn, syringe)
    rinse, rinse_figures = _rinse_caution(drawn, syringe)
    small, small_figures = _small_volume_caution(drawn, syringe)
    tolerance = tolerance_ml(volume_ml=float(drawn.ml), size_ml=syringe.size_ml)
    mark = Mark(
        syringe=syringe,
        exact=volume,
        drawn=drawn,
        error_fraction=error_fraction,
        reading=_reading(syringe, drawn.ml),
        tolerance_ml=tolerance.value,
        cautions=(*rounding, *tip, *rinse, *small),
    )
    because = f"{volume} in the {syringe.name} (a line every {write_number(syringe.step_ml)} mL): {mark.reading}"
    if drawn != volume:
        because += f" = {drawn}, {abs(error_fraction):.1%} {'more' if error_fraction > 0 else 'less'}"
    return Explained(
        value=mark,
        because=because,
        figures=(SILENT_ERROR_FRACTION, REFUSED_ERROR_FRACTION, *tip_figures, *rinse_figures, *small_figures),
        parts=(tolerance,),
        cautions=mark.cautions,
    )


def tip_error_fraction(*, volume_ml: float) -> float:
    """How much of a volume a standard enteral tip displaces on the mean, of the volume.

    Source:
        syringe.enteral_tip_displaced
    """
    return ENTERAL_TIP_DISPLACED_ML.value / volume_ml


def _is_displaced(volume: Volume, syringe: Syringe) -> bool:
    """Whether a standard enteral tip displaces more than a tenth of a volume."""
    return syringe.tip == "enteral" and float(volume.ml) < ENTERAL_TIP_WARN_BELOW_ML.value


def _is_too_little(volume: Volume, syringe: Syringe) -> bool:
    """Whether a syringe that keeps the standard may be off by more than a tenth of a volume."""
    least = smallest_measurable_ml(size_ml=syringe.size_ml).value
    return float(volume.ml) < least or float(volume.ml) <= ONE_ML_UNRELIABLE_ML.value


def _tip_caution(drawn: Volume, syringe: Syringe) -> tuple[tuple[str, ...], tuple[Printed, ...]]:
    if not _is_displaced(drawn, syringe):
        return (), ()
    displaced = ENTERAL_TIP_DISPLACED_ML.value
    return (
        (
            f"A standard enteral tip can push in about {write_number(displaced)} mL more, or less, than the line "
            f"shows: {tip_error_fraction(volume_ml=float(drawn.ml)):.0%} of this dose. "
            "Ask for a syringe with a low-dose tip.",
        ),
        (ENTERAL_TIP_DISPLACED_ML, ENTERAL_TIP_WARN_BELOW_ML),
    )


def _rinse_caution(drawn: Volume, syringe: Syringe) -> tuple[tuple[str, ...], tuple[Printed, ...]]:
    """Where what stays in the tip is more than a dose may be off, rinsing it in would be an overdose."""
    kept = dead_space(size_ml=syringe.size_ml)
    if syringe.tip == "low-dose enteral" or exact(kept.value) <= exact(REFUSED_ERROR_FRACTION.value) * drawn.ml:
        return (), ()
    return (
        (
            f"Do not rinse this syringe into the animal: what stays in its tip, up to {write_number(kept.value)} mL, "
            "is no part of the dose. Flush with another syringe.",
        ),
        kept.figures,
    )


def _small_volume_caution(drawn: Volume, syringe: Syringe) -> tuple[tuple[str, ...], tuple[Printed, ...]]:
    if not _is_too_little(drawn, syringe):
        return (), ()
    return (
        (
            f"Very little for a {syringe.name}: {write_number(drawn.ml)} mL may be off by more than a tenth. "
            "Ask the vet for a weaker strength or a smaller syringe.",
        ),
        (*smallest_measurable_ml(size_ml=syringe.size_ml).figures, ONE_ML_UNRELIABLE_ML),
    )


def fills(*, total_ml: float, syringe: Syringe) -> tuple[Mark, ...]:
    """How often a syringe is filled for a meal, and to which line: full ones first, the rest last.

    The meal is rounded to the syringe's step once, before it is split.

    Args:
        total_ml: The whole meal [mL].
        syringe: The syringe it is given with.
    Raises:
        OutOfRange: the meal can only be a slip, or is less than half a step.
    Source:
        arithmetic only
    """
    asked = Volume(exact(total_ml))
    rounded = _round_to_step(asked, syringe)
    volumes = [exact(ml) for ml in split_fills(meal_ml=float(rounded), syringe_ml=syringe.size_ml).value]
    if not volumes:
        raise OutOfRange(
            field="total_ml",
            got=f"A meal of {write_number(total_ml)} mL in a {syringe.name}",
            allowed=f"{write_number(syringe.step_ml)} mL or more",
            remedy="Check the meal, or take a smaller syringe.",
        )
    marks = []
    for index, drawn in enumerate(volumes):
        wanted = drawn + (asked.ml - rounded if index == len(volumes) - 1 else 0)
        marks.append(
            Mark(
                syringe=syringe,
                exact=Volume(wanted),
                drawn=Volume(drawn),
                error_fraction=float((drawn - wanted) / wanted),
                reading=_reading(syringe, drawn),
                tolerance_ml=tolerance_ml(volume_ml=float(drawn), size_ml=syringe.size_ml).value,
            )
        )
    return tuple(marks)
