"""General chapter <795>, nonsterile compounding, official from November 2023.

United States Pharmacopeia. Here: longest beyond-use dates by kind, as quoted on a trade page; oil and dry forms are
from memory. That the day of making is day 1 is the convention of a veterinary hospital.
Rows in printed order; no clinician has checked them.
"""

from datetime import date

import pytest

from fillmark.core.orders.shelf_life import beyond_use_day, use_until
from fillmark.published.shelf_life import BEYOND_USE_DAYS
from tests.references.rows import row


@pytest.mark.parametrize(
    ("compounded", "made_on", "printed"),
    [
        row("MED175", "water, no preservative", date(2026, 3, 1), date(2026, 3, 14)),
        row("MED179", "oil", date(2026, 3, 1), date(2026, 5, 29)),
    ],
)
def test_last_day_of_what_was_compounded(compounded, made_on, printed):
    """Copied days, counted with the day of making as day 1: exact."""
    assert beyond_use_day(compounded=compounded, made_on=made_on).value == printed


@pytest.mark.parametrize(
    ("compounded", "printed_days"), [row("MED176", "water, preserved", 35), row("MED180", "dry", 180)]
)
def test_days_at_most(compounded, printed_days):
    """Copied: exact."""
    assert BEYOND_USE_DAYS[compounded].value == printed_days


@pytest.mark.parametrize(
    ("label_on", "made_on", "by_rule", "printed"),
    [row("MED183", date(2026, 3, 20), date(2026, 3, 1), date(2026, 4, 4), date(2026, 3, 20))],
)
def test_the_printed_label_goes_first(label_on, made_on, by_rule, printed):
    """Rule: the earlier of the two, here the label's; exact."""
    rule = beyond_use_day(compounded="water, preserved", made_on=made_on)
    assert rule.value == by_rule
    assert use_until(label_on=label_on, by_rule=rule).value == printed
