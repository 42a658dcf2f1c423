"""What looks wrong about an order: beside print, beside the order before, in its form and words."""

from itertools import pairwise

from fillmark.core.food.energy import Species
from fillmark.core.orders.dose_text import Pieces, bare_amount, read_dose
from fillmark.core.orders.dosing_days import ordered_dose
from fillmark.core.orders.medicine import Medicine, interval_hours, read_strength
from fillmark.core.orders.name_checks import about_name, name_in_print
from fillmark.core.orders.slips import LAST_DIGITS, find_slip, find_slip_into_print, is_inside
from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.finding import Finding, Weight
from fillmark.core.values.quantities import Mass, Strength, write_number
from fillmark.core.values.wording import find_forbidden
from fillmark.published import Band, Figure
from fillmark.published.dose_ranges import caps_for, printed_for_weight, ranges_for
from fillmark.published.medicine import (
    EMPTY_AFTER_MINUTES,
    EMPTY_BEFORE_MINUTES,
    HAZARDOUS_TO_HANDLE,
    METOCLOPRAMIDE_BASE_FRACTION,
    MINUTES_BEFORE_FOOD,
    NOT_SWAPPABLE,
    ROLLING_DAY_HOURS,
    SLIP_CLOSENESS_FRACTION,
    WORKS_IN_THE_STOMACH,
    facts_about,
)
from fillmark.published.medicine_names import read_name
from fillmark.published.poisons import PROPYLENE_GLYCOL_CAT, XYLITOL_SUGAR_G_PER_KG
from fillmark.published.syringe import REFUSED_ERROR_FRACTION


def check_order(
    medicine: Medicine,
    *,
    species: Species,
    weight_kg: float,
    tube_kind: str | None = None,
    previous: Medicine | None = None,
) -> tuple[Finding, ...]:
    """Everything to ask about an order: against the one before, against print, and about this form in this animal.

    Args:
        medicine: The order.
        species: Dog or cat.
        weight_kg: The newest weight [kg].
        tube_kind: What tube it goes through.
        previous: The same medicine in the plan before, if any.
    Raises:
        NotStated: the dose hangs on something that is not stated.
    Source:
        dose.*, dose_by_weight.*, dose_cap.*, medicine.* (slips, food, handling, forms), wording.*
    """
    questions = _against_previous(medicine, previous, weight_kg=weight_kg) if previous is not None else []
    questions += about_name(medicine, species=species, weight_kg=weight_kg)
    if _has_mass(medicine):
        dose = ordered_dose(medicine, weight_kg=weight_kg)
        questions += [
            Finding(code="weight-moved", weight=Weight.ASKED, field="dose", text=text, figures=dose.figures)
            for text in dose.cautions
            if "was ordered for" in text
        ]
        questions += _against_print(medicine, dose.value, species=species, weight_kg=weight_kg)
    questions += _between_steps(medicine)
    questions += _about_handling(medicine)
    questions += _about_form(medicine, species=species, tube_kind=tube_kind)
    questions += _about_food(medicine)
    questions += _about_words(medicine)
    return tuple(questions)


def _between_steps(medicine: Medicine) -> list[Finding]:
    """A step of a taper that a slip of the pen would have made out of the one before."""
    doses = [read_dose(text, form=medicine.form) for text in (medicine.dose, *(step.dose for step in medicine.steps))]
    questions = []
    for number, (before, after) in enumerate(pairwise(doses), start=1):
        slip = find_slip(value=float(bare_amount(after)), reference=float(bare_amount(before)))
        if slip and type(before) is type(after):
            questions.append(
                Finding(
                    code="slip-between-steps",
                    weight=Weight.ASKED,
                    field=f"steps[{number}].dose",
                    text=f"{medicine.name} goes from {before} to {after}, {slip}. Ask the vet whether this is meant.",
                    figures=(SLIP_CLOSENESS_FRACTION,),
                )
            )
    return questions


def _has_mass(medicine: Medicine) -> bool:
    counted = isinstance(read_dose(medicine.dose, form=medicine.form), Pieces)
    return not counted or isinstance(read_strength(medicine), Mass)


def _against_previous(medicine: Medicine, previous: Medicine, *, weight_kg: float) -> list[Finding]:
    questions: list[Finding] = []
    old, new = read_strength(previous), read_strength(medicine)
    if medicine.form != previous.form:
        swap = facts_about(medicine.name, NOT_SWAPPABLE)
        questions.append(
            Finding(
                code="form-changed",
                weight=Weight.NEEDS_VET,
                field="form",
                text=f"{medicine.name} was a {previous.form} and is now a {medicine.form}"
                + (f": the same mg is not the same effect. {swap[0].says}" if swap else ".")
                + " Ask the vet for the dose of this form.",
                blocks=True,
                figures=swap,
            )
        )
    elif old != new:
        ratio = mg_of(new) / mg_of(old) if old and new else None
        questions.append(
            Finding(
                code="strength-changed",
                weight=Weight.ASKED,
                field="strength",
                text=f"{medicine.name} was {previous.strength or 'of unknown strength'} and is now "
                f"{medicine.strength or 'of unknown strength'}"
                + (f": the old amount would be {write_number(ratio, digits=3)} times the dose." if ratio else ".")
                + " Read the label again with a second person.",
                blocks=True,
            )
        )
    if medicine.counts_as != previous.counts_as:
        questions.append(
            Finding(
                code="salt-changed",
                weight=Weight.NEEDS_VET,
                field="counts_as",
                text=f"The mg of {medicine.name} counted {previous.counts_as or 'something not stated'} and now count "
                f"{medicine.counts_as or 'something not stated'}. Ask the vet for the dose in these mg.",
                blocks=True,
            )
        )
    try:
        before = ordered_dose(previous, weight_kg=weight_kg).value
        after = ordered_dose(medicine, weight_kg=weight_kg).value
    except FillmarkError:
        return questions
    slip = find_slip(value=float(after.mg), reference=float(before.mg))
    if slip:
        questions.append(
            Finding(
                code="slip-from-last",
                weight=Weight.NEEDS_VET,
                field="dose",
                text=f"{medicine.name} was {before} and is now {after}, {slip}. Ask the vet before giving it.",
                blocks=True,
                figures=(SLIP_CLOSENESS_FRACTION,),
            )
        )
    return questions


def mg_of(strength: Strength | Mass) -> float:
    """Milligrams in a milliliter or in a piece, for a comparison with print."""
    return float(strength.mg_per_ml if isinstance(strength, Strength) else strength.mg)


def _in_unit(mg: float, *, unit: str, weight_kg: float, per_day: float | None) -> float | None:
    """A dose in the unit of a printed number; None when it cannot be put in it."""
    if unit == "mg per dose":
        return mg
    if unit == "mg/kg per dose":
        return mg / weight_kg
    return mg * per_day / weight_kg if per_day is not None else None


def doses_per_day(medicine: Medicine) -> float | None:
    """How many doses a day an order comes to at most; None when it says nothing."""
    if medicine.when_needed is not None:
        return medicine.when_needed.max_per_day
    hours = interval_hours(medicine)
    return ROLLING_DAY_HOURS.value / hours if hours else None


def _against_print(medicine: Medicine, dose: Mass, *, species: Species, weight_kg: float) -> list[Finding]:
    per_day = doses_per_day(medicine)
    questions = []
    compared: list[tuple[Band, float]] = []
    for band in ranges_for(name=name_in_print(medicine), species=species.value):
        value = _in_unit(float(dose.mg), unit=band.unit, weight_kg=weight_kg, per_day=per_day)
        if value is not None:
            compared.append((band, value))
    if compared and not any(is_inside(value, band) for band, value in compared):
        shown = "; ".join(
            f"{write_number(value, digits=3)} against {write_number(band.low)} to {write_number(band.high)} "
            f"{band.unit} ({band.source.title})"
            for band, value in compared
        )
        slips = [slip for band, value in compared if (slip := find_slip_into_print(value, band))]
        hint = f" This is {slips[0]}." if slips else ""
        what_for = f" It is meant for: {medicine.purpose}." if medicine.purpose else ""
        questions.append(
            Finding(
                code="outside-print",
                weight=Weight.ASKED,
                field="dose",
                text=f"{medicine.name}, {dose}: outside what print says, {shown}.{hint}{what_for} Ask your vet.",
                figures=tuple(band for band, _ in compared),
            )
        )
    questions += _against_weight_table(medicine, dose, species=species, weight_kg=weight_kg, per_day=per_day)
    questions += _over_caps(medicine, dose, species=species, weight_kg=weight_kg, per_day=per_day)
    return questions


def _against_weight_table(
    medicine: Medicine, dose: Mass, *, species: Species, weight_kg: float, per_day: float | None
) -> list[Finding]:
    """The dose against a printed table by weight, where there is one for this form."""
    row = printed_for_weight(
        name=name_in_print(medicine), species=species.value, form=medicine.form, weight_kg=weight_kg
    )
    if row is None:
        return []
    value = float(dose.mg)
    if row.unit == "mg per day":
        if per_day is None:
            return []
        value *= per_day
    if abs(value / row.value - 1) <= REFUSED_ERROR_FRACTION.value + LAST_DIGITS:
        return []
    return [
        Finding(
            code="weight-table",
            weight=Weight.ASKED,
            field="dose",
            text=f"{medicine.name}: {write_number(value, digits=3)} {row.unit}, when print gives "
            f"{write_number(row.value)} for {write_number(weight_kg)} kg ({row.source.title}). Ask your vet.",
            figures=(row,),
        )
    ]


def _over_caps(
    medicine: Medicine, dose: Mass, *, species: Species, weight_kg: float, per_day: float | None
) -> list[Finding]:
    questions = []
    caps: tuple[Figure, ...] = caps_for(name=name_in_print(medicine), species=species.value)
    for cap in caps:
        value = _in_unit(float(dose.mg), unit=cap.unit, weight_kg=weight_kg, per_day=per_day)
        if value is not None and value > cap.value * (1 + LAST_DIGITS):
            questions.append(
                Finding(
                    code="over-printed-maximum",
                    weight=Weight.NEEDS_VET,
                    field="dose",
                    text=f"{medicine.name}: {write_number(value, digits=3)} {cap.unit}, when print names "
                    f"{write_number(cap.value)} as the most ({cap.source.title}). Ask your vet before giving it.",
                    blocks=True,
                    figures=(cap,),
                )
            )
    return questions


def _about_handling(medicine: Medicine) -> list[Finding]:
    """What harms the person who handles it, and what must not be crushed."""
    questions = []
    solid = medicine.form in ("tablet", "capsule")
    hazardous = facts_about(medicine.name, HAZARDOUS_TO_HANDLE)
    if hazardous:
        questions.append(
            Finding(
                code="hazardous",
                weight=Weight.ASKED,
                field="name",
                text=f"{medicine.name} can harm the people who handle it: gloves, and never crush or open it at home. "
                "Ask the vet or the pharmacy how to give it.",
                blocks=solid and medicine.route == "tube",
                figures=hazardous,
            )
        )
    if solid and medicine.route == "tube" and medicine.crush != "allowed":
        questions.append(
            Finding(
                code="crush",
                weight=Weight.NEEDS_VET,
                field="crush",
                text=f"{medicine.name} must not be crushed or opened. Ask the vet for a liquid."
                if medicine.crush == "not allowed"
                else f"May {medicine.name} be crushed or opened? Some then work all at once, or not at all. Ask.",
                blocks=True,
            )
        )
    return questions


def _about_form(medicine: Medicine, *, species: Species, tube_kind: str | None) -> list[Finding]:
    questions = []
    if medicine.route == "tube" and tube_kind == "jejunostomy":
        acts = facts_about(medicine.name, WORKS_IN_THE_STOMACH)
        questions.append(
            Finding(
                code="jejunum",
                weight=Weight.NEEDS_VET if acts else Weight.ASKED,
                field="route",
                text=f"This tube ends in the gut below the stomach, and {medicine.name} "
                + ("needs the stomach." if acts else "may work differently there.")
                + " Ask the vet.",
                blocks=bool(acts),
                figures=acts,
            )
        )
    if medicine.form in ("liquid", "drops", "powder") and medicine.route in ("tube", "mouth"):
        questions.append(
            Finding(
                code="excipients",
                weight=Weight.OPEN,
                field="form",
                text=f"Read the label of {medicine.name}: does it hold xylitol? No amount of it is known to be "
                "harmless to a dog."
                if species is Species.DOG
                else f"Read the label of {medicine.name}: does it hold propylene glycol or alcohol? Ask the vet before "
                "giving those to a cat.",
                figures=(XYLITOL_SUGAR_G_PER_KG,) if species is Species.DOG else (PROPYLENE_GLYCOL_CAT,),
            )
        )
    if "metoclopramide" in read_name(medicine.name).parts and medicine.counts_as is None:
        questions.append(
            Finding(
                code="salt-or-base",
                weight=Weight.OPEN,
                field="counts_as",
                text=f"Do the mg of {medicine.name} count the hydrochloride or the base? They differ by a tenth.",
                figures=(METOCLOPRAMIDE_BASE_FRACTION,),
            )
        )
    return questions


def _about_food(medicine: Medicine) -> list[Finding]:
    """The time from a medicine to food, against print."""
    food, parts = medicine.food, read_name(medicine.name).parts
    printed = next((figure for drug, figure in MINUTES_BEFORE_FOOD.items() if drug in parts), None)
    if printed is not None and food.relation in ("with", "any"):
        said = "with food" if food.relation == "with" else "nothing about food"
        return [
            Finding(
                code="food-timing",
                weight=Weight.ASKED,
                field="food",
                text=f"Print gives {medicine.name} about {write_number(printed.value)} {printed.unit}; the order says "
                f"{said}. Ask the vet.",
                figures=(printed,),
            )
        ]
    if food.relation != "empty stomach" or food.minutes is None:
        return []
    if food.after_minutes is None:
        text = (
            f"How long after food may {medicine.name} be given? Its order says how long before, and not how long after."
        )
    elif food.minutes < EMPTY_BEFORE_MINUTES.low or food.after_minutes < EMPTY_AFTER_MINUTES.low:
        text = (
            f"{medicine.name}: {write_number(food.minutes)} minutes before and {write_number(food.after_minutes)} "
            f"minutes after food, when the shortest in print is {write_number(EMPTY_BEFORE_MINUTES.low)} and "
            f"{write_number(EMPTY_AFTER_MINUTES.low)}. Ask the vet."
        )
    else:
        return []
    return [
        Finding(
            code="empty-stomach",
            weight=Weight.ASKED,
            field="food",
            text=text,
            figures=(EMPTY_BEFORE_MINUTES, EMPTY_AFTER_MINUTES),
        )
    ]


def _about_words(medicine: Medicine) -> list[Finding]:
    """Forms in the order's own words that are misread."""
    said = (
        medicine.purpose,
        medicine.missed_dose_words,
        medicine.held,
        medicine.words,
        medicine.when_needed and medicine.when_needed.reason,
    )
    found = {place.words: place for words in said if words for place in find_forbidden(words)}
    return [
        Finding(
            code="misread-words",
            weight=Weight.ASKED,
            field="words",
            text=f'The order of {medicine.name} says "{place.words}", which can be misread. {place.form.says} '
            "Ask the vet what is meant.",
            figures=(place.form,),
        )
        for place in found.values()
    ]
