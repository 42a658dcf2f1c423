"""Which syringe, and to which mark? The one place where a dose is rounded."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_DOWN, Decimal
from typing import Annotated, Literal

from pydantic import Field, model_validator

from fillmark.core.document import Id, Number, Part, refuse, within
from fillmark.core.errors import BadPlan, CannotDraw, OutOfRange
from fillmark.core.explain import Explained
from fillmark.core.limits import check_range
from fillmark.core.meals import fills as split_fills
from fillmark.core.quantities import Volume, write_number
from fillmark.published import Fact, Figure, Printed
from fillmark.published.syringe import (
    DEAD_SPACE_ML,
    ENTERAL_TIP_DISPLACED_ML,
    ENTERAL_TIP_WARN_BELOW_ML,
    NUMBER_DISTANCE_LIMITS_ML,
    ONE_ML_UNRELIABLE_ML,
    REFUSED_ERROR_FRACTION,
    SILENT_ERROR_FRACTION,
    SYRINGE_SIZE_LIMITS_ML,
    SYRINGE_STEP_LIMITS_ML,
    TIP_MISFITS,
    TOLERANCE_FULL_LARGE,
    TOLERANCE_FULL_SMALL,
    TOLERANCE_LARGE_FROM_ML,
    TOLERANCE_OF_SIZE,
    TOLERANCE_OF_VOLUME_LARGE,
    TOLERANCE_OF_VOLUME_SMALL,
    USUAL_STEPS_ML,
)

Tip = Literal["enteral", "low-dose enteral", "catheter", "oral"]


def exact(value: float) -> Decimal:
    """The decimal a person wrote, from the float that carries it."""
    return Decimal(str(value))


class Syringe(Part):
    """One kind of syringe this household owns.

    Attributes:
        size_ml: What it holds at its last line [mL].
        step_ml: Distance between two lines [mL].
        numbered_every_ml: Distance between two numbers [mL].
        count: How many of them there are.
    """

    id: Id
    size_ml: Annotated[Number, within(SYRINGE_SIZE_LIMITS_ML, remedy="Read the last line of the syringe, in mL.")]
    step_ml: Annotated[Number, within(SYRINGE_STEP_LIMITS_ML, remedy="Look at two lines next to each other, in mL.")]
    numbered_every_ml: Annotated[
        Number, within(NUMBER_DISTANCE_LIMITS_ML, remedy="Look at two numbers of the syringe.")
    ]
    tip: Tip
    count: Annotated[int, Field(ge=1, le=100)] = 1

    @model_validator(mode="after")
    def _scale_fits(self) -> "Syringe":
        size, step, numbered = exact(self.size_ml), exact(self.step_ml), exact(self.numbered_every_ml)
        if size % step:
            raise refuse(
                BadPlan(
                    field="step_ml",
                    got=f"A syringe of {write_number(size)} mL with a line every {write_number(step)} mL",
                    allowed="a distance that divides the size evenly",
                    remedy="Count the lines between two numbers of the syringe.",
                )
            )
        if numbered % step or numbered > size:
            raise refuse(
                BadPlan(
                    field="numbered_every_ml",
                    got=f"A syringe of {write_number(size)} mL with lines every {write_number(step)} mL and a number "
                    f"every {write_number(numbered)} mL",
                    allowed="a whole number of lines from one number to the next, inside the syringe",
                    remedy="Count the lines between two numbers of the syringe.",
                )
            )
        return self

    @property
    def name(self) -> str:
        return f"{write_number(self.size_ml)} mL syringe"


@dataclass(frozen=True, kw_only=True, slots=True)
class Mark:
    """A line on one syringe to fill to.

    Attributes:
        exact: What was asked for.
        drawn: What the line stands for.
        error_fraction: How far the line is off, of what was asked for; above 0 when it is more.
        reading: Where to find the line, for a person with the syringe in hand.
        tolerance_ml: How far a syringe that keeps the standard may be off at this line [mL].
        cautions: What a person must be told with this mark.
    """

    syringe: Syringe
    exact: Volume
    drawn: Volume
    error_fraction: float
    reading: str
    tolerance_ml: float
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class ScaleLine:
    """One line of a syringe's scale, for the drawing."""

    ml: Decimal
    length: Literal["long", "middle", "short"]
    label: str | None
    height_fraction: float


def scale_lines(syringe: Syringe) -> tuple[ScaleLine, ...]:
    """Every line of the scale from 0 to full: long with a number, middle half way between, short else."""
    step = exact(syringe.step_ml)
    per_number = int(exact(syringe.numbered_every_ml) / step)
    lines = []
    for index in range(int(exact(syringe.size_ml) / step) + 1):
        ml = index * step
        length: Literal["long", "middle", "short"] = "short"
        if index % per_number == 0:
            length = "long"
        elif _has_middle(per_number) and index % per_number == per_number // 2:
            length = "middle"
        lines.append(
            ScaleLine(
                ml=ml,
                length=length,
                label=write_number(ml) if length == "long" else None,
                height_fraction=height_fraction(syringe=syringe, ml=ml),
            )
        )
    return tuple(lines)


def height_fraction(*, syringe: Syringe, ml: float | Decimal) -> float:
    """Where a volume stands between the first line (0) and the last (1).

    Raises:
        OutOfRange: the syringe does not hold it.
    """
    share = float(ml) / syringe.size_ml
    if not 0 <= share <= 1:
        raise OutOfRange(
            field="ml",
            got=f"{write_number(ml)} mL in a {syringe.name}",
            allowed=f"0 to {write_number(syringe.size_ml)} mL",
            remedy="Take a larger syringe or several fills.",
        )
    return share


def _has_middle(lines_per_number: int) -> bool:
    return lines_per_number >= 4 and lines_per_number % 2 == 0


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
    if _has_middle(per_number) and past >= per_number // 2:
        above = below + numbered
        middle = (
            f"the middle line between {write_number(below)} and {write_number(above)}"
            if above <= exact(syringe.size_ml)
            else f"the middle line after {write_number(below)}"  # the scale ends before the next number
        )
        past -= per_number // 2
        return middle if past == 0 else f"the {_ordinal(past)} small line after {middle}"
    return f"the {_ordinal(past)} small line after {write_number(below)}"


def tolerance_ml(*, volume_ml: float, size_ml: float) -> Explained[float]:
    """How far a syringe that keeps the standard may be off at a volume [mL either way].

    Source:
        syringe.tolerance_*
    """
    check_range(field="size_ml", value=size_ml, limits=SYRINGE_SIZE_LIMITS_ML)
    large = size_ml >= TOLERANCE_LARGE_FROM_ML.value
    if volume_ml >= size_ml / 2:
        share = TOLERANCE_FULL_LARGE if large else TOLERANCE_FULL_SMALL
        value = share.value * volume_ml
        return Explained(
            value=value,
            because=f"{share.value:.0%} of {write_number(volume_ml)} mL = {write_number(value)} mL either way",
            figures=(share,),
        )
    of_volume = TOLERANCE_OF_VOLUME_LARGE if large else TOLERANCE_OF_VOLUME_SMALL
    value = TOLERANCE_OF_SIZE.value * size_ml + of_volume.value * volume_ml
    return Explained(
        value=value,
        because=f"{TOLERANCE_OF_SIZE.value:.1%} of {write_number(size_ml)} mL + {of_volume.value:.0%} of "
        f"{write_number(volume_ml)} mL = {write_number(value)} mL either way",
        figures=(TOLERANCE_OF_SIZE, of_volume),
    )


def smallest_measurable_ml(
    *, size_ml: float, within_fraction: float = REFUSED_ERROR_FRACTION.value
) -> Explained[float]:
    """The smallest volume that a syringe keeping the standard measures closely enough [mL].

    Source:
        syringe.tolerance_*
    """
    check_range(field="size_ml", value=size_ml, limits=SYRINGE_SIZE_LIMITS_ML)
    of_volume = TOLERANCE_OF_VOLUME_LARGE if size_ml >= TOLERANCE_LARGE_FROM_ML.value else TOLERANCE_OF_VOLUME_SMALL
    if within_fraction <= of_volume.value:
        raise OutOfRange(
            field="within_fraction",
            got=f"An aim of {within_fraction:.1%}",
            allowed=f"more than {of_volume.value:.0%}",
            remedy="No syringe of this size is that exact.",
        )
    value = TOLERANCE_OF_SIZE.value * size_ml / (within_fraction - of_volume.value)
    return Explained(
        value=value,
        because=f"{TOLERANCE_OF_SIZE.value:.1%} × {write_number(size_ml)} mL ÷ ({within_fraction:.0%} − "
        f"{of_volume.value:.0%}) = {write_number(value)} mL",
        figures=(TOLERANCE_OF_SIZE, of_volume),
    )


def dead_space(*, size_ml: float) -> Explained[float]:
    """The most that a syringe keeping the standard holds back in its tip [mL].

    The marks leave it out, so that rinsing a syringe into the animal gives more than was drawn.

    Source:
        syringe.dead_space_*
    """
    check_range(field="size_ml", value=size_ml, limits=SYRINGE_SIZE_LIMITS_ML)
    row = DEAD_SPACE_ML[max(from_ml for from_ml in DEAD_SPACE_ML if from_ml <= size_ml)]
    return Explained(
        value=row.value,
        because=f"a syringe of {write_number(size_ml)} mL may keep {write_number(row.value)} mL",
        figures=(row,),
    )


def tip_misfit(*, tip: Tip, route: str) -> Fact | None:
    """Why a tip does not go with a route; None where nothing speaks against it.

    Source:
        syringe.misfit_* (common practice, no source)
    """
    return TIP_MISFITS.get((tip, route))


def usual_steps(*, size_ml: float) -> tuple[Figure, ...]:
    """The graduations that print names for a size, to offer when a syringe is described; none when print is silent."""
    return USUAL_STEPS_ML.get(size_ml, ())


def rounding_caution(*, error_fraction: float, asked: str, came: str) -> tuple[str, ...]:
    """What to say about a rounding, by how far it is off; nothing when it is close.

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
