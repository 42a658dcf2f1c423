"""Medication sheet on acute vomiting, Today's Veterinary Practice.

Armstrong. Here: cisapride before food; another page has 15 to 30 minutes.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.orders.order_checks import check_order
from fillmark.published.medicine import MINUTES_BEFORE_FOOD
from tests.references.rows import row
from tests.support.medicines import a_medicine


@pytest.mark.parametrize(("printed_minutes", "tolerance"), [row("MED158", -30, 15)])
def test_cisapride_before_food(printed_minutes, tolerance):
    """Copied: within what the other page has; an order with food is asked about."""
    assert -MINUTES_BEFORE_FOOD["cisapride"].value == pytest.approx(printed_minutes, abs=tolerance)
    order = a_medicine(name="Cisapride", dose="2.5 mg", food={"relation": "with"})
    texts = {q.code: q.text for q in check_order(order, species=Species.DOG, weight_kg=10)}
    assert texts["food-timing"] == (
        "Print gives Cisapride about 30 minutes before food; the order says with food. Ask the vet."
    )
