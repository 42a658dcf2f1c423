"""Leaflet on gastrostomy devices with a balloon.

A community health service in Kent. Here: what makers say about changing a device; written for people.
Rows in printed order; no clinician has checked them.
"""

from datetime import date

import pytest

from fillmark.core.tube.tube_care import balloon_change_days
from tests.references.rows import row


@pytest.mark.parametrize(("printed_days", "tolerance"), [row("MED205", 182, 2)])
def test_makers_say(printed_days, tolerance):
    """Copied: up to six months; two days either way."""
    _, last = balloon_change_days(placed_on=date(2026, 1, 1))
    assert (last.value - date(2026, 1, 1)).days == pytest.approx(printed_days, abs=tolerance)
