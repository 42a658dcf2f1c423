"""Advice on missed and late doses.

NHS Specialist Pharmacy Service. Here: up to two hours late is acceptable for most medicines; never double. The nearness
of the next dose is a rule common to leaflets, from memory.
Rows in printed order; no clinician has checked them.
"""

from datetime import UTC, datetime, time, timedelta

import pytest

from fillmark.core.doses.giving import Answer, History
from fillmark.core.doses.may_give import may_give
from tests.references.rows import row
from tests.support.medicines import a_medicine

PLANNED = datetime(2026, 11, 25, 8, tzinfo=UTC)


@pytest.mark.parametrize(
    ("interval_hours", "late_hours", "answer", "said"),
    [
        row("MED144", 12, 2, Answer.GIVE, "Give it now and keep the next time."),
        row("MED145", 12, 11.5, Answer.LEAVE_OUT, "never give two at once"),
    ],
)
def test_a_late_dose(interval_hours, late_hours, answer, said):
    """Copied advice: exact."""
    order = a_medicine(every_hours=interval_hours, clocks=(time(8), time(20)))
    decision = may_give(
        order,
        now=PLANNED + timedelta(hours=late_hours),
        time_zone="UTC",
        history=History(()),
        planned_at=PLANNED,
    )
    assert decision.answer is answer
    assert said in decision.because
