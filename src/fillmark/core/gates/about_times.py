"""What stands against a plan in its own times of day: the vet's gaps, food, and what must be apart."""

from collections.abc import Iterator
from datetime import date
from itertools import pairwise

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.timetable import DAY_MINUTES, MEAL, Broken, find_faults, write_clock, write_duration
from fillmark.core.today.chosen_hours import Wishes, minutes_of
from fillmark.core.today.duties import names_of, without_meal_after
from fillmark.core.today.regimen import present_day, regimen_of
from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.finding import Finding, Weight
from fillmark.published.timetable_choices import BEFORE_MEAL_REACH_MINUTES, MEAL_GAP_FRACTION

_BY_THE_VET = (Broken.FOOD, Broken.APART)
"""What only the vet can have ordered; how close and how far doses may lie is partly a figure of ours."""


def check_times(plan: CarePlan, *, on: date) -> Iterator[Finding]:
    """What the plan's own times of day break.

    Args:
        plan: The plan.
        on: The household's day on which it would begin to hold.
    Source:
        the vet's orders; timetable.*, medicine.window_*
    """
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
    yield from _about_no_meal_after(plan)


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


def _about_no_meal_after(plan: CarePlan) -> Iterator[Finding]:
    """A dose that belongs before food, at a time that no meal follows."""
    for number, medicine in enumerate(plan.medicines, start=1):
        alone = without_meal_after(medicine, plan.timetable.meals)
        if alone:
            yield Finding(
                code="no-meal-after",
                about=medicine.id,
                weight=Weight.OPEN,
                field=f"medicines[{number}].clocks",
                text=f"{medicine.name} is ordered before food, and no meal follows soon after "
                f"{' and '.join(f'{clock:%H:%M}' for clock in alone)}. Ask the vet whether a meal must follow.",
                figures=(BEFORE_MEAL_REACH_MINUTES,),
            )
