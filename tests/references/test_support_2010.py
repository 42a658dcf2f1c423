"""Proceedings on nutritional support.

a veterinary congress, 2010.
Here: when support is indicated.
No clinician has checked it.
"""

import pytest

from fillmark.published.energy import LOSS_NEEDS_SUPPORT_PERCENT
from tests.references.rows import row


@pytest.mark.parametrize("loss_percent", [row("N396", 10)])
def test_when_support_is_indicated(loss_percent):
    """Copied: exact."""
    assert loss_percent == LOSS_NEEDS_SUPPORT_PERCENT.value
