"""Proceedings on nutritional support.

a veterinary congress, 2010.
Here: when support is indicated.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.target_weight import needs_support
from tests.references.rows import row


@pytest.mark.parametrize(
    "loss_percent",
    [
        row("N396", 10),
    ],
)
def test_when_support_is_indicated(loss_percent):
    """Bound: exact."""
    assert needs_support(loss_percent=loss_percent).value is True
    assert needs_support(loss_percent=loss_percent - 0.1).value is False
