"""Position on single-dose vials.

Centers for Disease Control and Prevention, 2012. Here: one use; written for injections.
Rows in printed order; no clinician has checked them.
"""

from datetime import date

import pytest

from fillmark.core.orders.shelf_life import opened_until
from tests.references.rows import row


@pytest.mark.parametrize(
    ("opened_on", "said"), [row("MED197", date(2026, 3, 1), "one use, and the rest is thrown away")]
)
def test_a_single_dose_vial_is_used_once(opened_on, said):
    """Copied rule: exact; no label makes it longer."""
    found = opened_until(opened_as="single dose", opened_on=opened_on, label_days=30)
    assert found.value == opened_on
    assert said in found.because
