"""Water: the ledger against its band, and what the body makes itself."""

import pytest

from fillmark.core.energy import Species
from fillmark.core.errors import OutOfRange
from fillmark.core.water import (
    WaterBand,
    WaterIn,
    WaterLevel,
    dehydration_deficit,
    flushes_in_session,
    metabolic_water,
    published_water_forms,
    water_ledger,
)


@pytest.mark.hazard("H30")
@pytest.mark.parametrize(
    ("total_ml", "level", "due_ml", "over_ml"),
    [
        (699, WaterLevel.TOO_LITTLE, 1, 0),
        (700, WaterLevel.INSIDE, 0, 0),
        (900, WaterLevel.INSIDE, 0, 0),
        (901, WaterLevel.TOO_MUCH, 0, 1),
    ],
)
def test_both_ends_of_the_vets_band_belong_to_it(total_ml, level, due_ml, over_ml):
    """Below and above are said with the difference."""
    ledger = water_ledger(
        WaterIn(added_ml=total_ml),
        species=Species.DOG,
        weight_kg=17,
        vets_band=WaterBand(low_ml=700, high_ml=900),
    ).value

    assert (ledger.level, ledger.due_ml, ledger.over_ml, ledger.is_vets_band) == (level, due_ml, over_ml, True)


@pytest.mark.hazard("H30")
def test_without_the_vets_band_print_is_spanned_and_the_question_put():
    """The span runs from the lowest printed form to the highest, and says that it is print."""
    result = water_ledger(WaterIn(food_ml=500), species=Species.DOG, weight_kg=17, vets_band=None, kcal_per_day=820)

    assert (result.value.low_ml, result.value.high_ml) == pytest.approx((820, 132 * 17**0.75))
    assert result.value.is_vets_band is False
    assert result.cautions == (
        "The vet stated no amount of water. Print lies between 820 and 1,105 mL/day: ask, above all for a heart or "
        "kidney patient.",
        "320 mL less than the band: ask the vet how to give the rest.",
    )


def test_the_ledger_names_every_source_of_water():
    """Food, blend water, flushes, with medicines, by mouth."""
    water = WaterIn(food_ml=400, added_ml=150, flush_ml=160, carrier_ml=30, by_mouth_ml=20)
    result = water_ledger(water, species=Species.DOG, weight_kg=17, vets_band=WaterBand(low_ml=700, high_ml=900))

    assert result.because == (
        "food 400 + blend water 150 + flushes 160 + with medicines 30 + by mouth 20 = 760 mL, inside the band of "
        "700 to 900 mL"
    )


def test_print_by_energy_is_left_out_without_an_energy():
    """Nothing is guessed for it."""
    assert set(published_water_forms(species=Species.CAT, weight_kg=4)) == {"by metabolic weight", "by weight"}


def test_a_band_upside_down_is_refused():
    """One of the two numbers was misread."""
    with pytest.raises(OutOfRange) as caught:
        WaterBand(low_ml=900, high_ml=700)
    assert str(caught.value) == (
        "A lower end of 900 mL above the upper end. Allowed: 700 mL or less. "
        "Read both numbers in the vet's order again."
    )


@pytest.mark.parametrize("part", ["food_ml", "added_ml", "flush_ml", "carrier_ml", "by_mouth_ml"])
def test_no_part_of_the_water_is_below_nothing(part):
    """Each part is checked by name."""
    with pytest.raises(OutOfRange, match=rf"water\.{part} = -1 mL"):
        WaterIn(**{part: -1})


@pytest.mark.parametrize(
    ("medicines", "has_meal", "count"), [(0, False, 0), (0, True, 2), (1, False, 2), (1, True, 3), (12, True, 14)]
)
def test_flushes_before_between_and_after(medicines, has_meal, count):
    """n things make n + 1 flushes."""
    assert flushes_in_session(medicines=medicines, has_meal=has_meal).value == count


def test_metabolic_water_stands_apart_and_names_its_memory():
    """The carbohydrate figure is from memory and says so."""
    result = metabolic_water(protein_g=50, carbohydrate_g=20, fat_g=30)

    assert result.value == pytest.approx(0.4 * 50 + 0.55 * 20 + 1.07 * 30)
    assert {figure.id: figure.basis for figure in result.figures}["water.metabolic_carbohydrate"] == "from memory"


def test_a_deficit_is_for_the_vet():
    """It is never water to push at home."""
    assert dehydration_deficit(weight_kg=10, dehydration_percent=8).cautions == (
        "A dehydrated animal needs the vet: this is not water to push through the tube at home.",
    )
