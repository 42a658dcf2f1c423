"""Days and times as people say them, on every screen, paper and message."""

from datetime import date, datetime
from zoneinfo import ZoneInfo


def say_day(day: date, *, has_weekday: bool = False, has_year: bool = False) -> str:
    """A day as people say it: "4 December", "Friday 4 December", "4 December 2026".

    Args:
        day: The day.
        has_weekday: Whether its weekday is said.
        has_year: Whether its year is said.
    Source:
        arithmetic only
    """
    return f"{f'{day:%A} ' if has_weekday else ''}{day.day} {day:%B}{f' {day:%Y}' if has_year else ''}"


def say_date(day: date | None) -> str:
    """A day with its year, "4 December 2026"; what nobody has said is said to be so.

    Source:
        arithmetic only
    """
    return say_day(day, has_year=True) if day else "a day not stated"


def say_short_day(day: date) -> str:
    """A day where there is little room: "Wed 25 Nov".

    Source:
        arithmetic only
    """
    return f"{day:%a} {day.day} {day:%b}"


def say_first_to_last(first: date, last: date) -> str:
    """Some days in a row: "23 to 29 November", "30 November to 6 December".

    Args:
        first: The first of them.
        last: The last of them.
    Source:
        arithmetic only
    """
    is_one_month = (first.year, first.month) == (last.year, last.month)
    return f"{first.day if is_one_month else say_day(first)} to {say_day(last)}"


def say_time(at: datetime, zone: ZoneInfo, *, beside: datetime | None = None) -> str:
    """A local time of day, with its date where that is another one than that of the time beside it.

    Args:
        at: The instant.
        zone: The household's time zone.
        beside: The instant that it is read beside.
    Source:
        arithmetic only
    """
    local = at.astimezone(zone)
    is_same_day = beside is None or local.date() == beside.astimezone(zone).date()
    return f"{local:%H:%M}" if is_same_day else f"{local:%H:%M} on {say_day(local)}"
