"""Handout on lowering prednisolone.

A patient group. Here: cuts of 25 to 33 % every two to three weeks; a lay source, the schedule is the vet's.
Rows in printed order; no clinician has checked them.
"""

from datetime import date

import pytest

from fillmark.core.orders.dosing_days import plan_taper
from fillmark.core.values.quantities import Mass
from fillmark.published.medicine import TAPER_CUT_PERCENT
from tests.references.rows import row


@pytest.mark.parametrize(
    ("first", "cut_percent", "printed"), [row("MED152", "20 mg", 25, ("20 mg", "15 mg", "11.25 mg"))]
)
def test_steps_of_a_taper(first, cut_percent, printed):
    """Arithmetic: exact."""
    taper = plan_taper(
        first=Mass.read(first), cut_percent=cut_percent, every_days=14, first_on=date(2026, 3, 1), steps=len(printed)
    )
    assert tuple(step.dose for step in taper.value) == printed
    assert TAPER_CUT_PERCENT.holds(cut_percent)
