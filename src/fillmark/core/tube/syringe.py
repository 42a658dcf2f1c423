"""A syringe: its scale, its tip, and how exactly it can be read."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field, model_validator

from fillmark.core.values.document import Id, Number, Part, refuse, within
from fillmark.core.values.errors import BadPlan, OutOfRange
from fillmark.core.values.explain import Explained
from fillmark.core.values.limits import check_range
from fillmark.core.values.quantities import Volume, write_number
from fillmark.published import Fact
from fillmark.published.syringe import (
    DEAD_SPACE_ML,
    NUMBER_DISTANCE_LIMITS_ML,
    REFUSED_ERROR_FRACTION,
    SYRINGE_SIZE_LIMITS_ML,
    SYRINGE_STEP_LIMITS_ML,
    TIP_MISFITS,
    TOLERANCE_FULL_LARGE,
    TOLERANCE_FULL_SMALL,
    TOLERANCE_LARGE_FROM_ML,
    TOLERANCE_OF_SIZE,
    TOLERANCE_OF_VOLUME_LARGE,
    TOLERANCE_OF_VOLUME_SMALL,
)

Tip = Literal["enteral", "low-dose enteral", "catheter", "oral", "luer"]


def exact(value: float) -> Decimal:
    """The decimal a person wrote, from the float that carries it."""
    return Decimal(str(value))


class Syringe(Part):
    """One kind of syringe this household owns.

    Attributes:
        id: A short handle. The program makes it from the name.
        size_ml: Holds, at its last line.
        step_ml: From one line to the next. Count the lines between two numbers.
        numbered_every_ml: From one number to the next.
        tip: Tip. What it fits on.
        count: How many of them.
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
        """Its size, in words."""
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
        elif has_middle_line(per_number) and index % per_number == per_number // 2:
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

    Args:
        syringe: The syringe.
        ml: The volume [mL].
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


def has_middle_line(lines_per_number: int) -> bool:
    """Whether a line halfway between two numbers is drawn longer."""
    return lines_per_number >= 4 and lines_per_number % 2 == 0


def tolerance_ml(*, volume_ml: float, size_ml: float) -> Explained[float]:
    """How far a syringe that keeps the standard may be off at a volume [mL either way].

    Args:
        volume_ml: What is drawn up [mL].
        size_ml: What the syringe holds [mL].
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

    Args:
        size_ml: What the syringe holds [mL].
        within_fraction: How far off a dose may be [fraction of it].
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

    Args:
        tip: The syringe's tip.
        route: The medicine's route.
    Source:
        syringe.misfit_* (common practice, no source)
    """
    return TIP_MISFITS.get((tip, route))
