"""MSD Veterinary Manual.

Merck & Co. Here: medicines for the heart of dogs and cats.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.orders.drawing import dose_volume
from fillmark.published.dose_ranges import caps_for, ranges_for
from tests.references.rows import row
from tests.support.medicines import a_medicine


@pytest.mark.parametrize(("mg_per_kg", "strength", "weight_kg", "printed_ml"), [row("MED034", 2, "10 mg/mL", 12, 2.4)])
def test_furosemide(mg_per_kg, strength, weight_kg, printed_ml):
    """Usual first dose, strength of 21 CFR 520.1010; 0.01 mL."""
    order = a_medicine(strength=strength, dose=f"{mg_per_kg} mg/kg", dose_for_weight_kg=weight_kg)
    assert float(dose_volume(order, weight_kg=weight_kg).value.ml) == pytest.approx(printed_ml, abs=0.01)


@pytest.mark.parametrize(("weight_kg", "printed_mg"), [row("MED036", 4, 24)])
def test_the_most_furosemide_for_a_cat_in_a_day(weight_kg, printed_mg):
    """Copied per kg: exact."""
    (cap,) = caps_for(name="Furosemide", species="cat")
    assert cap.value * weight_kg == printed_mg


@pytest.mark.parametrize(("weight_kg", "by_weight_mg", "printed_mg"), [row("MED037", 60, 0.3, 0.25)])
def test_the_most_digoxin_in_a_dose(weight_kg, by_weight_mg, printed_mg):
    """Copied: the cap binds below the dose by weight; exact."""
    (cap,) = caps_for(name="Digoxin", species="dog")
    band = next(band for band in ranges_for(name="Digoxin", species="dog") if band.source.id == "msd_vet_manual")
    assert band.high * weight_kg == pytest.approx(by_weight_mg)
    assert min(cap.value, by_weight_mg) == printed_mg
