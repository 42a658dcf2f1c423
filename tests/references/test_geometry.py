"""Geometry and arithmetic that no publication is needed for.

The volume of a cylinder, what is dissolved staying the same, and days by division. 0.05 % for wounds is from Vet Times,
2015.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.orders.shelf_life import days_of_supply, water_to_add
from fillmark.core.tube.tube_care import volume_inside
from tests.references.rows import row


@pytest.mark.parametrize(("inner_mm", "length_cm", "printed_ml"), [row("MED164", 4, 30, 3.77)])
def test_volume_inside_a_tube(inner_mm, length_cm, printed_ml):
    """Geometry: 0.01 mL."""
    assert volume_inside(inner_mm=inner_mm, length_cm=length_cm).value == pytest.approx(printed_ml, abs=0.01)


@pytest.mark.parametrize(
    ("stock_ml", "stock_percent", "target_percent", "printed_ml"),
    [row("MED199", 1, 4, 0.05, 79), row("MED200", 1, 5, 0.05, 99)],
)
def test_water_to_dilute(stock_ml, stock_percent, target_percent, printed_ml):
    """Arithmetic: exact but for binary digits."""
    found = water_to_add(stock_ml=stock_ml, stock_percent=stock_percent, target_percent=target_percent)
    assert found.value == pytest.approx(printed_ml, abs=1e-9)


@pytest.mark.parametrize(
    ("bottle_ml", "dose_ml", "times_per_day", "lasts_days", "by_volume", "printed"),
    [row("MED221", 15, 1, 2, 7, 7.5, 7)],
)
def test_days_of_supply(bottle_ml, dose_ml, times_per_day, lasts_days, by_volume, printed):
    """Arithmetic: exact; what must be thrown away counts no longer."""
    per_day = dose_ml * times_per_day
    assert days_of_supply(amount=bottle_ml, per_day=per_day, lasts_days=lasts_days).value == printed
    assert days_of_supply(amount=bottle_ml, per_day=per_day).value == by_volume
