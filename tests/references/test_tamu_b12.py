"""Vitamin B12 by mouth, table by weight.

Texas A&M Gastrointestinal Laboratory, 2022, as reproduced elsewhere. Here: dogs under 22 lb, to 100 lb, over 100 lb.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.orders.order_checks import check_order
from fillmark.published.dose_ranges import printed_for_weight
from tests.references.rows import row
from tests.support.medicines import a_medicine


@pytest.mark.parametrize(
    ("weight_kg", "printed_mcg"),
    [row("MED048", 9.9, 250), row("MED049", 20, 1000), row("MED050", 45, 1000), row("MED051", 50, 2000)],
)
def test_dose_of_each_weight(weight_kg, printed_mcg):
    """Copied: exact; an order of twice as much is asked about, the printed one is not."""
    found = printed_for_weight(name="Cyanocobalamin", species="dog", form="liquid", weight_kg=weight_kg)
    assert 1000 * found.value == printed_mcg

    def asked(mcg):
        order = a_medicine(name="Vitamin B12", dose=f"{mcg} mcg", every_hours=24)
        return "weight-table" in [q.code for q in check_order(order, species=Species.DOG, weight_kg=weight_kg)]

    assert not asked(printed_mcg)
    assert asked(2 * printed_mcg)
