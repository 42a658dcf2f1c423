"""Feeding the critical patient, Clinician's Brief.

A review. Here: flushing before and after a feed.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.published.tube_care import FLUSH_AROUND_FEED_ML
from tests.references.rows import row


@pytest.mark.parametrize(("low_ml", "high_ml"), [row("MED162", 5, 10)])
def test_flush_around_a_feed(low_ml, high_ml):
    """Copied: exact."""
    assert (FLUSH_AROUND_FEED_ML.low, FLUSH_AROUND_FEED_ML.high) == (low_ml, high_ml)
