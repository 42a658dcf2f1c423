"""A dose, its rhythm and its bottle beside what print says."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from fillmark.core.orders.dose_text import number_of
from fillmark.core.orders.medicine import Medicine, read_strength
from fillmark.core.orders.slips import LAST_DIGITS, TENFOLDS, find_slip_into_print, is_above, is_inside
from fillmark.core.orders.stages import OrderStage
from fillmark.core.values.finding import Finding, Weight
from fillmark.core.values.quantities import Mass, Strength, write_number
from fillmark.published import Band
from fillmark.published.dose_intervals import interval_for, strengths_for
from fillmark.published.dose_ranges import caps_for, printed_for_weight, ranges_for
from fillmark.published.medicine import (
    RANGES_FAR_APART,
    ROLLING_DAY_HOURS,
    SLIP_CLOSENESS_FRACTION,
    WEIGHT_ROUNDING_FRACTION,
)
from fillmark.published.syringe import REFUSED_ERROR_FRACTION

_PER_DAY = "mg/kg per day"


@dataclass(frozen=True, kw_only=True, slots=True)
class Dosing:
    """One dose of a stage, and all that print is asked with.

    Attributes:
        stage: The stage of the order.
        name: What its doses are looked up by.
        species: "dog" or "cat", as the tables say it.
        weight_kg: The newest weight [kg].
        dose: What was ordered for one giving.
        given: What the syringe or the tablets come to; what was ordered where that is not known.
        per_day: How many doses a day; None where nobody has said.
    """

    stage: OrderStage
    name: str
    species: str
    weight_kg: float
    dose: Mass
    given: Mass
    per_day: float | None

    def in_unit(self, mass: Mass, *, unit: str) -> float | None:
        """A mass of one dose in the unit of a printed number; None where that cannot be said.

        Args:
            mass: Of one dose.
            unit: As print has it.
        """
        mg = float(mass.mg)
        by_unit = {"mg per dose": mg, "mg/kg per dose": mg / self.weight_kg}
        if unit in by_unit:
            return by_unit[unit]
        if self.per_day is None:
            return None
        return mg * self.per_day / (self.weight_kg if unit == "mg/kg per day" else 1)


def against_print(dosing: Dosing) -> Iterator[Finding]:
    """Everything in print that this dose, given this often, disagrees with.

    Args:
        dosing: One dose of a stage of an order.
    Source:
        dose.*, dose_by_weight.*, dose_cap.*, dose_interval.*, medicine.weight_rounding, medicine.ranges_far_apart
    """
    bands = [
        (band, value)
        for band in ranges_for(name=dosing.name, species=dosing.species)
        if (value := dosing.in_unit(dosing.dose, unit=band.unit)) is not None
    ]
    broken = list(_broken(bands, is_at_most=dosing.stage.medicine.when_needed is not None))
    if broken:
        yield _outside(dosing, broken)
    else:
        yield from _far_apart(dosing, bands)
    yield from _too_often(dosing)
    yield from _against_weight_table(dosing)
    yield from _over_caps(dosing)


def _broken(bands: Sequence[tuple[Band, float]], *, is_at_most: bool) -> Iterator[tuple[Band, float]]:
    """The ranges of one dose where it is outside all of them, and those of a day likewise: neither hides the other."""
    for is_day in (False, True):
        group = [(band, value) for band, value in bands if (band.unit == _PER_DAY) is is_day]
        # what is given when needed may come to less in a day
        fits = (is_inside(value, band) or (is_day and is_at_most and value < band.low) for band, value in group)
        if not any(fits):
            yield from group


def _outside(dosing: Dosing, broken: Sequence[tuple[Band, float]]) -> Finding:
    shown = "; ".join(f"{write_number(value, digits=3)} against {_say_band(band)}" for band, value in broken)
    slips = [slip for band, value in broken if (slip := find_slip_into_print(value, band))]
    hint = f" This is {slips[0]}." if slips else ""
    purpose = dosing.stage.medicine.purpose
    what_for = f" It is meant for: {purpose}." if purpose else ""
    return Finding(
        code="outside-print",
        weight=Weight.ASKED,
        field=dosing.stage.field("dose"),
        text=f"{dosing.stage.label}, {dosing.dose}: outside what print says, {shown}.{hint}{what_for} Ask your vet.",
        figures=tuple(band for band, _ in broken),
    )


def _say_band(band: Band) -> str:
    return f"{write_number(band.low)} to {write_number(band.high)} {band.unit} ({band.source.title})"


def _far_apart(dosing: Dosing, bands: Sequence[tuple[Band, float]]) -> Iterator[Finding]:
    """Print so wide, or so far apart, that a point that moved would not be seen."""
    in_print = [moved for moved in (10, 0.1) if any(is_inside(value * moved, band) for band, value in bands)]
    # each range as a multiple of this dose, so that a range of a day and one of a dose can be held side by side
    ends = [end / value for band, value in bands for end in (band.low, band.high)]
    if not in_print and (not ends or max(ends) / min(ends) < RANGES_FAR_APART.value * (1 - LAST_DIGITS)):
        return
    shown = "; ".join(_say_band(band) for band, _ in bands)
    yield Finding(
        code="print-far-apart",
        weight=Weight.ASKED if in_print else Weight.SAID,
        field=dosing.stage.field("dose"),
        text=f"{dosing.stage.label}, {dosing.dose}: print has {shown}, ten times apart"
        + (
            ", so a point that moved would not be seen here. Read the point in the order once more, with the vet."
            if in_print
            else "."
        ),
        figures=(RANGES_FAR_APART, *(band for band, _ in bands)),
    )


def _too_often(dosing: Dosing) -> Iterator[Finding]:
    """More doses a day than any print has."""
    band = interval_for(name=dosing.name, species=dosing.species)
    if dosing.per_day is None or band is None or not is_above(dosing.per_day, ROLLING_DAY_HOURS.value / band.low):
        return
    most = f" to {write_number(band.high)}" if band.high > band.low else ""
    shown = f"every {write_number(band.low)}{most} hours ({band.source.title})"
    medicine = dosing.stage.medicine
    keys = ("every_hours", "times_per_day", "with_each_meal", "when_needed")
    yield Finding(
        code="too-often",
        weight=Weight.ASKED,
        field=dosing.stage.field(next(key for key in keys if getattr(medicine, key))),
        text=f"{dosing.stage.label}: {write_number(dosing.per_day, digits=3)} doses a day, when print gives it {shown}."
        " Ask your vet.",
        figures=(band,),
    )


def _against_weight_table(dosing: Dosing) -> Iterator[Finding]:
    """The dose against a printed table by weight, where there is one for this form."""
    medicine = dosing.stage.medicine
    row = printed_for_weight(name=dosing.name, species=dosing.species, form=medicine.form, weight_kg=dosing.weight_kg)
    value = dosing.in_unit(dosing.dose, unit=row.unit) if row else None
    if row is None or value is None:
        return
    off = REFUSED_ERROR_FRACTION.value
    if not (is_above(value, row.value * (1 + off)) or is_above(row.value * (1 - off), value)):
        return
    yield Finding(
        code="weight-table",
        weight=Weight.ASKED,
        field=dosing.stage.field("dose"),
        text=f"{dosing.stage.label}: {write_number(value, digits=3)} {row.unit}, when print gives "
        f"{write_number(row.value)} for {write_number(dosing.weight_kg)} kg ({row.source.title}). Ask your vet.",
        figures=(row,),
    )


def _over_caps(dosing: Dosing) -> Iterator[Finding]:
    """What was ordered, or what is really given, against the printed maximum."""
    for cap in caps_for(name=dosing.name, species=dosing.species):
        # a line on a syringe cannot stand closer to what was ordered than this
        rounded = cap.value * (1 + WEIGHT_ROUNDING_FRACTION.value)
        for mass, most, how in (
            (dosing.dose, cap.value, ""),
            (dosing.given, rounded, f" as it is given, {dosing.given}"),
        ):
            value = dosing.in_unit(mass, unit=cap.unit)
            if value is None or not is_above(value, most):
                continue
            yield Finding(
                code="over-printed-maximum",
                weight=Weight.NEEDS_VET,
                field=dosing.stage.field("dose"),
                text=f"{dosing.stage.label}{how}: {write_number(value, digits=3)} {cap.unit}, when print names "
                f"{write_number(cap.value)} as the most ({cap.source.title}). Ask your vet before giving it.",
                blocks=True,
                figures=(cap,),
            )
            break


def about_strength(medicine: Medicine, *, name: str) -> Iterator[Finding]:
    """A label whose strength is one in print with the point moved.

    Args:
        medicine: The order.
        name: What its strengths are looked up by.
    Source:
        strength.*, medicine.slip_closeness
    """
    strength = read_strength(medicine)
    unit = "mg/tablet" if medicine.form == "tablet" else "mg/mL"
    printed = strengths_for(name=name, unit=unit)
    if not isinstance(strength, Strength | Mass) or not printed:
        return
    close = SLIP_CLOSENESS_FRACTION.value
    ratios = [float(number_of(strength)) / figure.value for figure in printed]
    if any(abs(ratio - 1) <= close for ratio in ratios):
        return
    for figure, ratio in zip(printed, ratios, strict=True):
        for times, words, _ in TENFOLDS:
            for found, way in ((ratio / times, "as strong as"), (ratio * times, "weaker than")):
                if abs(found - 1) <= close:
                    in_print = f"the {write_number(figure.value)} {unit} in print ({figure.source.title})"
                    yield Finding(
                        code="strength-slip",
                        weight=Weight.ASKED,
                        field="strength",
                        text=f"{medicine.name}: {medicine.strength} is {words} {way} {in_print}. Read the label once "
                        "more.",
                        figures=(figure,),
                    )
                    return
