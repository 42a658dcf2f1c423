"""May this care plan come into force as it is? What to ask first, and where two versions meet. Nothing here decides."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from math import fsum

from fillmark.core.day.values import DayPlan, PlannedSession
from fillmark.core.doses.giving import shortest_gap
from fillmark.core.orders.medicine import Medicine
from fillmark.core.orders.slips import find_slip
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.order_findings import check_order_of
from fillmark.core.timetable.clock import write_duration
from fillmark.core.tube.syringe import Syringe
from fillmark.core.values.document import read_document
from fillmark.core.values.explain import Explained
from fillmark.core.values.quantities import write_number
from fillmark.published import Printed
from fillmark.published.input_limits import PLAN_AGREEMENT_FRACTION, WEIGHT_JUMP_FRACTION
from fillmark.published.medicine import SLIP_CLOSENESS_FRACTION
from fillmark.published.medicine_names import read_name


@dataclass(frozen=True, kw_only=True, slots=True)
class Ask:
    """One thing that a person must have cleared up before the plan comes into force.

    Attributes:
        code: Stable name of the check.
        text: What looks wrong, and whom to ask.
    """

    code: str
    text: str
    figures: tuple[Printed, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Clock:
    """What a household's days are counted by, and what it is called."""

    name: str
    time_zone: str
    day_starts: time


@dataclass(frozen=True, kw_only=True, slots=True)
class Disagreement:
    """One thing that a plan's household part has otherwise than the household."""

    what: str
    plan: str
    home: str


def find_asks(
    plan: CarePlan, *, animal_name: str | None, old: CarePlan | None = None, others: Sequence[str] = ()
) -> tuple[Ask, ...]:
    """Everything that looks like a slip or a mix-up in a plan that is taken in.

    Args:
        plan: What was read.
        animal_name: The animal it is taken in for; none for a new one.
        old: The version that it takes the place of.
        others: The animals of the household, where the plan is for a new one.
    Raises:
        NotStated: a dose hangs on something that is not stated.
    Source:
        input.weight_jump_fraction, medicine.slip_closeness, and those of the order checks
    """
    return (
        *_about_the_animal(plan, animal_name=animal_name, old=old, others=others),
        *(_about_the_weight(plan, old) if old else ()),
        *_about_the_orders(plan, old),
    )


def _about_the_animal(
    plan: CarePlan, *, animal_name: str | None, old: CarePlan | None, others: Sequence[str]
) -> Iterator[Ask]:
    name = plan.animal.name
    if animal_name is not None and name.casefold() != animal_name.casefold():
        yield Ask(
            code="other-name",
            text=f"This plan is about {name}, and you are taking it in for {animal_name}. Is it the right animal?",
        )
    if animal_name is None and name.casefold() in {other.casefold() for other in others}:
        yield Ask(
            code="same-name",
            text=f"This household has an animal named {name} already. A changed plan is taken in from that animal's "
            "own plan page. Is this another animal with the same name?",
        )
    if old is not None and plan.animal.species is not old.animal.species:
        yield Ask(
            code="other-species",
            text=f"This plan is for a {plan.animal.species.value}, and the version before is for a "
            f"{old.animal.species.value}. Is it the right animal?",
        )


def _about_the_weight(plan: CarePlan, old: CarePlan) -> Iterator[Ask]:
    before, after = old.animal.weight, plan.animal.weight
    if after.on < before.on:
        yield Ask(
            code="older-weight",
            text=f"The newest weighing in this plan is of {_say_day(after.on)}, and the version before has one of "
            f"{_say_day(before.on)}. Is this an old file?",
        )
    ratio = after.weight_kg / before.weight_kg
    if abs(ratio - 1) > WEIGHT_JUMP_FRACTION.value:
        slip = find_slip(value=after.weight_kg, reference=before.weight_kg)
        yield Ask(
            code="weight-jump",
            text=f"The weight is {write_number(after.weight_kg, digits=3)} kg, and was "
            f"{write_number(before.weight_kg, digits=3)} kg in the version before"
            + (f", {slip}." if slip else ".")
            + " Weigh again before anything is given by it.",
            figures=(WEIGHT_JUMP_FRACTION,),
        )


def _about_the_orders(plan: CarePlan, old: CarePlan | None) -> Iterator[Ask]:
    for medicine in plan.medicines:
        for question in check_order_of(plan, medicine, previous=_previous(medicine, old) if old else None):
            if question.blocks:
                step = f" {question.field}" if question.field.startswith("steps[") else ""
                yield Ask(code=f"{question.code}: {medicine.id}{step}", text=question.text, figures=question.figures)


def _previous(medicine: Medicine, old: CarePlan) -> Medicine | None:
    """The same medicine in the version before: by its id, else by its name, else by the substance it names."""
    same = [one for one in old.medicines if one.id == medicine.id]
    same += [one for one in old.medicines if one.name.casefold() == medicine.name.casefold()]
    substance = read_name(medicine.name).substance
    same += [one for one in old.medicines if substance and read_name(one.name).substance == substance]
    return same[0] if same else None


def find_day_slip(new: DayPlan, old: DayPlan) -> Ask | None:
    """Whether a slip of the pen would make one day's energy out of the other's.

    Args:
        new: The day by the new plan.
        old: The day by the plan in force.
    Source:
        medicine.slip_closeness
    """
    slip = find_slip(value=new.energy.value, reference=old.energy.value)
    if slip is None:
        return None
    return Ask(
        code="energy-slip",
        text=f"The day holds {new.energy.value:,.0f} kcal, and held {old.energy.value:,.0f} kcal, {slip}. Ask the vet.",
        figures=(SLIP_CLOSENESS_FRACTION,),
    )


def check_agreement(day: DayPlan) -> Explained[float]:
    """How far the day's meals are from its energy goal, worked out once more from the mix [fraction of the goal].

    Source:
        input.plan_agreement_fraction
    """
    meals_ml = fsum(session.meal_ml for session in day.sessions)
    kcal = meals_ml * day.kcal_per_ml.value
    gap = kcal / day.energy.value - 1
    is_off = abs(gap) > PLAN_AGREEMENT_FRACTION.value
    return Explained(
        value=gap,
        because=f"{write_number(day.kcal_per_ml.value, digits=3)} kcal/mL × {write_number(meals_ml)} mL in all meals = "
        f"{kcal:,.0f} kcal, with an energy goal of {day.energy.value:,.0f} kcal",
        figures=(PLAN_AGREEMENT_FRACTION,),
        cautions=(
            f"Energy and meals are {abs(gap):.0%} apart. Ask the vet which of the two holds, and measure the blend "
            "again.",
        )
        if is_off
        else (),
    )


def say_changeover(
    plan: CarePlan, *, old: Sequence[PlannedSession], new: Sequence[PlannedSession], at: datetime
) -> tuple[str, ...]:
    """Where the last of the old version and the first of the new one stand closer together than they may.

    Args:
        plan: The new version.
        old: Sessions as the old version has them, in order.
        new: Sessions as the new version has them, in order.
        at: From when on the new version holds.
    Source:
        the vet's orders
    """
    before = [session for session in old if session.at < at]
    after = [session for session in new if session.at >= at]
    found = []
    for medicine in plan.medicines:
        if medicine.when_needed is not None:
            continue
        last = next((one for one in reversed(before) if _holds(one, medicine)), None)
        first = next((one for one in after if _holds(one, medicine)), None)
        if last and first and first.at - last.at < shortest_gap(medicine):
            found.append(_say_close(medicine.name, last, first))
    gap_hours = plan.orders.meal_gap_hours
    last = next((one for one in reversed(before) if one.meal_ml), None)
    first = next((one for one in after if one.meal_ml), None)
    if gap_hours is not None and last and first and (first.at - last.at).total_seconds() < 3600 * gap_hours:
        found.append(_say_close("The meal", last, first))
    return tuple(found)


def _holds(session: PlannedSession, medicine: Medicine) -> bool:
    names = {(dose.medicine.id, dose.medicine.name.casefold()) for dose in session.medicines}
    return any(medicine.id == id_ or medicine.name.casefold() == name for id_, name in names)


def _say_close(what: str, last: PlannedSession, first: PlannedSession) -> str:
    gap = write_duration(round((first.at - last.at).total_seconds() / 60))
    return (
        f"{what} at {first.clock:%H:%M} by this version comes {gap} after the one at {last.clock:%H:%M} by the version "
        "before. Ask the vet how to change over."
    )


def disagreements(plan: CarePlan, *, home: Clock, people: Mapping[str, str]) -> tuple[Disagreement, ...]:
    """Where a plan's household part and the household itself do not say the same.

    Args:
        plan: What was read.
        home: The household.
        people: The role of each of its caregivers, by name.
    Source:
        arithmetic only
    """
    part = plan.household
    both = [
        ("Name of the household", part.name, home.name),
        ("Time zone", part.time_zone, home.time_zone),
        ("Start of the day", f"{part.day_starts:%H:%M}", f"{home.day_starts:%H:%M}"),
        ("People", *(_say_people(who) for who in ({one.name: one.role for one in part.people}, people))),
    ]
    return tuple(Disagreement(what=what, plan=mine, home=theirs) for what, mine, theirs in both if mine != theirs)


def _say_people(people: Mapping[str, str]) -> str:
    return ", ".join(f"{name} ({people[name]})" for name in sorted(people))


def in_household(plan: CarePlan, *, home: Clock) -> CarePlan:
    """A copy of the plan that counts its days as the household does; nothing else changes.

    Args:
        plan: The plan taken in.
        home: The household's name, zone and start of the day.
    Raises:
        FillmarkError: the plan does not hold by this clock.
    Source:
        arithmetic only
    """
    values = plan.model_dump(mode="json", exclude_unset=True)
    values["household"] |= {"name": home.name, "time_zone": home.time_zone, "day_starts": f"{home.day_starts:%H:%M}"}
    return read_document(CarePlan, values)


def other_syringes(plan: CarePlan, *, known: Sequence[CarePlan]) -> tuple[str, ...]:
    """What plans in force name for syringes otherwise than this plan, in words; empty where all name the same.

    Args:
        plan: The plan taken in.
        known: The plans in force in this household.
    Source:
        arithmetic only
    """
    mine = {_say_syringe(syringe) for syringe in plan.syringes}
    theirs = {_say_syringe(syringe) for one in known for syringe in one.syringes}
    if not known:
        return ()
    return (
        *(f"Only in this file: {words}" for words in sorted(mine - theirs)),
        *(f"Not in this file: {words}" for words in sorted(theirs - mine)),
    )


def _say_syringe(syringe: Syringe) -> str:
    return f"{syringe.name}, a line every {write_number(syringe.step_ml)} mL, {syringe.tip} tip"


def _say_day(day: date) -> str:
    return f"{day.day} {day:%B %Y}"
