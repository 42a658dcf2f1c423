"""Nutrient Requirements of Dogs.

National Research Council, 1985.
Here: page 39.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.tube.water import metabolic_water_from_energy
from tests.references.rows import row


@pytest.mark.parametrize(
    ("kcal", "printed", "tolerance"),
    [
        row("N324", 2000, 200, 0.1),
    ],
)
def test_least_water_made_from_energy(kcal, printed, tolerance):
    """Page 39, worked example: exact."""
    assert metabolic_water_from_energy(kcal=kcal).value[0] == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize(
    ("kcal", "printed", "tolerance"),
    [
        row("N325", 2000, 320, 0.1),
    ],
)
def test_most_water_made_from_energy(kcal, printed, tolerance):
    """Page 39, worked example: exact."""
    assert metabolic_water_from_energy(kcal=kcal).value[1] == pytest.approx(printed, abs=tolerance)
