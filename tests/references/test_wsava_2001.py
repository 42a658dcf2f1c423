"""Proceedings on feeding tubes, congress of the World Small Animal Veterinary Association.

WSAVA, 2001. Here: each French is 0.33 mm of outer diameter.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.tube.flow import outer_diameter
from tests.references.rows import row


@pytest.mark.parametrize(("french", "printed_mm", "tolerance"), [row("MED165", 20, 6.67, 0.1)])
def test_outside_of_a_tube(french, printed_mm, tolerance):
    """Print rounds a third to 0.33: a tenth of a mm."""
    assert outer_diameter(french=french).value == pytest.approx(printed_mm, abs=tolerance)
