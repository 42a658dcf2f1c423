"""Case of unexpected weight loss in a cat of 13 years.

a pet nutrition institute.
Here: weights.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.target_weight import weight_change
from tests.references.rows import row


@pytest.mark.parametrize(
    ("from_kg", "to_kg", "printed", "tolerance"),
    [
        row("N394", 5.4, 4.3, -20.4, 0.06),
    ],
)
def test_change_of_weight(from_kg, to_kg, printed, tolerance):
    """Weights printed, percent ours: to 0.1."""
    assert weight_change(from_kg=from_kg, to_kg=to_kg).value == pytest.approx(printed, abs=tolerance)
