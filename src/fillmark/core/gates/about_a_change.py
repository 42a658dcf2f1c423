"""What stands against a plan beside the version before it, and in whether its own sums agree."""

from collections.abc import Iterator, Sequence
from math import fsum

from fillmark.core.day.values import DayPlan
from fillmark.core.orders.medicine import Medicine
from fillmark.core.orders.slips import ENERGY_SLIPS, find_slip
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.values.explain import Explained
from fillmark.core.values.finding import Finding, Weight
from fillmark.core.values.quantities import write_number
from fillmark.core.values.words import say_date
from fillmark.published.input_limits import PLAN_AGREEMENT_FRACTION, WEIGHT_JUMP_FRACTION
from fillmark.published.medicine import SLIP_CLOSENESS_FRACTION
from fillmark.published.medicine_names import read_name

_BY_MOUTH = (None, "nothing", "water", "food and water")
"""What may go in by mouth: not stated, and then from the least to the most."""


def check_animal_is_meant(plan: CarePlan, *, animal_name: str | None, others: Sequence[str]) -> Iterator[Finding]:
    """Whether the plan is about the animal that it is taken in for.

    Args:
        plan: What was read.
        animal_name: The animal it is taken in for; none for a new one.
        others: The animals of the household, where the plan is for a new one.
    """
    name = plan.animal.name
    if animal_name is not None and name.casefold() != animal_name.casefold():
        yield Finding(
            code="other-name",
            weight=Weight.ASKED,
            field="animal.name",
            text=f"This plan is about {name}, and you are taking it in for {animal_name}. Is it the right animal?",
        )
    if animal_name is None and name.casefold() in {other.casefold() for other in others}:
        yield Finding(
            code="same-name",
            weight=Weight.ASKED,
            field="animal.name",
            text=f"This household has an animal named {name} already. A changed plan is taken in from that animal's "
            "own plan page. Is this another animal with the same name?",
        )


def check_change(plan: CarePlan, old: CarePlan) -> Iterator[Finding]:
    """What looks like a mix-up beside the version before.

    Args:
        plan: The plan.
        old: The version that it takes the place of.
    Source:
        input.weight_jump_fraction, medicine.slip_closeness
    """
    if plan.animal.species is not old.animal.species:
        yield Finding(
            code="other-species",
            weight=Weight.ASKED,
            field="animal.species",
            text=f"This plan is for a {plan.animal.species.value}, and the version before is for a "
            f"{old.animal.species.value}. Is it the right animal?",
        )
    before, after = old.animal.weight, plan.animal.weight
    if after.on < before.on:
        yield Finding(
            code="older-weight",
            weight=Weight.ASKED,
            field="animal.weights",
            text=f"The newest weighing in this plan is of {say_date(after.on)}, and the version before has one of "
            f"{say_date(before.on)}. Is this an old file?",
        )
    ratio = after.weight_kg / before.weight_kg
    if abs(ratio - 1) > WEIGHT_JUMP_FRACTION.value:
        slip = find_slip(value=after.weight_kg, reference=before.weight_kg)
        yield Finding(
            code="weight-jump",
            weight=Weight.ASKED,
            field="animal.weights",
            text=f"The weight is {write_number(after.weight_kg, digits=3)} kg, and was "
            f"{write_number(before.weight_kg, digits=3)} kg in the version before"
            + (f", {slip}." if slip else ".")
            + " Weigh again before anything is given by it.",
            figures=(WEIGHT_JUMP_FRACTION,),
        )
    yield from _about_the_mouth(plan, old)
    yield from _about_amounts(plan, old)


def _about_the_mouth(plan: CarePlan, old: CarePlan) -> Iterator[Finding]:
    was, now = (_BY_MOUTH.index(one.animal.by_mouth) for one in (old, plan))
    if now > was > 0 and plan.orders.weaning is None:
        yield Finding(
            code="more-by-mouth",
            weight=Weight.ASKED,
            field="animal.by_mouth",
            text=f"The version before allows {_BY_MOUTH[was]} by mouth, and this plan {_BY_MOUTH[now]}. Did the vet "
            "allow that?",
        )


def _about_amounts(plan: CarePlan, old: CarePlan) -> Iterator[Finding]:
    """Every number of the vet's orders that a slip of the pen would have made out of the one before."""
    before = dict(_amounts(old))
    for place, after in _amounts(plan):
        slip = find_slip(value=after, reference=before.get(place, 0))
        if slip is not None:
            yield Finding(
                code="order-slip",
                about=place.replace("_", "-").replace(".", " "),
                weight=Weight.ASKED,
                field=f"orders.{place}",
                text=f"{_AMOUNTS[place]} is {write_number(after)}, and was {write_number(before[place])} in the "
                f"version before, {slip}. Ask the vet.",
                figures=(SLIP_CLOSENESS_FRACTION,),
            )


def _amounts(plan: CarePlan) -> Iterator[tuple[str, float]]:
    orders = plan.orders
    for place in _AMOUNTS:
        value: object = orders
        for key in place.split("."):
            value = getattr(value, key, None)
        if isinstance(value, int | float):
            yield place, value


_AMOUNTS = {
    "meal_ml": "A meal [mL]",
    "meal_gap_hours": "The shortest time from meal to meal [hours]",
    "warn_ml_per_kg": "The amount from which the vet is asked [mL/kg]",
    "cap_ml_per_kg": "The vet's most at once [mL/kg]",
    "pace_ml_per_minute": "The pace [mL/min]",
    "upright_minutes": "The time upright [minutes]",
    "flush_before_ml": "The flush before a meal [mL]",
    "flush_between_ml": "The flush between medicines [mL]",
    "flush_after_ml": "The flush after a meal [mL]",
    "water_ml_per_kg_per_day.low": "The least water of a day [mL/kg]",
    "water_ml_per_kg_per_day.high": "The most water of a day [mL/kg]",
}
"""The numbers of the vet's orders that a pen can slip in, in words; energy is compared by the day it makes."""


def find_previous(medicine: Medicine, old: CarePlan) -> Medicine | None:
    """The same medicine in the version before: by its id, else by its name, else by the substance it names.

    Args:
        medicine: The order.
        old: The version before.
    """
    same = [one for one in old.medicines if one.id == medicine.id]
    same += [one for one in old.medicines if one.name.casefold() == medicine.name.casefold()]
    substance = read_name(medicine.name).substance
    same += [one for one in old.medicines if substance and read_name(one.name).substance == substance]
    return same[0] if same else None


def check_energy_slip(new: DayPlan, old: DayPlan) -> Iterator[Finding]:
    """Whether a slip of the pen would make one day's energy out of the other's.

    Args:
        new: The day by the new plan.
        old: The day by the plan in force.
    Source:
        medicine.slip_closeness
    """
    if not new.energy.value or not old.energy.value:
        return
    slip = find_slip(value=new.energy.value, reference=old.energy.value, slips=ENERGY_SLIPS)
    if slip is not None:
        yield Finding(
            code="energy-slip",
            weight=Weight.ASKED,
            field="orders.energy",
            text=f"The day holds {new.energy.value:,.0f} kcal, and held {old.energy.value:,.0f} kcal, {slip}. Ask the "
            "vet.",
            figures=(SLIP_CLOSENESS_FRACTION,),
        )


def check_agreement(day: DayPlan) -> Explained[float]:
    """How far the day's meals are from its energy goal, worked out once more from the mix [fraction of the goal].

    A day on which nothing is fed agrees.

    Args:
        day: The day.
    Source:
        input.plan_agreement_fraction
    """
    meals_ml = fsum(session.meal_ml for session in day.sessions)
    kcal = meals_ml * day.kcal_per_ml.value
    gap = kcal / day.energy.value - 1 if day.energy.value else 0.0
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
