"""The day's record: everything that was written, in the order it happened, and what it adds up to."""

from dataclasses import dataclass
from datetime import date, timedelta
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from fillmark.core.day.values import PlannedSession
from fillmark.core.record.care_entries import PhotoTaken
from fillmark.core.record.corrections import ShownEntry
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.record.ledger import DayLedger
from fillmark.core.record.sessions import Standing
from fillmark.core.today.intake import read_intake
from fillmark.core.values.quantities import write_number
from fillmark.core.values.words import say_day
from fillmark.services import batches, record
from fillmark.web.bedside import Bedside, at_the_bedside, day_on
from fillmark.web.bedside.day_line import clock_of, line_of_day, session_at, shape_of
from fillmark.web.bedside.todays_plan import PlannedDay, planned_on
from fillmark.web.intake.pictures import day_bar
from fillmark.web.intake.views import sums
from fillmark.web.places import PlaceName
from fillmark.web.words import Names, say_amount, say_clock, say_entry, say_no_right, say_session

_LATE = timedelta(minutes=10)
"""An entry that arrives later than this after what it tells says so."""


@dataclass(frozen=True, kw_only=True, slots=True)
class DayEntry:
    """One entry as the page shows it."""

    clock: str
    words: str
    by: str
    is_replaced: bool
    note: str
    href: str
    photo_href: str


def _say_all(shown: tuple[ShownEntry, ...], *, names: Names, bedside: Bedside) -> list[DayEntry]:
    by_id: dict[UUID, ShownEntry] = {one.kept.entry.id: one for one in shown}
    told = []
    for one in shown:
        entry = one.kept.entry
        corrected = by_id.get(entry.corrects) if entry.corrects else None
        winner = by_id.get(one.replaced_by) if one.replaced_by else None
        note = ""
        if one.no_right is not None:
            note = say_no_right(one)
        elif winner is not None:
            how = "Taken back" if isinstance(winner.kept.entry.payload, Withdrawn) else "Replaced"
            note = f"{how} at {say_clock(winner.kept.entry.at, bedside.zone)} by {winner.kept.by_name}"
        elif corrected is not None:
            note = (
                f"About: {say_entry(corrected.kept, names=names)}, {say_clock(corrected.kept.entry.at, bedside.zone)}"
            )
        elif one.kept.recorded_at - entry.at > _LATE:
            note = f"written down at {say_clock(one.kept.recorded_at, bedside.zone)}"
        told.append(
            DayEntry(
                clock=say_clock(entry.at, bedside.zone),
                words=say_entry(one.kept, names=names),
                by=one.kept.by_name,
                is_replaced=winner is not None,
                note=note,
                href=bedside.href("entry", entry_id=entry.id),
                photo_href=bedside.href("photo_small", photo_id=entry.payload.photo)
                if isinstance(entry.payload, PhotoTaken) and winner is None
                else "",
            )
        )
    return told


def _what(session: PlannedSession | None) -> str:
    """What a session is, without its time: "Meal and 1 medicine"."""
    what = session.label[len("00:00 ") :] if session else "not in the plan"
    return what[:1].upper() + what[1:]


def _sums(bedside: Bedside, ledger: DayLedger, planned: PlannedDay, *, on: date) -> dict[str, object]:
    """What the day adds up to, in mL and, where the plan tells the mix, in kcal and as a bar."""
    flushes = ("Water in flushes", say_amount(ledger.flush), "")
    if planned.plan is not None and planned.day is not None:
        held = batches.energy_of_meals(bedside.side, ledger, plan=planned.plan, day=on)
        intake = read_intake(ledger, plan=planned.plan, day=planned.day, now=bedside.now, kcal_per_ml_of=held)
        return {"sums": [*sums(intake), flushes], "day_bar": day_bar(intake)}
    return {
        "sums": [
            ("Planned", f"{write_number(ledger.planned_ml)} mL" if ledger.planned_ml is not None else "no plan", ""),
            ("Went in", say_amount(ledger.blend), ""),
            ("Came back", say_amount(ledger.back), ""),
            ("Kept", say_amount(ledger.kept), ""),
            flushes,
        ]
    }


@require_GET
@at_the_bedside(day=day_on, behind=0)
def day(request: HttpRequest, bedside: Bedside, *, on: date | None = None) -> HttpResponse:
    shown_on = on or bedside.today
    planned = planned_on(bedside, shown_on)
    entries = record.day_entries(bedside.side, day=shown_on)
    ledger = record.day_ledger(bedside.side, day=shown_on)
    lines = [
        {
            "clock": clock_of(bedside, line.record.session),
            "moved_from": line.record.session[11:] if line.record.session in bedside.moved else "",
            "what": _what(planned.find(line.record.session)),
            "shape": shape_of(bedside, line.record),
            "words": "Still to come"
            if line.record.standing is Standing.NO_ENTRY and session_at(bedside, line.record.session) > bedside.now
            else say_session(line.record, planned_ml=line.planned_ml, zone=bedside.zone),
            "href": bedside.href("walk", session=line.record.session),
        }
        for line in ledger.lines
    ]
    context = {
        "bedside": bedside,
        "line": line_of_day(bedside, day=shown_on, records=[line.record for line in ledger.lines]),
        "day_href": bedside.href("day"),
        "calls_href": bedside.href("calls"),
        "under": f"The record of {say_day(shown_on, has_weekday=True)}",
        "shown_on": shown_on,
        "is_today": shown_on == bedside.today,
        "ways": bedside.ways_in(PlaceName.RECORD),
        "may_see_before": bedside.may_see(shown_on - timedelta(days=1), behind=0),
        "before_href": bedside.href("day_on", on=shown_on - timedelta(days=1)),
        "after_href": bedside.href("day_on", on=shown_on + timedelta(days=1)) if shown_on < bedside.today else None,
        "lines": lines,
        "entries": _say_all(entries, names=planned.names, bedside=bedside),
        "clashes": ledger.clashes,
        **_sums(bedside, ledger, planned, on=shown_on),
        "clash_href": bedside.href("once_or_twice"),
        "chart_href": bedside.href("chart_on", on=shown_on),
        "intake_href": bedside.href("intake_on", on=shown_on),
    }
    return render(request, "day/day.html", context)
