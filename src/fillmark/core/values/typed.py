"""Days, times of day, time zones and words as they come in: read in one way everywhere, or not at all."""

import re
import unicodedata
from contextlib import suppress
from datetime import date, datetime, time
from functools import lru_cache
from zoneinfo import available_timezones

from fillmark.published.record_rules import YEAR_LIMITS

_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
IN_THESE_YEARS = f"{YEAR_LIMITS.low:.0f} to {YEAR_LIMITS.high:.0f}"


def is_in_these_years(day: date) -> bool:
    """Whether a day lies in the years that a record can be about.

    Source:
        record.years
    """
    return YEAR_LIMITS.holds(day.year)


def read_day(text: str) -> date | None:
    """A day as year-month-day in the digits 0 to 9, in the years that a record can be about; none for another text.

    Source:
        record.years
    """
    with suppress(ValueError):
        day = date.fromisoformat(text if _DATE.fullmatch(text) else "")
        return day if is_in_these_years(day) else None
    return None


def read_clock(text: str) -> time | None:
    """A time of day as the clock on the wall shows it, in the digits 0 to 9; none for another text.

    Source:
        arithmetic only
    """
    if not re.fullmatch(r"([01]?[0-9]|2[0-3]):[0-5][0-9]", text):
        return None
    hours, minutes = text.split(":")
    return time(int(hours), int(minutes))


def read_day_and_clock(text: str) -> datetime | None:
    """A day and a time of day, with a space or a T between them; none for another text.

    Source:
        record.years
    """
    day, clock = read_day(text[:10]), read_clock(text[11:])
    is_whole = day is not None and clock is not None and len(text) == 16 and text[10] in " T"
    return datetime.combine(day, clock) if is_whole and day and clock is not None else None


@lru_cache(maxsize=1)
def time_zones() -> frozenset[str]:
    """The names of the time zone database that mean the same on every machine."""
    return frozenset(available_timezones() - {"localtime", "posixrules", "Factory", "leapseconds"})


_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]")
_UNSEEN_KINDS = {"Cc", "Cf", "Cs", "Cn", "Zs", "Zl", "Zp"}
_UNSEEN = "\u115f\u1160\u2800\u3164\uffa0"  # fillers and a blank, which are letters or signs by their kind


def can_be_seen(text: str) -> bool:
    """Whether a text shows anything at all: spaces and characters of format alone do not.

    Source:
        arithmetic only
    """
    return any(char not in _UNSEEN and unicodedata.category(char) not in _UNSEEN_KINDS for char in text)


def has_controls(text: str) -> bool:
    """Whether a text holds control characters other than a new line or a tabulator.

    Source:
        arithmetic only
    """
    return _CONTROL.search(text) is not None
