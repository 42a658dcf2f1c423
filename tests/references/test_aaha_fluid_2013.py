"""AAHA/AAFP Fluid Therapy Guidelines.

AAHA and AAFP, 2013.
Here: tip-sheet table of maintenance rates.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.tube.water import water_maintenance
from tests.references.rows import row


@pytest.mark.parametrize(
    ("species", "weight_kg", "printed", "tolerance"),
    [
        row("N271", "cat", 1, 80, 1.2),
        row("N272", "cat", 1.5, 108, 1.2),
        row("N273", "cat", 2, 134, 1.2),
        row("N275", "cat", 3, 182, 1.2),
        row("N278", "cat", 4.5, 247, 1.2),
        row("N280", "cat", 5.5, 287, 1.2),
        row("N281", "cat", 6, 307, 1.2),
        row("N282", "cat", 6.5, 326, 1.2),
        row("N283", "cat", 7, 344, 1.2),
        row("N286", "cat", 8.5, 398, 1.2),
        row("N287", "cat", 9, 416, 1.2),
        row("N290", "dog", 2, 222, 1.5),
        row("N291", "dog", 3, 301, 1.5),
        row("N292", "dog", 4, 373, 1.5),
        row("N294", "dog", 10, 742, 1.5),
        row("N297", "dog", 40, 2100, 1.5),
        row("N298", "dog", 50, 2481, 1.5),
    ],
)
def test_water_of_a_day(species, weight_kg, printed, tolerance):
    """Tip-sheet table, worked example: printed to 1 mL from rounded steps, so 1.2 to 1.5."""
    assert water_maintenance(species=Species(species), weight_kg=weight_kg).value == pytest.approx(
        printed, abs=tolerance
    )
