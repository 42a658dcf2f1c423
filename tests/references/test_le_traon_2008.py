"""Levothyroxine tablet and solution in dogs.

Le Traon and others, 2008. Here: abstract; a tablet gave about half the exposure of the solution.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.orders.order_checks import check_order
from tests.references.rows import row
from tests.support.medicines import a_medicine, a_tablet


@pytest.mark.parametrize(("name", "old", "new"), [row("MED045", "Levothyroxine", "tablet", "liquid")])
def test_a_tablet_is_not_its_solution(name, old, new):
    """Rule: locked, ask the vet, with the finding beside it."""
    before = a_tablet(name=name, dose="0.2 mg", strength=f"0.2 mg/{old}")
    after = a_medicine(name=name, form=new, dose="0.2 mg", route="mouth")
    asked = {q.code: q for q in check_order(after, species=Species.DOG, weight_kg=10, previous=before)}["form-changed"]
    assert asked.blocks
    assert "Ask the vet" in asked.text
    assert [figure.source.id for figure in asked.figures] == ["le_traon_2008"]
