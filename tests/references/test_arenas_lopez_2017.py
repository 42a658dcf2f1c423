"""Accuracy of small oral syringes, Archives of Disease in Childhood 102:655.

Arenas-Lopez and others, 2017. Here: abstract; two brands of 1 mL, aim within 10 %.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.tube.mark import find_mark
from fillmark.core.values.quantities import Volume
from tests.references.rows import row
from tests.support.medicines import ONE


@pytest.mark.parametrize(("dose", "is_flagged"), [row("MED114", "0.1 mL", True), row("MED115", "0.2 mL", False)])
def test_a_small_volume_in_a_one_ml_syringe(dose, is_flagged):
    """Bound: told at 0.1 mL, not at 0.2 mL; exact."""
    cautions = find_mark(volume=Volume.read(dose), syringes=[ONE]).value.cautions
    assert any("Very little for a 1 mL syringe" in caution for caution in cautions) == is_flagged
