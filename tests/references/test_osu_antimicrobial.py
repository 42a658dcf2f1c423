"""Antimicrobial use in companion animals, open text.

Ohio State University Veterinary Medical Center. Here: metronidazole and doxycycline.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.orders.order_checks import check_order
from tests.references.rows import row
from tests.support.medicines import a_medicine


@pytest.mark.parametrize(("name", "mg_per_kg"), [row("MED054", "Metronidazole", 12), row("MED056", "Doxycycline", 5)])
def test_inside_print_nothing_is_asked_about_the_dose(name, mg_per_kg):
    """Bound: exact. Ten times as much is asked about."""
    for times, is_asked in ((1, False), (10, True)):
        order = a_medicine(name=name, dose=f"{mg_per_kg * times} mg/kg", dose_for_weight_kg=10)
        codes = {question.code for question in check_order(order, species=Species.DOG, weight_kg=10)}
        assert ("outside-print" in codes) == is_asked
