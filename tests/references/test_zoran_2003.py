"""Stomach capacity of cats and dogs, as quoted in a clinical summary.

Zoran, 2003.
Here: second-hand.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.published.meals import STOMACH_ML_PER_KG
from tests.references.rows import row


@pytest.mark.parametrize(
    ("species", "weight_kg", "quoted_ml_per_kg", "printed", "tolerance"),
    [
        row("N397", "cat", 4, 60, 240, 0.1),
        row("N398", "dog", 10, 80, 800, 0.1),
    ],
)
def test_stomach_capacity(species, weight_kg, quoted_ml_per_kg, printed, tolerance):
    """Capacity for each kg quoted, product ours: exact."""
    band = STOMACH_ML_PER_KG[species]

    assert quoted_ml_per_kg in (band.low, band.high)
    assert weight_kg * quoted_ml_per_kg == pytest.approx(printed, abs=tolerance)
