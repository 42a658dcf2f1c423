"""The chart of medicines of some days, out of the record and the plans that were in force."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from uuid import UUID

from fillmark.core.bedside.side import Side
from fillmark.core.bedside.versions import in_force_during
from fillmark.core.chart.chart import Chart, ChartRow, PlanInForce
from fillmark.core.chart.read_chart import read_chart
from fillmark.core.day.values import PlannedSession
from fillmark.core.record.care_entries import SheetPrinted, SheetThrownAway
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.standing import SHEET_KINDS
from fillmark.core.values.errors import FillmarkError
from fillmark.services import bedside, plans
from fillmark.services.medicines import find_locks, open_questions, questions_since


def chart_of_days(side: Side, *, first: date, last: date) -> Chart:
    """What became of each dose of these days, both included.

    A day that cannot be worked out of its plan has no planned doses, and the chart says why; what was recorded on it
    stands in the chart all the same.
    """
    # a day more: what a dose did is often seen after the day has turned
    days = [first + timedelta(days=offset) for offset in range((last - first).days + 2)]
    side = bedside.widen(side, days=days, kinds_since=questions_since(side.now, first))
    versions = in_force_during(
        side.versions, first_at=side.home.start_of(first), last_at=side.home.start_of(last + timedelta(days=1))
    )
    ends = [version.effective_from for version in versions[1:]]
    sessions: list[PlannedSession] = []
    problem: str | None = None
    for found in side.sessions_of_days(first, last, new={}).values():
        if isinstance(found, FillmarkError):
            problem = str(found)
        else:
            sessions += found
    chart = read_chart(
        first=first,
        last=last,
        plans=[
            PlanInForce(number=version.number, plan=version.plan, from_at=version.effective_from, until_at=until_at)
            for version, until_at in zip(versions, [*ends, None], strict=False)
        ],
        sessions=sessions,
        entries=side.of_days(first, last + timedelta(days=1)),
        now=side.now,
        time_zone=side.home.time_zone,
        day_starts=side.home.day_starts,
        clashes=[question.clash for question in open_questions(side, first=first, last=last)],
    )
    rows = tuple(_locked(_named(chart, **side.ids), side))
    return replace(chart, rows=rows, problem=problem)


def _locked(rows: Iterable[ChartRow], side: Side) -> Iterable[ChartRow]:
    """The rows of the orders in force now, each with why its bottle in use locks it."""
    locks = find_locks(side)
    for row in rows:
        yield replace(row, lock=locks.get(row.medicine_id)) if row.until_at is None else row


def _named(chart: Chart, *, household_id: UUID, animal_id: UUID) -> Iterable[ChartRow]:
    """The rows, each with a name: an order of no plan of these days is named by the version that knew it."""
    if all(row.order for row in chart.rows):
        return chart.rows
    versions = plans.all_versions(household_id=household_id, animal_id=animal_id)
    names = {medicine.id: medicine.name for version in versions for medicine in version.plan.medicines}
    return [replace(row, name=names.get(row.medicine_id, row.name)) for row in chart.rows]


@dataclass(frozen=True, kw_only=True, slots=True)
class OldSheet:
    """A printed sheet that still names days to come, and shows another plan than the one in force.

    Attributes:
        printed: The version it shows.
        printed_at: When it was printed.
        in_force: The version in force now.
    """

    printed: int
    printed_at: datetime
    in_force: int


def find_old_sheet(side: Side) -> OldSheet | None:
    """The sheet to take down (H24): the one printed last, where its days are not over and its plan no longer holds."""
    printed = [
        (kept, kept.entry.payload)
        for kept in counting_entries(side.of_kinds(SHEET_KINDS))
        if isinstance(kept.entry.payload, SheetPrinted | SheetThrownAway)
    ]
    stored = side.stored
    if not printed or stored is None:
        return None
    kept, sheet = printed[-1]
    if isinstance(sheet, SheetThrownAway):
        return None
    is_over = sheet.last_on < side.today
    if is_over or sheet.version >= stored.number:
        return None
    return OldSheet(printed=sheet.version, printed_at=kept.entry.at, in_force=stored.number)
