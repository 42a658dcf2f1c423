"""Endoscopic management of enteral tubes in adults, guideline, part 2.

European Society of Gastrointestinal Endoscopy, 2021. Here: the gap at the outer bumper; written for people.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.tube.tube_care import bumper_gap
from tests.references.rows import row


@pytest.mark.parametrize(("low_cm", "high_cm"), [row("MED201", 1, 2)])
def test_the_gap_at_the_bumper(low_cm, high_cm):
    """Copied: both ends belong to it; exact."""
    assert [bumper_gap(gap_cm=cm).value for cm in (low_cm - 0.1, low_cm, high_cm, high_cm + 0.1)] == [
        "too tight", "as printed", "as printed", "too loose",
    ]  # fmt: skip
