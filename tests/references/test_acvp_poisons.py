"""Page on metronidazole poisoning.

American College of Veterinary Pharmacists. Here: dose per day.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.orders.order_checks import check_order
from tests.references.rows import row
from tests.support.medicines import a_medicine


@pytest.mark.parametrize(("weight_kg", "most_mg_per_day"), [row("MED053", 10, 600)])
def test_the_most_metronidazole_in_a_day(weight_kg, most_mg_per_day):
    """Copied per kg: at it nothing is locked, above it is; exact."""
    for over_mg, is_locked in ((0, False), (1, True)):
        order = a_medicine(name="Metronidazole", strength="50 mg/mL", dose=f"{most_mg_per_day / 2 + over_mg:g} mg")
        codes = {question.code for question in check_order(order, species=Species.DOG, weight_kg=weight_kg)}
        assert ("over-printed-maximum" in codes) == is_locked
