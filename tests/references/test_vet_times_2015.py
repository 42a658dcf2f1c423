"""Assisted feeding and weight from condition score.

Vet Times, 2015.
Here: worked example, staging scheme and condition score.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.target_weight import ideal_weight_from_score_9
from tests.references.rows import row


@pytest.mark.parametrize(
    ("weight_kg", "score", "percent_per_point", "printed", "tolerance"),
    [
        row("N392", 40, 8, 10, 28, 0.05),
        row("N393", 40, 8, 15, 22, 0.05),
    ],
)
def test_ideal_weight_from_condition(weight_kg, score, percent_per_point, printed, tolerance):
    """Worked example: printed to 0.1 kg; the excess is taken of the weight today."""
    readings = ideal_weight_from_score_9(weight_kg=weight_kg, score=score)

    assert readings[f"{percent_per_point} % of today's weight per point"].value == pytest.approx(printed, abs=tolerance)
