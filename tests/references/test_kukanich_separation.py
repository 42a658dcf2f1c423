"""Doxycycline with and without sucralfate in dogs.

KuKanich and others. Here: abstract; together the uptake falls to a fifth, two hours after it does not.
Rows in printed order; no clinician has checked them.
"""

from datetime import UTC, datetime, timedelta

import pytest

from fillmark.core.doses.giving import History, Verdict
from fillmark.core.doses.may_give import may_give
from tests.references.rows import row
from tests.support.medicines import a_giving, a_medicine

SUCRALFATE = a_medicine(id="sucralfate", name="Sucralfate", apart_from=({"medicine": "doxycycline", "hours": 2},))
DOXYCYCLINE = a_medicine(id="doxycycline", name="Doxycycline")
NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)


@pytest.mark.parametrize(
    ("gap_hours", "verdict"), [row("MED153", 2, Verdict.DUE), row("MED154", 0, Verdict.KEEP_APART)]
)
def test_sucralfate_after_doxycycline(gap_hours, verdict):
    """Copied: two hours are enough, none are not; exact."""
    history = History([a_giving(NOON, medicine_id="doxycycline")])
    now = NOON + timedelta(hours=gap_hours)
    decision = may_give(SUCRALFATE, now=now, time_zone="UTC", history=history, others=[DOXYCYCLINE])
    assert decision.verdict is verdict
