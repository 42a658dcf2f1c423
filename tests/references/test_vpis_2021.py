"""Propylene glycol in cats.

Veterinary Poisons Information Service, 2021. Here: use over a long time.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.orders.order_checks import check_order
from tests.references.rows import row
from tests.support.medicines import a_medicine


@pytest.mark.parametrize(("species", "said"), [row("MED173", Species.CAT, "Ask the vet before giving those to a cat.")])
def test_propylene_glycol_for_a_cat(species, said):
    """Copied caution: asked, with its source beside it."""
    asked = {q.code: q for q in check_order(a_medicine(), species=species, weight_kg=4)}["excipients"]
    assert said in asked.text
    assert [figure.source.id for figure in asked.figures] == ["vpis_2021"]
