"""The week chart on paper: what was recorded in it, and empty squares to write in for what is still to come."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from io import BytesIO
from typing import Any
from zoneinfo import ZoneInfo

import segno

from fillmark.core.chart.chart import Cell, CellState, Chart, ChartEntry, ChartRow
from fillmark.core.chart.words import say_chart_entry, say_course_day, say_dose, say_doses, say_row, say_state
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.values.words import say_day, say_short_day
from fillmark.papers.typesetting import PaperSize, typeset

_ROOMY, _TIGHT, _ROOMY_LINES = {"write_mm": 7.5, "inset_mm": 0.9}, {"write_mm": 5.0, "inset_mm": 0.6}, 16
"""How high a square to write in is, and the space around words; less where many medicines share the page."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Printing:
    """What a sheet must know beside its chart.

    Attributes:
        printed_at: The present instant.
        address: Where the app tells whether this version is still in force; none where a phone could not reach it.
    """

    animal_name: str
    printed_at: datetime
    time_zone: str
    day_starts: time
    size: PaperSize
    address: str | None = None

    @property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.time_zone)


def render_week_chart(chart: Chart, *, printing: Printing) -> bytes:
    """The chart as a PDF, landscape, one page for an ordinary household and more where it does not fit.

    Its days are those of the chart. A sheet with days still to come says which version of the plan it shows and until
    when it holds (H24).
    """
    return typeset(template="week_chart", values=_values(chart, printing))


def _values(chart: Chart, printing: Printing) -> dict[str, object]:
    ends_at = datetime.combine(chart.days[-1] + timedelta(days=1), printing.day_starts, tzinfo=printing.zone)
    is_ahead = printing.printed_at < ends_at.astimezone(UTC)
    plan = chart.plans[-1].plan if chart.plans else None
    title = f"Medicine chart, {printing.animal_name}"
    version = _version(chart)
    holds = f"valid until {say_day(ends_at)}, {ends_at:%H:%M}"
    printed_at = printing.printed_at.astimezone(printing.zone)
    printed = f"printed {say_day(printed_at)}, {printed_at:%H:%M}"
    groups = [group for row in chart.rows if (group := _group(row, chart, printing))]
    lines = sum(len(group["rows"]) for group in groups)
    return {
        "paper": printing.size,
        "title": title,
        "problem": f"Some doses are missing: {chart.problem}" if chart.problem else "",
        "under": [
            f"{say_day(chart.days[0], has_weekday=True)} to {say_day(chart.days[-1], has_weekday=True, has_year=True)}"
        ],
        "first_of_all": "Nothing by mouth." if plan and plan.animal.by_mouth == "nothing" and is_ahead else "",
        "version": version,
        "validity": [holds, "or until the plan changes: ask the app", printed]
        if is_ahead
        else ["as recorded", printed],
        "qr": _code(printing.address) if printing.address and is_ahead else None,
        "qr_words": f"Code with the address {printing.address}",
        "days": [{"name": say_short_day(day), "note": _note(day, printing)} for day in chart.days],
        "groups": groups,
        **(_TIGHT if lines > _ROOMY_LINES else _ROOMY),
        "rules": list(_rules(plan, is_ahead=is_ahead)),
        "foot": " · ".join([title, version, holds if is_ahead else printed]),
    }


def _version(chart: Chart) -> str:
    numbers = [str(plan.number) for plan in chart.plans]
    if not numbers:
        return "No plan"
    if len(numbers) == 1:
        return f"Plan version {numbers[0]}"
    return f"Plan versions {', '.join(numbers[:-1])} and {numbers[-1]}"


def _rules(plan: CarePlan | None, *, is_ahead: bool) -> Iterator[str]:
    if not is_ahead:
        yield "A dashed square has no entry: nobody wrote down whether it was given. Struck lines were corrected."
        return
    yield (
        "Write the time and your name in the square when the dose is in. Not given, or only a part: write that, and "
        "why. Copy it into the app."
    )
    yield (
        "Never give a dose twice, and never two at once to make up for one. Where nobody knows whether one went in, "
        "ask the vet."
    )
    if plan and plan.vet.call:
        yield "Call: " + " · ".join(f"{number.who} {number.phone} ({number.when})" for number in plan.vet.call)


def _group(row: ChartRow, chart: Chart, printing: Printing) -> dict[str, Any] | None:
    """One order with its lines; none for one that has neither a dose nor a record on these days."""
    rows: list[dict[str, object]] = []
    course = [row.course.on(day) if row.course else None for day in chart.days]
    if any(course):
        rows.append(
            {
                "kind": "course",
                "due": "course",
                "is_quiet": True,
                "cells": [
                    day
                    and {
                        "share": day.share,
                        "is_first": day.is_first,
                        "is_last": day.is_last,
                        "is_new": day.is_new_dose,
                        "words": say_course_day(day, with_dose=len(row.course.steps if row.course else ()) > 1),
                    }
                    for day in course
                ],
            }
        )
    is_changing = len(say_doses(row)) > 1
    for line in row.lines:
        squares = [
            _square(line.on(day), row, printing, with_dose=is_changing, with_clock=line.clock is None)
            for day in chart.days
        ]
        rows.append({"kind": "doses", "due": line.due, "is_quiet": line.clock is None, "cells": squares})
    is_when_needed = bool(row.order and row.order.when_needed)
    if row.others or is_when_needed:
        rows.append(
            {
                "kind": "doses",
                "due": "when needed" if is_when_needed else "other times",
                "is_quiet": True,
                "cells": [_others(row, day, printing, can_write=is_when_needed) for day in chart.days],
            }
        )
    if not rows or (is_when_needed and not row.others and not row.versions):
        return None
    strength = (row.order and row.order.strength) or ""
    return {"name": row.name, "strength": strength, "notes": say_row(row, zone=printing.zone), "rows": rows}


def _square(
    cell: Cell | None, row: ChartRow, printing: Printing, *, with_dose: bool, with_clock: bool
) -> dict[str, object]:
    if cell is None:
        return {"kind": "words", "words": "–", "records": []}
    records = [_record(entry, printing) for entry in cell.entries]
    clock = f"at {cell.clock:%H:%M}" if with_clock else ""
    if row.lock and cell.state in (CellState.STILL_TO_COME, CellState.DUE) and not records:
        return {"kind": "words", "words": "locked", "records": []}
    if cell.state in (CellState.STILL_TO_COME, CellState.DUE) and not records:
        words = ", ".join(filter(None, (clock, say_dose(cell.dose) if with_dose else "")))
        return {"kind": "write", "words": words, "records": []}
    kind = "gap" if cell.state is CellState.NO_ENTRY and not records else "words"
    return {"kind": kind, "words": ": ".join(filter(None, (clock, say_state(cell)))), "records": records}


def _others(row: ChartRow, day: date, printing: Printing, *, can_write: bool) -> dict[str, object]:
    records = [_record(entry, printing, is_alone=True) for entry in row.others_on(day)]
    starts_at = datetime.combine(day + timedelta(days=1), printing.day_starts, tzinfo=printing.zone)
    is_to_come = printing.printed_at < starts_at.astimezone(UTC)
    kind = "write twice" if can_write and is_to_come and not records else "words"
    return {"kind": kind, "words": "", "records": records}


def _record(entry: ChartEntry, printing: Printing, *, is_alone: bool = False) -> dict[str, object]:
    told = say_chart_entry(entry, zone=printing.zone, is_alone=is_alone, says_given=False)
    return {
        "head": f"{told.clock} {told.by_name}",
        "what": told.what,
        "notes": told.notes,
        "struck": told.is_struck,
        "mark": "unknown" if told.went_in is None else "in" if told.went_in else "not in",
    }


def _note(day: date, printing: Printing) -> str:
    """What is unusual about a day: its clock is changed."""
    starts_at, ends_at = (
        datetime.combine(on, printing.day_starts, tzinfo=printing.zone).astimezone(UTC)
        for on in (day, day + timedelta(days=1))
    )
    hours = (ends_at - starts_at).total_seconds() / 3600
    return "" if hours == 24 else f"clocks change: {hours:g} hours"


def _code(address: str) -> str:
    picture = BytesIO()
    segno.make(address, micro=False).save(picture, kind="svg", xmldecl=False, svgns=True, border=2)
    return picture.getvalue().decode()
