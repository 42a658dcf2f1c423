"""Water: the ledger against its band, and what the body makes itself."""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.tube.water import (
    WaterBand,
    WaterIn,
    WaterLevel,
    flushes_in_session,
    metabolic_water_from_energy,
    published_water_forms,
    water_allowance,
    water_ledger,
    water_maintenance,
)
from fillmark.core.values.errors import OutOfRange


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


WEIGHTS = "weight_kg = 0.2 kg. Allowed: 0.5 to 100 kg. Check the number and its unit."
PERCENTS = "dehydration_percent = 20 %. Allowed: 0 to 15 %. Check the number and its unit."


@pytest.mark.parametrize(
    ("medicines", "has_meal", "because"),
    [
        (0, False, "0 medicines → 0 flushes"),
        (1, False, "1 medicine → 2 flushes"),
        (1, True, "1 medicine + the meal → 3 flushes"),
        (2, True, "2 medicines + the meal → 4 flushes"),
    ],
)
def test_the_flushes_of_a_session_are_said_in_words(medicines, has_meal, because):
    """One and many, with the meal and without."""
    assert flushes_in_session(medicines=medicines, has_meal=has_meal).because == because


def test_print_stands_behind_a_ledger_only_where_the_vet_stated_nothing():
    """Each printed form is part of the working then, and only then."""
    day = {"species": Species.DOG, "weight_kg": 16, "kcal_per_day": 800}
    band = WaterBand(low_ml=700, high_ml=900)

    assert water_ledger(WaterIn(), vets_band=band, **day).parts == ()
    assert len(water_ledger(WaterIn(), vets_band=None, **day).parts) == 3


@pytest.mark.parametrize(
    ("ask", "message"),
    [
        (
            lambda: flushes_in_session(medicines=-1, has_meal=True),
            "medicines = -1 medicines. Allowed: 0 medicines or more. Count the medicines again.",
        ),
        (lambda: water_maintenance(species=Species.DOG, weight_kg=0.2), WEIGHTS),
        (lambda: water_allowance(weight_kg=0.2), WEIGHTS),
        (
            lambda: metabolic_water_from_energy(kcal=-1),
            "kcal = -1 kcal. Allowed: 0 kcal or more. Check the energy goal.",
        ),
        (
            lambda: WaterBand(low_ml=-1, high_ml=100),
            "water.low_ml = -1 mL. Allowed: 0 to 20,000 mL. Check the number and its unit.",
        ),
        (
            lambda: WaterBand(low_ml=100, high_ml=30000),
            "water.high_ml = 30,000 mL. Allowed: 0 to 20,000 mL. Check the number and its unit.",
        ),
    ],
)
def test_a_number_that_can_only_be_a_slip_is_refused(ask, message):
    """The whole message of each."""
    with pytest.raises(OutOfRange) as caught:
        ask()
    assert str(caught.value) == message


def test_the_smallest_of_everything_is_no_slip():
    """A little above nothing, and a band of one value."""
    assert metabolic_water_from_energy(kcal=0.5).value == pytest.approx((0.05, 0.08))
    assert WaterBand(low_ml=800, high_ml=800).high_ml == 800
