"""The plan in force: each number with its working in place."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import SafeString
from django.views.decorators.http import require_GET

from fillmark.core.day import DayPlan
from fillmark.core.explain import Explained
from fillmark.core.people import Capability, may
from fillmark.core.plan import Orders
from fillmark.core.quantities import write_number
from fillmark.services import record
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.blend.numbers import load_bar, say_density, say_limits
from fillmark.web.line import line_of_day
from fillmark.web.planned import planned_on


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownNumber:
    """One number of the plan with its name, its amount in words and its working."""

    name: str
    amount: str
    working: Explained[object]
    bar: SafeString | str = ""


def _numbers(day: DayPlan, orders: Orders) -> Iterator[ShownNumber]:
    yield ShownNumber(name="Energy", amount=f"{write_number(round(day.energy.value))} kcal a day", working=day.energy)
    yield ShownNumber(name="This mix", amount=say_density(day.kcal_per_ml.value), working=day.kcal_per_ml)
    yield ShownNumber(
        name="Blend", amount=f"{write_number(round(sum(day.meals.value), 1))} mL a day", working=day.meals
    )
    kcal = write_number(round(day.kcal_planned.value))
    yield ShownNumber(name="Planned", amount=f"{kcal} kcal a day", working=day.kcal_planned)
    for session in day.sessions:
        load = session.load.value
        amount = f"{write_number(load.total_ml)} mL, {write_number(load.ml_per_kg, digits=3)} mL/kg"
        yield ShownNumber(
            name=f"{session.label}, water included",
            amount=amount,
            working=session.load,
            bar=load_bar(load.ml_per_kg, warn_ml_per_kg=orders.warn_ml_per_kg, cap_ml_per_kg=orders.cap_ml_per_kg),
        )
    for session in day.sessions:
        for dose in session.medicines:
            name = f"{dose.medicine.name}, {session.clock:%H:%M}"
            yield ShownNumber(name=name, amount=dose.amount, working=dose.working)
    yield ShownNumber(
        name="Water", amount=f"{write_number(round(day.water.value.total_ml))} mL a day", working=day.water
    )


@require_GET
@at_the_bedside
def plan(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    planned = planned_on(bedside, bedside.today)
    ledger = record.day_ledger(**bedside.ids, day=bedside.today, now=bedside.now)
    context = {
        "bedside": bedside,
        "line": line_of_day(bedside, day=bedside.today, records=[line.record for line in ledger.lines]),
        "day_href": bedside.href("day"),
        "wrong_href": bedside.href("wrong"),
        "under": f"The plan, version {planned.version}" if planned.version else "No plan yet",
        "planned": planned,
        "vet": planned.plan.vet if planned.plan else None,
        "numbers": list(_numbers(planned.day, planned.plan.orders)) if planned.day and planned.plan else [],
        "limits": say_limits(
            warn_ml_per_kg=planned.plan.orders.warn_ml_per_kg, cap_ml_per_kg=planned.plan.orders.cap_ml_per_kg
        )
        if planned.plan
        else "",
        "may_see_record": may(bedside.caregiver, what=Capability.SEE_RECORD, on=bedside.today),
        "questions": planned.day.questions if planned.day else (),
    }
    return render(request, "fillmark/plan.html", context)
