"""Expiry dates of medicines in care homes.

Local NHS guidance, after Lowe 2001. Here: wording of dates; how long after opening.
Rows in printed order; no clinician has checked them.
"""

from datetime import date

import pytest

from fillmark.core.orders.shelf_life import last_day_printed, opened_until
from fillmark.published.shelf_life import OPENED_ANTIBIOTIC_DAYS
from tests.references.rows import row


@pytest.mark.parametrize(
    ("words", "printed"),
    [
        row("MED184", "Use by March 2013", date(2013, 3, 31)),
        row("MED186", "Expiry date March 2013", date(2013, 3, 31)),
        row("MED188", "Use before end January 2014", date(2014, 1, 31)),
        row("MED189", "Use by January 2014", date(2014, 1, 31)),
        row("MED191", "Expires January 2014", date(2014, 1, 31)),
    ],
)
def test_last_usable_day(words, printed):
    """Copied: exact."""
    assert last_day_printed(words).value == printed


@pytest.mark.parametrize(
    ("opened_as", "opened_on", "last_on"),
    [
        row("MED192", "liquid", date(2026, 3, 1), date(2026, 8, 31)),
        row("MED195", "tablets in a weekly box", date(2026, 3, 1), date(2026, 4, 30)),
    ],
)
def test_months_after_opening(opened_as, opened_on, last_on):
    """Copied: 6 months and 2 months, the day of opening being the first; exact."""
    assert opened_until(opened_as=opened_as, opened_on=opened_on).value == last_on


@pytest.mark.parametrize(("shorter", "longer"), [row("MED193", 7, 14)])
def test_an_antibiotic_keeps_what_its_label_says(shorter, longer):
    """Copied: 7 or 14 days; the label says which, and until it is read the shorter counts."""
    made = date(2026, 3, 1)
    assert (OPENED_ANTIBIOTIC_DAYS.low, OPENED_ANTIBIOTIC_DAYS.high) == (shorter, longer)
    for days in (shorter, longer):
        until = opened_until(opened_as="antibiotic mixed up", opened_on=made, label_days=days).value
        assert (until - made).days + 1 == days
    unread = opened_until(opened_as="antibiotic mixed up", opened_on=made)
    assert (unread.value - made).days + 1 == shorter
    assert unread.cautions == ("Read the label: it keeps 7 or 14 days. The shorter is counted until it is known.",)
