"""The first screen: was the last one given, and what is next?"""

from collections.abc import Collection, Container, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_GET

from fillmark.core.bedside.next_session import NextAndLast, SessionView, next_and_last, no_entry
from fillmark.core.bedside.older_plan import find_older_plan
from fillmark.core.chart.medicine_states import MedicineState
from fillmark.core.chart.words import say_short_moment
from fillmark.core.day.values import PlannedSession
from fillmark.core.day.walk import say_by_mouth
from fillmark.core.doses.giving import Verdict
from fillmark.core.gates.act_gate import ActFinding, look_ahead
from fillmark.core.gates.last_giving import say_last_meal
from fillmark.core.gates.open_doses import OpenDose, find_open_doses
from fillmark.core.record.corrections import unanswered_corrections
from fillmark.core.record.day_entries import DayReplanned
from fillmark.core.record.entries import session_day
from fillmark.core.record.outcomes import count_doses, say_outcome_of
from fillmark.core.record.sessions import Standing
from fillmark.core.today.replanned import newest_times
from fillmark.core.tube.syringe import Mark
from fillmark.core.values.finding import Weight
from fillmark.core.values.people import Capability, Role, may
from fillmark.core.values.quantities import write_number
from fillmark.core.values.words import say_day
from fillmark.published.record_rules import BACKUP_AFTER_DAYS
from fillmark.services import backup, batches, chart, medicines, record
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.day_line import clock_of, line_of_day, session_at
from fillmark.web.phone.act_facts import millis
from fillmark.web.phone.facts import gate_facts, phone_facts
from fillmark.web.walk.buttons import start_press
from fillmark.web.words import (
    Names,
    say_amount,
    say_became,
    say_clock,
    say_entry,
    say_faults,
    say_held,
    say_many,
    say_no_right,
    say_session,
    say_span,
)


@dataclass(frozen=True, kw_only=True, slots=True)
class MarkToDraw:
    """One small syringe of the coming session."""

    mark: Mark
    words: str
    of: str
    medicine: str = ""
    is_locked: bool = False


def _marks(planned: PlannedSession, *, locked: Container[str]) -> list[MarkToDraw]:
    """Each medicine that is drawn, then the meal as its fills; no mark of one whose bottle has another strength."""
    marks = [
        MarkToDraw(
            mark=dose.drawn,
            words=str(dose.drawn.drawn),
            of=dose.medicine.name,
            medicine=dose.medicine.id,
            is_locked=dose.medicine.id in locked,
        )
        for dose in planned.to_give
        if isinstance(dose.drawn, Mark)
    ]
    if planned.fills:
        amounts = [float(mark.drawn.ml) for mark in planned.fills]
        full = amounts.count(amounts[0])
        first = f"{full} × {write_number(amounts[0])}" if full > 1 else write_number(amounts[0])
        words = " + ".join([first, *(write_number(ml) for ml in amounts[full:])])
        marks.append(MarkToDraw(mark=planned.fills[0], words=f"{words} mL", of="Meal"))
    return marks


def _what(planned: PlannedSession) -> str:
    """The session in words: "2 medicines · 30 mL water · meal 190 mL"."""
    parts = [say_many(len(planned.to_give), "medicine")] if planned.to_give else []
    parts += [f"{dose.medicine.name} {dose.amount}" for dose in planned.to_give if not isinstance(dose.drawn, Mark)]
    if planned.flush_ml:
        parts.append(f"{write_number(planned.flush_ml)} mL water")
    if planned.meal_ml:
        parts.append(f"meal {write_number(planned.meal_ml)} mL")
    parts += [task.name for task in planned.tasks]
    return " · ".join(parts)


def _last_title(view: SessionView, bedside: Bedside) -> str:
    """ "Meal and 1 medicine, 15:06"; the planned time where nothing was recorded."""
    standing = view.record.standing
    if standing in (Standing.NO_ENTRY, Standing.SKIPPED):
        return clock_of(bedside, view.session)
    has_meal = view.record.blend is not None
    counts = count_doses(view.record)
    parts = (["Meal"] if has_meal else []) + [say_became(became, count) for became, count in counts.items()]
    return f"{' and '.join(parts) or 'Session'}, {say_clock(view.record.last_at, bedside.zone)}"


def _when(view: SessionView, bedside: Bedside) -> tuple[str, bool]:
    """How far off the next session is, and whether it is overdue."""
    standing, name = view.record.standing, view.record.last_by
    if standing is Standing.PAUSED and view.record.reason:
        return f"Food came back up at {say_clock(view.record.last_at, bedside.zone)}: decide what comes next", True
    if standing is Standing.PAUSED:
        return f"Paused by {name} at {say_clock(view.record.last_at, bedside.zone)}", False
    if standing is Standing.IN_HAND:
        return f"{view.record.held_by_name} has it, since {say_clock(view.record.started_at, bedside.zone)}", False
    gap = session_at(bedside, view.session) - bedside.now
    if gap.total_seconds() >= 0:
        return f"Next, in {say_span(gap)}", False
    return f"Due {say_span(-gap)} ago, no entry", True


def _locked(states: Iterable[MedicineState]) -> frozenset[str]:
    return frozenset(state.medicine.id for state in states if state.is_locked)


def _card(
    bedside: Bedside, view: SessionView, *, locked: Container[str], found: Sequence[ActFinding] = ()
) -> dict[str, object]:
    """The card of a session that is to come, what the gate says of its start, and its button."""
    planned = view.planned
    when, is_overdue = _when(view, bedside)
    return {
        "session": view.session,
        "clock": clock_of(bedside, view.session),
        "moved_from": view.session[11:] if view.session in bedside.moved else "",
        "at": millis(session_at(bedside, view.session)),
        "when": when,
        "is_overdue": is_overdue,
        "is_started": view.record.standing is not Standing.NO_ENTRY,
        "marks": _marks(planned, locked=locked) if planned else [],
        "what": _what(planned) if planned else "",
        "meal_ml": planned.meal_ml if planned else 0,
        "so_far": say_session(view.record, planned_ml=planned.meal_ml if planned else None, zone=bedside.zone),
        "href": bedside.href("walk", session=view.session),
        "press_href": bedside.href("press", session=view.session),
        "found": [one for one in found if one.weight is not Weight.REFUSED],
        "last_meal": say_last_meal(bedside.side, session=view.session),
        "start": start_press(view.session, clock=clock_of(bedside, view.session)),
    }


def _open_dose(one: OpenDose, bedside: Bedside) -> dict[str, object]:
    """A dose that is due and stays on the first screen until someone says what became of it."""
    until = f" Not after {_say_when(one.until, bedside)}." if one.until else ""
    ask = f"Held: {one.held}." if one.held else "Nobody wrote down whether it was given. Ask before you give it."
    return {
        "due": f"Due {_say_when(one.at, bedside)} · {'held' if one.held else 'no entry'}",
        "name": one.dose.medicine.name,
        "words": f"{ask}{until}",
        "href": bedside.href("walk", session=one.session),
        "step": one.step,
    }


_DEALT_WITH = {Verdict.ALREADY_GIVEN, Verdict.TOO_SOON, Verdict.COURSE_ENDED}


def _left_out(bedside: Bedside, views: Iterable[SessionView]) -> Iterator[tuple[str, str]]:
    """Each dose of today that is left out with its session, or by today's new times: its session and its medicine."""
    for view in views:
        if view.record.standing is Standing.SKIPPED and view.planned is not None:
            yield from ((view.session, dose.medicine.id) for dose in view.planned.medicines)
    for session, word in newest_times(bedside.replanned).items():
        yield from ((session, medicine) for medicine in word.without)


def _doses(
    bedside: Bedside, states: Iterable[MedicineState], *, left_out: Collection[tuple[str, str]]
) -> Iterable[dict[str, object]]:
    """What became of each medicine today, and when it is next: "did I give that today?"."""
    for state in states:
        told = [
            f"{say_outcome_of(one.payload.outcome)} {say_clock(one.at, bedside.zone)} "
            f"by {one.payload.given_by or one.kept.by_name}"
            for one in state.today
        ]
        last = state.last
        if not told and last is not None:
            told = [f"last on {last.at.astimezone(bedside.zone):%A %H:%M} by {last.kept.by_name}"]
        yield {
            "id": state.medicine.id,
            "name": state.medicine.name,
            "today": ", ".join(told) or "no entry",
            "next": _next_dose(state, bedside, left_out),
            "needed_href": bedside.href("when_needed", medicine=state.medicine.id)
            if state.medicine.when_needed
            else "",
            "course": " ".join(filter(None, (state.next_notes.place, *state.next_notes.changes))),
            "lock_href": bedside.href("strength", bottle=state.bottle.id) if state.is_locked and state.bottle else "",
            "questions": [question.text for question in state.questions],
            "alarms": state.alarms,
        }


def _next_dose(state: MedicineState, bedside: Bedside, left_out: Collection[tuple[str, str]]) -> str:
    """When it is next, or why no time is planned."""
    if state.next_at is not None:
        session = f"{state.next_at.astimezone(bedside.zone):%Y-%m-%dT%H:%M}"
        if (session, state.medicine.id) in left_out:
            return f"{session[11:]} is left out"
        return f"next {_say_when(session_at(bedside, session), bedside)}"
    if state.medicine.when_needed:
        return "when needed"
    is_over = state.medicine.stop_on is not None and state.decision.verdict in _DEALT_WITH
    return "the course is over" if is_over else state.decision.because


def _say_when(at: datetime, bedside: Bedside) -> str:
    """A time of day; with its weekday or its date where it is not today: a kept page may be read tomorrow."""
    local, today = at.astimezone(bedside.zone), bedside.now.astimezone(bedside.zone).date()
    if local.date() == today:
        return f"{local:%H:%M}"
    return f"{local:%a %H:%M}" if local.date() - today < timedelta(days=7) else say_short_moment(at, zone=bedside.zone)


def _unanswered(bedside: Bedside) -> list[dict[str, str]]:
    """Corrections since yesterday whose writers may not put that right: a lead looks at each."""
    kept = bedside.side.of_days(bedside.today - timedelta(days=1), bedside.today)
    return [
        {
            "words": say_entry(one.kept, names=Names()),
            "by": one.kept.by_name,
            "why": say_no_right(one),
            "href": bedside.href("entry", entry_id=one.kept.entry.id),
        }
        for one in unanswered_corrections(kept)
    ]


@require_GET
@at_the_bedside
def now(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    state = next_and_last(bedside.side)
    lock = bedside.side.lock
    states = medicines.verdicts(bedside.side)
    is_to_start = state.next is not None and state.next.record.standing is Standing.NO_ENTRY
    found = look_ahead(bedside.side_on(state.next.session), state.next.session) if state.next and is_to_start else ()
    context = {
        "bedside": bedside,
        "line": line_of_day(bedside, day=bedside.today, records=[view.record for view in state.sessions]),
        "day_href": bedside.href("day"),
        "stock_href": bedside.bottles_href,
        "may_take_in": bedside.may_open("take_in"),
        "calls_href": bedside.href("calls"),
        "under": f"{bedside.now.astimezone(bedside.zone):%A %H:%M}",
        "others": [
            {"name": other.name, "emblem": bedside.emblems[other.id], "href": reverse("now_of", args=[other.id])}
            for other in bedside.others
        ],
        "plan": bedside.side.stored,
        "by_mouth": say_by_mouth(bedside.side.stored.plan.animal.by_mouth if bedside.side.stored else None),
        "problem": state.problem,
        "clashes": state.clashes,
        "older_plan": list(_older_plan(bedside, state)),
        "set_aside": bedside.side.set_aside if bedside.caregiver.role is Role.LEAD else 0,
        "unanswered": _unanswered(bedside) if bedside.caregiver.role is Role.LEAD else [],
        "lock": lock,
        "to_leave": [(batch.name, say_faults(faults)) for batch, faults in bedside.side.batch_facts.read().to_leave],
        "held": _held(bedside),
        "may_record": may(bedside.caregiver, what=Capability.RECORD_ANYTHING, on=bedside.today),
        "ends": _ends(bedside),
        "open_doses": [_open_dose(one, bedside) for one in find_open_doses(bedside.side, state)],
        "doses": list(_doses(bedside, states, left_out=set(_left_out(bedside, state.sessions)))),
        "old_sheet": chart.find_old_sheet(bedside.side),
        "old_sheet_id": record.new_entry_id(now=bedside.now),
        "flags": _flags(state, found),
        "new_times": _new_times(bedside),
        "backup_after_days": _backup_after_days(bedside),
        "phone": phone_facts(bedside, state, lock=lock, medicines=states) | {"actsAt": bedside.href("ahead")},
    }
    if state.last is not None:
        planned_ml = state.last.planned.meal_ml if state.last.planned else None
        context["last"] = {
            "title": _last_title(state.last, bedside),
            "words": say_session(state.last.record, planned_ml=planned_ml, zone=bedside.zone),
            "is_unclear": state.last.record.standing in (Standing.NO_ENTRY, Standing.NOT_KNOWN),
            "is_stopped": state.last.record.standing is Standing.STOPPED,
            "clock": clock_of(bedside, state.last.session),
            "href": bedside.href("walk", session=state.last.session),
        }
    if state.next is not None:
        context["next"] = _card(bedside, state.next, locked=_locked(states), found=found)
        context["entry_id"] = record.new_entry_id(now=bedside.now)
    return render(request, "now/now.html", context)


def _ends(bedside: Bedside) -> str:
    """Until when the orders hold that are in force, where they end by themselves; empty for others."""
    stored = bedside.side.stored
    ends = stored.plan.ends if stored is not None and stored.is_readable else None
    if ends is None:
        return ""
    until = "today" if ends.last_on == bedside.today else say_day(ends.last_on, has_weekday=True)
    return f"These orders hold until the end of {until}: {ends.why}. Then the plan before holds again."


def _held(bedside: Bedside) -> str:
    """How the batch in use differs from the plan's mix; empty where it does not."""
    found, batch = batches.held(bedside.side), bedside.side.batch_facts.read().in_use
    return f"{batch.name}: {say_held(found.percent)}" if batch and found is not None and found.percent else ""


def _older_plan(bedside: Bedside, state: NextAndLast) -> Iterator[dict[str, object]]:
    """Each meal that a phone gave by an older version: "210 of 154 mL"."""
    for one in find_older_plan(bedside.side, state.sessions):
        wanted = f" of {write_number(one.planned_ml)} mL" if one.planned_ml else ", at a time without a meal"
        words = (
            say_amount(one.went_in).removesuffix(" mL") + wanted if one.planned_ml else say_amount(one.went_in) + wanted
        )
        yield {
            "clock": clock_of(bedside, one.session),
            "words": words,
            "version": one.version,
            "in_force": one.in_force,
        }


def _backup_after_days(bedside: Bedside) -> str:
    """After how many days without an archive a lead is reminded, where that is now; nothing else."""
    is_due = bedside.caregiver.role is Role.LEAD and backup.is_backup_due(now=bedside.now)
    return write_number(BACKUP_AFTER_DAYS.value) if is_due else ""


def _new_times(bedside: Bedside) -> dict[str, object] | None:
    """That today goes on at other times, and who said so; none on an ordinary day."""
    found = [one for one in bedside.replanned if one.day == bedside.today]
    if not found or not isinstance(found[-1].entry.payload, DayReplanned):
        return None
    newest = found[-1]
    return {
        "by": newest.by_name,
        "clock": say_clock(newest.entry.at, bedside.zone),
        "reason": found[-1].entry.payload.reason,
        "times": [
            (session[11:], clock_of(bedside, session))
            for session in sorted(bedside.moved)
            if session_day(session, day_starts=bedside.home.day_starts) == bedside.today
        ],
    }


def _flags(state: NextAndLast, found: Sequence[ActFinding]) -> dict[str, bool]:
    standing = state.next.record.standing if state.next else Standing.NO_ENTRY
    is_started = standing is not Standing.NO_ENTRY
    is_stopped = state.stopped_before is not None
    is_asked = any(one.weight in (Weight.ASKED, Weight.NEEDS_VET) for one in found)
    return {"started": is_started, "stopped": is_stopped, "asked": is_asked}


@require_GET
@at_the_bedside
def ahead(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    """The cards of all sessions of the coming days, for a phone that has no signal when their time comes."""
    state = next_and_last(bedside.side)
    records = {view.session: view.record for view in state.sessions}
    locked = _locked(medicines.verdicts(bedside.side))
    cards = []
    for planned in state.ahead:
        silent = no_entry(planned.key)
        view = SessionView(planned=planned, record=records.get(planned.key, silent))
        cards.append(_card(bedside, view, locked=locked))
    context = {
        "bedside": bedside,
        "acts": gate_facts(bedside, state)["acts"],
        "cards": cards,
        "flags": {"started": False, "stopped": False, "asked": False},
        "entry_id": record.new_entry_id(now=bedside.now),
    }
    return render(request, "now/ahead.html", context)
