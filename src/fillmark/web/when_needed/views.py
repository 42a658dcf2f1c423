"""A medicine for when it is needed: may it be given now, with which steps, and what is written down."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from fillmark.core.chart.medicine_states import MedicineState
from fillmark.core.chart.words import say_schedule, say_short_clock
from fillmark.core.day.sessions import plan_needed
from fillmark.core.day.steps import StepKind
from fillmark.core.day.values import PlannedSession
from fillmark.core.record.medicine_entries import Outcome
from fillmark.core.values.errors import BadEntry, NeedsReason
from fillmark.core.values.people import Capability
from fillmark.services import medicines, record
from fillmark.services.plans import StoredPlan
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.page_context import page_context
from fillmark.web.bedside.todays_plan import PlannedDay
from fillmark.web.phone.act_facts import act_facts
from fillmark.web.phone.facts import form_facts
from fillmark.web.walk.buttons import given_button
from fillmark.web.words import Names
from fillmark.web.writing import write_fact


def _find(bedside: Bedside, medicine: str) -> tuple[StoredPlan, MedicineState]:
    stored = bedside.side.stored
    states = medicines.verdicts(bedside.side)
    state = next((one for one in states if one.medicine.id == medicine and one.medicine.when_needed), None)
    if stored is None or state is None:
        raise BadEntry(
            field="medicine",
            got=f'The medicine "{medicine[:40]}", which the plan in force does not give when needed',
            allowed="a medicine that the vet ordered for when it is needed",
            remedy="Go back to the first screen and choose again.",
        )
    return stored, state


def _fact(stored: StoredPlan, session: PlannedSession) -> dict[str, Any]:
    """One dose as the record keeps it; it belongs to no session."""
    ((medicine, dose),) = PlannedDay(plan=stored.plan, sessions=(session,)).doses(session.key).items()
    return {"kind": "medicine_given", "medicine": medicine, "outcome": Outcome.GIVEN.value, **dose}


@require_http_methods(["GET", "POST"])
@at_the_bedside(what=Capability.RECORD_SESSION)
def when_needed(request: HttpRequest, bedside: Bedside, *, medicine: str) -> HttpResponse:
    """The order's gate, the steps of one dose, and its record; a dose against the gate asks for a typed reason."""
    stored, state = _find(bedside, medicine)
    order = state.medicine
    session = plan_needed(stored.plan, order, on=bedside.today, at=bedside.now)
    fact, asked = _fact(stored, session), None
    lock = bedside.side.lock if order.route == "tube" else None
    if request.method == "POST" and lock is None:
        reason = request.POST.get("reason", "").strip()
        despite = [str(one) for one in state.despite] if reason else []
        said = ({"reason": reason} if reason else {}) | ({"despite": despite} if despite else {})
        try:
            write_fact(request, bedside, fact | said, is_fresh=True)
            return redirect("chart", animal_id=bedside.animal.id)
        except NeedsReason as refused:
            asked = refused
    may_be_given = state.decision.may_be_given and not state.objections and lock is None
    context = page_context(bedside, under=f"{order.name}, when needed") | {
        "state": state,
        "order": order,
        "gate": say_schedule(order),
        "last": state.last and say_short_clock(state.last.at, zone=bedside.zone, beside=bedside.now),
        "may_be_given": may_be_given,
        "why_not": state.decision.because
        if not state.decision.may_be_given
        else "; ".join(one.because for one in state.objections),
        "lock": lock,
        "steps": [
            (step, "" if step.ask and step.ask.startswith(step.detail) else step.detail)
            for step in session.steps
            if step.kind is not StepKind.CLEAN
        ],
        "button": given_button(
            fact,
            words="It is given" if may_be_given else "It has gone in already",
            names=Names(medicines={order.id: order.name}),
        ),
        "asked": asked,
        "strength_href": bedside.href("strength", bottle=state.bottle.id) if state.is_locked and state.bottle else "",
        "phone": form_facts(bedside, medicines=[state], lock=lock)
        | {"acts": act_facts(stored.plan, (), today=bedside.today)},
        "entry_id": request.POST.get("entry_id") or record.new_entry_id(now=bedside.now),
    }
    return render(request, "when_needed/when_needed.html", context, status=400 if asked else 200)
