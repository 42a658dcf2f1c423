"""Worked examples of doses.

A veterinary clinic. Here: pounds to kg, mg to mL, percent to mg/mL. The clinic takes 2.2 lb
for 1 kg; we take the exact one.
Rows in printed order; no clinician has checked them.
"""

from decimal import Decimal

import pytest

from fillmark.core.orders.drawing import dose_volume
from fillmark.core.values.quantities import KG_PER_LB, Strength
from tests.references.rows import row
from tests.support.medicines import a_medicine


@pytest.mark.parametrize(("weight_lb", "printed_kg"), [row("MED001", 8, 3.63), row("MED002", 20, 9.07)])
def test_pounds_to_kg(weight_lb, printed_kg):
    """Worked example with 2.2 lb/kg, hence 0.05 kg."""
    assert float(weight_lb * KG_PER_LB) == pytest.approx(printed_kg, abs=0.05)


@pytest.mark.parametrize(
    ("strength", "mg_per_kg", "weight_lb", "printed_ml", "tolerance"),
    [row("MED004", "10 mg/mL", 5, 20, 4.54, 0.07), row("MED005", "1 %", 1, 15, 0.68, 0.005)],
)
def test_dose_to_volume(strength, mg_per_kg, weight_lb, printed_ml, tolerance):
    """Worked example; the clinic rounds 2.2 lb/kg twice in the first (4.6 mL)."""
    kg = float(weight_lb * KG_PER_LB)
    order = a_medicine(strength=strength, dose=f"{mg_per_kg} mg/kg", dose_for_weight_kg=kg)
    assert float(dose_volume(order, weight_kg=kg).value.ml) == pytest.approx(printed_ml, abs=tolerance)


@pytest.mark.parametrize(("percent", "mg_per_ml"), [row("MED011", "1 %", Decimal(10))])
def test_percent_to_strength(percent, mg_per_ml):
    """1 g in 100 mL: exact."""
    assert Strength.read(percent).mg_per_ml == mg_per_ml
