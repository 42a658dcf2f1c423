"""Newspaper column by a vet.

a newspaper, 2018.
Here: weight lost by a cat.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.target_weight import weight_change
from fillmark.core.values.quantities import KG_PER_LB as EXACT_KG_PER_LB
from tests.references.rows import row

KG_PER_LB = float(EXACT_KG_PER_LB)


@pytest.mark.parametrize(
    ("from_lb", "to_lb", "printed", "tolerance"),
    [
        row("N395", 10, 8, -20, 0.01),
    ],
)
def test_change_of_weight(from_lb, to_lb, printed, tolerance):
    """Printed whole; weights in pounds, whose ratio is the same in kg."""
    assert weight_change(from_kg=from_lb * KG_PER_LB, to_kg=to_lb * KG_PER_LB).value == pytest.approx(
        printed, abs=tolerance
    )
