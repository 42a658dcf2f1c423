"""The day line of a household's day, from what was planned and what was recorded."""

from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta

from fillmark.core.record.entries import session_day
from fillmark.core.record.outcomes import Became, read_ended
from fillmark.core.record.sessions import SessionRecord, Standing
from fillmark.web.bedside import Bedside
from fillmark.web.drawings.day_line import DayLine, OnLine, Shape

_SHAPE = {
    Standing.IN_HAND: Shape.IN_HAND,
    Standing.PAUSED: Shape.IN_HAND,
    Standing.STOPPED: Shape.STOPPED,
    Standing.SKIPPED: Shape.SKIPPED,
    Standing.NOT_KNOWN: Shape.UNKNOWN,
}


SHAPE_OF = {
    Became.GIVEN: Shape.RECORDED,
    Became.CAME_BACK: Shape.CAME_BACK,
    Became.SKIPPED: Shape.SKIPPED,
    Became.HELD: Shape.HELD,
    Became.NOT_KNOWN: Shape.UNKNOWN,
}
"""Filled means given: every other thing that became of a session or a dose has its own shape."""


def planned_at(bedside: Bedside, session: str) -> datetime:
    """The planned instant of a session, by its identity."""
    return datetime.fromisoformat(session).replace(tzinfo=bedside.zone).astimezone(UTC)


def session_at(bedside: Bedside, session: str) -> datetime:
    """When a session is to come: as planned, or as today's new times have it."""
    if session in bedside.moved:
        return bedside.moved[session].astimezone(UTC)
    return planned_at(bedside, session)


def clock_of(bedside: Bedside, session: str) -> str:
    """The local time of day at which a session is to come."""
    moved = bedside.moved.get(session)
    return f"{moved.astimezone(bedside.zone):%H:%M}" if moved else session[11:]


def shape_of(bedside: Bedside, record: SessionRecord) -> Shape:
    """How a session shows: one without an entry is due until its time, and silent after it; ended is not yet given."""
    if record.standing is Standing.ENDED:
        return SHAPE_OF[read_ended(record)]
    if record.standing is Standing.NO_ENTRY:
        return Shape.DUE if session_at(bedside, record.session) > bedside.now else Shape.SILENT
    return _SHAPE[record.standing]


def line_of_day(bedside: Bedside, *, day: date, records: Iterable[SessionRecord]) -> DayLine:
    """The line of one day with those of the sessions that belong to it."""
    starts = bedside.home.day_starts
    return DayLine(
        starts_at=datetime.combine(day, starts, tzinfo=bedside.zone).astimezone(UTC),
        ends_at=datetime.combine(day + timedelta(days=1), starts, tzinfo=bedside.zone).astimezone(UTC),
        now=bedside.now,
        zone=bedside.zone,
        sessions=[
            OnLine(
                at=session_at(bedside, record.session),
                shape=shape_of(bedside, record),
                clock=clock_of(bedside, record.session),
                session=record.session,
            )
            for record in records
            if session_day(record.session, day_starts=starts) == day
        ],
    )
