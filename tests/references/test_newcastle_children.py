"""Leaflet on gastrostomy devices with a balloon.

A children's hospital in Newcastle. Here: when a device is changed; written for children.
Rows in printed order; no clinician has checked them.
"""

from datetime import date

import pytest

from fillmark.core.tube.tube_care import balloon_change_days
from tests.references.rows import row


@pytest.mark.parametrize(("printed_days", "tolerance"), [row("MED204", 84, 2)])
def test_a_device_is_changed(printed_days, tolerance):
    """Copied: every 12 weeks; two days either way."""
    first, _ = balloon_change_days(placed_on=date(2026, 1, 1))
    assert (first.value - date(2026, 1, 1)).days == pytest.approx(printed_days, abs=tolerance)
