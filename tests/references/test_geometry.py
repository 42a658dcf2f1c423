"""Geometry and arithmetic that no publication is needed for.

The volume of a cylinder, what is dissolved staying the same, and days by division. 0.05 % for wounds is from Vet Times,
2015.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.tube.tube_care import volume_inside
from tests.references.rows import row


@pytest.mark.parametrize(("inner_mm", "length_cm", "printed_ml"), [row("MED164", 4, 30, 3.77)])
def test_volume_inside_a_tube(inner_mm, length_cm, printed_ml):
    """Geometry: 0.01 mL."""
    assert volume_inside(inner_mm=inner_mm, length_cm=length_cm).value == pytest.approx(printed_ml, abs=0.01)
