"""Procedure for dating what is compounded.

University of Illinois veterinary hospital. Here: never past the first ingredient to expire.
Rows in printed order; no clinician has checked them.
"""

from datetime import date

import pytest

from fillmark.core.orders.shelf_life import beyond_use_day
from tests.references.rows import row


@pytest.mark.parametrize(
    ("made_on", "ingredients_expire_on", "printed"),
    [row("MED182", date(2026, 3, 1), date(2026, 3, 10), date(2026, 3, 10))],
)
def test_the_first_ingredient_to_expire_ends_it(made_on, ingredients_expire_on, printed):
    """Copied rule: exact."""
    found = beyond_use_day(
        compounded="water, no preservative", made_on=made_on, ingredients_expire_on=ingredients_expire_on
    )
    assert found.value == printed
