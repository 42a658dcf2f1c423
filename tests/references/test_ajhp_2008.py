"""Medicines through feeding tubes, American Journal of Health-System Pharmacy 65:2347.

A review, 2008. Here: figure on medicines that need an empty stomach, seen on a copy.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.orders.order_checks import check_order
from tests.references.rows import row
from tests.support.medicines import a_medicine


@pytest.mark.parametrize(("before", "after"), [row("MED160", 30, 30)])
def test_the_shortest_wait_in_print(before, after):
    """Bound: accepted as it is printed, asked about a minute shorter on either side."""

    def asked(before_minutes, after_minutes):
        food = {"relation": "empty stomach", "minutes": before_minutes, "after_minutes": after_minutes}
        codes = [q.code for q in check_order(a_medicine(food=food), species=Species.DOG, weight_kg=10)]
        return "empty-stomach" in codes

    assert not asked(before, after)
    assert asked(before - 1, after)
    assert asked(before, after - 1)
