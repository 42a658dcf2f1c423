"""Rectal temperature of confined adult cats, Journal of Feline Medicine and Surgery 17:950.

Levy and others, 2015. Here: summary; reference interval 36.7 to 38.9 °C of 200 cats. No row of the list is from it;
the interval is copied.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.watch.vital_signs import Temperature, temperature


@pytest.mark.parametrize(
    ("celsius", "place"),
    [
        (36.6, Temperature.BELOW),
        (36.7, Temperature.INSIDE),
        (38.9, Temperature.INSIDE),
        (39.0, Temperature.ABOVE),
    ],
)
def test_a_cats_temperature(celsius, place):
    """Copied interval, both ends inside: exact."""
    assert temperature(species=Species.CAT, rectal_celsius=celsius).value is place
