"""Teaching page on laminar flow in a tube.

a medical university.
Here: Hagen-Poiseuille equation.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.tube.flow import newtonian_pressure_drop
from tests.references.rows import row


@pytest.mark.parametrize(
    ("viscosity", "length_m", "flow", "radius_m", "printed", "tolerance"),
    [
        row("N359", 0.3, 0.3, 1e-06, 0.002, 14324, 29),
        row("N360", 1.0, 0.25, 5e-07, 0.00235, 10437, 21),
    ],
)
def test_pressure_drop_of_a_thin_liquid(viscosity, length_m, flow, radius_m, printed, tolerance):
    """The formula is printed, the number was worked out by us: 0.2 %."""
    drop = newtonian_pressure_drop(viscosity_pa_s=viscosity, length_m=length_m, flow_m3_per_s=flow, radius_m=radius_m)

    assert drop.value == pytest.approx(printed, abs=tolerance)
