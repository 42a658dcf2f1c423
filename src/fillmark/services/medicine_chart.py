"""The chart of medicines of some days, out of the record and the plans that were in force."""

from collections.abc import Iterable
from contextlib import suppress
from dataclasses import replace
from datetime import date, datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from fillmark.core.errors import FillmarkError
from fillmark.core.mar import Chart, PlanInForce, Row, read_chart
from fillmark.records import queries
from fillmark.services import plans
from fillmark.services.medicines import open_questions


def chart_of_days(*, household_id: UUID, animal_id: UUID, first: date, last: date, now: datetime) -> Chart:
    """What became of each dose of these days, both included.

    A day that cannot be worked out of its plan has no planned doses; what was recorded on it stands in the chart all
    the same.
    """
    home = queries.find_home(household_id=household_id)
    ids = {"household_id": household_id, "animal_id": animal_id}
    zone = ZoneInfo(home.time_zone)
    versions = queries.plans_during(
        **ids,
        first_at=datetime.combine(first, home.day_starts, tzinfo=zone),
        last_at=datetime.combine(last + timedelta(days=1), home.day_starts, tzinfo=zone),
    )
    ends = [version.effective_from for version in versions[1:]]
    sessions: list[plans.PlannedSession] = []
    for number in range((last - first).days + 1):
        with suppress(FillmarkError):
            sessions += plans.planned_sessions(**ids, day=first + timedelta(days=number))
    chart = read_chart(
        first=first,
        last=last,
        plans=[
            PlanInForce(number=version.number, plan=version.plan, from_at=version.effective_from, until_at=until_at)
            for version, until_at in zip(versions, [*ends, None], strict=False)
        ],
        sessions=sessions,
        # a day more: what a dose did is often seen after the day has turned
        entries=queries.entries_of_days(**ids, first=first, last=last + timedelta(days=1)),
        now=now,
        time_zone=home.time_zone,
        day_starts=home.day_starts,
        clashes=[question.clash for question in open_questions(**ids, first=first, last=last, now=now)],
    )
    return replace(chart, rows=tuple(_named(chart, household_id=household_id, animal_id=animal_id)))


def _named(chart: Chart, *, household_id: UUID, animal_id: UUID) -> Iterable[Row]:
    """The rows, each with a name: an order of no plan of these days is named by the version that knew it."""
    if all(row.order for row in chart.rows):
        return chart.rows
    versions = plans.all_versions(household_id=household_id, animal_id=animal_id)
    names = {medicine.id: medicine.name for version in versions for medicine in version.plan.medicines}
    return [replace(row, name=names.get(row.medicine_id, row.name)) for row in chart.rows]


def newest_version(*, household_id: UUID, animal_id: UUID) -> plans.StoredPlan | None:
    """The version that was adopted last, whether or not it is in force yet; what is printed is old below its number."""
    versions = plans.all_versions(household_id=household_id, animal_id=animal_id)
    return versions[-1] if versions else None
