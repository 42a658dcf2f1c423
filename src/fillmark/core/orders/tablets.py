"""A dose in parts of tablets: what can be cut, and what must not be crushed."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from math import ceil

from fillmark.core.orders.dose_text import PIECE_NAMES, Pieces, bare_amount
from fillmark.core.orders.dosing_days import amount_on, ordered_dose
from fillmark.core.orders.medicine import Medicine, read_strength
from fillmark.core.tube.mark import rounding_caution
from fillmark.core.values.errors import CannotDraw, NotStated, WrongUnit
from fillmark.core.values.explain import Explained
from fillmark.core.values.other_amounts import OtherAmount, OtherStrength
from fillmark.core.values.quantities import Mass, Strength, write_number
from fillmark.published.syringe import REFUSED_ERROR_FRACTION, SILENT_ERROR_FRACTION


def no_strength(medicine: Medicine) -> NotStated:
    """The refusal of a medicine whose label nobody has read."""
    return NotStated(
        field="strength",
        got=f"{medicine.name} without a strength",
        allowed="the strength on the label",
        remedy="Read it on the bottle or the box; if it is not there, ask the vet or the pharmacy.",
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class TabletParts:
    """Whole and part tablets, or whole capsules, sachets, vials or drops, for one dose.

    Attributes:
        count: How many, such as 3/2.
        piece: What is counted: "tablet", "capsule", "sachet", "vial" or "drop".
        exact: The dose that was ordered, where it is a mass.
        given: The mass that these hold, where it is known.
        error_fraction: How far that is off; above 0 when it is more.
        reading: The same in words ("one and a half tablets").
        water_ml: Water to give it in [mL], where the order names it.
        cautions: What a person must be told with it.
    """

    count: Fraction
    piece: str
    exact: Mass | OtherAmount | None
    given: Mass | OtherAmount | None
    error_fraction: float
    reading: str
    water_ml: float | None = None
    cautions: tuple[str, ...] = ()


_WHOLE = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


_PART = {Fraction(1, 4): "a quarter", Fraction(1, 2): "a half", Fraction(3, 4): "three quarters"}


def _count_in_words(count: Fraction, piece: str) -> str:
    whole, rest = divmod(count, 1)
    if rest and not whole:
        return f"{'half' if rest == Fraction(1, 2) else _PART[rest] + ' of'} a {piece}"
    words = _WHOLE[whole] if whole < len(_WHOLE) else write_number(whole)
    return f"{words}{f' and {_PART[rest]}' if rest else ''} {piece}{'' if count == 1 else 's'}"


def tablet_parts(medicine: Medicine, *, weight_kg: float, on: date | None = None) -> Explained[TabletParts]:
    """How many tablets, halves or quarters one dose is; only parts that the score lines allow.

    Args:
        medicine: The order.
        weight_kg: Weight [kg].
        on: The household's day; none for the first dose.
    Raises:
        NotStated: the strength, or what the dose hangs on, is not stated.
        CannotDraw: the nearest count is further off than a dose may be, or the tablet would have to be crushed and
            may not be.
        WrongUnit: the medicine is drawn up, not counted.
    Source:
        the vet's order; syringe.silent_error, syringe.refused_error
    """
    piece = PIECE_NAMES.get(medicine.form)
    if piece is None:
        raise WrongUnit(
            field="form",
            got=f"{medicine.name}, a {medicine.form}, counted in pieces",
            allowed=", ".join(PIECE_NAMES),
            remedy="Draw it up in a syringe.",
        )
    if medicine.form in ("tablet", "capsule") and medicine.route == "tube" and medicine.crush != "allowed":
        _refuse_crushing(medicine)
    ordered = amount_on(medicine, on=on)
    water = (
        medicine.carrier_water_ml
        if medicine.route == "tube" and medicine.form in ("tablet", "capsule", "powder")
        else None
    )
    if isinstance(ordered, Pieces):
        return _whole_pieces(medicine, ordered, piece=piece, water_ml=water)
    return _nearest_parts(medicine, ordered_dose(medicine, weight_kg=weight_kg, on=on), piece=piece, water_ml=water)


def _whole_pieces(medicine: Medicine, ordered: Pieces, *, piece: str, water_ml: float | None) -> Explained[TabletParts]:
    count = Fraction(ordered.count)
    if count.denominator != 1:
        raise CannotDraw(
            field="dose",
            got=f"{medicine.name}: {ordered}",
            allowed=f"a whole number of {piece}s",
            remedy="Read the vet's order again.",
        )
    reading = _count_in_words(count, piece)
    return Explained(
        value=TabletParts(
            count=count, piece=piece, exact=None, given=None, error_fraction=0.0, reading=reading, water_ml=water_ml
        ),
        because=f"{medicine.name}: {ordered} as ordered",
    )


def _nearest_parts(
    medicine: Medicine, dose: Explained[Mass | OtherAmount], *, piece: str, water_ml: float | None
) -> Explained[TabletParts]:
    strength = _held_in_each(medicine, piece=piece)
    parts = medicine.tablet_parts if medicine.form == "tablet" else 1
    wanted = Fraction(bare_amount(dose.value)) / Fraction(bare_amount(strength))
    count = Fraction(ceil(wanted * parts - Fraction(1, 2)), parts)  # half way between two, the lower one
    error_fraction = float((count - wanted) / wanted)
    given = strength * (Decimal(count.numerator) / count.denominator)
    reading = _count_in_words(count, piece)
    cautions = rounding_caution(error_fraction=error_fraction, asked=str(dose.value), came=f"{given} in {reading}")
    if count.denominator != 1:
        cautions += ("Split it along its line just before it is given; halves are rarely equal.",)
    if water_ml is not None:
        cautions += ("Give all of it and rinse the cup: a part of it may hold too much or too little.",)
    return Explained(
        value=TabletParts(
            count=count,
            piece=piece,
            exact=dose.value,
            given=given,
            error_fraction=error_fraction,
            reading=reading,
            water_ml=water_ml,
            cautions=cautions,
        ),
        because=f"{dose.value} ÷ {strength} in each {piece} = {reading}"
        + (
            f" ({given}, {abs(error_fraction):.1%} {'more' if error_fraction > 0 else 'less'})"
            if error_fraction
            else ""
        ),
        figures=(SILENT_ERROR_FRACTION, REFUSED_ERROR_FRACTION),
        parts=(dose,),
        cautions=cautions,
    )


def _held_in_each(medicine: Medicine, *, piece: str) -> Mass | OtherAmount:
    strength = read_strength(medicine)
    if strength is None:
        raise no_strength(medicine)
    if isinstance(strength, Strength | OtherStrength):
        raise WrongUnit(
            field="strength",
            got=f"{medicine.name} of {strength}, counted in {piece}s",
            allowed=f"a mass in each {piece}, such as 5 mg/{piece}",
            remedy=f"Write what one {piece} holds, or order it as a liquid.",
        )
    return strength


def _refuse_crushing(medicine: Medicine) -> None:
    if medicine.crush == "not allowed":
        raise CannotDraw(
            field="crush",
            got=f"{medicine.name}, a {medicine.form} that must not be crushed or opened, through a tube",
            allowed="a liquid",
            remedy="Do not crush it. Ask the vet for a liquid, or for another medicine.",
        )
    raise NotStated(
        field="crush",
        got=f"{medicine.name}, a {medicine.form} through a tube, with no word on crushing or opening it",
        allowed='crush = "allowed" or "not allowed"',
        remedy="Do not crush it. Ask the vet or the pharmacy first.",
    )
