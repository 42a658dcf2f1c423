"""Bounds of the nutrient profiles for adult dogs and cats, and by law, for each 1,000 kcal.

From aafco_2014, fediaf_2017, and second-hand: aafco_dog_copy, colyer_guidelines, cat_vitamin_d_2021, eu_2019_1125,
eu_vitamin_d_page, nrc_2006_page. Each figure as printed, with what turns it into an amount for each 1,000 kcal.
No clinician has checked them.
"""

import pytest

from fillmark.core.food.nutrients import per_1000_kcal
from fillmark.published.nutrients import (
    AAFCO_LEAST,
    AAFCO_MOST,
    CAT_POWER,
    EATS_AS_USUAL,
    EU_MOST,
    FEDIAF_LEAST,
    FEDIAF_LEAST_EATS_LITTLE,
    FEDIAF_MOST,
    NRC_LEAST,
    RATIOS,
)

PERCENT, PER_KG = 2.5, 0.25  # at 4,000 kcal in a kg of dry matter
DOG_BY_ENERGY = {"phosphorus": 1.0, "magnesium": 0.15, "copper": 1.83, "manganese": 1.25}
DOG_COPY = {
    "protein": 18 * PERCENT,
    "zinc": 80 * PER_KG,
    "selenium": 0.35 * PER_KG,
    "vitamin A": 5000 * PER_KG,
    "vitamin D": 500 * PER_KG,
    "vitamin E": 50 * PER_KG,
    "thiamine": 2.25 * PER_KG,
    "choline": 1360 * PER_KG,
    "iodine": 1 * PER_KG,
}
CAT_TABLE = {
    "phosphorus": 0.5 * PERCENT,
    "potassium": 0.6 * PERCENT,
    "iron": 80 * PER_KG,
    "zinc": 75 * PER_KG,
    "copper": 5 * PER_KG,
    "manganese": 7.6 * PER_KG,
    "iodine": 0.6 * PER_KG,
    "selenium": 0.3 * PER_KG,
    "linoleic acid": 0.6 * PERCENT,
    "vitamin A": 3332 * PER_KG,
    "vitamin D": 280 * PER_KG,
    "vitamin E": 40 * PER_KG,
    "protein": 26 * PERCENT,
    "fat": 9 * PERCENT,
    "taurine": 0.2 * PERCENT,
}
CAT_COLUMN = {"protein": 25, "fat": 9, "taurine": 0.2}
CAT_EATS_LITTLE = {
    "arginine": 1.3,
    "lysine": 0.45,
    "tryptophan": 0.17,
    "protein": 33.3,
    "fat": 9,
    "taurine": 0.27,
}
NRC_AND_A_FIFTH = {"magnesium": 0.15, "copper": 1.5, "iodine": 0.22, "manganese": 1.2, "zinc": 15, "choline": 425}


@pytest.mark.parametrize(
    ("table", "species", "printed"),
    [
        (AAFCO_LEAST, "dog", DOG_BY_ENERGY | DOG_COPY),
        (AAFCO_LEAST, "cat", CAT_TABLE),
        (AAFCO_MOST, "dog", {"selenium": 0.5, "iodine": 11 * PER_KG, "vitamin A": 62_500, "vitamin D": 3000 * PER_KG}),
        (AAFCO_MOST, "cat", {"iodine": 9 * PER_KG, "vitamin A": 333_300 * PER_KG, "vitamin D": 30_080 * PER_KG}),
        (FEDIAF_LEAST, "cat", {name: share * PERCENT for name, share in CAT_COLUMN.items()} | {"iodine": 1.3 * PER_KG}),
        (FEDIAF_LEAST, "dog", {name: 1.2 * ml for name, ml in NRC_AND_A_FIFTH.items()} | {"iron": 36 * PER_KG}),
        (FEDIAF_LEAST_EATS_LITTLE, "cat", {name: share * PERCENT for name, share in CAT_EATS_LITTLE.items()}),
        (FEDIAF_MOST, "dog", {"vitamin A": 40_000 * PERCENT}),
        (FEDIAF_MOST, "cat", {"vitamin A": 40_000 * PERCENT, "vitamin D": 3000 * PERCENT, "sodium": 3.75}),
        (NRC_LEAST, "dog", {"choline": 425}),
    ],
)
def test_a_bound_is_what_print_says(table, species, printed):
    """From the share of dry matter, or from the amount by energy: exact but for the last printed digit."""
    assert {name: table[species, name].value for name in printed} == pytest.approx(printed, rel=1e-6)


@pytest.mark.parametrize(
    ("species", "nutrient", "per_kg"), [("dog", "zinc", 200), ("cat", "zinc", 200), ("dog", "vitamin D", 2000)]
)
def test_a_bound_by_law_is_turned_into_dry_matter(species, nutrient, per_kg):
    """So much in a kg of food with 12 % moisture: ÷ 0.88 ÷ 4,000 kcal/kg × 1,000, to three digits."""
    assert EU_MOST[species, nutrient].value == pytest.approx(per_kg / 0.88 / 4, rel=1e-3)


def test_the_ratios_are_those_of_print():
    """Calcium 1 to 2 parts for one of phosphorus, omega-6 at most 30 for one of omega-3; a cat's are from memory."""
    told = {key: [(bound.value, bound.basis.value) for bound in bounds] for key, bounds in RATIOS.items()}

    assert told == {
        ("dog", "calcium", "phosphorus"): [(1, "published"), (2, "published")],
        ("dog", "omega-6 fatty acids", "omega-3 fatty acids"): [(30, "published")],
        ("cat", "calcium", "phosphorus"): [(1, "from memory"), (2, "from memory")],
    }


def test_the_columns_of_cats_are_named_by_what_they_eat():
    """100 kcal/kg^0.67 for the usual one; 33.3 % protein at 75 is more than 25 % at 100."""
    assert (EATS_AS_USUAL.value, CAT_POWER.value) == (100, 0.67)
    little = per_1000_kcal(percent_dry_matter=33.3, kcal_per_kg_dry=4000).value
    assert little == pytest.approx(FEDIAF_LEAST_EATS_LITTLE["cat", "protein"].value)
    assert little > FEDIAF_LEAST["cat", "protein"].value


def test_how_many_bounds_are_still_from_memory():
    """What was not found in print stays marked so."""
    tables = (AAFCO_LEAST, AAFCO_MOST, FEDIAF_LEAST, FEDIAF_LEAST_EATS_LITTLE, FEDIAF_MOST, EU_MOST, NRC_LEAST)
    bounds = [bound for table in tables for bound in table.values()]

    assert sum(bound.basis == "from memory" for bound in bounds) == 25
