"""Gastrostomy feeding of cats, American Journal of Veterinary Research 59:1414.

Smith and others, 1998.
Here: feeding scheme.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.tube.ladders import LADDERS, rung_amount
from tests.references.rows import row


@pytest.mark.parametrize(
    ("full_kcal", "day", "printed", "tolerance"),
    [
        row("N268", 240, 1, 80, 0.1),
        row("N270", 240, 3, 240, 0.1),
    ],
)
def test_energy_of_a_step(full_kcal, day, printed, tolerance):
    """Scheme printed, number ours: exact."""
    assert rung_amount(LADDERS[2], full=full_kcal, rung=day).value == pytest.approx(printed, abs=tolerance)
