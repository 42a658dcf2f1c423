"""The place of the food: the batch in use, what the plan feeds, and everything that there is about it."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from fillmark.core.values.quantities import write_number
from fillmark.core.values.words import say_day
from fillmark.services import batches
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.page_context import page_context
from fillmark.web.bedside.todays_plan import PlannedDay, planned_on
from fillmark.web.places import PlaceName, may_open
from fillmark.web.ways.numbers import say_foods
from fillmark.web.words import say_faults, say_held, say_made


@require_GET
@at_the_bedside
def food(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    """What a person goes to the kitchen with."""
    planned = planned_on(bedside, bedside.today)
    to_test = bedside.href("flow_test")
    may_test = planned.plan is not None and may_open(bedside.caregiver, to_test, on=bedside.today)
    context = page_context(bedside, under="The food") | {
        "ways": bedside.ways_in(PlaceName.FOOD),
        "batch": _batch(bedside),
        "to_leave": [(one.name, say_faults(faults)) for one, faults in bedside.side.batch_facts.read().to_leave],
        "foods": say_foods(planned.plan) if planned.plan else "",
        "day": _say_day(planned),
        "to_test": to_test if may_test else "",
    }
    return render(request, "places/food.html", context)


def _batch(bedside: Bedside) -> dict[str, str] | None:
    """The batch in use, as the record knows it."""
    batch, held = bedside.side.batch_facts.read().in_use, batches.held(bedside.side)
    if batch is None:
        return None
    return {
        "name": batch.name,
        "last": say_day(batch.last_on, has_weekday=True) if batch.last_on else "",
        "made": say_made(batch.made) if batch.made else "",
        "held": say_held(held.percent) if held else "",
    }


def _say_day(planned: PlannedDay) -> str:
    """What a day of the plan is; nothing where it cannot be worked out."""
    if planned.day is None:
        return ""
    meals = sum(1 for session in planned.sessions if session.meal_ml)
    ml = sum(session.meal_ml or 0 for session in planned.sessions)
    kcal = write_number(round(planned.day.energy.value))
    return f"{meals} meals, {write_number(ml)} mL and {kcal} kcal a day."
