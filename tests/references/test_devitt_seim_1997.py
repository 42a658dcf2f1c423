"""Esophagostomy tubes for feeding and decompression.

Devitt and Seim, Journal of the American Animal Hospital Association 33:393, 1997; the abstract. 13 dogs and 16 cats:
tubes taken out on purpose, every hole closed by itself. Here: a neck tube that is out is no race.
Rows in printed order; no clinician has checked them.
"""

from datetime import date, timedelta

import pytest

from fillmark.core.tube.tube_care import tube_out
from fillmark.published.tube_care import NECK_HOLE_CLOSES
from tests.references.rows import row


@pytest.mark.parametrize("days", [row("CARD12", 3), row("CARD13", 557)])
def test_a_neck_tube_that_is_out_is_a_call_and_a_dressing(days):
    """Agrees: the hole needs no new tube within hours, and the card names the print."""
    today = date(2026, 11, 25)
    found = tube_out(tube_kind="esophagostomy", placed_on=today - timedelta(days=days), on=today)

    assert found.figures == (NECK_HOLE_CLOSES,)
    assert not any("within hours" in words or "emergency" in words for words in found.value.do)
