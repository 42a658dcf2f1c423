"""Teaching page on dehydration, quoting the AAHA fluid guideline.

a teaching site.
Here: worked example, second-hand.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.tube.water import dehydration_deficit
from tests.references.rows import row


@pytest.mark.parametrize(
    ("weight_kg", "dehydration", "printed", "tolerance"),
    [
        row("N319", 10, 8, 800, 1),
    ],
)
def test_water_missing_at_a_dehydration(weight_kg, dehydration, printed, tolerance):
    """Worked example, second-hand: exact."""
    assert dehydration_deficit(weight_kg=weight_kg, dehydration_percent=dehydration).value == pytest.approx(
        printed, abs=tolerance
    )
