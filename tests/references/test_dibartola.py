"""Fluid, Electrolyte and Acid-Base Disorders in Small Animal Practice.

DiBartola (editor).
Here: Tables 1-10, 14-2 and 14-9.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.tube.water import WaterIn, water_maintenance
from tests.references.rows import row


@pytest.mark.parametrize(
    ("species", "weight_kg", "printed", "tolerance"),
    [
        row("N306", "cat", 1.5, 108, 1.2),
        row("N307", "cat", 2, 135, 1.2),
        row("N308", "cat", 2.5, 159, 1.2),
        row("N309", "cat", 3, 182, 1.2),
        row("N311", "cat", 4, 226, 1.2),
    ],
)
def test_water_of_a_day(species, weight_kg, printed, tolerance):
    """Table 14-2, agrees with the guideline: printed to 1 mL."""
    assert water_maintenance(species=Species(species), weight_kg=weight_kg).value == pytest.approx(
        printed, abs=tolerance
    )


@pytest.mark.parametrize(
    ("food_ml", "drunk_ml", "printed", "tolerance"),
    [
        row("N329", 116, 22.8, 139, 0.3),
        row("N330", 7.4, 167.2, 174.6, 0.3),
    ],
)
def test_water_in_food_and_drunk(food_ml, drunk_ml, printed, tolerance):
    """Table 1-10, worked example: printed to 0.1 from rounded parts."""
    assert WaterIn(food_ml=food_ml, by_mouth_ml=drunk_ml).total_ml == pytest.approx(printed, abs=tolerance)
