"""Rounding of doses for children, International Journal of Pharmacy Practice 28:107.

A hospital pharmacy group, 2020. Here: over 10 % off was counted as a concern.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.tube.mark import find_mark, rounding_caution
from fillmark.core.values.errors import CannotDraw
from fillmark.core.values.quantities import Volume
from tests.references.rows import row
from tests.support.medicines import ONE


@pytest.mark.parametrize(("dose", "percent"), [row("MED068", "0.0467 mL", 7.07)])
def test_a_rounding_that_is_shown(dose, percent):
    """Arithmetic: two printed digits."""
    mark = find_mark(volume=Volume.read(dose), syringes=[ONE]).value
    assert 100 * mark.error_fraction == pytest.approx(percent, abs=0.05)
    assert mark.cautions[0].startswith("Rounded from 0.0467 mL to 0.05 mL")


@pytest.mark.parametrize(("ordered_mg", "rounded_mg"), [row("MED069", 5.1, 5.7)])
def test_a_rounding_that_goes_to_the_vet(ordered_mg, rounded_mg):
    """Copied limit: exact."""
    with pytest.raises(CannotDraw, match="Ask the vet"):
        rounding_caution(error_fraction=rounded_mg / ordered_mg - 1, asked=f"{ordered_mg} mg", came=f"{rounded_mg} mg")
