"""Calorie chart for healthy adult cats, as quoted in a vet's article.

WSAVA Global Nutrition Committee.
Here: second-hand, printed to the nearest 10 kcal.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.energy import Species, maintenance_forms
from tests.references.rows import row


@pytest.mark.parametrize(
    ("species", "weight_kg", "form", "printed", "tolerance"),
    [
        row("N128", "cat", 1, "active cat", 100, 6),
        row("N129", "cat", 2, "active cat", 160, 6),
        row("N130", "cat", 3, "active cat", 210, 6),
        row("N131", "cat", 4, "active cat", 250, 6),
        row("N133", "cat", 6, "active cat", 330, 6),
    ],
)
def test_maintenance_energy_of_cats(species, weight_kg, form, printed, tolerance):
    """Chart, agrees: second-hand, printed to the nearest 10 kcal, so 6."""
    assert maintenance_forms(species=Species(species), weight_kg=weight_kg)[form].value == pytest.approx(
        printed, abs=tolerance
    )
