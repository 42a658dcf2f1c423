"""The gate of a plan: everything that speaks against it, found in one place before it may hold."""

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from fillmark.core.day.plan_day import plan_day
from fillmark.core.day.questions import open_questions
from fillmark.core.day.values import DayPlan
from fillmark.core.gates.about_a_change import check_animal_is_meant, check_change, check_energy_slip, find_previous
from fillmark.core.gates.about_courses import check_courses
from fillmark.core.gates.about_feeding import check_feeding
from fillmark.core.gates.about_the_animal import check_animal, check_own_numbers, check_recheck
from fillmark.core.gates.about_the_end import check_end
from fillmark.core.gates.about_the_tube import check_tube
from fillmark.core.gates.about_times import check_times
from fillmark.core.gates.about_two_orders import check_substances
from fillmark.core.gates.changeover import Changeover, check_changeover
from fillmark.core.orders.medicine import Medicine
from fillmark.core.plan.care_plan import FORMAT, CarePlan
from fillmark.core.plan.order_findings import check_order_of
from fillmark.core.plan.vet import VetAnswer, find_answer
from fillmark.core.values.document import read_document
from fillmark.core.values.errors import BadPlan, FillmarkError, NotStated
from fillmark.core.values.finding import Finding, Weight
from fillmark.core.values.words import say_date

_HEAVIEST_FIRST = tuple(Weight)


@dataclass(frozen=True, kw_only=True, slots=True)
class PlanFindings:
    """What the gate found about a plan.

    Attributes:
        findings: Everything, the heaviest first.
        day: The day on which it would begin to hold; none where it cannot be worked out.
        fault: Why it cannot; none where it can.
    """

    findings: tuple[Finding, ...]
    day: DayPlan | None
    fault: FillmarkError | None = None

    def of(self, weight: Weight) -> tuple[Finding, ...]:
        """Those of one weight."""
        return tuple(finding for finding in self.findings if finding.weight is weight)


def check_plan(
    plan: CarePlan,
    *,
    on: date,
    old: CarePlan | None = None,
    animal_name: str | None = None,
    others: Sequence[str] = (),
    changeover: Changeover | None = None,
) -> PlanFindings:
    """Everything known that speaks against a plan, each thing once, the heaviest first.

    What needs a word of the vet and has one in the plan is said, with that word. What was asked of the version before
    just so stays open, and is not asked again.

    Args:
        plan: The plan.
        on: The household's day on which it would begin to hold.
        old: The version it takes the place of; none for the first.
        animal_name: The animal it is taken in for; none for one of the plan's own name.
        others: The animals of the household, where the plan is for a new one.
        changeover: Where it meets the version before; none where that is not known yet, or shown beside each choice.
    Source:
        those of the checks
    """
    day, fault, found = _find(plan, on=on, old=old)
    named = animal_name or (plan.animal.name if old else None)
    first = list(check_animal_is_meant(plan, animal_name=named, others=others))
    if old is not None:
        old_day, _, before = _find(old, on=on, old=None)
        was_there = {(one.key, one.text) for one in before}
        found = [
            replace(one, weight=Weight.OPEN) if _is_asked(one) and (one.key, one.text) in was_there else one
            for one in found
        ]
        first += [*check_change(plan, old), *check_tube(plan, old)]
        if day is not None and old_day is not None:
            first += check_energy_slip(day, old_day)
    first += check_end(plan, on=on, old=old)
    first += check_changeover(plan, changeover) if changeover is not None else ()
    found = [*first, *found]
    answers = (*plan.vet.answers, *(old.vet.answers if old is not None else ()))
    answered = [_with_vets_word(answers, one) for one in found]
    once = {(one.key, one.text): one for one in answered}
    ordered = sorted(once.values(), key=lambda one: _HEAVIEST_FIRST.index(one.weight))
    return PlanFindings(findings=tuple(ordered), day=day, fault=fault)


def hold_back(found: PlanFindings, *, meant: Collection[str], vet_words: Mapping[str, str]) -> None:
    """Refuse a plan that something speaks against and nobody has answered.

    Args:
        found: What `check_plan` found about the plan as it would hold.
        meant: The keys of what was asked, and is meant so.
        vet_words: What the vet said about what needs it, by its key.
    Raises:
        FillmarkError: why it cannot be worked out.
        BadPlan: it contradicts itself, or the animal belongs into a hospital.
        NotStated: something needs a word of the vet, or looks wrong and nobody has said that it is meant.
    """
    if found.fault is not None:
        raise found.fault
    refused = found.of(Weight.REFUSED)
    if refused:
        raise BadPlan(
            field=refused[0].field,
            got="A plan that cannot hold: " + " ".join(one.text for one in refused).removesuffix("."),
            allowed="a plan without this",
            remedy="Ask the vet, and change the plan.",
        )
    unsaid = [one.text for one in found.of(Weight.NEEDS_VET) if not vet_words.get(one.key, "").strip()]
    if unsaid:
        raise NotStated(
            field="vet.answers",
            got="A plan that needs a word of the vet first: " + " ".join(unsaid).removesuffix("."),
            allowed="what the vet said about each of these, written down",
            remedy="Ask the vet, and write it down beside each of them.",
        )
    unasked = [one.text for one in found.of(Weight.ASKED) if one.key not in meant]
    if unasked:
        raise NotStated(
            field="answered",
            got="A plan in which something looks wrong and nobody has said that it is meant: "
            + " ".join(unasked).removesuffix("."),
            allowed="every one of these cleared up",
            remedy="Ask the vet, then say of each that it is meant.",
        )


def with_vet_words(
    plan: CarePlan, found: PlanFindings, *, vet_words: Mapping[str, str], said_on: date, old: CarePlan | None
) -> CarePlan:
    """The plan with what the vet said about what needs it, now or for the version before; else the same plan.

    Args:
        plan: The plan.
        found: What needs a word of the vet in it.
        vet_words: What the vet said, by the key of each.
        said_on: The day on which the vet said it.
        old: The version it takes the place of; none for the first.
    """
    new = [
        VetAnswer(about=one.key, up_to=one.amount, words=words, said_on=said_on)
        for one in found.of(Weight.NEEDS_VET)
        if (words := vet_words.get(one.key, "").strip())
    ]
    before = old.vet.answers if old is not None else ()
    # of several about one thing the newest counts
    answers = {one.about: one for one in (*before, *plan.vet.answers, *new)}
    if tuple(answers.values()) == plan.vet.answers:
        return plan
    values = plan.model_dump(mode="json", exclude_unset=True) | {"format": FORMAT}
    values["vet"]["answers"] = [one.model_dump(mode="json", exclude_none=True) for one in answers.values()]
    return read_document(CarePlan, values)


def is_same_but_for_answers(one: CarePlan, other: CarePlan) -> bool:
    """Whether two plans say the same, whatever the vet has answered about them since.

    Args:
        one: A plan.
        other: Another.
    """
    first, second = (
        plan.model_copy(update={"format": FORMAT, "vet": plan.vet.model_copy(update={"answers": ()})})
        for plan in (one, other)
    )
    return first == second


def _find(
    plan: CarePlan, *, on: date, old: CarePlan | None
) -> tuple[DayPlan | None, FillmarkError | None, list[Finding]]:
    """What speaks against a plan by itself, and against its orders beside those before; with its first day."""
    found = [
        Finding(
            code="not-stated",
            about=question.field.translate(_KEY_LETTERS),
            weight=Weight.REFUSED if question.blocks else Weight.OPEN,
            field=question.field,
            text=question.ask,
            blocks=question.blocks,
        )
        for question in open_questions(plan)
    ]
    days, faults = _days_that_differ(plan, on=on)
    found += faults
    day, fault = next(iter(days), None), None
    if day is None or day.on != on:
        day = None
        try:
            plan_day(plan, on=on)
        except FillmarkError as error:
            fault = error
    found += [*check_animal(plan.animal, on=on), *check_own_numbers(plan), *check_recheck(plan.vet, on=on)]
    if days:
        found += check_feeding(plan, days, on=on)
    found += check_times(plan, on=on, old=old)
    found += check_substances(plan, on=on)
    found += check_courses(plan, on=on)
    for number, medicine in enumerate(plan.medicines, start=1):
        previous = find_previous(medicine, old) if old is not None else None
        found += _about_an_order(plan, medicine, number=number, previous=previous)
    return day, fault, found


_KEY_LETTERS = str.maketrans({"_": "-", ".": " ", "[": " ", "]": ""})


def _days_that_differ(plan: CarePlan, *, on: date) -> tuple[list[DayPlan], list[Finding]]:
    """One day of each kind there will be: the first, each step of a ladder or taper, the start and end of a course."""
    dates = {on}
    if (ladder := plan.orders.ladder) is not None:
        dates |= {ladder.starts_on + timedelta(days=rung) for rung in range(len(ladder.percent) + 1)}
    for medicine in plan.medicines:
        dates |= {day for day in (medicine.start_on, medicine.stop_on) if day is not None}
        dates |= {step.from_on for step in medicine.steps}
    days, faults = [], {}
    for date_ in sorted(one for one in dates if one >= on):
        try:
            days.append(plan_day(plan, on=date_))
        except FillmarkError as error:
            faults[str(error)] = Finding(
                code="no-day",
                about=error.field.translate(_KEY_LETTERS).lower()[:80].strip(),
                weight=Weight.REFUSED,
                field=error.field,
                text=str(error),
            )
    return days, list(faults.values())


def _about_an_order(plan: CarePlan, medicine: Medicine, *, number: int, previous: Medicine | None) -> Iterator[Finding]:
    place = f"medicines[{number}]"
    try:
        found = check_order_of(plan, medicine, previous=previous)
    except NotStated as missing:
        yield Finding(
            code="not-stated",
            about=medicine.id,
            weight=Weight.ASKED,
            field=f"{place}.{missing.field}",
            text=f"{missing.got}. {missing.remedy}",
        )
        return
    for one in found:
        step = re.match(r"steps\[(\d+)\]", one.field)
        about = f"{medicine.id} step {step[1]}" if step else medicine.id
        yield replace(one, about=about, field=f"{place}.{one.field}" if one.field else place)


def _is_asked(finding: Finding) -> bool:
    return finding.weight is Weight.ASKED


def _with_vets_word(answers: Sequence[VetAnswer], finding: Finding) -> Finding:
    """A finding that the vet has answered is said, with the vet's word."""
    if finding.weight is not Weight.NEEDS_VET:
        return finding
    answer = find_answer(answers, finding.key, amount=finding.amount)
    if answer is None:
        return finding
    words = f'The vet, on {say_date(answer.said_on)}: "{answer.words}"'
    return replace(finding, weight=Weight.SAID, text=f"{finding.text} {words}")
