"""Gastrostomy tube replacement, StatPearls.

National Library of Medicine bookshelf. Here: age of the tract, and how fast it narrows; written for people.
Rows in printed order; no clinician has checked them.
"""

from datetime import date, timedelta

import pytest

from fillmark.core.tube.tube_care import tube_out
from tests.references.rows import row


@pytest.mark.parametrize(
    ("days", "do", "do_not"),
    [
        row(
            "MED206",
            20,
            ("Go to the emergency vet now.",),
            ("Do not put the tube or anything else into the hole: it can end in the belly.",),
        ),
        row(
            "MED207",
            200,
            (
                "Go to the emergency vet now. The hole narrows within hours.",
                "Cover the hole loosely with a clean cloth.",
            ),
            ("Do not feed.",),
        ),
    ],
)
def test_a_tube_that_came_out(days, do, do_not):
    """Copied advice, in our words: exact."""
    today = date(2026, 11, 25)
    found = tube_out(tube_kind="gastrostomy", placed_on=today - timedelta(days=days), on=today).value
    assert set(do) <= set(found.do)
    assert set(do_not) <= set(found.do_not)
