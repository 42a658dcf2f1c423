"""The walk: one step on the screen, one big button, and nothing remembered but what was recorded."""

from datetime import UTC, datetime, timedelta
from typing import Any
from urllib.parse import urlencode
from uuid import UUID

from django.db import transaction
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.utils.crypto import get_random_string
from django.views.decorators.http import require_GET, require_POST

from fillmark.core.record.batches import Batches, Fault
from fillmark.core.record.corrections import ShownEntry
from fillmark.core.record.entries import read_entry, session_day
from fillmark.core.record.sessions import Standing
from fillmark.core.values.errors import AlreadyRecorded, BadEntry, BatchNotToBeGiven, HeldByAnother
from fillmark.core.values.people import Capability, check_may, may
from fillmark.services import batches, locks, medicines, record, sessions
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.day_line import clock_of, line_of_day, session_at
from fillmark.web.bedside.todays_plan import PlannedDay, planned_for
from fillmark.web.phone.facts import phone_facts
from fillmark.web.walk.buttons import pause_press
from fillmark.web.walk.presses import afterwards_payloads, session_payload, step_payload
from fillmark.web.walk.progress import Walk
from fillmark.web.walk.screens import Maker, shown_screen
from fillmark.web.walk.session_screens import holds_of
from fillmark.web.words import say_clock, say_entry, say_faults, say_session

_STEP_PRESSES = ("step", "less", "out", "dose")


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


def _last_counting(shown: tuple[ShownEntry, ...], session: str) -> ShownEntry | None:
    return next((one for one in reversed(shown) if one.counts and one.kept.entry.session == session), None)


@require_GET
@at_the_bedside
def walk(request: HttpRequest, bedside: Bedside, *, session: str) -> HttpResponse:
    """Every screen of the session, with the one shown that fits what is recorded."""
    planned = planned_for(bedside, session)
    here = _walk_of(bedside, session, planned)
    found = planned.find(session)
    meal_ml = found.meal_ml if found else 0.0
    day = session_day(session, day_starts=bedside.home.day_starts)
    state = sessions.next_and_last(**bedside.ids, now=bedside.now)
    records = [view.record for view in state.sessions]
    is_mine = here.record.held_by == bedside.caregiver.id
    lock = locks.current_lock(**bedside.ids)
    batch_facts = batches.batch_facts(**bedside.ids, today=bedside.today, now=bedside.now)
    known = batch_facts.read()
    states = medicines.verdicts(**bedside.ids, now=bedside.now)
    locked = {
        state.medicine.id: bedside.href("strength", bottle=state.bottle.id)
        for state in states
        if state.is_locked and state.bottle is not None
    }
    shown = shown_screen(
        here, is_mine=is_mine, is_locked=lock is not None, is_batch_bad=bool(known.faults), locked=locked
    )
    step = here.current if shown.startswith(("step-", "locked-")) else None
    last = _last_counting(_entries_of(bedside, session), session)
    maker = Maker(
        session=session,
        clock=clock_of(bedside, session),
        planned_at=session_at(bedside, session),
        steps=here.steps,
        meal_ml=meal_ml,
        doses=planned.doses(session),
        names=planned.names,
        checks={
            dose.medicine.id: bedside.href("second_check", session=session, medicine=dose.medicine.id)
            for dose in (found.medicines if found else ())
            if dose.medicine.second_check
        },
        by_mouth=[dose.medicine.id for dose in (found.medicines if found else ()) if dose.medicine.route != "tube"],
        locked=locked,
        bottles_href=bedside.href("bottles"),
        batches=known if meal_ml else None,
        made_on=day,
        may_overrule=may(bedside.caregiver, what=Capability.OVERRULE_BATCH, on=bedside.today),
        test_again=_test_again(bedside, known),
    )
    flags = {
        "batch": bool(known.faults),
        "old": Fault.PAST_ITS_DAY in known.faults,
        "past": session_at(bedside, session) < bedside.now,
        "next": state.next is not None and state.next.session == session,
        "last": state.last is not None and state.last.session == session,
        "stopped": state.stopped_before is not None,
        "planned": bool(here.steps),
        "clear": may(bedside.caregiver, what=Capability.RECORD_ANYTHING, on=bedside.today),
    }
    context = {
        "bedside": bedside,
        "session": session,
        "clock": clock_of(bedside, session),
        "walk": here,
        "screens": list(maker.screens()),
        "shown": shown,
        "is_step": step is not None,
        "pause": pause_press(session, names=planned.names),
        "flags": flags,
        "planned": planned,
        "meal_ml": meal_ml,
        "so_far": say_session(here.record, planned_ml=meal_ml, zone=bedside.zone),
        "went_in": here.record.blend.low_ml if here.record.blend else 0,
        "under": f"Step {here.place} of {len(here.steps)}" if step else f"The {session[11:]} session",
        "lock": lock,
        "batch": known.in_use,
        "batch_faults": say_faults(known.faults),
        "held_by": here.record.held_by_name,
        "stopped_before": state.stopped_before,
        "undo": last
        and {
            "id": last.kept.entry.id,
            "words": f"{say_entry(last.kept, names=planned.names)}, {say_clock(last.kept.entry.at, bedside.zone)}",
            "by": last.kept.by_name,
        },
        "unwritten": here.find(request.GET.get("unwritten", "")),
        "line": line_of_day(bedside, day=day, records=records if day == bedside.today else [here.record]),
        "day_href": bedside.href("day"),
        "calls_href": f"{bedside.href('calls')}?in={session}",
        "press_href": bedside.href("press", session=session),
        "entry_id": record.new_entry_id(now=bedside.now),
        "phone": phone_facts(
            bedside,
            state,
            lock=lock,
            medicines=states,
            drawn={dose.medicine.id: dose for dose in (found.medicines if found else ())},
            here=session,
            steps=here.steps,
            meal_ml=meal_ml,
            batches=batch_facts,
        ),
    }
    return render(request, "walk/walk.html", context)


def _test_again(bedside: Bedside, known: Batches) -> str:
    """Where the batch in use is tested once more; empty for who may not write that down."""
    batch = known.in_use
    if batch is None or not may(bedside.caregiver, what=Capability.RECORD_ANYTHING, on=bedside.today):
        return ""
    return f"{bedside.href('flow_test')}?{urlencode({'batch': batch.label, 'made_on': batch.made_on})}"


_QUIET = timedelta(milliseconds=500)
"""Nobody reads a step and presses within this time of its being shown: it is the rest of a double tap."""


def _is_rest_of_a_tap(form: QueryDict, *, now: datetime) -> bool:
    """Whether a press comes so soon after its page was made that it was meant for the page before."""
    shown = form.get("shown")
    if not shown:
        return False
    shown_at = datetime.fromtimestamp((_read_id(shown).int >> 80) / 1000, tz=UTC)
    return timedelta(0) <= now - shown_at < _QUIET


@require_POST
@at_the_bedside
def press(request: HttpRequest, bedside: Bedside, *, session: str) -> HttpResponse:
    """Record what a press says, from a browser without JavaScript, and go on from what the record then holds."""
    form = request.POST
    what, step_id = form.get("what", ""), form.get("step", "")
    entry_id = _read_id(form.get("entry_id", ""))
    to_walk = redirect("walk", animal_id=bedside.animal.id, session=session)
    if _is_rest_of_a_tap(form, now=bedside.now):
        return to_walk
    planned = planned_for(bedside, session)
    here = _walk_of(bedside, session, planned)
    if record.is_recorded(household_id=bedside.home.id, entry_id=entry_id):
        return to_walk
    corrects = None
    step = here.find(step_id)
    if what == "undo":
        corrects = _read_id(form.get("undo", ""))
        last = _last_counting(_entries_of(bedside, session), session)
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
        dose = planned.doses(session).get(step.medicine_id or "", {})
        payloads = [step_payload(what, step=step, session=session, dose=dose, form=form)]
    elif what == "afterwards":
        found = planned.find(session)
        payloads = afterwards_payloads(
            session=session,
            doses=planned.doses(session),
            held=holds_of(found.steps) if found else {},
            meal_ml=found.meal_ml if found else 0.0,
            form=form,
        )
    else:
        payloads = [session_payload(what, session=session, form=form)]
        is_open = here.record.standing is Standing.IN_HAND and (here.current is not None or not here.steps)
        if what == "end" and is_open:
            return to_walk
    at = session_at(bedside, session) if what == "afterwards" else bedside.now
    try:
        with transaction.atomic():
            for place, payload in enumerate(payloads):
                one_id = UUID(int=entry_id.int + place)
                is_fresh = place == 0 and "again" not in form
                _record(request, bedside, entry_id=one_id, at=at, payload=payload, corrects=corrects, is_fresh=is_fresh)
    except AlreadyRecorded:
        return redirect(f"{to_walk.url}?{urlencode({'unwritten': step.id})}") if step else to_walk
    except (HeldByAnother, BatchNotToBeGiven):
        return to_walk
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


def _record(
    request: HttpRequest,
    bedside: Bedside,
    *,
    entry_id: UUID,
    at: datetime,
    payload: dict[str, Any],
    corrects: UUID | None,
    is_fresh: bool,
) -> None:
    """Keep the entry, once."""
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
        record.record_entry(
            household_id=bedside.home.id, by=bedside.caregiver.id, entry=entry, now=bedside.now, is_fresh=is_fresh
        )
    except BadEntry:  # a second tap is the same press with a later date: it changes nothing
        if not record.is_recorded(household_id=bedside.home.id, entry_id=entry_id):
            raise
