"""ISO 80369-3, Small-bore connectors for enteral applications.

International Organization for Standardization, 2016. Here: Annex A, mean displacement of 0.148 mL, as quoted.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.tube.mark import tip_error_fraction
from tests.references.rows import row


@pytest.mark.parametrize(
    ("dose_ml", "percent", "tolerance"), [row("MED128", 2, 7.4, 0.05), row("MED129", 5, 2.96, 0.05)]
)
def test_what_the_tip_displaces(dose_ml, percent, tolerance):
    """Agrees with the quoted mean; tolerance: half of the last printed digit of the first row."""
    assert 100 * tip_error_fraction(volume_ml=dose_ml) == pytest.approx(percent, abs=tolerance)
