"""Chemical Engineering Fluid Mechanics.

Darby, 2001.
Here: equation 6-44, as reproduced elsewhere.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.tube.flow import power_law_pressure_drop
from tests.references.rows import row


@pytest.mark.parametrize(
    ("consistency", "index", "length_m", "flow", "radius_m", "printed", "tolerance"),
    [
        row("N362", 10, 0.3, 0.3, 5e-07, 0.00235, 9422, 19),
        row("N363", 0.1, 1.0, 0.3, 1e-06, 0.002, 4775, 10),
    ],
)
def test_pressure_drop_of_a_power_law_blend(consistency, index, length_m, flow, radius_m, printed, tolerance):
    """Equation 6-44 as reproduced, the number was worked out by us: 0.2 %."""
    drop = power_law_pressure_drop(
        consistency=consistency, flow_index=index, length_m=length_m, flow_m3_per_s=flow, radius_m=radius_m
    )

    assert drop.value == pytest.approx(printed, abs=tolerance)
