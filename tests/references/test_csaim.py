"""Clinical Small Animal Internal Medicine.

Bruyette (editor), 2020. Here: Table 53.2, erythromycin to move food on.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.orders.order_checks import check_order
from tests.references.rows import row
from tests.support.medicines import a_medicine


@pytest.mark.parametrize(("mg_per_kg", "purpose"), [row("MED060", 10, "moves food on")])
def test_an_antibiotic_dose_for_another_purpose(mg_per_kg, purpose):
    """Bound: outside 0.5 to 1 mg/kg, and what it is meant for is shown beside it."""
    order = a_medicine(
        name="Erythromycin", dose=f"{mg_per_kg} mg/kg", dose_for_weight_kg=10, every_hours=8, purpose=purpose
    )
    texts = {question.code: question.text for question in check_order(order, species=Species.DOG, weight_kg=10)}
    assert "10 against 0.5 to 1 mg/kg per dose" in texts["outside-print"]
    assert "ten times as much as print says" in texts["outside-print"]
    assert f"It is meant for: {purpose}." in texts["outside-print"]
