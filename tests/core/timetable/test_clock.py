"""Clocks and durations as people say them."""

from fillmark.core.timetable import write_clock, write_duration


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
