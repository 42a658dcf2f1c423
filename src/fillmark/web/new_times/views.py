"""The rest of today at other times: late, missed, or nobody there. Nothing changes until a lead or helper accepts."""

from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from fillmark.core.day.values import PlannedSession
from fillmark.core.record.day_entries import DayReplanned
from fillmark.core.timetable import MEAL, Away
from fillmark.core.today.new_times import NewTime
from fillmark.core.values.errors import BadPlan, FillmarkError, NotAllowed
from fillmark.core.values.people import Capability, may
from fillmark.core.values.quantities import write_number
from fillmark.services import new_times as service
from fillmark.services import record
from fillmark.services.new_times import NewTimesOffer, Wish
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.day_line import clock_of
from fillmark.web.bedside.page_context import page_context
from fillmark.web.new_times.two_lines import Pair, TwoLines, draw_two_lines
from fillmark.web.timetable.views import read_clock
from fillmark.web.words import say_clock
from fillmark.web.writing import device_of, form_id


def _instant(bedside: Bedside, text: str, *, field: str, after: datetime) -> datetime | None:
    """The first instant after another at which the clock shows this time."""
    clock = read_clock(text, field=field)
    if clock is None:
        return None
    local = after.astimezone(bedside.zone)
    at = datetime.combine(local.date(), clock, tzinfo=bedside.zone)
    # a time that has passed is meant for after midnight, as long as that is still today's household day
    return at if at > after else datetime.combine(local.date() + timedelta(days=1), clock, tzinfo=bedside.zone)


def _read_wish(bedside: Bedside, form: Mapping[str, str], again: list[str], *, asked_at: datetime) -> Wish:
    until_at = _instant(bedside, form.get("until", ""), field="until", after=asked_at)
    from_at = _instant(bedside, form.get("from", ""), field="from", after=asked_at)
    if until_at is None:
        if from_at is not None:
            raise BadPlan(
                field="until",
                got="A time from which nobody is there, and none until when",
                allowed="both, or only until when",
                remedy="Enter when somebody can come again.",
            )
        return Wish(again=tuple(again))
    if from_at is not None and from_at >= until_at:
        from_at = None  # gone already
    return Wish(away=Away(from_at or asked_at, until_at), again=tuple(again))


def _reason(bedside: Bedside, wish: Wish, *, asked_at: datetime) -> str:
    """Why the times change, in one line for the record."""
    said = [f"The {clock_of(bedside, session)} session was not given in time" for session in wish.again]
    if wish.away is not None:
        from_at, until = wish.away.from_at, say_clock(wish.away.until_at, bedside.zone)
        begins = f" from {say_clock(from_at, bedside.zone)}" if from_at > asked_at else ""
        said.append(f"Nobody there{begins} until {until}")
    return ". ".join(said) or "A session came late"


def _what(session: PlannedSession, *, meal_ml: float, without: tuple[str, ...]) -> str:
    names = [dose.medicine.name for dose in session.medicines if dose.medicine.id not in without]
    names += [task.name for task in session.tasks] + (["flush of the idle tube"] if session.idle_flush_ml else [])
    return ", ".join([*names, *([f"meal {write_number(meal_ml)} mL"] if meal_ml else [])])


def _line(bedside: Bedside, offer: NewTimesOffer, one: NewTime) -> dict[str, object]:
    """One session of the list: old and new time, what it holds, and what is skipped with why."""
    old_ml, new_ml = offer.old_ml(one), offer.new_ml(one)
    what = _what(one.ordered, meal_ml=new_ml, without=one.without)
    if one.at is None:
        what = _what(one.ordered, meal_ml=old_ml, without=())
    return {
        "old": say_clock(one.old_at, bedside.zone),
        "new": say_clock(one.at, bedside.zone) if one.at else "let go",
        "is_moved": one.at != one.old_at,
        "is_gone": one.at is None,
        "what": what,
        "old_ml": write_number(old_ml) if new_ml and new_ml != old_ml else "",
        "let_go": list(_let_go(one)),
    }


def _let_go(one: NewTime) -> Iterator[str]:
    by_reason: dict[str, list[str]] = {}
    for what, because in one.let_go:
        by_reason.setdefault(because, []).append("the meal" if what == MEAL else what)
    for because, names in by_reason.items():
        yield f"{because[0].upper()}{because[1:]}." if one.at is None else f"Without {' and '.join(names)}: {because}."


def _say(bedside: Bedside, offer: NewTimesOffer) -> dict[str, object]:
    """The proposal in words and as a picture."""
    times, rest = offer.times.value, offer.today.rest.value
    pairs = [Pair(old_at=one.old_at, new_at=one.at, has_meal=bool(one.ordered.meal_ml)) for one in times.times]
    shown = [at for pair in pairs for at in (pair.old_at, pair.new_at) if at is not None]
    lines = TwoLines(
        from_at=min([bedside.now, *shown]),
        until_at=max([bedside.now + timedelta(hours=3), *(at + timedelta(minutes=30) for at in shown)]),
        zone=bedside.zone,
        pairs=pairs,
    )
    planned_ml = sum(offer.new_ml(one) for one in times.times)
    short_ml = max(0.0, rest.due_ml - rest.in_hand_ml - planned_ml)
    return {
        "picture": draw_two_lines(
            lines, spoken="The rest of today on two lines: above as it was, below as it would be; listed below"
        ),
        "lines": [_line(bedside, offer, one) for one in times.times],
        "is_changed": bool(offer.changed),
        "is_proven": times.is_proven,
        "cautions": times.cautions,
        "seen": offer.seen,
        "short": f"{write_number(round(short_ml))} mL" if short_ml >= 1 and times.times else "",
        "rule": offer.loaded.plan.orders.missed_meal,
        "water_short": f"{write_number(round(rest.water_short_ml))} mL" if rest.water_short_ml >= 1 else "",
        "assumed": offer.times.all_cautions(),
        "workings": [offer.times, offer.today.shortest_gap],
    }


@require_http_methods(["GET", "POST"])
@at_the_bedside
def new_times(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    form = request.POST if request.method == "POST" else request.GET
    filled = {name: form.get(name, "") for name in ("from", "until")}
    again = form.getlist("again")
    offer, error = None, None
    try:
        asked_at = _read_asked_at(form.get("asked_at", ""), now=bedside.now)
        wish = _read_wish(bedside, filled, again, asked_at=asked_at)
        if request.method == "POST":
            _accept(request, bedside, wish, asked_at=asked_at)
            return redirect("now_of", animal_id=bedside.animal.id)
        offer = service.propose(bedside.side, wish=wish)
    except NotAllowed:
        raise
    except FillmarkError as refused:
        error = refused
    if offer is None and error is not None:
        try:
            offer = service.propose(bedside.side, wish=Wish())
            again = []
        except FillmarkError as refused:
            error = refused
    in_force = bedside.side.replanned(first=bedside.today, last=bedside.today)
    newest = in_force[-1] if in_force else None
    silent = [*again, *(offer.times.value.ask if offer else ())]
    context = page_context(bedside, under="The rest of today") | {
        "filled": filled,
        "error": error,
        "result": _say(bedside, offer) if offer else None,
        "asks": [
            {"session": key, "clock": clock_of(bedside, key), "what": _of(offer, key), "is_ticked": key in again}
            for key in sorted(silent)
        ],
        "again": again,
        "asked_at": bedside.now.isoformat(),
        "lock": bedside.side.lock,
        "may_accept": may(bedside.caregiver, what=Capability.RECORD_ANYTHING, on=bedside.today),
        "newest": newest
        and isinstance(newest.entry.payload, DayReplanned)
        and {
            "id": newest.entry.id,
            "by": newest.by_name,
            "clock": say_clock(newest.entry.at, bedside.zone),
            "reason": newest.entry.payload.reason,
        },
        "entry_id": record.new_entry_id(now=bedside.now),
    }
    return render(request, "new_times/new_times.html", context, status=400 if error else 200)


def _of(offer: NewTimesOffer | None, key: str) -> str:
    session = offer.loaded.today.get(key) if offer else None
    return _what(session, meal_ml=session.meal_ml, without=()) if session else ""


def _read_asked_at(text: str, *, now: datetime) -> datetime:
    """When the page worked the times out; now, where it has not yet."""
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        return now
    return found if found.tzinfo is not None and abs(found - now) < timedelta(days=1) else now


def _accept(request: HttpRequest, bedside: Bedside, wish: Wish, *, asked_at: datetime) -> None:
    service.set_times(
        **bedside.ids,
        by=bedside.caregiver.id,
        wish=wish,
        seen=request.POST.get("seen", ""),
        asked_at=asked_at,
        reason=_reason(bedside, wish, asked_at=asked_at),
        entry_id=form_id(request),
        device=device_of(request),
        now=bedside.now,
    )


@require_POST
@at_the_bedside
def take_back(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    """Back to the times before the newest new ones."""
    service.take_back(
        **bedside.ids,
        by=bedside.caregiver.id,
        of=form_id(request, "of"),
        entry_id=form_id(request),
        device=device_of(request),
        now=bedside.now,
    )
    return redirect("now_of", animal_id=bedside.animal.id)
