"""What stands against a plan in its own times of day: the vet's gaps, food, and what must be apart."""

from collections.abc import Iterator
from datetime import date, time
from itertools import pairwise

from fillmark.core.orders.medicine import Medicine
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.timetable import DAY_MINUTES, MEAL, Broken, find_faults, write_clock, write_duration
from fillmark.core.today.chosen_hours import Wishes, minutes_of
from fillmark.core.today.duties import before_meal_reach, doses_without_meal, names_of, timed_medicines
from fillmark.core.today.regimen import present_day, regimen_of
from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.finding import Finding, Weight
from fillmark.published.timetable_choices import BEFORE_MEAL_REACH_MINUTES, MEAL_GAP_FRACTION

_BY_THE_VET = (Broken.FOOD, Broken.APART)
"""What only the vet can have ordered; how close and how far doses may lie is partly a figure of ours."""


def check_times(plan: CarePlan, *, on: date, old: CarePlan | None = None) -> Iterator[Finding]:
    """What the plan's own times of day break, and which dose loses the meal that it had by the version before.

    Args:
        plan: The plan.
        on: The household's day on which it would begin to hold.
        old: The version it takes the place of; none for the first.
    Source:
        the vet's orders; timetable.*, medicine.window_*
    """
    yield from _about_doses_before_food(plan, old, on=on)
    try:
        regimen, day = regimen_of(plan, wishes=Wishes(), on=on).value, present_day(plan, on=on)
    except FillmarkError:
        return  # the day itself cannot be worked out: that is found where days are
    places = {name: f"medicines[{number}].clocks" for number, name in enumerate(_names(plan), start=1)}
    for fault in find_faults(regimen=regimen, timetable=day):
        is_vets_gap = fault.broken is Broken.TOO_CLOSE and _has_vets_gap(plan, fault.about)
        yield Finding(
            code=f"times-{fault.broken.value.replace(' ', '-')}",
            about=_id_of(plan, fault.about),
            weight=Weight.NEEDS_VET if fault.broken in _BY_THE_VET or is_vets_gap else Weight.ASKED,
            field=places.get(fault.about, "timetable.meals"),
            text=f"By this plan's own times: {fault.text} The order and the times contradict each other.",
        )
    yield from _about_meals_close_together(plan)


def _about_doses_before_food(plan: CarePlan, old: CarePlan | None, *, on: date) -> Iterator[Finding]:
    """Doses before food that no meal follows soon; where one did before, only the vet can say so."""
    numbers = {medicine.id: number for number, medicine in enumerate(plan.medicines, start=1)}
    for medicine in timed_medicines(plan, on=on):
        alone = doses_without_meal(medicine, plan.timetable.meals)
        lost = (
            []
            if old is None
            else [one for one in alone if one not in doses_without_meal(medicine, old.timetable.meals)]
        )
        alone = [clock for clock in alone if clock not in lost]
        field = f"medicines[{numbers[medicine.id]}].clocks"
        if lost:
            yield Finding(
                code="lost-its-meal",
                about=medicine.id,
                weight=Weight.NEEDS_VET,
                field=field,
                text=f"{_without_a_meal(medicine, lost)} with the meals of this plan. By the version before one did. "
                "Ask the vet whether a meal must follow.",
                figures=(BEFORE_MEAL_REACH_MINUTES,),
            )
        if alone:
            yield Finding(
                code="no-meal-follows",
                about=medicine.id,
                weight=Weight.OPEN,
                field=field,
                text=f"{_without_a_meal(medicine, alone)} by this plan. Ask the vet whether a meal must follow.",
                figures=(BEFORE_MEAL_REACH_MINUTES,),
            )


def _without_a_meal(medicine: Medicine, clocks: list[time]) -> str:
    at = " and ".join(f"{clock:%H:%M}" for clock in clocks)
    within = write_duration(before_meal_reach(medicine))
    return f"{medicine.name} at {at} is ordered before food, and no meal follows within {within}"


def _names(plan: CarePlan) -> list[str]:
    names = names_of(plan)
    return [names[medicine.id] for medicine in plan.medicines]


def _id_of(plan: CarePlan, name: str) -> str:
    """The id of the medicine that goes by a name in the day's times; "meal" for meals."""
    found = {called: medicine_id for medicine_id, called in names_of(plan).items()}
    return found.get(name) or ("meal" if name == MEAL else "")


def _has_vets_gap(plan: CarePlan, name: str) -> bool:
    if name == MEAL:
        return plan.orders.meal_gap_hours is not None
    found = _id_of(plan, name)
    return any(medicine.id == found and medicine.min_gap_hours is not None for medicine in plan.medicines)


def _about_meals_close_together(plan: CarePlan) -> Iterator[Finding]:
    """Meals in a heap, where the vet has named no shortest time from one to the next."""
    clocks = sorted(map(minutes_of, plan.timetable.meals))
    if plan.orders.meal_gap_hours is not None or len(clocks) < 2:
        return
    gaps = [(later - earlier, earlier) for earlier, later in pairwise([*clocks, clocks[0] + DAY_MINUTES])]
    shortest, clock = min(gaps)
    if shortest < MEAL_GAP_FRACTION.value * DAY_MINUTES / len(clocks):
        yield Finding(
            code="meals-close",
            weight=Weight.ASKED,
            field="timetable.meals",
            text=f"A meal comes only {write_duration(shortest)} after the one at {write_clock(clock)}, and the vet "
            "stated no shortest time from meal to meal. Ask the vet for it.",
            figures=(MEAL_GAP_FRACTION,),
        )
