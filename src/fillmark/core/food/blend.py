"""What does this mix hold? Energy per mL comes from the measured volume or weight of the batch."""

from collections.abc import Sequence
from dataclasses import dataclass

from fillmark.core.food.food import density
from fillmark.core.values.errors import OutOfRange
from fillmark.core.values.explain import Explained
from fillmark.core.values.limits import check_at_least, check_range
from fillmark.core.values.quantities import write_number, write_sum
from fillmark.published.blend import DENSITY_LIMITS_KCAL_PER_ML, MEASURE_GAP_FRACTION, VOLUME_LIMITS_ML

PREDICTED = "Predicted, not measured: pour the finished blend into a measuring jug and enter what it shows."


@dataclass(frozen=True, kw_only=True, slots=True)
class MeasuredVolume:
    """The finished batch as it stood in a measuring jug [mL]."""

    ml: float


@dataclass(frozen=True, kw_only=True, slots=True)
class MeasuredWeight:
    """The finished batch on the scale [g], and a sample of it: its volume [mL] and its net weight [g]."""

    batch_g: float
    sample_ml: float
    sample_g: float


@dataclass(frozen=True, kw_only=True, slots=True)
class PredictedVolume:
    """The volumes that went in [mL]: food and water. Used only until the batch is measured."""

    food_ml: float
    water_ml: float


BlendVolume = MeasuredVolume | MeasuredWeight | PredictedVolume
"""How the volume of a batch is known."""


def blend_volume(volume: BlendVolume) -> Explained[float]:
    """Volume of the finished batch [mL]; a prediction says that it is one.

    Raises:
        OutOfRange: nothing was mixed, or the volume can only be a slip.
    Source:
        arithmetic only
    """
    match volume:
        case MeasuredVolume(ml=ml):
            explained = Explained(value=ml, because=f"measured: {write_number(ml)} mL")
        case MeasuredWeight(batch_g=batch_g, sample_ml=sample_ml, sample_g=sample_g):
            sample = density(weighed_g=sample_g, measured_ml=sample_ml)
            ml = batch_g / sample.value
            explained = Explained(
                value=ml,
                because=f"weighed: {write_number(batch_g)} g ÷ {write_number(sample.value)} g/mL = {ml:,.0f} mL",
                parts=(sample,),
            )
        case PredictedVolume(food_ml=food_ml, water_ml=water_ml):
            for field, value in (("food_ml", food_ml), ("water_ml", water_ml)):
                check_range(field=field, value=value, limits=VOLUME_LIMITS_ML)
            ml, written = food_ml + water_ml, write_sum([food_ml, water_ml])
            explained = Explained(
                value=ml,
                because=f"predicted: {written.parts[0]} mL food + {written.parts[1]} mL water = {written.total} mL",
                cautions=(PREDICTED,),
            )
    check_range(field="blend_ml", value=explained.value, limits=VOLUME_LIMITS_ML)
    if explained.value == 0:
        raise OutOfRange(
            field="blend_ml",
            got="A blend of 0 mL",
            allowed="more than 0 mL",
            remedy="Enter what the measuring jug shows for the finished blend.",
        )
    return explained


def blend_energy(*, kcal: float, volume: BlendVolume) -> Explained[float]:
    """Energy in each mL of the finished blend [kcal/mL].

    Args:
        kcal: Energy of all food that went into the batch [kcal].
        volume: How much the batch came to, measured, or predicted until it is.
    Raises:
        OutOfRange: no blend holds that much or that little.
    Source:
        arithmetic only
    """
    check_at_least(field="kcal", value=kcal, least=0, unit="kcal", remedy="Check the label and the number of cans.")
    batch = blend_volume(volume)
    kcal_per_ml = check_range(
        field="blend energy",
        value=kcal / batch.value,
        limits=DENSITY_LIMITS_KCAL_PER_ML,
        remedy="Check the number of cans, the label's unit and the measured volume.",
    )
    return Explained(
        value=kcal_per_ml,
        because=f"{write_number(kcal)} kcal ÷ {write_number(batch.value)} mL = "
        f"{write_number(kcal_per_ml, digits=3)} kcal/mL",
        parts=(batch,),
    )


def daily_blend_volume(*, kcal_per_day: float, kcal_per_ml: float) -> Explained[float]:
    """Blend that holds the day's energy [mL/day].

    Args:
        kcal_per_day: The day's energy [kcal/day].
        kcal_per_ml: Energy of the blend [kcal/mL].
    Source:
        arithmetic only
    """
    check_at_least(field="kcal_per_day", value=kcal_per_day, least=0, unit="kcal", remedy="Check the energy goal.")
    check_range(field="kcal_per_ml", value=kcal_per_ml, limits=DENSITY_LIMITS_KCAL_PER_ML)
    ml = kcal_per_day / kcal_per_ml
    return Explained(
        value=ml,
        because=f"{write_number(kcal_per_day)} kcal/day ÷ {write_number(kcal_per_ml)} kcal/mL = {ml:,.0f} mL/day",
    )


def energy_given(*, blend_ml: float, kcal_per_ml: float) -> Explained[float]:
    """Energy that this much blend carries [kcal].

    Args:
        blend_ml: Volume of blend [mL].
        kcal_per_ml: Energy of the blend [kcal/mL].
    Source:
        arithmetic only
    """
    check_range(field="blend_ml", value=blend_ml, limits=VOLUME_LIMITS_ML)
    check_range(field="kcal_per_ml", value=kcal_per_ml, limits=DENSITY_LIMITS_KCAL_PER_ML)
    kcal = blend_ml * kcal_per_ml
    return Explained(
        value=kcal,
        because=f"{write_number(blend_ml)} mL × {write_number(kcal_per_ml)} kcal/mL = {kcal:,.0f} kcal",
    )


def explain_shortfall(*, needed_kcal: float, blend_ml: float, kcal_per_ml: float) -> Explained[float]:
    """What today's syringes leave out of the energy goal, 0 or more [kcal/day], in words for a tired person.

    Args:
        needed_kcal: The vet's energy goal [kcal/day].
        blend_ml: All blend given in the day [mL].
        kcal_per_ml: Energy of this blend [kcal/mL].
    Source:
        arithmetic only
    """
    given = energy_given(blend_ml=blend_ml, kcal_per_ml=kcal_per_ml)
    short = max(0.0, needed_kcal - given.value)
    if short < 0.5:
        return Explained(
            value=short,
            because=f"the syringes carry {given.value:,.0f} of {needed_kcal:,.0f} kcal",
            parts=(given,),
        )
    return Explained(
        value=short,
        because=f"the syringes carry {given.value:,.0f} of {needed_kcal:,.0f} kcal: {short:,.0f} kcal are missing",
        parts=(given,),
        cautions=(
            f"Every syringe was full, and {short / needed_kcal:.0%} of the energy is still missing: "
            "this mix is thinner than the plan.",
        ),
    )


def check_against_prediction(*, came_out: float, went_in: float, unit: str) -> Explained[float]:
    """How far a measured or weighed batch lies from what went in [fraction of it]; a big gap is asked about.

    Args:
        came_out: What the jug or the scale showed [mL or g].
        went_in: Food and water together [the same].
        unit: "mL" or "g".
    Raises:
        OutOfRange: nothing went in.
    Source:
        blend.measure_gap
    """
    check_at_least(field="went_in", value=went_in, least=0.1, unit=unit, remedy="Check the foods of the blend.")
    gap = came_out / went_in - 1
    asks = abs(gap) > MEASURE_GAP_FRACTION.value
    return Explained(
        value=gap,
        because=f"{came_out:,.0f} {unit} came out, {went_in:,.0f} {unit} went in: {gap:+.0%}",
        figures=(MEASURE_GAP_FRACTION,),
        cautions=("More than a tenth apart: air in the blend, a spill, or a miscounted can? Measure again.",)
        if asks
        else (),
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class FoodInBlend:
    """One food that went into a batch: its energy [kcal] and the water already in it [mL]."""

    name: str
    kcal: float
    water_ml: float = 0.0


def batch_totals(foods: Sequence[FoodInBlend], *, added_water_ml: float) -> Explained[tuple[float, float]]:
    """Energy [kcal] and water [mL] of a whole batch.

    Args:
        foods: What goes in, water apart.
        added_water_ml: Water stirred in [mL].
    Source:
        arithmetic only
    """
    check_range(field="added_water_ml", value=added_water_ml, limits=VOLUME_LIMITS_ML)
    for food in foods:
        check_at_least(field=f"{food.name} energy", value=food.kcal, least=0, unit="kcal", remedy="Check the label.")
        check_at_least(field=f"{food.name} water", value=food.water_ml, least=0, unit="mL", remedy="Check the label.")
    kcal = sum(food.kcal for food in foods)
    water_ml = sum(food.water_ml for food in foods) + added_water_ml
    written = write_sum([food.kcal for food in foods], is_whole=True)
    each = zip(foods, written.parts, strict=True)
    names = " + ".join(f"{food.name} {shown} kcal" for food, shown in each) or "no food"
    return Explained(
        value=(kcal, water_ml),
        because=f"{names} = {written.total} kcal, with {water_ml:,.0f} mL water in all",
    )
