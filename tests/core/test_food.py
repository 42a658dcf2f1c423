"""Food: labels in every printed form, and analyses that cannot be."""

import pytest

from fillmark.core.errors import NotStated, OutOfRange
from fillmark.core.food import (
    Analysis,
    EnergyUnit,
    LabelBasis,
    LabelEnergy,
    carbohydrate,
    density,
    energy_per_can,
    energy_per_g,
    food_water,
)


@pytest.mark.parametrize(
    ("label", "weights", "kcal_per_g"),
    [
        (LabelEnergy(energy=569, unit=EnergyUnit.KCAL, per=LabelBasis.CAN), {"can_g": 360}, 1.5806),
        (LabelEnergy(energy=1120, unit=EnergyUnit.KCAL, per=LabelBasis.KG), {}, 1.12),
        (LabelEnergy(energy=112, unit=EnergyUnit.KCAL, per=LabelBasis.HUNDRED_G), {}, 1.12),
        (LabelEnergy(energy=468.6, unit=EnergyUnit.KJ, per=LabelBasis.HUNDRED_G), {}, 1.12),
        (LabelEnergy(energy=4.686, unit=EnergyUnit.MJ, per=LabelBasis.KG), {}, 1.12),
        (LabelEnergy(energy=360, unit=EnergyUnit.KCAL, per=LabelBasis.CUP), {"cup_g": 100}, 3.6),
        (LabelEnergy(energy=1.5, unit=EnergyUnit.KCAL, per=LabelBasis.ML), {"g_per_ml": 1.05}, 1.4286),
    ],
)
def test_energy_is_read_from_every_printed_form(label, weights, kcal_per_g):
    """Per can, kg, 100 g, cup and mL; kcal, kJ and MJ."""
    assert energy_per_g(label, **weights).value == pytest.approx(kcal_per_g, rel=1e-3)


def test_a_label_per_can_needs_the_cans_weight():
    """Nothing is guessed."""
    with pytest.raises(NotStated) as caught:
        energy_per_g(LabelEnergy(energy=569, unit=EnergyUnit.KCAL, per=LabelBasis.CAN))
    assert str(caught.value) == (
        "A label of 569 kcal/can without the weight of one can. Allowed: the weight of one can in g. "
        "Copy the net weight from the label, or put it on the kitchen scale."
    )


def test_kilojoules_read_as_kilocalories_are_refused():
    """4,686 kcal in 100 g is more than pure fat holds."""
    with pytest.raises(OutOfRange) as caught:
        energy_per_g(LabelEnergy(energy=4686, unit=EnergyUnit.KCAL, per=LabelBasis.HUNDRED_G))
    assert str(caught.value) == (
        "food.energy = 46.86 kcal/g. Allowed: 0.1 to 9.4 kcal/g. "
        "Check the unit: the label was read as 4,686 kcal/100 g."
    )


@pytest.mark.parametrize(
    ("label", "can_g", "kcal"),
    [
        (LabelEnergy(energy=569, unit=EnergyUnit.KCAL, per=LabelBasis.CAN), None, 569),
        (LabelEnergy(energy=2381, unit=EnergyUnit.KJ, per=LabelBasis.CAN), None, 569.07),
        (LabelEnergy(energy=1120, unit=EnergyUnit.KCAL, per=LabelBasis.KG), 156, 174.72),
    ],
)
def test_energy_of_a_whole_can(label, can_g, kcal):
    """Printed per can, or worked out from the can's weight."""
    assert energy_per_can(label, can_g=can_g).value == pytest.approx(kcal, abs=0.01)


def test_energy_of_a_can_without_its_weight_is_asked_for():
    """A label per kg says nothing of a can of unknown weight."""
    with pytest.raises(NotStated):
        energy_per_can(LabelEnergy(energy=1120, unit=EnergyUnit.KCAL, per=LabelBasis.KG))


def an_analysis(**changes):
    stated = {"protein_percent": 9, "fat_percent": 7, "fiber_percent": 1, "moisture_percent": 75, "ash_percent": 2}
    return Analysis(**{**stated, **changes})


def test_printed_carbohydrate_is_taken_before_what_is_left_over():
    """A label that prints it is believed."""
    assert carbohydrate(an_analysis()).value == 6
    assert carbohydrate(an_analysis(carbohydrate_percent=5)).value == 5


def test_bounds_on_a_label_may_add_up_to_a_little_over_100():
    """Guaranteed minimums and maximums are no means; the rest is then nothing, never below."""
    assert carbohydrate(an_analysis(moisture_percent=82.5)).value == 0


def test_an_analysis_of_more_than_a_whole_is_refused():
    """A number on dry matter among numbers as fed shows up here."""
    with pytest.raises(OutOfRange) as caught:
        an_analysis(protein_percent=36)
    assert str(caught.value) == (
        "An analysis that adds up to 121 %. Allowed: 102 % or less. "
        "Check that every number is as fed, not on dry matter, and that none was typed twice."
    )


def test_density_comes_from_the_households_own_scale():
    """Grams by milliliters, and a bowl weighed with it is caught."""
    assert density(weighed_g=105, measured_ml=100).value == pytest.approx(1.05)
    with pytest.raises(OutOfRange):
        density(weighed_g=400, measured_ml=100)


def test_water_in_food():
    """A can of 156 g with 76.8 % moisture brings 120 mL of water."""
    assert food_water(food_g=156, moisture_percent=76.8).value == pytest.approx(119.8, abs=0.05)
