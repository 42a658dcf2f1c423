"""The chart of medicines: one day at a time on a phone, the week as a table on a desk, and both on paper."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.http.request import split_domain_port
from django.shortcuts import redirect, render
from django.utils.safestring import SafeString
from django.views.decorators.http import require_GET, require_POST

from fillmark.core.chart.chart import Cell, CellState, Chart, ChartEntry, ChartRow
from fillmark.core.chart.words import (
    ToldEntry,
    say_chart_entry,
    say_course_day,
    say_dose,
    say_doses,
    say_outcome,
    say_row,
    say_short_clock,
    say_state,
)
from fillmark.core.record.care_entries import SheetPrinted
from fillmark.core.record.medicine_entries import Effect, MedicineGiven
from fillmark.core.values.errors import BadEntry, FillmarkError
from fillmark.core.values.people import Capability, may
from fillmark.core.values.words import say_day, say_first_to_last
from fillmark.papers.typesetting import PaperSize, paper_size
from fillmark.papers.week_chart import Printing, render_week_chart
from fillmark.services import chart as service
from fillmark.services import medicines, record
from fillmark.web.bedside import Bedside, at_the_bedside, day_on
from fillmark.web.bedside.page_context import page_context
from fillmark.web.chart.pictures import doses_of, draw_day, draw_row_course, shape_of
from fillmark.web.drawings.day_line import Shape
from fillmark.web.entry_form import EntryForm, choice
from fillmark.web.phone.facts import form_facts
from fillmark.web.writing import write_fact

_DAYS = 7
HERE_ONLY = {"localhost", "127.0.0.1", "[::1]"}
"""Names under which no other machine finds this one."""


@dataclass(frozen=True, kw_only=True, slots=True)
class LinkedRecord:
    """One record in words, and the page where it is put right."""

    words: ToldEntry
    href: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Square:
    """One planned dose in words, with its mark."""

    shape: Shape | None
    clock: str
    words: str
    dose: str
    records: tuple[LinkedRecord, ...]
    is_gap: bool = False
    is_open: bool = False
    is_to_come: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class TableRow:
    """One line of the table: a time of day across the week."""

    due: str
    squares: tuple[Square | None, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownOrder:
    """One order: what it is, its lines for the table, and what of it belongs to the day shown."""

    name: str
    strength: str
    notes: tuple[str, ...]
    last: str
    course: SafeString
    course_words: str
    is_when_needed: bool
    needed_href: str
    lines: tuple[TableRow, ...]
    today: tuple[Square, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class DayLink:
    """One day of the week's picture."""

    name: str
    number: int
    href: str
    picture: SafeString
    spoken: str
    is_shown: bool
    is_today: bool


class _Teller:
    """Turns a chart into words for one pair of eyes."""

    def __init__(self, bedside: Bedside, chart: Chart, *, shown_on: date) -> None:
        self._bedside, self._chart, self._shown_on = bedside, chart, shown_on

    def record(self, entry: ChartEntry, *, is_alone: bool = False) -> LinkedRecord:
        told = say_chart_entry(entry, zone=self._bedside.zone, is_alone=is_alone, says_given=True)
        return LinkedRecord(words=told, href=self._bedside.href("entry", entry_id=entry.entry_id))

    def square(self, cell: Cell, *, with_dose: bool, with_clock: bool = False) -> Square:
        due = f"at {cell.clock:%H:%M}" if with_clock else ""
        return Square(
            shape=shape_of(cell),
            clock=f"{cell.clock:%H:%M}",
            words=": ".join(filter(None, (due, say_state(cell)))),
            dose=say_dose(cell.dose) if with_dose and not cell.entries else "",
            records=tuple(self.record(entry) for entry in cell.entries),
            is_gap=cell.state is CellState.NO_ENTRY,
            is_open=cell.state is CellState.ONCE_OR_TWICE,
            is_to_come=cell.state is CellState.STILL_TO_COME,
        )

    def others(self, row: ChartRow, day: date) -> Square | None:
        found = row.others_on(day)
        if not found:
            return None
        records = tuple(self.record(entry, is_alone=True) for entry in found)
        return Square(shape=None, clock="", words="", dose="", records=records)

    def groups(self) -> Iterator[ShownOrder]:
        for row in self._chart.rows:
            group = self._group(row)
            if group.lines:
                yield group

    def _group(self, row: ChartRow) -> ShownOrder:
        order, days, shown_on = row.order, self._chart.days, self._shown_on
        changes = len(say_doses(row)) > 1
        lines = [
            TableRow(
                due=line.due,
                squares=tuple(
                    self.square(cell, with_dose=changes, with_clock=line.clock is None) if cell else None
                    for cell in map(line.on, days)
                ),
            )
            for line in row.lines
        ]
        is_when_needed = bool(order and order.when_needed)
        if row.others or is_when_needed:
            due = "when needed" if is_when_needed else "other times"
            lines.append(TableRow(due=due, squares=tuple(self.others(row, day) for day in days)))
        today = [self.square(cell, with_dose=changes) for cell in row.cells if cell.day == shown_on]
        other = self.others(row, shown_on)
        course_day = row.course.on(shown_on) if row.course else None
        return ShownOrder(
            name=row.name,
            strength=(order and order.strength) or "",
            notes=say_row(row, zone=self._bedside.zone),
            last=self._last(row),
            course=draw_row_course(row, days, today=self._bedside.today),
            course_words=say_course_day(course_day, with_dose=True) if course_day else "",
            is_when_needed=is_when_needed,
            needed_href=self._bedside.href("when_needed", medicine=row.medicine_id)
            if is_when_needed and row.until_at is None
            else "",
            lines=tuple(lines),
            today=(*today, *([other] if other else [])),
        )

    def _last(self, row: ChartRow) -> str:
        """The answer to "did I give that?": the newest dose of the week shown that may have gone in."""
        last = row.last_given
        if last is None or self._bedside.today not in self._chart.days:
            return ""
        outcome = say_outcome(last)
        when = say_short_clock(last.at, zone=self._bedside.zone, beside=self._bedside.now)
        return f"Last {when} by {last.by_name}" + ("" if outcome == "given" else f": {outcome}")

    def day_links(self) -> Iterator[DayLink]:
        for day in self._chart.days:
            doses = doses_of(self._chart, day)
            counted = Counter(dose.state for dose in doses if dose)
            others = sum(len(row.others_on(day)) for row in self._chart.rows)
            told = [f"{count} {state.value}" for state, count in counted.items()]
            told += [f"{others} beside the plan"] if others else []
            yield DayLink(
                name=f"{day:%a}",
                number=day.day,
                href=self._bedside.href("chart_on", on=day) + "#day",
                picture=draw_day(doses),
                spoken=f"{say_day(day, has_weekday=True)}: {', '.join(told) or 'no dose planned, none recorded'}",
                is_shown=day == self._shown_on,
                is_today=day == self._bedside.today,
            )

    def unanswered(self) -> Iterator[dict[str, object]]:
        """When-needed doses of the last day of which nobody has said what they did."""
        since = self._bedside.now - timedelta(days=1)
        for row in self._chart.rows:
            for entry in row.others:
                if row.order and row.order.when_needed and entry.counts and not entry.effects and entry.at >= since:
                    told = self.record(entry).words
                    yield {
                        "id": entry.entry_id,
                        "form": _effect_form(entry.entry_id),
                        "press_id": record.new_entry_id(now=self._bedside.now),
                        "name": row.name,
                        "clock": told.clock,
                        "by": told.by_name,
                    }


def _week_of(day: date) -> date:
    """The Monday of a day's week."""
    return day - timedelta(days=day.weekday())


def _around(bedside: Bedside, *, under: str) -> dict[str, object]:
    """The frame of the page; without the line of today where that cannot be worked out: the chart is still there."""
    try:
        return page_context(bedside, under=under)
    except FillmarkError:
        return {
            "bedside": bedside,
            "under": under,
            "day_href": bedside.href("day"),
            "calls_href": bedside.href("calls"),
        }


@require_GET
@at_the_bedside(day=day_on)
def chart(request: HttpRequest, bedside: Bedside, *, on: date | None = None) -> HttpResponse:
    """The week that holds a day, with that day first on a phone."""
    shown_on, today = on or bedside.today, bedside.today
    first, last = _week_of(shown_on), _week_of(shown_on) + timedelta(days=_DAYS - 1)
    sees_all = may(bedside.caregiver, what=Capability.SEE_RECORD, on=today)
    if not sees_all:  # a sitter is shown what they need beside the sessions of today
        first, last = today - timedelta(days=1), today
    found = service.chart_of_days(bedside.side, first=first, last=last)
    teller = _Teller(bedside, found, shown_on=shown_on)
    groups = list(teller.groups())
    context = {
        **_around(bedside, under=f"Medicines, {say_first_to_last(first, last)}"),
        "days": list(teller.day_links()),
        "groups": groups,
        "shown": [group for group in groups if group.today or group.is_when_needed],
        "problem": found.problem,
        "shown_on": shown_on,
        "is_today": shown_on == today,
        "before_href": bedside.href("chart_on", on=shown_on - timedelta(days=1)) if sees_all else None,
        "after_href": bedside.href("chart_on", on=shown_on + timedelta(days=1)) if sees_all else None,
        "week_before_href": bedside.href("chart_on", on=first - timedelta(days=_DAYS)) if sees_all else None,
        "week_after_href": bedside.href("chart_on", on=first + timedelta(days=_DAYS)) if sees_all else None,
        "questions": any(entry.is_open and entry.counts for entry in found.entries()),
        "questions_href": bedside.href("once_or_twice"),
        "unanswered": list(teller.unanswered()),
        "effects": list(Effect),
        "effect_form": _effect_form(UUID(int=0)),
        "phone": form_facts(bedside, medicines=medicines.verdicts(bedside.side)),
        "entry_id": record.new_entry_id(now=bedside.now),
        "paper_href": bedside.href("chart_paper", first=first) if sees_all else None,
        "old_sheet": service.find_old_sheet(bedside.side),
        "old_sheet_id": record.new_entry_id(now=bedside.now),
        "stored": bedside.side.stored,
    }
    return render(request, "chart/chart.html", context)


def _read_size(request: HttpRequest, bedside: Bedside) -> PaperSize:
    asked = request.GET.get("size") or request.POST.get("size")
    return "us-letter" if asked == "us-letter" else "a4" if asked == "a4" else paper_size(bedside.home.time_zone)


def _print(request: HttpRequest, bedside: Bedside, *, first: date) -> tuple[Chart, HttpResponse]:
    last = first + timedelta(days=_DAYS - 1)
    found = service.chart_of_days(bedside.side, first=first, last=last)
    address = None
    if found.plans and split_domain_port(request.get_host())[0] not in HERE_ONLY:
        address = request.build_absolute_uri(bedside.href("chart_version", number=found.plans[-1].number))
    printing = Printing(
        animal_name=bedside.animal.name,
        printed_at=bedside.now,
        time_zone=bedside.home.time_zone,
        day_starts=bedside.home.day_starts,
        size=_read_size(request, bedside),
        address=address,
    )
    answer = HttpResponse(render_week_chart(found, printing=printing), content_type="application/pdf")
    name = f"medicine-chart-{first}.pdf"
    answer["Content-Disposition"] = f'inline; filename="{name}"'
    return found, answer


@require_GET
@at_the_bedside(what=Capability.SEE_RECORD)
def paper(request: HttpRequest, bedside: Bedside, *, first: date) -> HttpResponse:
    """Seven days as they are recorded, as a PDF."""
    return _print(request, bedside, first=first)[1]


@require_POST
@at_the_bedside(what=Capability.RECORD_ANYTHING)
def print_sheet(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    """A sheet to write on, seven days from today; the record remembers which plan it shows."""
    found, answer = _print(request, bedside, first=bedside.today)
    if found.plans:
        payload = SheetPrinted(version=found.plans[-1].number, first_on=found.days[0], last_on=found.days[-1])
        write_fact(request, bedside, payload.model_dump(mode="json"))
    return answer


_NO_EFFECT = BadEntry(
    field="effect",
    got="An effect without its dose, or none of the buttons",
    allowed=", ".join(one.value for one in Effect),
    remedy="Go back to the chart and press the one that is true.",
)


def _effect_form(of: UUID) -> EntryForm:
    """What a dose did; `of` is the entry that says it was given."""
    effect = choice("effect", of=[one.value for one in Effect], needed=_NO_EFFECT)
    return EntryForm({"kind": "effect_seen", "of": str(of), "effect": effect})


@require_POST
@at_the_bedside
def effect(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    """What a dose that was given for a reason did."""
    try:
        of = UUID(request.POST.get("of", ""))
    except ValueError:
        raise _NO_EFFECT from None
    dose = record.find_entry(household_id=bedside.home.id, entry_id=of)
    if dose is None or dose.entry.animal_id != bedside.animal.id or not isinstance(dose.entry.payload, MedicineGiven):
        raise BadEntry(
            field="of",
            got="An effect of something that is no dose of this animal",
            allowed="a dose in this animal's record",
            remedy="Go back to the chart and press the button beside the dose.",
        )
    write_fact(request, bedside, _effect_form(of).read(request.POST))
    return redirect("chart", animal_id=bedside.animal.id)


@require_POST
@at_the_bedside
def sheet_thrown_away(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    """The printed sheet of an older version is gone, from a browser without JavaScript."""
    old = service.find_old_sheet(bedside.side)
    if old is not None:
        write_fact(request, bedside, {"kind": "sheet_thrown_away", "version": old.printed})
    return redirect("chart" if "chart" in request.POST.get("then", "") else "now_of", animal_id=bedside.animal.id)


@require_GET
@at_the_bedside
def version(request: HttpRequest, bedside: Bedside, *, number: int) -> HttpResponse:
    """Whether a printed sheet still shows the plan in force; the code on the sheet leads here."""
    stored = bedside.side.stored
    context = {
        "bedside": bedside,
        "calls_href": bedside.href("calls"),
        "under": f"A sheet of plan version {number}",
        "number": number,
        "stored": stored,
        "since": stored and stored.effective_from.astimezone(bedside.zone),
        "is_old": stored is None or number < stored.number,
        "is_ahead": stored is not None and number > stored.number,
        "may_print": may(bedside.caregiver, what=Capability.RECORD_ANYTHING, on=bedside.today),
        "entry_id": record.new_entry_id(now=bedside.now),
    }
    return render(request, "chart/version.html", context)
