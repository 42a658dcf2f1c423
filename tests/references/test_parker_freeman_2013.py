"""Solutions to dissolve clots of feeding diets, Journal of Veterinary Emergency and Critical Care.

Parker and Freeman, 2013. Here: abstract; clots of diet in a tube, no animal.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.tube.tube_care import unclog_choices
from tests.references.rows import row


@pytest.mark.parametrize(
    ("liquid", "found", "place"),
    [
        row("MED166", "cola", "worse than water", -2),
        row("MED168", "half a teaspoon of pancreatic enzyme with bicarbonate", "worst of all", -1),
    ],
)
def test_what_is_advised_against(liquid, found, place):
    """Copied finding: told, last in order, and not allowed without the vet's word."""
    choice = unclog_choices()[place]
    assert choice.liquid == liquid
    assert found in choice.advised_against
    assert not choice.is_allowed
