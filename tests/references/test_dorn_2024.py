"""Rectal temperature of adult dogs, Animals 14:1970.

Dorn and others, 2024. Here: abstract; reference interval 37.7 to 39.5 °C of 9117 dogs, and the same in °F.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.values.quantities import celsius_from, fahrenheit_from
from fillmark.core.watch.vital_signs import temperature
from tests.references.rows import row


@pytest.mark.parametrize(
    ("celsius", "printed"),
    [row("MED209", 38.6, "inside the reference interval"), row("MED211", 39.6, "above the reference interval")],
)
def test_a_dogs_temperature(celsius, printed):
    """Copied interval: exact."""
    assert temperature(species=Species.DOG, rectal_celsius=celsius).value == printed


@pytest.mark.parametrize(("celsius", "fahrenheit"), [row("MED212", 39.5, 103.1), row("MED213", 37.7, 99.9)])
def test_both_ends_in_fahrenheit(celsius, fahrenheit):
    """Arithmetic: half of the printed digit."""
    assert fahrenheit_from(celsius=celsius) == pytest.approx(fahrenheit, abs=0.05)
    assert celsius_from(fahrenheit=fahrenheit_from(celsius=celsius)) == pytest.approx(celsius, abs=1e-9)
