"""Blend options: every way looked at, the best of their kind kept, one proposed."""

import random
import time
from dataclasses import replace

import numpy
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from fillmark.core.errors import OutOfRange
from fillmark.core.options import (
    CannedFood,
    MixFood,
    NoMix,
    NutrientLimit,
    Wishes,
    added_water_choices,
    best_of_their_kind,
    find_blend_options,
    find_mix,
    limits_broken,
    make_option,
    what_if,
)
from fillmark.core.water import WaterBand


def a_food(**changes):
    food = CannedFood(
        name="can of 12.7 oz", kcal_per_can=569, ml_per_can=383, water_ml_per_can=270, least_added_ml_per_can=80
    )
    return replace(food, **changes)


def wishes(**changes):
    wanted = Wishes(
        kcal_per_day=820,
        weight_kg=17,
        cap_ml_per_kg=15,
        flush_ml_per_meal=20,
        medicine_water_ml_per_meal=5,
        water_band=WaterBand(low_ml=700, high_ml=1200),
        by_mouth_water_ml=0,
        syringe_ml=60,
        step_ml=5,
        ml_per_minute=10,
    )
    return replace(wanted, **changes)


def a_random_case(chance):
    food = CannedFood(
        name="food",
        kcal_per_can=chance.uniform(80, 700),
        ml_per_can=chance.uniform(80, 400),
        water_ml_per_can=chance.uniform(50, 300),
        least_added_ml_per_can=chance.choice([0, 20, 55]),
        most_added_ml_per_can=chance.choice([60, 200, 300]),
        keeps_days=chance.randint(1, 3),
    )
    weight_kg = chance.uniform(2, 45)
    low_ml = chance.uniform(20, 60) * weight_kg
    wanted = Wishes(
        kcal_per_day=chance.uniform(0.8, 1.6) * 70 * weight_kg**0.75,
        weight_kg=weight_kg,
        cap_ml_per_kg=chance.uniform(8, 25),
        flush_ml_per_meal=chance.choice([10, 20, 40]),
        medicine_water_ml_per_meal=chance.choice([0, 5, 12]),
        water_band=WaterBand(low_ml=low_ml, high_ml=low_ml * chance.uniform(1.1, 2)),
        by_mouth_water_ml=chance.choice([0, 50]),
        syringe_ml=60,
        step_ml=chance.choice([1, 5]),
        ml_per_minute=chance.uniform(5, 20),
        most_meals=chance.randint(4, 8),
        water_step_ml=chance.choice([10, 20]),
    )
    return food, wanted


def enumerate_best(food, wanted):
    """The definition itself: every way, each held against every other."""
    ways = [
        make_option(food, wanted, meals=meals, added_ml_per_can=added)
        for meals in range(wanted.fewest_meals, wanted.most_meals + 1)
        for added in added_water_choices(food, wanted)
    ]
    allowed = [way for way in ways if not limits_broken(way, wanted)]

    def beats(one, other):
        pairs = list(zip(one.costs, other.costs, strict=True))
        return all(a <= b for a, b in pairs) and any(a < b for a, b in pairs)

    return {way for way in allowed if not any(beats(other, way) for other in allowed)}


def check_cases(count, seed):
    chance = random.Random(seed)
    found_some = 0
    for _ in range(count):
        food, wanted = a_random_case(chance)
        expected = enumerate_best(food, wanted)
        choice = find_blend_options(food, wanted).value
        assert set(choice.best) == expected
        assert (choice.proposed in expected) if expected else (choice.proposed is None)
        found_some += bool(expected)
    assert count // 4 < found_some < count, "the cases must hold both possible and impossible days"


def test_options_equal_exhaustive_enumeration():
    """The kept options are exactly those that the definition keeps, on 60 random days."""
    check_cases(60, seed=7)


@pytest.mark.long
def test_options_equal_exhaustive_enumeration_on_a_thousand_days():
    """The same on 1,000 random days."""
    check_cases(1000, seed=8)


def test_one_food_is_searched_in_under_50_milliseconds():
    """The best of five runs, so that a busy machine does not decide."""
    times = []
    for _ in range(5):
        start = time.perf_counter()
        find_blend_options(a_food(), wishes())
        times.append(time.perf_counter() - start)

    assert min(times) < 0.05


def test_every_option_keeps_the_cap_and_the_water_band():
    """No option passes the vet's cap per meal or most water a day."""
    choice = find_blend_options(a_food(), wishes()).value

    assert choice.best
    for option in choice.best:
        assert option.ml_per_kg <= 15 + 1e-9
        assert option.water_ml <= 1200 + 1e-9
        assert option.kcal_per_day >= 820 - 1e-9


def test_a_higher_cap_is_named_with_what_it_buys():
    """When the cap stands in the way of fewer meals, the working says at which cap it would not."""
    result = find_blend_options(a_food(), wishes(cap_ml_per_kg=12))
    proposed = result.value.proposed
    first = result.value.loosened[0]

    assert "cap per meal" in result.value.binding
    assert first.meals < proposed.meals
    looser = find_blend_options(a_food(), wishes(cap_ml_per_kg=first.ml_per_kg)).value
    assert first.meals in {option.meals for option in looser.best}


def test_nothing_is_proposed_when_no_way_keeps_the_limits():
    """An impossible day says so and names the limit."""
    result = find_blend_options(a_food(), wishes(cap_ml_per_kg=2))

    assert result.value.proposed is None
    assert result.value.best == ()
    assert result.cautions[0] == "No way of feeding keeps the vet's limits: show this to the vet."


def test_whole_cans_come_before_fewer_meals():
    """The stated order decides between options of one kind."""
    choice = find_blend_options(a_food(), wishes(kcal_per_day=1130, cap_ml_per_kg=20)).value

    assert choice.proposed.uses_whole_cans


def test_best_of_their_kind_keeps_equal_options_and_drops_beaten_ones():
    """Two options of equal cost both stay; one that is worse in one respect goes."""
    food, wanted = a_food(), wishes()
    one = make_option(food, wanted, meals=4, added_ml_per_can=100)
    worse = replace(one, minutes=one.minutes + 1)
    twin = replace(one, added_ml_per_can=101)

    assert set(best_of_their_kind([worse, one, twin])) == {one, twin}


def test_what_if_shows_the_broken_limit_and_changes_nothing():
    """Three meals instead of four: old beside new, with the cap it breaks."""
    food, wanted = a_food(), wishes(cap_ml_per_kg=14)
    old = make_option(food, wanted, meals=4, added_ml_per_can=80)
    change = what_if(food, wanted, old, meals=2)

    assert change.value.old is old
    assert change.value.new.meals == 2
    assert change.cautions == ("This breaks the vet's limit: cap per meal.",)


def test_what_if_with_another_can_keeps_its_flow_limit():
    """A thicker can is thinned at least as far as its own flow tests ask."""
    food, wanted = a_food(), wishes()
    old = make_option(food, wanted, meals=4, added_ml_per_can=80)
    change = what_if(food, wanted, old, new_food=a_food(name="thicker", least_added_ml_per_can=120))

    assert change.value.new.added_ml_per_can == 120


def test_more_than_the_most_meals_is_refused():
    """The two numbers of meals must agree."""
    with pytest.raises(OutOfRange) as caught:
        wishes(fewest_meals=5, most_meals=4)
    assert str(caught.value) == "At least 5 meals a day. Allowed: 4 or fewer. Check both numbers of meals."


def a_random_mix(chance, *, foods, nutrients):
    names = [f"n{index}" for index in range(nutrients)]
    listed = [
        MixFood(
            name=f"food {index}",
            kcal_per_portion=chance.uniform(5, 120),
            ml_per_portion=chance.uniform(5, 120),
            most_portions=chance.randint(1, 12),
            nutrients_per_portion={name: chance.uniform(0, 3) for name in names if chance.random() < 0.8},
        )
        for index in range(foods)
    ]
    typical = {
        name: 1000
        * sum(food.nutrients_per_portion.get(name, 0) for food in listed)
        / sum(food.kcal_per_portion for food in listed)
        for name in names
    }
    limits = {
        name: NutrientLimit(least=typical[name] * chance.uniform(0.3, 1.0), most=typical[name] * chance.uniform(1.2, 3))
        for name in names
    }
    goal = sum(food.kcal_per_portion * food.most_portions for food in listed) * chance.uniform(0.2, 0.6)
    return listed, limits, goal


def solve_with_highs(foods, limits, least_kcal, most_kcal):
    """The same program by SciPy's HiGHS; None when nothing keeps the limits."""
    kcal = numpy.array([food.kcal_per_portion for food in foods])
    constraints = [LinearConstraint(kcal, least_kcal, most_kcal)]
    for name, limit in limits.items():
        held = numpy.array([food.nutrients_per_portion.get(name, 0.0) for food in foods])
        constraints.append(LinearConstraint(held - limit.least * kcal / 1000, 0, numpy.inf))
        constraints.append(LinearConstraint(limit.most * kcal / 1000 - held, 0, numpy.inf))
    solved = milp(
        numpy.array([food.ml_per_portion for food in foods]),
        constraints=constraints,
        integrality=numpy.ones(len(foods)),
        bounds=Bounds(0, numpy.array([food.most_portions for food in foods])),
        options={"mip_rel_gap": 0},
    )
    return solved.fun if solved.success else None


def check_mixes(count, seed):
    chance = random.Random(seed)
    solved = 0
    for _ in range(count):
        foods, limits, goal = a_random_mix(chance, foods=chance.randint(2, 8), nutrients=chance.randint(1, 5))
        expected = solve_with_highs(foods, limits, goal, goal * 1.1)
        if expected is None:
            with pytest.raises(NoMix):
                find_mix(foods, least_kcal=goal, most_kcal=goal * 1.1, limits=limits)
            continue
        mix = find_mix(foods, least_kcal=goal, most_kcal=goal * 1.1, limits=limits).value
        assert mix.ml == pytest.approx(expected, rel=1e-6)
        solved += 1
    assert count // 4 < solved < count, "the cases must hold both possible and impossible mixes"


def test_mixes_equal_an_independent_solver():
    """Least volume of 25 random mixes, beside SciPy's HiGHS."""
    check_mixes(25, seed=3)


@pytest.mark.long
def test_200_mixes_equal_an_independent_solver():
    """Least volume of 200 random mixes, beside SciPy's HiGHS."""
    check_mixes(200, seed=4)


def test_forty_foods_and_thirty_nutrients_take_under_a_second():
    """The size of a large kitchen; the best of two runs."""
    foods, limits, goal = a_random_mix(random.Random(5), foods=40, nutrients=30)
    times = []
    for _ in range(2):
        start = time.perf_counter()
        mix = find_mix(foods, least_kcal=goal, most_kcal=goal * 1.1, limits=limits).value
        times.append(time.perf_counter() - start)

    assert mix.kcal >= goal - 1e-6
    assert min(times) < 1.0


def test_an_impossible_mix_says_what_to_do():
    """The message names the foods, the limits and the way out."""
    broth = MixFood(name="broth", kcal_per_portion=10, ml_per_portion=100, most_portions=2, nutrients_per_portion={})
    with pytest.raises(NoMix) as caught:
        find_mix([broth], least_kcal=100, most_kcal=200, limits={})
    assert str(caught.value) == (
        "Foods of which no mix keeps every limit (broth). Allowed: a mix of 100 to 200 kcal inside every limit. "
        "Add a food, or ask the vet which limit may be loosened."
    )


@pytest.mark.hazard("H10")
def test_a_way_over_the_vets_warning_is_offered_and_not_proposed():
    """Three large meals stay to choose from; what is proposed lies below the level the vet asks about."""
    food = a_food(kcal_per_can=498, ml_per_can=387.5, water_ml_per_can=303)
    day = wishes(kcal_per_day=895, weight_kg=17.4, cap_ml_per_kg=20, water_band=WaterBand(low_ml=0, high_ml=2000))

    without = find_blend_options(food, day).value
    warned = find_blend_options(food, replace(day, warn_ml_per_kg=17)).value

    assert without.proposed.meals < warned.proposed.meals
    assert without.proposed.ml_per_kg > 17 >= warned.proposed.ml_per_kg
    assert without.best == warned.best


def test_the_water_of_all_medicines_counts_in_the_day_and_that_of_a_meal_in_its_load():
    """Medicines given between meals bring water to the day and nothing to a meal."""
    with_meals = make_option(a_food(), wishes(), meals=4, added_ml_per_can=80)
    apart = make_option(a_food(), wishes(medicine_water_ml_per_day=190), meals=4, added_ml_per_can=80)

    assert apart.water_ml == pytest.approx(with_meals.water_ml - 4 * 5 + 190)
    assert apart.ml_per_kg == with_meals.ml_per_kg
