"""Code of Federal Regulations, title 21, part 520: oral dosage form new animal drugs.

U.S. Food and Drug Administration. Here: sections named at each row.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.orders.dosing_days import ordered_dose
from fillmark.core.orders.drawing import dose_volume
from fillmark.core.orders.order_checks import check_order
from fillmark.core.orders.strength_change import strength_change
from fillmark.core.orders.tablets import tablet_parts
from fillmark.published.dose_ranges import ranges_for
from tests.references.rows import row
from tests.support.medicines import SHELF, a_medicine, a_tablet


@pytest.mark.parametrize(("mg_per_kg", "strength", "weight_kg", "printed_ml"), [row("MED031", 2, "20 mg/mL", 4, 0.4)])
def test_capromorelin_for_a_cat(mg_per_kg, strength, weight_kg, printed_ml):
    """520.292, arithmetic; 0.01 mL."""
    order = a_medicine(strength=strength, dose=f"{mg_per_kg} mg/kg", dose_for_weight_kg=weight_kg)
    assert float(dose_volume(order, weight_kg=weight_kg).value.ml) == pytest.approx(printed_ml, abs=0.01)


@pytest.mark.parametrize(("cat", "dog", "ratio"), [row("MED032", "20 mg/mL", "30 mg/mL", 1.5)])
def test_the_dogs_bottle_in_a_cat(cat, dog, ratio):
    """520.292, arithmetic: exact."""
    change = strength_change(
        old=a_medicine(strength=cat, dose="8 mg"),
        new=a_medicine(strength=dog, dose="8 mg"),
        weight_kg=4,
        syringes=SHELF,
    )
    assert change.same_amount_ratio == ratio


@pytest.mark.parametrize(("mg_per_kg", "strength", "weight_kg", "printed"), [row("MED033", 2, "16 mg/tablet", 8, 1)])
def test_maropitant_tablets(mg_per_kg, strength, weight_kg, printed):
    """520.1315, arithmetic: exact."""
    order = a_tablet(strength=strength, dose=f"{mg_per_kg} mg/kg", dose_for_weight_kg=weight_kg)
    assert tablet_parts(order, weight_kg=weight_kg).value.count == printed


@pytest.mark.parametrize(
    ("name", "weight_kg", "low_mg", "high_mg"),
    [row("MED039", "clindamycin", 10, 55.1, 330.7), row("MED041", "marbofloxacin", 20, 55.1, 110.2)],
)
def test_range_of_a_dose(name, weight_kg, low_mg, high_mg):
    """520.447 and 520.1310, printed per lb; 0.2 mg as the clinic rounds."""
    (band,) = ranges_for(name=name, species="dog")
    assert (band.low * weight_kg, band.high * weight_kg) == pytest.approx((low_mg, high_mg), abs=0.2)


@pytest.mark.parametrize(("mg_per_ml", "weight_kg", "low_ml", "high_ml"), [row("MED040", 25, 10, 2.2, 13.23)])
def test_range_of_a_volume(mg_per_ml, weight_kg, low_ml, high_ml):
    """520.447, arithmetic; 0.02 mL."""
    (band,) = ranges_for(name="clindamycin", species="dog")
    found = (band.low * weight_kg / mg_per_ml, band.high * weight_kg / mg_per_ml)
    assert found == pytest.approx((low_ml, high_ml), abs=0.02)


@pytest.mark.parametrize(("tablet_mg", "weight_kg", "found"), [row("MED042", 22.7, 4, "5.68")])
def test_enrofloxacin_over_the_most_for_a_cat(tablet_mg, weight_kg, found):
    """520.812: 5.675 mg/kg against 5; our text shows three digits."""
    order = a_tablet(name="Enrofloxacin", dose=f"{tablet_mg} mg", strength=f"{tablet_mg} mg/tablet", every_hours=24)
    texts = {question.code: question.text for question in check_order(order, species=Species.CAT, weight_kg=weight_kg)}
    assert f"{found} mg/kg per day, when print names 5 as the most" in texts["over-printed-maximum"]


@pytest.mark.parametrize(("mg_per_kg", "weight_kg", "printed_mg"), [row("MED043", 0.022, 30, 0.66)])
def test_levothyroxine_tablets(mg_per_kg, weight_kg, printed_mg):
    """520.1248, arithmetic; 0.001 mg."""
    order = a_tablet(strength="0.1 mg/tablet", dose=f"{mg_per_kg} mg/kg", dose_for_weight_kg=weight_kg)
    assert float(ordered_dose(order, weight_kg=weight_kg).value.mg) == pytest.approx(printed_mg, abs=0.001)
