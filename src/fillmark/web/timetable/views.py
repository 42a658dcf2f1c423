"""The day's times: as they are, and as a changed wish would make them. Nothing changes until a lead accepts."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import time
from math import ceil

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.safestring import SafeString
from django.views.decorators.http import require_http_methods

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.household import WEEKDAYS
from fillmark.core.timetable import MEAL, NoDay, Session, Timetable, WayOut, Window
from fillmark.core.today.chosen_hours import Wishes
from fillmark.core.today.duties import names_of
from fillmark.core.today.who import say_days, who_comes
from fillmark.core.today.wishes import Move, Proposal
from fillmark.core.values.errors import BadPlan, FillmarkError, NotAllowed
from fillmark.core.values.people import Capability, may
from fillmark.services import plans, record
from fillmark.services import timetable as service
from fillmark.services.timetable import DayOffer, Usual
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.day_line import line_of_day
from fillmark.web.timetable.dial import Dial, draw_dial
from fillmark.web.vets_word import findings_to_answer, read_confirmation
from fillmark.web.words import say_many

_CLOCKS = ("sleep_from", "sleep_until", "earliest", "latest", "fixed_at")


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownDay:
    """One day as a dial and as a list."""

    dial: SafeString
    lines: Sequence[tuple[str, str, str | None]]


def _clock(minutes: int) -> str:
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def read_clock(text: str, *, field: str) -> time | None:
    """The time of day in a form's field; none where it is empty."""
    if not text.strip():
        return None
    try:
        return time.fromisoformat(text.strip()).replace(second=0, microsecond=0, tzinfo=None)
    except ValueError:
        raise BadPlan(
            field=field,
            got=f'"{text[:20]}" for a time of day',
            allowed="00:00 to 23:59",
            remedy="Write the time as the clock on the wall shows it, such as 07:30.",
        ) from None


def _read_wishes(form: Mapping[str, str]) -> Wishes:
    """The wishes of a filled-in form; what is left empty is not wished for, and sleep keeps its usual hours."""
    usual = Wishes()
    clocks = {name: read_clock(form.get(name, ""), field=name) for name in _CLOCKS}
    return Wishes(
        sleep_from=clocks["sleep_from"] or usual.sleep_from,
        sleep_until=clocks["sleep_until"] or usual.sleep_until,
        earliest=clocks["earliest"],
        latest=clocks["latest"],
        fixed_at=clocks["fixed_at"],
        fixed_what=form.get("fixed_what") or None,
    )


def _in_order(usual: Usual, timetable: Timetable) -> list[Session]:
    starts = usual.plan.household.day_starts
    starts_clock = starts.hour * 60 + starts.minute
    return sorted(timetable.sessions, key=lambda session: (session.clock - starts_clock) % 1440)


def _show_day(usual: Usual, timetable: Timetable, *, wishes: Wishes, name: str, moves: Sequence[Move] = ()) -> ShownDay:
    starts = usual.plan.household.day_starts
    sessions = _in_order(usual, timetable)
    dial = Dial(
        sessions=sessions,
        day_starts_clock=starts.hour * 60 + starts.minute,
        night=Window(*(clock.hour * 60 + clock.minute for clock in (wishes.sleep_from, wishes.sleep_until))),
        moves=moves,
    )
    return ShownDay(
        dial=draw_dial(
            dial, spoken=f"{name} as a dial of 24 hours: {say_many(len(sessions), 'session')}, listed below"
        ),
        lines=[
            (_clock(session.clock), ", ".join(_contents(session, moves)), _who(usual, session)) for session in sessions
        ],
    )


def _who(usual: Usual, session: Session) -> str | None:
    """Who can come to a session through the week; none where nobody's hours are stated."""
    plan = usual.plan
    minutes = 0
    if session.has_meal:
        minutes = ceil(plan.orders.upright_minutes or 0)
    tasks = [task for task in plan.tasks if task.name in session.duties]
    return who_comes(plan, clock=time(*divmod(session.clock, 60)), minutes=minutes, tasks=tasks)


def _contents(session: Session, moves: Sequence[Move]) -> Iterator[str]:
    """What a session holds, each with where it was when it moved."""
    was = {move.what: move.old_clock for move in moves if move.new_clock == session.clock}
    for name in (*session.duties, *((MEAL,) if session.has_meal else ())):
        moved = f" (was {_clock(was[name])})" if name in was else ""
        yield f"{_call(name)}{moved}"


def _call(name: str) -> str:
    return "Meal" if name == MEAL else name


def _some_days(plan: CarePlan) -> Iterator[tuple[str, str, str]]:
    """Tasks of some weekdays, which keep their times whatever the other days do: times, name, days."""
    for task in plan.tasks:
        if len(set(task.days)) < len(WEEKDAYS):
            times = "with each meal" if task.with_each_meal else ", ".join(f"{clock:%H:%M}" for clock in task.clocks)
            yield times, task.name, say_days(task.days)


def _choices(plan: CarePlan) -> list[tuple[str, str]]:
    """What may be fixed at a time."""
    names = names_of(plan)
    timed = [medicine for medicine in plan.medicines if medicine.when_needed is None and not medicine.with_each_meal]
    return [("", "Any session"), (MEAL, "A meal"), *((one.id, names[one.id]) for one in timed)]


def _say_way(usual: Usual, way: WayOut) -> dict[str, object]:
    sessions = _in_order(usual, way.timetable)
    return {
        "words": way.words,
        "needs_vet": way.needs_vet,
        "day": [f"{_clock(session.clock)} {', '.join(_contents(session, ()))}" for session in sessions],
    }


def _say_result(offer: DayOffer, proposal: Proposal) -> dict[str, object]:
    """The proposal in words and pictures."""
    usual, new = offer.usual, proposal.new
    shown: dict[str, object] = {
        "faults": proposal.old_faults,
        "assumed": proposal.regimen.cautions,
        "figures": proposal.regimen.figures,
        "seen": offer.seen,
    }
    if isinstance(new, NoDay):
        clash = proposal.clash
        shown["clash"] = {
            "rules": clash.rules if clash else (),
            "ways": [_say_way(usual, way) for way in clash.ways_out] if clash else (),
        }
        return shown
    before, after = len(proposal.old.sessions), len(new.sessions)
    holding = proposal.holding
    return {
        **shown,
        "day": _show_day(usual, new, wishes=proposal.wishes, name="The new day", moves=proposal.moves),
        "before": before,
        "after": after,
        "is_proven": new.stages[0].is_proven if new.stages else False,
        "moves": [(_call(move.what), _clock(move.old_clock), _clock(move.new_clock)) for move in proposal.moves],
        "buys": [(buy.rule, buy.sessions) for buy in holding.buys] if holding else (),
    }


def _findings(request: HttpRequest, bedside: Bedside, offer: DayOffer | None) -> dict[str, object] | None:
    """What speaks against the plan with the proposed times, for the form that would put it in force."""
    if offer is None or offer.new_plan is None:
        return None
    found = plans.look_at(offer.new_plan, **bedside.ids, now=bedside.now, effective_from=offer.usual.starts_at)
    return findings_to_answer(found, request)


@require_http_methods(["GET", "POST"])
@at_the_bedside
def timetable(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    form = request.POST if request.method == "POST" else request.GET
    filled = {name: form.get(name, "") for name in (*_CLOCKS, "fixed_what")}
    is_asked = any(name in form for name in filled)
    usual = service.find_usual(**bedside.ids, now=bedside.now)
    wishes, offer, error = Wishes(), None, None
    try:
        wishes = _read_wishes(filled)
        if request.method == "POST":
            service.put_in_force(
                read_confirmation(request, bedside, about="the new times"),
                animal_id=bedside.animal.id,
                wishes=wishes,
                seen=request.POST.get("seen", ""),
            )
            return redirect(bedside.href("timetable"))
    except NotAllowed:
        raise
    except FillmarkError as refused:
        error = refused
    if is_asked:
        try:
            offer = service.propose(**bedside.ids, wishes=wishes, now=bedside.now)
        except FillmarkError as refused:
            error = error or refused
    for name, clock in (("sleep_from", wishes.sleep_from), ("sleep_until", wishes.sleep_until)):
        filled[name] = filled[name] or f"{clock:%H:%M}"
    ledger = record.day_ledger(bedside.side, day=bedside.today)
    stored, starts_at = usual.stored, usual.starts_at
    begins = stored.effective_from.astimezone(bedside.zone) if stored.effective_from > bedside.now else None
    old_title = f"The day from {begins:%A} on" if begins else "The day as it is"
    context = {
        "bedside": bedside,
        "line": line_of_day(bedside, day=bedside.today, records=[line.record for line in ledger.lines]),
        "day_href": bedside.href("day"),
        "calls_href": bedside.href("calls"),
        "under": f"The day's times, version {stored.number}",
        "stored": stored,
        "begins": begins,
        "starts_at": starts_at,
        "day": _show_day(usual, usual.day, wishes=wishes, name=old_title),
        "old_title": old_title,
        "some_days": list(_some_days(usual.plan)),
        "filled": filled,
        "choices": _choices(usual.plan),
        "error": error,
        "result": _say_result(offer, offer.proposal) if offer else None,
        "findings": _findings(request, bedside, offer),
        "may_accept": may(bedside.caregiver, what=Capability.CHANGE_PLAN, on=bedside.today),
        "vet_words": request.POST.get("vet_words", ""),
        "vet_said_on": request.POST.get("vet_said_on", ""),
        "today": bedside.today,
        "vet": usual.plan.vet,
    }
    return render(request, "timetable/timetable.html", context, status=400 if error else 200)
