"""The call card: one tap from everywhere, and it works without a plan, without a session and without waiting."""

import re

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from fillmark.core.ledger import Standing
from fillmark.core.plan import CarePlan
from fillmark.core.quantities import write_number
from fillmark.services import record, sessions
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.planned import planned_on
from fillmark.web.walk.presses import STOP_REASONS
from fillmark.web.words import say_session


def _say(bedside: Bedside, plan: CarePlan | None) -> str:
    """Who this is, for the person on the telephone."""
    if plan is None:
        return bedside.animal.name
    animal = plan.animal
    tube = f"{write_number(animal.tube.french)} Fr {animal.tube.kind} tube"
    since = f" since {animal.tube.placed_on:%d %B %Y}" if animal.tube.placed_on else ""
    weight = f"{write_number(animal.weight.weight_kg)} kg"
    return f"{animal.name}, {animal.species.value}, {weight}, {tube}{since}"


@require_GET
@at_the_bedside
def wrong(request: HttpRequest, bedside: Bedside, *, session: str | None = None) -> HttpResponse:
    plan = planned_on(bedside, bedside.today).plan
    in_hand = None
    if session is not None:
        state = sessions.session_state(**bedside.ids, session=session, now=bedside.now)
        if state.standing in (Standing.IN_HAND, Standing.PAUSED, Standing.NOT_KNOWN):
            in_hand = state
    context = {
        "bedside": bedside,
        "under": "Call first. Write it down afterwards.",
        "tag": "p",
        "calls": [
            {"who": call.who, "when": call.when, "phone": call.phone, "tel": re.sub(r"[^+\d]", "", call.phone)}
            for call in (plan.vet.call if plan else ())
        ],
        "say": _say(bedside, plan),
        "so_far": say_session(in_hand, planned_ml=None, zone=bedside.zone) if in_hand else "",
        "in_hand": in_hand,
        "session": session,
        "reasons": STOP_REASONS,
        "entry_id": record.new_entry_id(now=bedside.now),
        "press_href": bedside.href("press", session=session) if session else "",
        "back_href": bedside.href("walk", session=session) if session else bedside.href("now_of"),
    }
    return render(request, "fillmark/wrong.html", context)
