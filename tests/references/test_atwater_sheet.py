"""Teaching sheet on the modified Atwater formula.

a university.
Here: worked example.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.analysis import modified_atwater
from tests.references.rows import an_analysis, row


@pytest.mark.parametrize(
    ("protein", "fat", "fiber", "moisture", "ash", "printed", "tolerance"),
    [
        row("N167", 27, 14, 2, 10, 6, 357, 0.5),
    ],
)
def test_modified_atwater(protein, fat, fiber, moisture, ash, printed, tolerance):
    """Worked example: printed to 1 kcal."""
    assert modified_atwater(an_analysis(protein, fat, fiber, moisture, ash)).value == pytest.approx(
        printed, abs=tolerance
    )
