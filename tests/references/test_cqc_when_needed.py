"""Medicines given when needed.

Care Quality Commission. Here: a plan must hold the least interval and the most in a day. That the day is the 24
hours gone by is our own choice.
Rows in printed order; no clinician has checked them.
"""

from datetime import UTC, datetime, time, timedelta

import pytest

from fillmark.core.doses.giving import Answer, History
from fillmark.core.doses.may_give import may_give
from tests.references.rows import row
from tests.support.medicines import a_giving, a_medicine

DAY = datetime(2026, 11, 25, tzinfo=UTC)


def instant(clock):
    return datetime.combine(DAY, time.fromisoformat(clock), tzinfo=UTC)


@pytest.mark.parametrize(
    ("given", "asked", "min_gap_hours", "max_per_day", "free_at"),
    [
        row("MED147", ["08:00"], "13:30", 6, 4, instant("14:00")),
        row("MED148", ["00:00", "06:00", "12:00", "18:00"], "23:59", 6, 4, DAY + timedelta(days=1)),
    ],
)
def test_the_gate_of_a_medicine_given_when_needed(given, asked, min_gap_hours, max_per_day, free_at):
    """Arithmetic on the two printed fields: exact."""
    order = a_medicine(when_needed={"reason": "retching", "min_gap_hours": min_gap_hours, "max_per_day": max_per_day})
    history = History([a_giving(instant(clock)) for clock in given])
    decision = may_give(order, now=instant(asked), time_zone="UTC", history=history)
    assert (decision.answer, decision.free_at) == (Answer.WAIT, free_at)
