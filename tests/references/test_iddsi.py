"""IDDSI flow test.

International Dysphagia Diet Standardisation Initiative, 2019.
Here: levels 0 and 1 read in print, levels 2 to 4 from memory.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.tube.flow import iddsi_level
from tests.references.rows import row


@pytest.mark.parametrize(
    ("left_ml", "printed", "tolerance"),
    [
        row("N351", 0.5, 0, 0),
        row("N352", 2.5, 1, 0),
        row("N353", 3.9, 1, 0),
        row("N354", 6, 2, 0),
    ],
)
def test_flow_test_level(left_ml, printed, tolerance):
    """Levels 0 and 1 were read in print, level 2 is from memory: exact."""
    assert iddsi_level(left_ml=left_ml).value == pytest.approx(printed, abs=tolerance)
