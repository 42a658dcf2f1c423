"""Product summary of metoclopramide oral solution 1 mg/mL for dogs and cats (UK), with the Danish tablets.

A medicines authority. Here: dose per day, salt and base.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.medicine import dose_volume
from fillmark.published.dose_ranges import ranges_for
from fillmark.published.medicine import METOCLOPRAMIDE_BASE_FRACTION
from tests.references.rows import row
from tests.support.medicines import a_medicine


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
