"""The walk: one step a page, one big button, and nothing remembered but what was recorded."""

from datetime import UTC, datetime, timedelta
from typing import Any
from urllib.parse import urlencode
from uuid import UUID

from django.db import transaction
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.utils.crypto import get_random_string
from django.views.decorators.http import require_GET, require_POST

from fillmark.core.entries import read_entry, session_day
from fillmark.core.errors import BadEntry
from fillmark.core.ledger import ShownEntry, Standing
from fillmark.core.people import Capability, check_may, may
from fillmark.core.syringe import scale_lines
from fillmark.core.walk import Step, StepKind
from fillmark.services import record, sessions
from fillmark.services.sessions import NextAndLast
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.line import line_of_day, session_at
from fillmark.web.planned import PlannedDay, planned_for
from fillmark.web.walk.presses import SKIP_REASONS, afterwards_payloads, session_payload, step_payload
from fillmark.web.walk.progress import Walk
from fillmark.web.words import say_clock, say_session, tell

_BIG_WORDS = {
    StepKind.WASH: "Hands are washed",
    StepKind.CHECK_MARK: "Yes",
    StepKind.FLUSH: "It is in",
    StepKind.MEDICINE: "It is given",
    StepKind.WAIT: "The time is over",
    StepKind.FILL: "It is in",
    StepKind.UPRIGHT: "The time is over",
    StepKind.CLEAN: "It is clean",
}
_STEP_PRESSES = ("step", "less", "out", "dose")
_MAY_PRESS = {
    "start": {Standing.NO_ENTRY},
    "pause": {Standing.IN_HAND},
    "resume": {Standing.PAUSED, Standing.STOPPED, Standing.NOT_KNOWN},
    "end": {Standing.IN_HAND, Standing.STOPPED},
    "stop": {Standing.IN_HAND, Standing.PAUSED, Standing.NOT_KNOWN},
    "leave": {Standing.NO_ENTRY},
    "afterwards": {Standing.NO_ENTRY},
    "back": set(Standing),
}
"""In which standing a press still means what the page said; in another one, someone else was faster."""


def _walk_of(bedside: Bedside, session: str, planned: PlannedDay) -> Walk:
    """The walk as it stands; who may see only these days asks in vain for older ones."""
    day = session_day(session, day_starts=bedside.home.day_starts)
    if day < bedside.today - timedelta(days=1):
        check_may(bedside.caregiver, what=Capability.SEE_RECORD, on=bedside.today)
    state = sessions.session_state(**bedside.ids, session=session, now=bedside.now)
    found = planned.find(session)
    return Walk(steps=found.steps if found else (), record=state)


def _entries_of(bedside: Bedside, session: str) -> tuple[ShownEntry, ...]:
    day = session_day(session, day_starts=bedside.home.day_starts)
    shown = record.day_entries(**bedside.ids, day=day)
    return tuple(one for one in shown if one.kept.entry.session == session or one.kept.entry.corrects)


def stopped_before(state: NextAndLast) -> str | None:
    """The session before the next one where it was stopped; nothing is started until someone has cleared it."""
    last = state.last
    return last.session if last is not None and last.record.standing is Standing.STOPPED else None


def _last_counting(shown: tuple[ShownEntry, ...], session: str) -> ShownEntry | None:
    return next((one for one in reversed(shown) if one.counts and one.kept.entry.session == session), None)


def _frame(bedside: Bedside, session: str, walk: Walk, planned: PlannedDay) -> dict[str, object]:
    """What every page of a walk shows around its step."""
    found = planned.find(session)
    meal_ml = found.meal_ml if found else None
    day = session_day(session, day_starts=bedside.home.day_starts)
    state = sessions.next_and_last(**bedside.ids, now=bedside.now)
    records = [view.record for view in state.sessions]
    return {
        "bedside": bedside,
        "session": session,
        "clock": session[11:],
        "walk": walk,
        "planned": planned,
        "so_far": say_session(walk.record, planned_ml=meal_ml, zone=bedside.zone),
        "went_in": walk.record.blend.low_ml if walk.record.blend else 0,
        "meal_ml": meal_ml,
        "line": line_of_day(bedside, day=day, records=records if day == bedside.today else [walk.record]),
        "day_href": bedside.href("day"),
        "wrong_href": bedside.href("wrong_in", session=session),
        "press_href": bedside.href("press", session=session),
        "walk_href": bedside.href("walk", session=session),
        "entry_id": record.new_entry_id(now=bedside.now),
        "is_next": state.next is not None and state.next.session == session,
        "stopped_before": stopped_before(state),
        "is_past": session_at(bedside, session) < bedside.now,
        "is_last": state.last is not None and state.last.session == session,
        "medicines": len(found.medicines) if found else 0,
    }


@require_GET
@at_the_bedside
def walk(request: HttpRequest, bedside: Bedside, *, session: str) -> HttpResponse:
    """Where the session stands: its step, its pause, or what became of it."""
    planned = planned_for(bedside, session)
    here = _walk_of(bedside, session, planned)
    last = _last_counting(_entries_of(bedside, session), session)
    context = _frame(bedside, session, here, planned)
    context["undo"] = last and {
        "id": last.kept.entry.id,
        "words": f"{tell(last.kept, names=planned.names)}, {say_clock(last.kept.entry.at, bedside.zone)}",
        "by": last.kept.by_name,
    }
    context["unwritten"] = here.find(request.GET.get("unwritten", ""))
    step = here.current
    if here.record.standing is Standing.IN_HAND and step is not None:
        context |= {
            "step": step,
            "under": f"Step {here.place} of {len(here.steps)}" + _with_whom(here, bedside),
            "title": f"Fill {step.fill_number} of {step.fill_count}" if step.kind is StepKind.FILL else step.title,
            "detail": "" if step.ask and step.ask.startswith(step.detail) else step.detail,
            "big_words": "Yes" if step.ask else _BIG_WORDS[step.kind],
            "seconds": step.minutes * 60 if step.minutes else None,
            "seconds_left": here.seconds_left(step, now=bedside.now),
            "is_fill": step.kind is StepKind.FILL,
            "is_medicine": step.kind is StepKind.MEDICINE,
            "may_leave_out": step.if_no is None
            and step.kind not in (StepKind.WASH, StepKind.CHECK_MARK, StepKind.FILL),
        }
        return render(request, "fillmark/walk_step.html", context)
    context["under"] = f"The {session[11:]} session"
    context["standing"] = here.record.standing.value
    context["is_at_end"] = here.record.standing is Standing.IN_HAND
    context["may_go_on"] = may(bedside.caregiver, what=Capability.RECORD_ANYTHING, on=bedside.today)
    return render(request, "fillmark/walk_standing.html", context)


def _with_whom(here: Walk, bedside: Bedside) -> str:
    """Who else has this session in hand, so that two people see each other."""
    return "" if here.record.last_by == bedside.caregiver.name else f" · {here.record.last_by} has it"


_QUIET = timedelta(milliseconds=500)
"""Nobody reads a step and presses within this time of its being shown: it is the rest of a double tap."""


def _is_rest_of_a_tap(form: QueryDict, *, now: datetime) -> bool:
    """Whether a press comes so soon after its page was made that it was meant for the page before."""
    shown = form.get("shown")
    if not shown:
        return False
    shown_at = datetime.fromtimestamp((_read_id(shown).int >> 80) / 1000, tz=UTC)
    return timedelta(0) <= now - shown_at < _QUIET


_ASKS = {
    "less": "How much is still in the syringe?",
    "back": "How much came back?",
    "out": "Why is it left out?",
    "dose": "What became of it?",
    "afterwards": "How much went in?",
    "leave": "Why was it left out?",
}


@require_GET
@at_the_bedside
def ask(request: HttpRequest, bedside: Bedside, *, session: str, what: str) -> HttpResponse:
    """One question about what went otherwise than planned."""
    planned = planned_for(bedside, session)
    here = _walk_of(bedside, session, planned)
    step = here.find(request.GET.get("step", ""))
    if what not in _ASKS or (what in _STEP_PRESSES and step is None):
        return redirect("walk", animal_id=bedside.animal.id, session=session)
    context = _frame(bedside, session, here, planned) | {
        "what": what,
        "step": step,
        "question": _ASKS[what],
        "under": f"The {session[11:]} session",
        "tag": "p",
        "reasons": SKIP_REASONS,
        "lefts": _lefts(step) if what == "less" and step else [],
    }
    return render(request, "fillmark/walk_ask.html", context)


def _lefts(step: Step) -> list[str]:
    """The numbered lines below the mark: what may be left in the syringe, to be touched instead of typed."""
    if step.mark is None:
        return []
    return [line.label for line in scale_lines(step.mark.syringe) if line.label and 0 < line.ml < step.mark.drawn.ml]


@require_POST
@at_the_bedside
def press(request: HttpRequest, bedside: Bedside, *, session: str) -> HttpResponse:
    """Record what a press says, once, and go on from what the record then holds."""
    form = request.POST
    what, step_id = form.get("what", ""), form.get("step", "")
    entry_id = _read_id(form.get("entry_id", ""))
    if _is_rest_of_a_tap(form, now=bedside.now):
        return redirect("walk", animal_id=bedside.animal.id, session=session)
    planned = planned_for(bedside, session)
    here = _walk_of(bedside, session, planned)
    shown = _entries_of(bedside, session)
    to_walk = redirect("walk", animal_id=bedside.animal.id, session=session)
    if _is_known(shown, entry_id):
        return to_walk
    corrects = None
    step = here.find(step_id)
    if what == "undo":
        corrects = _read_id(form.get("undo", ""))
        last = _last_counting(shown, session)
        if last is None or last.kept.entry.id != corrects:
            return to_walk
        payloads: list[dict[str, Any]] = [{"kind": "withdrawn", "reason": "Pressed by mistake"}]
    elif what in _STEP_PRESSES:
        if step is None:
            raise BadEntry(
                field="step",
                got=f'The step "{step_id[:40]}", which this session does not have now',
                allowed="a step of the plan in force",
                remedy="Go back to the session; the plan may have changed meanwhile.",
            )
        if (here.is_behind(step) or not here.may_go_on) and "again" not in form:
            return redirect(f"{to_walk.url}?{urlencode({'unwritten': step.id})}")
        dose = planned.doses(session).get(step.medicine_id or "", {})
        payloads = [step_payload(what, step=step, session=session, dose=dose, form=form)]
    else:
        standing = here.record.standing
        if standing not in _MAY_PRESS.get(what, set(Standing)):
            return to_walk
        if what == "afterwards":
            found = planned.find(session)
            payloads = afterwards_payloads(
                session=session, doses=planned.doses(session), meal_ml=found.meal_ml if found else 0.0, form=form
            )
        else:
            payloads = [session_payload(what, session=session, form=form)]
        if what == "end" and standing is Standing.IN_HAND and (here.current is not None or not here.steps):
            return to_walk
        if what in ("resume", "end") and standing is Standing.STOPPED:
            check_may(bedside.caregiver, what=Capability.RECORD_ANYTHING, on=bedside.today)
        if what == "start" and stopped_before(sessions.next_and_last(**bedside.ids, now=bedside.now)):
            return to_walk
    at = session_at(bedside, session) if what == "afterwards" else bedside.now
    with transaction.atomic():
        for place, payload in enumerate(payloads):
            one_id = UUID(int=entry_id.int + place)
            _record(request, bedside, entry_id=one_id, at=at, payload=payload, corrects=corrects, session=session)
    if what in ("end", "leave", "afterwards"):
        return redirect("now_of", animal_id=bedside.animal.id)
    return to_walk


def _read_id(text: str) -> UUID:
    try:
        return UUID(text)
    except ValueError:
        raise BadEntry(
            field="entry_id",
            got="A press without its id",
            allowed="the id that the page made",
            remedy="Go back, load the page anew and press again.",
        ) from None


def _is_known(shown: tuple[ShownEntry, ...], entry_id: UUID) -> bool:
    return any(one.kept.entry.id == entry_id for one in shown)


def _record(
    request: HttpRequest,
    bedside: Bedside,
    *,
    entry_id: UUID,
    at: datetime,
    payload: dict[str, Any],
    corrects: UUID | None,
    session: str,
) -> None:
    """Keep the entry. A second tap is the same press with a later date: it changes nothing."""
    device = request.session.setdefault("device", f"browser-{get_random_string(8)}")
    entry = read_entry(
        {
            "id": str(entry_id),
            "animal_id": str(bedside.animal.id),
            "at": at.isoformat(),
            "zone": request.POST.get("zone") or bedside.home.time_zone,
            "device": device,
            "payload": payload,
            **({"corrects": str(corrects)} if corrects else {}),
        }
    )
    try:
        record.record_entry(household_id=bedside.home.id, by=bedside.caregiver.id, entry=entry, now=bedside.now)
    except BadEntry:
        if not _is_known(_entries_of(bedside, session), entry_id):
            raise
