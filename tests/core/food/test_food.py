"""Food: labels in every printed form, and analyses that cannot be."""

import pytest

from fillmark.core.food.analysis import as_fed_percent, carbohydrate, dry_matter_percent
from fillmark.core.food.food import (
    Analysis,
    EnergyUnit,
    LabelBasis,
    LabelEnergy,
    density,
    energy_per_can,
    energy_per_g,
    food_water,
)
from fillmark.core.values.errors import NotStated, OutOfRange


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


def a_label(energy=100.0, per=LabelBasis.KG, unit=EnergyUnit.KCAL):
    return LabelEnergy(energy=energy, unit=unit, per=per)


LABEL = "Copy the energy from the label."
AS_FED = "Copy the analysis from the label, as fed."
PERCENTS = "Allowed: 0 to 100 %. Check the number and its unit."


def test_an_analysis_may_be_over_a_hundred_by_its_rounding_and_no_more():
    """Guarantees are rounded: 102 % in all is taken."""
    assert an_analysis(carbohydrate_percent=8).carbohydrate_percent == 8
    with pytest.raises(OutOfRange, match=r"^An analysis that adds up to 102.1 %\. Allowed: 102 % or less\."):
        an_analysis(carbohydrate_percent=8.1)


def test_a_label_in_kilojoules_shows_what_it_was_turned_into_and_by_which_figure():
    """Kilocalories need neither."""
    kj, kcal = (a_label(418.4, LabelBasis.HUNDRED_G, EnergyUnit.KJ), a_label(100, LabelBasis.HUNDRED_G))

    assert energy_per_g(kj).because == "418.4 kJ/100 g (100 kcal) ÷ 100 g = 1 kcal/g"
    assert [figure.id for figure in energy_per_g(kj).figures] == ["food.kj_per_kcal"]
    assert energy_per_g(kcal).because == "100 kcal/100 g ÷ 100 g = 1 kcal/g"
    assert energy_per_g(kcal).figures == ()
    per_can = a_label(418.4, LabelBasis.CAN, EnergyUnit.KJ)
    assert [figure.id for figure in energy_per_can(per_can).figures] == ["food.kj_per_kcal"]
    assert energy_per_can(a_label(100, LabelBasis.CAN)).figures == ()


@pytest.mark.parametrize(
    ("ask", "message"),
    [
        (lambda: an_analysis(fat_percent=-1), f"food.fat_percent = -1 %. Allowed: 0 to 100 %. {AS_FED}"),
        (
            lambda: an_analysis(carbohydrate_percent=101),
            f"food.carbohydrate_percent = 101 %. Allowed: 0 to 100 %. {AS_FED}",
        ),
        (
            lambda: density(weighed_g=0, measured_ml=100),
            "weighed_g = 0 g. Allowed: 0.1 g or more. Weigh and measure the same food again.",
        ),
        (
            lambda: density(weighed_g=100, measured_ml=0),
            "measured_ml = 0 mL. Allowed: 0.1 mL or more. Weigh and measure the same food again.",
        ),
        (
            lambda: energy_per_g(a_label(per=LabelBasis.CAN), can_g=0),
            "food.weight = 0 g. Allowed: 0.1 g or more. Copy the net weight from the label.",
        ),
        (lambda: energy_per_g(a_label(-1)), f"food.energy = -1 kcal. Allowed: 0 kcal or more. {LABEL}"),
        (
            lambda: energy_per_can(a_label(-1, LabelBasis.CAN)),
            f"food.energy = -1 kcal. Allowed: 0 kcal or more. {LABEL}",
        ),
        (
            lambda: food_water(food_g=100, moisture_percent=101),
            f"moisture_percent = 101 %. {PERCENTS}",
        ),
        (
            lambda: dry_matter_percent(as_fed_percent=10, moisture_percent=100),
            "A food of 100 % moisture. Allowed: less than 100 %. Copy the moisture from the label: plain water has no "
            "dry matter.",
        ),
        (
            lambda: dry_matter_percent(as_fed_percent=-1, moisture_percent=75),
            f"as_fed_percent = -1 %. {PERCENTS}",
        ),
        (
            lambda: as_fed_percent(dry_matter_percent=-1, moisture_percent=75),
            f"dry_matter_percent = -1 %. {PERCENTS}",
        ),
        (
            lambda: food_water(food_g=-1, moisture_percent=75),
            "food_g = -1 g. Allowed: 0 g or more. Weigh the food again.",
        ),
    ],
)
def test_a_number_that_can_only_be_a_slip_is_refused(ask, message):
    """The whole message of each."""
    with pytest.raises(OutOfRange) as caught:
        ask()
    assert str(caught.value) == message


def test_the_smallest_of_everything_is_no_slip():
    """A little above nothing is something."""
    assert density(weighed_g=0.5, measured_ml=0.5).value == 1
    assert energy_per_g(a_label(0.5, LabelBasis.CAN), can_g=0.5).value == 1
    assert energy_per_can(a_label(0.5, LabelBasis.CAN)).value == 0.5
    assert food_water(food_g=0.5, moisture_percent=50).value == 0.25
