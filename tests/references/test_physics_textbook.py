"""Textbook problem on the force on a syringe plunger.

a physics textbook.
Here: worked answer.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.tube.flow import plunger_force
from tests.references.rows import row


@pytest.mark.parametrize(
    ("pressure_pa", "plunger_mm", "printed", "tolerance"),
    [
        row("N357", 13332.2, 5.5, 0.316, 0.002),
    ],
)
def test_force_on_a_plunger(pressure_pa, plunger_mm, printed, tolerance):
    """Worked answer: printed to 0.001 N."""
    assert plunger_force(pressure_pa=pressure_pa, plunger_diameter_mm=plunger_mm).value == pytest.approx(
        printed, abs=tolerance
    )
