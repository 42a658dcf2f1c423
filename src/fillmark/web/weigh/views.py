"""The weight: written in the unit that the scale shows, beside those before; and whether the plan follows."""

import re
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from fillmark.core.food.energy import Species
from fillmark.core.record.weights import ScaleReading, newest_weight
from fillmark.core.values.errors import FillmarkError, NotAllowed
from fillmark.core.values.people import Capability, may
from fillmark.core.values.quantities import KG_PER_LB, write_number
from fillmark.core.values.words import say_day
from fillmark.published.input_limits import CAT_WEIGHT_LIMITS_KG, WEIGHT_LIMITS_KG
from fillmark.services import record, weights
from fillmark.services.drafts import Who
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.page_context import page_context
from fillmark.web.entry_form import EntryForm, choice, weight, words
from fillmark.web.writing import write_fact

_SHOWN = 30
_TYPED = ("kg", "lb", "oz", "scale", "meal")


def _form(bedside: Bedside, last: ScaleReading | None) -> EntryForm:
    stored = bedside.side.stored
    is_cat = stored is not None and stored.plan.animal.species is Species.CAT
    return EntryForm(
        {
            "kind": "weight",
            "weight_kg": weight(
                last_kg=last.kg if last else None,
                last_at=last.at if last else None,
                high=CAT_WEIGHT_LIMITS_KG.high if is_cat else WEIGHT_LIMITS_KG.high,
            ),
            "scale": words("scale", most=80),
            "meal": choice("meal", of=["before", "after"]),
            "checked": choice("checked", of={"yes": True}),
        }
    )


@require_http_methods(["GET", "POST"])
@at_the_bedside(what=Capability.RECORD_ANYTHING)
def weigh(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    """The form, and every weight so far."""
    known = weights.weights_of(**bedside.ids)
    stored = bedside.side.stored
    last = newest_weight(known, stored.plan if stored else None)
    form, error = _form(bedside, last), None
    filled = {"scale": next((one.scale for one in reversed(known) if one.scale), "")}
    then = _session(bedside, request.GET.get("session", "")) or bedside.href("weigh")
    if request.method == "POST":
        try:
            write_fact(request, bedside, form.read(request.POST))
            return redirect(then)
        except NotAllowed:
            raise
        except FillmarkError as refused:
            error = refused
            filled = {name: request.POST.get(name, "") for name in _TYPED}
    context = page_context(bedside, under="The weight") | {
        "form": form,
        "error": error,
        "filled": filled,
        "then": then,
        "is_session": then != bedside.href("weigh"),
        "weights": [_show(bedside, one) for one in reversed(known[-_SHOWN:])],
        "follows": _follows(bedside, known),
        "entry_id": record.new_entry_id(now=bedside.now),
    }
    return render(request, "weigh/weigh.html", context, status=400 if error else 200)


def _session(bedside: Bedside, session: str) -> str:
    """The walk from which the weight is written down; empty for none."""
    is_one = re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d", session)
    return bedside.href("walk", session=session) if is_one else ""


def _say(kg: float) -> str:
    return f"{write_number(kg)} kg ({write_number(kg / float(KG_PER_LB))} lb)"


def _show(bedside: Bedside, one: ScaleReading) -> dict[str, object]:
    at = one.at.astimezone(bedside.zone)
    how = [f"{one.meal} the meal"] if one.meal else []
    how += [one.scale] if one.scale else []
    how += ["weighed twice"] if one.checked else []
    return {
        "when": f"{say_day(one.on, has_weekday=True)}, {at:%H:%M}",
        "weight": _say(one.kg),
        "how": ", ".join(how),
        "by": one.by,
        "href": bedside.href("entry", entry_id=one.entry_id),
    }


def _follows(bedside: Bedside, known: tuple[ScaleReading, ...]) -> dict[str, object] | None:
    """The question whether the plan counts with the newest weight from now on; none where it does."""
    found = weights.to_follow(known, **bedside.ids)
    if found is None:
        return None
    new, plan = found
    before = plan.animal.weight.weight_kg
    change = round(100 * (new.kg / before - 1))
    return {
        "new": _say(new.kg),
        "new_on": say_day(new.on),
        "old": _say(before),
        "old_on": say_day(plan.animal.weight.on),
        "change": f"{abs(change)} % {'more' if change > 0 else 'less'}" if change else "less than 1 % apart",
        "may_prepare": may(bedside.caregiver, what=Capability.PREPARE_PLAN, on=bedside.today),
        "may_change": may(bedside.caregiver, what=Capability.CHANGE_PLAN, on=bedside.today),
        "href": bedside.href("follow_weight", entry_id=new.entry_id),
    }


@require_POST
@at_the_bedside(what=Capability.PREPARE_PLAN)
def follow(_request: HttpRequest, bedside: Bedside, *, entry_id: UUID) -> HttpResponse:
    """Begin a change of the plan that counts with a weight; what it changes is shown before it holds."""
    who = Who(household_id=bedside.home.id, by=bedside.caregiver.id, now=bedside.now)
    draft = weights.begin_to_follow(who, animal_id=bedside.animal.id, entry_id=entry_id)
    return redirect("plan_draft", draft_id=draft)
