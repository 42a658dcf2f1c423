"""What looks wrong about an order: beside print, beside the order before, in its form and words."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from fillmark.core.food.energy import Species
from fillmark.core.orders.amount_checks import about_amount, about_clocks, about_pieces, given_amount
from fillmark.core.orders.dose_text import Pieces, bare_amount, number_of, read_dose, unit_of
from fillmark.core.orders.dosing_days import amount_on, ordered_dose
from fillmark.core.orders.food_checks import about_food
from fillmark.core.orders.medicine import Medicine, read_strength
from fillmark.core.orders.name_checks import about_name, name_in_print
from fillmark.core.orders.print_checks import Dosing, about_strength, against_print
from fillmark.core.orders.slips import find_slip
from fillmark.core.orders.stages import doses_per_day, stages
from fillmark.core.tube.syringe import Syringe
from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.explain import Explained
from fillmark.core.values.finding import Finding, Weight
from fillmark.core.values.other_amounts import OtherAmount
from fillmark.core.values.quantities import Mass, write_number
from fillmark.core.values.wording import find_forbidden
from fillmark.core.values.words import say_date
from fillmark.published.medicine import (
    HAZARDOUS_TO_HANDLE,
    METOCLOPRAMIDE_BASE_FRACTION,
    NOT_SWAPPABLE,
    SLIP_CLOSENESS_FRACTION,
    WORKS_IN_THE_STOMACH,
    facts_about,
)
from fillmark.published.medicine_names import read_name
from fillmark.published.poisons import PROPYLENE_GLYCOL_CAT, XYLITOL_SUGAR_G_PER_KG


def check_order(
    medicine: Medicine,
    *,
    species: Species,
    weight_kg: float,
    meals_a_day: int = 0,
    syringes: Sequence[Syringe] = (),
    tube_kind: str | None = None,
    previous: Medicine | None = None,
) -> tuple[Finding, ...]:
    """Everything to ask about an order: against the one before, against print, and about this form in this animal.

    Args:
        medicine: The order.
        species: Dog or cat.
        weight_kg: The newest weight [kg].
        meals_a_day: Meals a day of the plan, for what is given with each of them; 0 where that is not said.
        syringes: What medicines are drawn with in this household.
        tube_kind: What tube it goes through.
        previous: The same medicine in the plan before, if any.
    Raises:
        NotStated: the dose hangs on something that is not stated.
    Source:
        dose.*, dose_by_weight.*, dose_cap.*, dose_interval.*, strength.*, medicine.* (names, slips, food, handling,
        forms, amounts), wording.*
    """
    findings = _against_previous(medicine, previous, weight_kg=weight_kg) if previous is not None else []
    findings += about_name(medicine, species=species, weight_kg=weight_kg)
    findings += about_strength(medicine, name=(name := name_in_print(medicine)))
    for stage in stages(medicine):
        findings += about_clocks(stage)
        if not _can_be_summed(stage.medicine):
            findings += about_pieces(stage)
            continue
        dose = ordered_dose(stage.medicine, weight_kg=weight_kg)
        if stage.step == 0:
            findings += _about_moved_weight(dose)
        given = given_amount(stage.medicine, dose.value, weight_kg=weight_kg, syringes=syringes)
        findings += about_amount(stage, dose.value, given=given, weight_kg=weight_kg)
        if not isinstance(dose.value, Mass) or not isinstance(given, Mass):
            continue
        dosing = Dosing(
            stage=stage,
            name=name,
            species=species.value,
            weight_kg=weight_kg,
            dose=dose.value,
            given=given,
            per_day=doses_per_day(stage.medicine, meals_a_day=meals_a_day),
        )
        findings += against_print(dosing)
    return (
        *findings,
        *_between_steps(medicine),
        *_before_the_first_day(medicine),
        *_about_handling(medicine),
        *_about_form(medicine, species=species, tube_kind=tube_kind),
        *about_food(medicine),
        *_about_words(medicine),
    )


def _about_moved_weight(dose: Explained[Mass | OtherAmount]) -> Iterator[Finding]:
    for text in dose.cautions:
        if "was ordered for" in text:
            yield Finding(code="weight-moved", weight=Weight.ASKED, field="dose", text=text, figures=dose.figures)


def _between_steps(medicine: Medicine) -> list[Finding]:
    """A step of a taper that a slip of the pen would have made out of the one before, or that lies before all."""
    doses = [read_dose(text, form=medicine.form) for text in (medicine.dose, *(step.dose for step in medicine.steps))]
    questions = list(_before_the_first_day(medicine))
    for number, (before, after) in enumerate(pairwise(doses), start=1):
        slip = find_slip(value=float(bare_amount(after)), reference=float(bare_amount(before)))
        if slip and type(before) is type(after) and unit_of(before) == unit_of(after):
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


def _before_the_first_day(medicine: Medicine) -> Iterator[Finding]:
    """A step that would have begun before the course did: its dose would be the first one given."""
    for number, step in enumerate(medicine.steps, start=1):
        if medicine.start_on is not None and step.from_on < medicine.start_on:
            yield Finding(
                code="step-before-start",
                weight=Weight.ASKED,
                field=f"steps[{number}].from_on",
                text=f"{medicine.name}, step {number}, is from {say_date(step.from_on)} on, before its first day, "
                f"{say_date(medicine.start_on)}. Check both days and their years.",
            )


def _can_be_summed(medicine: Medicine) -> bool:
    """Whether one dose comes to an amount: not where it is a count of pieces that nobody knows the content of."""
    counted = isinstance(amount_on(medicine), Pieces)
    return not counted or isinstance(read_strength(medicine), Mass | OtherAmount)


def _against_previous(medicine: Medicine, previous: Medicine, *, weight_kg: float) -> list[Finding]:
    questions = list(_steps_against_previous(medicine, previous))
    old, new = read_strength(previous), read_strength(medicine)
    if medicine.form != previous.form:
        swap = facts_about(medicine.name, NOT_SWAPPABLE)
        questions.append(
            Finding(
                code="form-changed",
                weight=Weight.NEEDS_VET,
                field="form",
                text=f"The form of {medicine.name} was {previous.form} and is now {medicine.form}"
                + (f": the same mg is not the same effect. {swap[0].says}" if swap else ".")
                + " Ask the vet for the dose of this form.",
                blocks=True,
                figures=swap,
            )
        )
    elif old != new:
        ratio = float(number_of(new) / number_of(old)) if old and new and unit_of(old) == unit_of(new) else None
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
    slip = find_slip(value=float(bare_amount(after)), reference=float(bare_amount(before)))
    if slip and unit_of(before) == unit_of(after):
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


def _steps_against_previous(medicine: Medicine, previous: Medicine) -> Iterator[Finding]:
    """Each step of a taper beside the one of its number in the order before."""
    for number, (step, last) in enumerate(zip(medicine.steps, previous.steps, strict=False), start=1):
        before, after = read_dose(last.dose, form=previous.form), read_dose(step.dose, form=medicine.form)
        if type(before) is not type(after) or unit_of(before) != unit_of(after):
            continue
        slip = find_slip(value=float(bare_amount(after)), reference=float(bare_amount(before)))
        if slip is not None:
            yield Finding(
                code="slip-from-last",
                weight=Weight.NEEDS_VET,
                field=f"steps[{number}].dose",
                text=f"{medicine.name}, step {number}, was {before} and is now {after}, {slip}. Ask the vet before "
                "giving it.",
                blocks=True,
                figures=(SLIP_CLOSENESS_FRACTION,),
            )


def _about_handling(medicine: Medicine) -> list[Finding]:
    """What harms the person who handles it, and what must not be crushed."""
    questions = []
    solid = medicine.form in ("tablet", "capsule")
    hazardous = facts_about(medicine.name, HAZARDOUS_TO_HANDLE)
    if hazardous:
        questions.append(
            Finding(
                code="hazardous",
                weight=Weight.NEEDS_VET if solid and medicine.route == "tube" else Weight.ASKED,
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
