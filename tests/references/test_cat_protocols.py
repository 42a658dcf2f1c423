"""Cat health-care protocols, nutritional assessment.

a Canadian veterinary group.
Here: Table 1.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.energy import resting_energy
from tests.references.rows import row


@pytest.mark.parametrize(
    ("weight_kg", "printed", "tolerance"),
    [
        row("N094", 0.9, 65, 1.5),
        row("N096", 1.82, 110, 1.5),
        row("N098", 2.73, 149, 1.5),
        row("N099", 3.18, 167, 1.5),
        row("N100", 3.64, 184, 1.5),
        row("N103", 6.82, 295, 1.5),
        row("N104", 9.09, 366, 1.5),
        row("N105", 11.36, 433, 1.5),
    ],
)
def test_resting_energy_of_cats(weight_kg, printed, tolerance):
    """Table 1, worked example: printed to 1 kcal; the weight in pounds is rounded to 0.01 kg."""
    assert resting_energy(weight_kg=weight_kg).value == pytest.approx(printed, abs=tolerance)
