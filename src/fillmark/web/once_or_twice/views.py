"""Once or twice? Both entries side by side, and one answer for each question."""

from dataclasses import dataclass, replace
from datetime import date, timedelta
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.two_walks import THE_WALK
from fillmark.core.values.errors import BadEntry
from fillmark.core.values.people import Capability, may
from fillmark.core.values.typed import read_day
from fillmark.services import once_or_twice as service
from fillmark.services import record
from fillmark.services.once_or_twice import OpenQuestion
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.todays_plan import planned_on
from fillmark.web.words import Names, say_clock, say_entry
from fillmark.web.writing import device_of


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownEntryOfTwo:
    """One of the entries that are asked about."""

    id: UUID
    words: str
    clock: str
    by: str
    written: str
    device: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Asked:
    """One question as the page shows it."""

    what: str
    why: str
    day: date
    sides: tuple[ShownEntryOfTwo, ...]
    ids: tuple[UUID, ...]
    needs_reason: bool


def _days(request: HttpRequest, bedside: Bedside) -> tuple[date, date]:
    """The day that is asked for, else today and yesterday."""
    text = (request.POST if request.method == "POST" else request.GET).get("day", "")
    if not text:
        return bedside.today - timedelta(days=1), bedside.today
    day = read_day(text)
    if day is None:
        raise BadEntry(
            field="day", got=f'"{text[:20]}" for a day', allowed="a day that exists", remedy="Open the day again."
        )
    return day, day


@require_http_methods(["GET", "POST"])
@at_the_bedside(day=lambda request, bedside: _days(request, bedside)[0], ahead=True)
def once_or_twice(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    first, last = _days(request, bedside)
    if request.method == "POST":
        return _answer(request, bedside, day=last)
    found = service.open_questions(bedside.side, first=first, last=last)
    names = planned_on(bedside, last).names
    context = {
        "bedside": bedside,
        "under": "Once or twice?",
        "calls_href": bedside.href("calls"),
        "asked": [_show(one, names=names, bedside=bedside) for one in found],
        "may_answer": may(bedside.caregiver, what=Capability.CORRECT_OTHERS, on=bedside.today),
        "was_late": request.GET.get("late") == "yes",
        "entry_id": record.new_entry_id(now=bedside.now),
        "day_href": bedside.href("day_on", on=last) if last != bedside.today else bedside.href("day"),
    }
    return render(request, "once_or_twice/once_or_twice.html", context)


def _show(question: OpenQuestion, *, names: Names, bedside: Bedside) -> Asked:
    what = question.what.removeprefix("the medicine ")
    return Asked(
        what=names.medicines.get(what, what) if what != question.what else question.what,
        why=question.why,
        day=max(one.day for one in question.entries),
        sides=_sides(question, names=names, bedside=bedside),
        ids=tuple(one.entry.id for one in question.entries),
        needs_reason=question.needs_reason,
    )


def _sides(question: OpenQuestion, *, names: Names, bedside: Bedside) -> tuple[ShownEntryOfTwo, ...]:
    """Each entry; of two walks each walk, with its steps in a row."""
    if question.what != THE_WALK:
        return tuple(_side(one, names=names, bedside=bedside) for one in question.entries)
    walks: dict[UUID, list[KeptEntry]] = {}
    for one in sorted(question.entries, key=lambda one: one.entry.at):
        walks.setdefault(one.by, []).append(one)
    return tuple(
        replace(
            _side(steps[0], names=names, bedside=bedside),
            words="; ".join(say_entry(one, names=names) for one in steps),
        )
        for steps in walks.values()
    )


def _side(kept: KeptEntry, *, names: Names, bedside: Bedside) -> ShownEntryOfTwo:
    return ShownEntryOfTwo(
        id=kept.entry.id,
        words=say_entry(kept, names=names),
        clock=say_clock(kept.entry.at, bedside.zone),
        by=kept.by_name,
        written=say_clock(kept.recorded_at, bedside.zone),
        device=kept.entry.device,
    )


def _answer(request: HttpRequest, bedside: Bedside, *, day: date) -> HttpResponse:
    said = request.POST.get("answer", "")
    try:
        entry_ids = [UUID(one) for one in request.POST.getlist("entry")]
        once = None if said == "both" else UUID(said)
    except ValueError:
        raise BadEntry(
            field="answer", got=f'"{said[:40]}"', allowed="a button of this page", remedy="Open the question anew."
        ) from None
    was_open = service.answer(
        **bedside.ids,
        by=bedside.caregiver.id,
        day=day,
        entry_ids=entry_ids,
        once=once,
        reason=request.POST.get("reason", "").strip(),
        device=device_of(request),
        now=bedside.now,
    )
    late = "" if was_open else "&late=yes"
    return redirect(f"{bedside.href('once_or_twice')}?day={day}{late}")
