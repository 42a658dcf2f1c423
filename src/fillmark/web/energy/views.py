"""Energy, weight and food as books have them: every form beside the vet's number, none of them averaged."""

from collections.abc import Mapping
from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import SafeString
from django.views.decorators.http import require_GET

from fillmark.core.changes.print_readings import read_print
from fillmark.core.values.explain import Explained
from fillmark.core.values.quantities import write_number
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.page_context import page_context
from fillmark.web.drawings.bars import Bar, BarFill, BarLine, Piece, draw_bar


@dataclass(frozen=True, kw_only=True, slots=True)
class PrintedForm:
    """One printed form: its amount, drawn against the vet's number or the present one."""

    name: str
    amount: str
    bar: SafeString
    working: Explained[float]


def _readings(
    found: Mapping[str, Explained[float]], *, unit: str, digits: int, line: float | None
) -> list[PrintedForm]:
    whole = 1.08 * max([line or 0.0, *(one.value for one in found.values())], default=1.0)
    return [
        PrintedForm(
            name=name,
            amount=f"{write_number(round(one.value) if digits == 0 else one.value, digits=digits or 4)} {unit}",
            bar=draw_bar(
                Bar(
                    whole=whole,
                    pieces=[Piece(fill=BarFill.IN, start=0, end=one.value)],
                    limits=[(BarLine.GOAL, line)] if line else [],
                )
            ),
            working=one,
        )
        for name, one in found.items()
    ]


@require_GET
@at_the_bedside
def energy(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    plan = bedside.side.plan
    found = read_print(plan, on=bedside.today)
    goal = found.goal.value if found.goal else None
    condition, target = plan.animal.condition, plan.animal.target_weight_kg
    context = {
        **page_context(bedside, under="Energy and weight"),
        "goal": f"{write_number(round(goal))} kcal a day" if goal else "",
        "goal_working": found.goal,
        "forms": _readings(found.forms, unit="kcal a day", digits=0, line=goal),
        "disagreement": found.disagreement,
        "weight": f"{write_number(found.weight_kg)} kg",
        "target": f"{write_number(target)} kg" if target else "",
        "condition": f"{write_number(condition.score)} of {condition.of}" if condition else "",
        "weights": _readings(found.weights, unit="kg", digits=3, line=target or found.weight_kg),
        "no_weights": found.no_weights,
        "changes": found.changes,
        "hospital": found.hospital,
        "foods": [
            {
                "name": food.name,
                "energies": _readings(food.energies, unit="kcal/100 g", digits=3, line=None),
                "parts": [
                    (name, f"{write_number(fed)} % as fed · {write_number(dry.value, digits=3)} % of the dry matter")
                    for name, fed, dry in food.parts
                ],
                "trouble": food.trouble,
            }
            for food in found.foods
        ],
    }
    return render(request, "energy/energy.html", context)
