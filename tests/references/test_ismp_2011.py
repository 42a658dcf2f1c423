"""Guideline on timely administration of scheduled medications.

Institute for Safe Medication Practices, 2011. Here: the time windows, as summarized elsewhere.
Rows in printed order; no clinician has checked them.
"""

from datetime import UTC, datetime, time

import pytest

from fillmark.core.doses.giving import window_minutes
from tests.references.rows import row


def instant(clock):
    return datetime.combine(datetime(2026, 11, 25, tzinfo=UTC), time.fromisoformat(clock), tzinfo=UTC)


@pytest.mark.parametrize(
    ("planned", "given", "interval_hours", "is_time_critical", "printed"),
    [
        row("MED132", "08:00", "10:00", 24, False, "on time"),
        row("MED133", "08:00", "10:01", 24, False, "late"),
        row("MED134", "08:00", "05:59", 24, False, "early"),
        row("MED135", "08:00", "09:00", 12, False, "on time"),
        row("MED139", "09:00", "09:45", 3, False, "on time"),
        row("MED140", "10:00", "10:31", 2, False, "late"),
        row("MED142", "08:00", "08:30", 12, True, "on time"),
    ],
)
def test_time_window(planned, given, interval_hours, is_time_critical, printed):
    """Copied windows: exact to the minute."""
    window, _ = window_minutes(interval_hours=interval_hours, is_time_critical=is_time_critical)
    off = (instant(given) - instant(planned)).total_seconds() / 60
    assert ("early" if off < -window else "late" if off > window else "on time") == printed
