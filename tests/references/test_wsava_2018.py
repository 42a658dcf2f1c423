"""World Congress proceedings, feline assisted feeding.

WSAVA, 2018.
Here: page 290.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.blend import daily_blend_volume
from fillmark.core.food.energy import EnergyPerKg, energy_goal
from fillmark.published.energy import CAT_KCAL_PER_KG
from tests.references.rows import row


@pytest.mark.parametrize(
    ("weight_kg", "kcal_per_kg", "printed", "tolerance"),
    [
        row("N246", 3.4, 50, 170, 0.5),
        row("N247", 4.0, 50, 200, 0.5),
    ],
)
def test_energy_for_each_kg(weight_kg, kcal_per_kg, printed, tolerance):
    """Page 290, worked example: exact product."""
    assert kcal_per_kg == CAT_KCAL_PER_KG.value
    assert energy_goal(weight_kg=weight_kg, order=EnergyPerKg(kcal_per_kg=kcal_per_kg)).value == pytest.approx(
        printed, abs=tolerance
    )


@pytest.mark.parametrize(
    ("kcal_per_day", "kcal_per_ml", "printed", "tolerance"),
    [
        row("N248", 170, 2.1, 81, 0.6),
        row("N249", 170, 1.3, 131, 0.6),
    ],
)
def test_blend_of_a_day(kcal_per_day, kcal_per_ml, printed, tolerance):
    """Page 290, worked example: printed to 1 mL; the energy per mL was worked back from it by us."""
    assert daily_blend_volume(kcal_per_day=kcal_per_day, kcal_per_ml=kcal_per_ml).value == pytest.approx(
        printed, abs=tolerance
    )
