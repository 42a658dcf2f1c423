"""Nursing Skills, open textbook.

Open RN. Here: section 5.5, rounding; over 1 mL to a tenth, under 1 mL to a hundredth.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.tube.mark import find_mark
from fillmark.core.values.quantities import Volume
from tests.references.rows import row
from tests.support.medicines import ONE, a_syringe


@pytest.mark.parametrize(
    ("dose", "printed"),
    [row("MED063", "17.276 mL", "17.3 mL"), row("MED066", "0.276 mL", "0.28 mL"), row("MED067", "0.243 mL", "0.24 mL")],
)
def test_rounding_of_a_volume(dose, printed):
    """Worked example, on syringes with those steps: exact."""
    shelf = [ONE, a_syringe(20, 0.1, 1)]
    assert str(find_mark(volume=Volume.read(dose), syringes=shelf).value.drawn) == printed
