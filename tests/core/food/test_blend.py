"""Blend: energy per mL from what was measured."""

import pytest

from fillmark.core.food.blend import (
    FoodInBlend,
    MeasuredVolume,
    MeasuredWeight,
    PredictedVolume,
    batch_totals,
    blend_energy,
    blend_volume,
    check_against_prediction,
    daily_blend_volume,
    energy_given,
    explain_shortfall,
)
from fillmark.core.values.errors import OutOfRange


def test_a_weighed_batch_gets_its_volume_from_a_weighed_sample():
    """1,050 g of which 60 mL weigh 63 g are 1,000 mL."""
    volume = blend_volume(MeasuredWeight(batch_g=1050, sample_ml=60, sample_g=63))

    assert volume.value == pytest.approx(1000)
    assert list(volume.working()) == ["63 g ÷ 60 mL = 1.05 g/mL", "weighed: 1,050 g ÷ 1.05 g/mL = 1,000 mL"]
    assert volume.all_cautions() == ()


@pytest.mark.parametrize("volume", [MeasuredVolume(ml=0), PredictedVolume(food_ml=0, water_ml=0)])
def test_an_empty_blend_is_refused(volume):
    """Nothing cannot hold energy."""
    with pytest.raises(OutOfRange) as caught:
        blend_energy(kcal=569, volume=volume)
    assert str(caught.value) == (
        "A blend of 0 mL. Allowed: more than 0 mL. Enter what the measuring jug shows for the finished blend."
    )


@pytest.mark.parametrize("ml", [10, 200000, -5])
def test_a_volume_in_another_unit_is_refused(ml):
    """569 kcal in 10 mL or in 200 L is a slip."""
    with pytest.raises(OutOfRange):
        blend_energy(kcal=569, volume=MeasuredVolume(ml=ml))


def test_the_day_follows_from_the_energy_per_ml():
    """820 kcal at 1.18 kcal/mL are 695 mL."""
    assert daily_blend_volume(kcal_per_day=820, kcal_per_ml=1.18).because == (
        "820 kcal/day ÷ 1.18 kcal/mL = 695 mL/day"
    )


def test_a_day_without_shortfall_raises_no_alarm():
    """All the energy is there: one quiet line."""
    result = explain_shortfall(needed_kcal=800, blend_ml=800, kcal_per_ml=1)

    assert (result.value, result.because, result.cautions) == (0, "the syringes carry 800 of 800 kcal", ())


@pytest.mark.parametrize(("measured_ml", "asks"), [(483, False), (531, False), (532, True), (434, True)])
def test_a_batch_far_from_what_went_in_is_asked_about(measured_ml, asks):
    """A tenth more or less is air, a spill or a miscounted can."""
    assert bool(check_against_prediction(came_out=measured_ml, went_in=483, unit="mL").cautions) is asks


def test_a_batch_adds_up_energy_and_water():
    """Two foods and the water stirred in."""
    totals = batch_totals(
        [FoodInBlend(name="can", kcal=569, water_ml=270), FoodInBlend(name="oil", kcal=45)], added_water_ml=100
    )

    assert totals.value == (614, 370)
    assert totals.because == "can 569 kcal + oil 45 kcal = 614 kcal, with 370 mL water in all"


def _mix(ml=400, kcal=500):
    return blend_energy(kcal=kcal, volume=MeasuredVolume(ml=ml))


VOLUMES = "Allowed: 0 to 20,000 mL. Check the number and its unit."
DENSITIES = "kcal/mL. Allowed: 0.05 to 9.4 kcal/mL. Check the number and its unit."


@pytest.mark.parametrize(
    ("ask", "message"),
    [
        (lambda: blend_volume(PredictedVolume(food_ml=-1, water_ml=100)), f"food_ml = -1 mL. {VOLUMES}"),
        (lambda: blend_volume(PredictedVolume(food_ml=100, water_ml=-1)), f"water_ml = -1 mL. {VOLUMES}"),
        (lambda: blend_volume(MeasuredVolume(ml=30000)), f"blend_ml = 30,000 mL. {VOLUMES}"),
        (
            lambda: _mix(kcal=-1),
            "kcal = -1 kcal. Allowed: 0 kcal or more. Check the label and the number of cans.",
        ),
        (
            lambda: daily_blend_volume(kcal_per_day=-1, kcal_per_ml=1),
            "kcal_per_day = -1 kcal. Allowed: 0 kcal or more. Check the energy goal.",
        ),
        (lambda: daily_blend_volume(kcal_per_day=800, kcal_per_ml=0.01), f"kcal_per_ml = 0.01 {DENSITIES}"),
        (lambda: energy_given(blend_ml=-1, kcal_per_ml=1), f"blend_ml = -1 mL. {VOLUMES}"),
        (lambda: energy_given(blend_ml=100, kcal_per_ml=10), f"kcal_per_ml = 10 {DENSITIES}"),
        (lambda: batch_totals([], added_water_ml=-1), f"added_water_ml = -1 mL. {VOLUMES}"),
        (
            lambda: batch_totals([FoodInBlend(name="oil", kcal=-1)], added_water_ml=0),
            "oil energy = -1 kcal. Allowed: 0 kcal or more. Check the label.",
        ),
        (
            lambda: batch_totals([FoodInBlend(name="oil", kcal=0, water_ml=-1)], added_water_ml=0),
            "oil water = -1 mL. Allowed: 0 mL or more. Check the label.",
        ),
    ],
)
def test_a_number_that_can_only_be_a_slip_is_refused(ask, message):
    """The whole message of each."""
    with pytest.raises(OutOfRange) as caught:
        ask()
    assert str(caught.value) == message


def test_little_is_no_slip():
    """Half a kilocalorie is allowed where nothing is."""
    assert _mix(ml=5, kcal=0.5).value == 0.1
    assert daily_blend_volume(kcal_per_day=0.5, kcal_per_ml=1).value == 0.5
    spoon = FoodInBlend(name="spoon of broth", kcal=0.5, water_ml=0.5)
    assert batch_totals([spoon], added_water_ml=0).value == (0.5, 0.5)


def test_energy_per_milliliter_is_said_in_three_digits():
    """569 kcal in 483 mL."""
    assert _mix(ml=483, kcal=569).because == "569 kcal ÷ 483 mL = 1.18 kcal/mL"


@pytest.mark.parametrize(("needed", "is_said"), [(100.4, False), (100.5, True), (101, True)])
def test_a_shortfall_is_said_from_half_a_kilocalorie_on(needed, is_said):
    """Below that it is rounding."""
    short = explain_shortfall(needed_kcal=needed, blend_ml=100, kcal_per_ml=1)

    assert short.value == pytest.approx(needed - 100)
    assert bool(short.cautions) is is_said
    assert ("missing" in short.because) is is_said
