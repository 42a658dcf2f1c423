"""Days of 23 and 25 hours, and clocks and durations as people say them."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest

from fillmark.core.timetable import day_length_minutes, instant_at, write_clock, write_duration

BERLIN = ZoneInfo("Europe/Berlin")
SPRING, AUTUMN = date(2026, 3, 29), date(2026, 10, 25)


@pytest.mark.hazard("H26")
def test_days_of_23_and_25_hours_are_as_long_as_the_law_makes_them() -> None:
    """Central European summer time: last Sunday of March and of October (directive 2000/84/EC)."""
    lengths = [
        day_length_minutes(day=day, zone=BERLIN) for day in (date(2026, 3, 29), date(2026, 10, 25), date(2026, 5, 5))
    ]
    assert lengths == [1380, 1500, 1440]
    assert instant_at(day=SPRING, clock=150, zone=BERLIN) == datetime(2026, 3, 29, 1, 30, tzinfo=UTC)
    assert instant_at(day=AUTUMN, clock=150, zone=BERLIN) == datetime(2026, 10, 25, 0, 30, tzinfo=UTC)


def test_clock_and_duration_are_written_as_people_say_them() -> None:
    """No bare minutes reach a person."""
    assert [write_clock(clock) for clock in (0, 450, 1439)] == ["0:00", "7:30", "23:59"]
    assert [write_duration(m) for m in (0, 1, 60, 90, 121)] == [
        "0 minutes",
        "1 minute",
        "1 hour",
        "1 hour 30 minutes",
        "2 hours 1 minute",
    ]
