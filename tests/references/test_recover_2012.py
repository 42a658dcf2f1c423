"""RECOVER evidence and knowledge gap analysis on veterinary CPR, part 3: basic life support.

Hopper and others, Journal of Veterinary Emergency and Critical Care 22(S1):S26-S43, 2012; the abstract, as printed on a
copy of the paper. Here: how deep a chest is pressed, and how many presses come before two breaths. It prints "at least
100 a minute"; the 100 to 120 of the owner's manual lie inside that.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.published.calls import COMPRESSION_DEPTH, COMPRESSIONS_BEFORE_BREATHS, COMPRESSIONS_PER_MINUTE
from tests.references.rows import row


@pytest.mark.parametrize("least", [row("RECOVER1", 100)])
def test_the_rate_is_no_less_than_printed(least):
    """Bound: at least so many a minute."""
    assert COMPRESSIONS_PER_MINUTE.low >= least


@pytest.mark.parametrize("printed", [row("RECOVER2", "a third to a half of its width")])
def test_the_depth(printed):
    """Copied, in our words: exact."""
    assert printed in COMPRESSION_DEPTH.says


@pytest.mark.parametrize(("presses", "breaths"), [row("RECOVER3", 30, 2)])
def test_presses_before_breaths(presses, breaths):
    """Copied: exact; of an animal without a tube in its windpipe."""
    assert COMPRESSIONS_BEFORE_BREATHS.value == presses
    assert f"then {breaths} breaths" in COMPRESSIONS_BEFORE_BREATHS.unit
