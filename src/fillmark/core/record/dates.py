"""Is an entry dated where a household can have been? What the door asks beside the limits of each field."""

from datetime import date, datetime, timedelta

from fillmark.core.record.entries import Entry, bad_clock
from fillmark.core.values.errors import BadEntry
from fillmark.core.values.quantities import write_number
from fillmark.core.values.words import say_date
from fillmark.published.record_rules import AHEAD_DAYS, CLOCK_BEHIND_REFUSED_DAYS


def check_clock_behind(entry: Entry, *, now: datetime) -> None:
    """Refuse a new entry dated so far back that the device has lost its date.

    Args:
        entry: What a device wrote.
        now: The present instant.
    Raises:
        BadEntry: it is.
    Source:
        record.clock_behind_refused_days
    """
    if entry.corrects is None and now - entry.at > timedelta(days=CLOCK_BEHIND_REFUSED_DAYS.value):
        allowed = f"no more than {write_number(CLOCK_BEHIND_REFUSED_DAYS.value)} days back"
        raise bad_clock(entry.at, now, allowed)


def check_session_day(session: str, *, today: date) -> None:
    """Refuse a session further ahead than a phone knows any.

    Args:
        session: The session's identity.
        today: The household's day.
    Raises:
        BadEntry: it is.
    Source:
        record.ahead_days
    """
    last = today + timedelta(days=AHEAD_DAYS.value + 1)
    if date.fromisoformat(session[:10]) > last:
        raise BadEntry(
            field="session",
            got=f"A session of {say_date(date.fromisoformat(session[:10]))}",
            allowed=f"sessions up to {say_date(last)}",
            remedy="Go to the first screen, and write it down in the session it belongs to.",
        )
