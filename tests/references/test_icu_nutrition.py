"""Feeding the critical patient, Clinician's Brief.

A review. Here: flushing before and after a feed.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.tube.tube_care import printed_flushes
from tests.references.rows import row


@pytest.mark.parametrize(("low_ml", "high_ml"), [row("MED162", 5, 10)])
def test_flush_around_a_feed(low_ml, high_ml):
    """Copied: exact; what is about animals is shown first."""
    first = printed_flushes()[0]
    assert (first.low, first.high) == (low_ml, high_ml)
