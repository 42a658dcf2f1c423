"""Product summary of metoclopramide oral solution 1 mg/mL for dogs and cats (UK), with the Danish tablets.

A medicines authority. Here: dose per day, salt and base, tablets by weight.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.orders.drawing import dose_volume
from fillmark.core.orders.order_checks import check_order
from fillmark.published.dose_ranges import printed_for_weight, ranges_for
from fillmark.published.medicine import METOCLOPRAMIDE_BASE_FRACTION
from tests.references.rows import row
from tests.support.medicines import a_medicine, a_tablet


@pytest.mark.parametrize(("times_per_day", "weight_kg", "low_ml", "high_ml"), [row("MED015", 2, 10, 2.5, 5)])
def test_volume_of_each_dose(times_per_day, weight_kg, low_ml, high_ml):
    """Arithmetic on the printed range per day; 0.01 mL."""
    (band,) = [band for band in ranges_for(name="Metoclopramide", species="dog") if band.unit == "mg/kg per day"]
    for per_day, printed_ml in ((band.low, low_ml), (band.high, high_ml)):
        order = a_medicine(dose=f"{per_day / times_per_day:g} mg/kg", dose_for_weight_kg=weight_kg)
        volume = dose_volume(order, weight_kg=weight_kg).value
        assert float(volume.ml) == pytest.approx(printed_ml, abs=0.01)


@pytest.mark.parametrize(("salt_mg", "base_mg"), [row("MED017", 1, 0.891)])
def test_base_in_the_salt(salt_mg, base_mg):
    """Copied: three printed digits."""
    assert salt_mg * METOCLOPRAMIDE_BASE_FRACTION.value == pytest.approx(base_mg, abs=0.001)


@pytest.mark.parametrize(("base_mg_per_kg", "salt_mg_per_kg"), [row("MED018", 0.22, 0.25)])
def test_salt_for_the_base(base_mg_per_kg, salt_mg_per_kg):
    """Agrees with the Danish summary; half of its last digit."""
    assert base_mg_per_kg / METOCLOPRAMIDE_BASE_FRACTION.value == pytest.approx(salt_mg_per_kg, abs=0.005)


@pytest.mark.parametrize(
    ("over_kg", "up_to_kg", "printed_mg"),
    [row("MED020", 7.5, 12.5, 2.5), row("MED021", 12.5, 17.5, 3.75), row("MED023", 37.5, 45, 10)],
)
def test_tablets_by_weight(over_kg, up_to_kg, printed_mg):
    """Copied: exact; the lower end belongs to the row before, and only tablets are meant."""

    def printed(weight_kg, form="tablet"):
        return printed_for_weight(name="Metoclopramide HCl", species="dog", form=form, weight_kg=weight_kg)

    assert (printed(over_kg + 0.01).value, printed(up_to_kg).value) == (printed_mg, printed_mg)
    assert printed(over_kg) is None or printed(over_kg).value < printed_mg
    assert printed(up_to_kg, form="liquid") is None
    order = a_tablet(name="Metoclopramide", dose=f"{2 * printed_mg:g} mg", strength="2.5 mg/tablet", every_hours=6)
    texts = {q.code: q.text for q in check_order(order, species=Species.DOG, weight_kg=up_to_kg)}
    assert f"when print gives {printed_mg:g} for {up_to_kg:g} kg" in texts["weight-table"]
