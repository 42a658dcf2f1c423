"""Nutrients: a recipe against print, by energy, with what is unknown called unknown."""

import pytest

from fillmark.core.energy import Species
from fillmark.core.errors import OutOfRange
from fillmark.core.nutrients import Ingredient, check_nutrients


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
