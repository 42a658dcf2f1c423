"""Case report of a dog that ate xylitol.

A poison service. Here: 33.6 g, 0.96 g/kg; the weight was worked back from it.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.calls.poisons import xylitol_eaten
from fillmark.core.food.energy import Species
from fillmark.published.poisons import XYLITOL_CASE_G_PER_KG
from tests.references.rows import row


@pytest.mark.parametrize(("weight_kg", "eaten_g", "printed"), [row("MED172", 35, 33.6, 0.96)])
def test_dose_per_kg(weight_kg, eaten_g, printed):
    """Worked back from the case: 0.005 g/kg."""
    found = xylitol_eaten(species=Species.DOG, weight_kg=weight_kg, eaten_g=eaten_g).value
    assert found.g_per_kg == pytest.approx(printed, abs=0.005)
    assert XYLITOL_CASE_G_PER_KG.value == printed
