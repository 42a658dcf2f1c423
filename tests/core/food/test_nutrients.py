"""Nutrients: a recipe against print, by energy, with what is unknown called unknown."""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.food.nutrients import Completeness, Ingredient, check_nutrients, per_1000_kcal
from fillmark.core.values.errors import OutOfRange


def an_ingredient(*, kcal=1000, is_complete=True, **nutrients):
    return Ingredient(name="food", kcal=kcal, is_complete=is_complete, nutrients=nutrients)


def the_line(check, nutrient, end="least"):
    return next(line for line in check.value.lines if line.nutrient == nutrient and line.bound.id.endswith(end))


@pytest.mark.parametrize(("grams", "least", "most"), [(1.24, False, True), (1.25, True, True), (4.6, True, False)])
def test_calcium_is_held_against_both_ends(grams, least, most):
    """1.25 to 4.5 g for each 1,000 kcal, ends included."""
    check = check_nutrients([an_ingredient(kcal=2000, calcium=(2 * grams, "g"))], species=Species.DOG)

    assert the_line(check, "calcium").per_1000_kcal == pytest.approx(grams)
    assert the_line(check, "calcium").is_met is least
    assert the_line(check, "calcium", "most").is_met is most


def test_milligrams_and_grams_are_one_thing():
    """A label in mg is read for a bound in g."""
    check = check_nutrients([an_ingredient(calcium=(1300, "mg"))], species=Species.DOG)

    assert the_line(check, "calcium").per_1000_kcal == pytest.approx(1.3)


def test_what_one_food_does_not_state_is_unknown_for_the_recipe():
    """Unknown is neither met nor missed."""
    check = check_nutrients(
        [an_ingredient(calcium=(2, "g")), an_ingredient(kcal=100, is_complete=False)], species=Species.DOG
    )

    assert the_line(check, "calcium").is_met is None
    assert check.value.missed == ()


def test_units_that_cannot_be_compared_are_unknown():
    """IU is no mass."""
    check = check_nutrients([an_ingredient(calcium=(2, "IU"))], species=Species.DOG)

    assert the_line(check, "calcium").is_met is None


def test_the_international_unit_of_a_label_is_the_unit_of_print():
    """Labels say "IU", which is misread as "IV" or 10; here it is written out."""
    check = check_nutrients([an_ingredient(**{"vitamin A": (2000, "IU")})], species=Species.DOG)

    line = the_line(check, "vitamin A")
    assert line.bound.unit == "units/1,000 kcal"
    assert line.per_1000_kcal == pytest.approx(2000)


def test_what_is_missed_is_named():
    """The caution names the nutrient and asks the vet."""
    check = check_nutrients([an_ingredient(taurine=(0.1, "g"))], species=Species.CAT)

    assert check.cautions == ("Outside print for taurine: ask the vet.",)


def test_a_recipe_without_energy_is_refused():
    """Nothing can be said for each 1,000 kcal of nothing."""
    with pytest.raises(OutOfRange):
        check_nutrients([], species=Species.DOG)


LABEL = "Check the label."


def test_micrograms_and_milligrams_are_one_thing_too():
    """A label in mcg is read for a bound in mg, a label in g as well."""
    small = check_nutrients([an_ingredient(iron=(25_000, "mcg"))], species=Species.DOG)
    large = check_nutrients([an_ingredient(iron=(0.025, "g"))], species=Species.DOG)

    assert the_line(small, "iron").per_1000_kcal == pytest.approx(25)
    assert the_line(large, "iron").per_1000_kcal == pytest.approx(25)


def test_a_mass_is_no_number_of_units():
    """What cannot be turned into the other is unknown, from either side."""
    check = check_nutrients([an_ingredient(**{"vitamin A": (1, "mg")})], species=Species.DOG)

    assert the_line(check, "vitamin A").is_met is None


def test_water_is_neither_food_nor_unknown():
    """It has no energy and no nutrient, and makes nothing incomplete."""
    water = Ingredient(name="water", kcal=0, is_complete=False, nutrients={}, is_water=True)
    check = check_nutrients([an_ingredient(calcium=(2, "g")), water], species=Species.DOG)

    assert check.value.completeness is Completeness.COMPLETE
    assert the_line(check, "calcium").per_1000_kcal == pytest.approx(2)


def test_what_was_found_adds_up():
    """Met, missed and unknown are all the bounds of the species, and every one is a figure."""
    check = check_nutrients([an_ingredient(calcium=(1, "g"), taurine=(1, "g"))], species=Species.CAT)
    value = check.value
    met = [line for line in value.lines if line.is_met]

    assert len(met) + len(value.missed) + len(value.unknown) == len(value.lines)
    assert met
    assert value.missed
    assert value.unknown
    assert check.because == (
        f"{len(value.lines)} printed bounds: {len(met)} met, {len(value.missed)} missed, {len(value.unknown)} unknown; "
        "complete food, only watered down"
    )
    assert check.figures == tuple(line.bound for line in value.lines)


def test_binary_dust_does_not_miss_a_bound():
    """A billionth below the least or above the most is at it; a thousandth is not."""
    for grams, least, most in ((1.25 - 1e-10, True, True), (4.5 + 1e-10, True, True), (1.249, False, True)):
        check = check_nutrients([an_ingredient(calcium=(grams, "g"))], species=Species.DOG)
        assert (the_line(check, "calcium").is_met, the_line(check, "calcium", "most").is_met) == (least, most)


@pytest.mark.parametrize(
    ("ask", "message"),
    [
        (
            lambda: per_1000_kcal(percent_dry_matter=-1, kcal_per_kg_dry=4000),
            f"percent_dry_matter = -1 %. Allowed: 0 % or more. {LABEL}",
        ),
        (
            lambda: per_1000_kcal(percent_dry_matter=30, kcal_per_kg_dry=99),
            f"kcal_per_kg_dry = 99 kcal/kg. Allowed: 100 kcal/kg or more. {LABEL}",
        ),
        (
            lambda: check_nutrients([], species=Species.DOG),
            "recipe energy = 0 kcal. Allowed: 1 kcal or more. Check the foods of the recipe.",
        ),
    ],
)
def test_a_number_that_can_only_be_a_slip_is_refused(ask, message):
    """The whole message of each."""
    with pytest.raises(OutOfRange) as caught:
        ask()
    assert str(caught.value) == message


def test_the_least_of_everything_is_no_slip():
    """Ends included, with the working."""
    assert per_1000_kcal(percent_dry_matter=0.5, kcal_per_kg_dry=100).value == 50
    assert check_nutrients([an_ingredient(kcal=1)], species=Species.DOG).value.lines
