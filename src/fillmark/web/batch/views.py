"""A batch as it was made: what went in, what a jug or a scale showed, what it holds beside the plan's."""

from collections.abc import Sequence

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.fields import MOST_CANS, MOST_FOOD_G, MOST_ML
from fillmark.core.values.errors import FillmarkError, NotAllowed
from fillmark.core.values.people import Capability, may
from fillmark.core.values.quantities import write_number
from fillmark.services import batches, record
from fillmark.services.drafts import Who
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.page_context import page_context
from fillmark.web.entry_form import EntryForm, Place, day, ml, or_nothing, words
from fillmark.web.ways.numbers import say_density
from fillmark.web.words import say_held, say_made
from fillmark.web.writing import write_fact

_MOST = {"cans": MOST_CANS, "g": MOST_FOOD_G, "ml": MOST_ML}
_SAID = {"cans": "cans", "g": "g", "ml": "mL"}
_MEASURED = ("jug", "batch_g", "sample_ml", "sample_g")


def _parts(plan: CarePlan) -> list[dict[str, str]]:
    """What is asked of each food of the plan's blend, in the unit in which the plan counts it."""
    found = []
    for number, part in enumerate(plan.blend.foods):
        key = next(one for one in _MOST if getattr(part, one) is not None)
        found.append(
            {
                "field": f"food_{number}",
                "food": part.food,
                "name": plan.food(part.food).name,
                "key": key,
                "unit": _SAID[key],
                "planned": write_number(getattr(part, key)),
            }
        )
    return found


def _one(
    field: str, said: str, *, unit: str, high: float, needs: Sequence[str] = (), without: Sequence[str] = ()
) -> Place:
    return ml(field, field=said, unit=unit, above=0, high=high, instead=or_nothing(), needs=needs, without=without)


def _form(plan: CarePlan) -> EntryForm:
    foods = [
        {
            "food": one["food"],
            one["key"]: ml(
                one["field"], field=one["unit"], unit=f"{one['unit']} of food", above=0, high=_MOST[one["key"]]
            ),
        }
        for one in _parts(plan)
    ]
    return EntryForm(
        {
            "kind": "batch_made",
            "foods": foods,
            "water_ml": ml("water", field="water", unit="mL of water", high=MOST_ML, remedy="Measure it again."),
            "ml": _one("jug", "jug", unit="mL", high=MOST_ML, without=["batch_g"]),
            "batch_g": _one("batch_g", "batch g", unit="g", high=MOST_FOOD_G, needs=["sample_ml", "sample_g"]),
            "sample_ml": _one("sample_ml", "sample ml", unit="mL", high=MOST_ML, needs=["batch_g"]),
            "sample_g": _one("sample_g", "sample g", unit="g", high=MOST_FOOD_G, needs=["batch_g"]),
            "batch": words("batch", most=80),
            "made_on": day("made_on", remedy="Choose the day on which it was made."),
        }
    )


@require_http_methods(["GET", "POST"])
@at_the_bedside(what=Capability.RECORD_ANYTHING)
def batch_made(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    """The form, and what the batch in use holds."""
    plan = bedside.side.plan
    form, parts, error = _form(plan), _parts(plan), None
    filled = {"water": write_number(plan.blend.water_ml), "made_on": bedside.today.isoformat()}
    filled |= {one["field"]: one["planned"] for one in parts}
    if request.method == "POST":
        try:
            write_fact(request, bedside, form.read(request.POST))
            return redirect(bedside.href("batch_made"))
        except NotAllowed:
            raise
        except FillmarkError as refused:
            error = refused
            filled = {name: request.POST.get(name, "") for name in (*filled, *_MEASURED, "batch")}
    context = page_context(bedside, under="A batch as made") | {
        "form": form,
        "parts": [one | {"value": filled.get(one["field"], "")} for one in parts],
        "error": error,
        "filled": filled,
        "is_weighed": any(filled.get(one) for one in _MEASURED[1:]),
        "today": bedside.today,
        "held": _held(bedside),
        "entry_id": record.new_entry_id(now=bedside.now),
    }
    return render(request, "batch/batch.html", context, status=400 if error else 200)


def _held(bedside: Bedside) -> dict[str, object] | None:
    """What the batch in use holds, and whether its own mark may be proposed; none where nobody wrote it down."""
    found, batch = batches.held(bedside.side), bedside.side.batch_facts.read().in_use
    if found is None or batch is None or batch.made is None:
        return None
    ends = bedside.side.plan.ends
    return {
        "name": batch.name,
        "made": say_made(batch.made),
        "density": say_density(found.made.value),
        "planned": say_density(found.planned.value),
        "words": say_held(found.percent),
        "differs": found.percent != 0,
        "working": found.made,
        "is_for_it": ends is not None and ends.why == batch.name,
        "may_prepare": may(bedside.caregiver, what=Capability.PREPARE_PLAN, on=bedside.today),
    }


@require_POST
@at_the_bedside(what=Capability.PREPARE_PLAN)
def mark_for_batch(_request: HttpRequest, bedside: Bedside) -> HttpResponse:
    """Begin a change of the plan whose marks are for the batch in use alone."""
    who = Who(household_id=bedside.home.id, by=bedside.caregiver.id, now=bedside.now)
    return redirect("plan_draft", draft_id=batches.begin_for_batch(who, bedside.side))
