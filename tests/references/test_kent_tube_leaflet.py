"""Feeding tube blockages, leaflet 00983.

Kent Community Health NHS Foundation Trust, 2022; written for people. Here: how long warm water may take.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.published.tube_care import UNCLOG_MOST_MINUTES
from tests.references.rows import row


@pytest.mark.parametrize("minutes", [row("CLOG1", 30)])
def test_how_long_trying_may_take(minutes):
    """Copied: exact; after it the tube is a matter for the clinic."""
    assert (UNCLOG_MOST_MINUTES.value, UNCLOG_MOST_MINUTES.unit) == (minutes, "minutes")
