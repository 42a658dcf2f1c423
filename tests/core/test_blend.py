"""Blend: energy per mL from what was measured."""

import pytest

from fillmark.core.blend import (
    FoodInBlend,
    MeasuredVolume,
    MeasuredWeight,
    PredictedVolume,
    batch_totals,
    blend_energy,
    blend_volume,
    check_against_prediction,
    daily_blend_volume,
    explain_shortfall,
)
from fillmark.core.errors import OutOfRange


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
    assert bool(check_against_prediction(measured_ml=measured_ml, food_ml=383, water_ml=100).cautions) is asks


def test_a_batch_adds_up_energy_and_water():
    """Two foods and the water stirred in."""
    totals = batch_totals(
        [FoodInBlend(name="can", kcal=569, water_ml=270), FoodInBlend(name="oil", kcal=45)], added_water_ml=100
    )

    assert totals.value == (614, 370)
    assert totals.because == "can 569 kcal + oil 45 kcal = 614 kcal, with 370 mL water in all"
