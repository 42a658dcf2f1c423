"""Booklet for owners on the nutrient needs of cats.

National Research Council, 2006.
Here: energy table, overweight domestic cat.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.energy import Species, maintenance_forms
from tests.references.rows import row


@pytest.mark.parametrize(
    ("species", "weight_kg", "form", "printed", "tolerance"),
    [
        row("N139", "cat", 2.268, "overweight cat", 180, 6),
        row("N141", "cat", 6.804, "overweight cat", 280, 6),
        row("N142", "cat", 9.0719, "overweight cat", 310, 6),
    ],
)
def test_maintenance_energy_of_overweight_cats(species, weight_kg, form, printed, tolerance):
    """Table, agrees: printed to the nearest 10 kcal, so 6; the formula was matched to the table by us."""
    assert maintenance_forms(species=Species(species), weight_kg=weight_kg)[form].value == pytest.approx(
        printed, abs=tolerance
    )
