"""Blend options: every way looked at, the best of their kind kept, one proposed."""

import random
import time
from dataclasses import replace

import pytest

from fillmark.core.changes.blend_option import (
    BlendLimit,
    BlendWishes,
    CannedFood,
    added_water_choices,
    best_of_their_kind,
    limits_broken,
    make_option,
)
from fillmark.core.changes.options import Loosened, find_blend_options
from fillmark.core.tube.water import WaterBand
from fillmark.core.values.errors import OutOfRange


def a_food(**changes):
    food = CannedFood(
        name="can of 12.7 oz", kcal_per_can=569, ml_per_can=383, water_ml_per_can=270, least_added_ml_per_can=80
    )
    return replace(food, **changes)


def wishes(**changes):
    wanted = BlendWishes(
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
    wanted = BlendWishes(
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
        start = time.process_time()
        find_blend_options(a_food(), wishes())
        times.append(time.process_time() - start)

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

    assert BlendLimit.CAP in result.value.binding
    assert first.option.meals < proposed.meals
    looser = find_blend_options(a_food(), wishes(cap_ml_per_kg=first.needed)).value
    assert looser.proposed.meals == first.option.meals
    tighter = find_blend_options(a_food(), wishes(cap_ml_per_kg=first.needed - 0.01)).value
    assert tighter.proposed.meals == proposed.meals
    assert first.words in result.cautions


def test_nothing_is_proposed_when_no_way_keeps_the_limits():
    """An impossible day says so and names the limit."""
    result = find_blend_options(a_food(), wishes(cap_ml_per_kg=2))

    assert result.value.proposed is None
    assert result.value.best == ()
    assert result.cautions[0] == "No way of feeding keeps the vet's limits: show this to the vet."
    assert result.because == "none of 325 ways keeps every limit: cap per meal"


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


def test_more_than_the_most_meals_is_refused():
    """The two numbers of meals must agree."""
    with pytest.raises(OutOfRange) as caught:
        wishes(fewest_meals=5, most_meals=4)
    assert str(caught.value) == "At least 5 meals a day. Allowed: 4 or fewer. Check both numbers of meals."


ANY_WATER = WaterBand(low_ml=0, high_ml=2000)


def loosened(food, wanted, limit):
    return [one for one in find_blend_options(food, wanted).value.loosened if one.limit is limit]


def test_limits_that_do_not_bind_are_not_named():
    """Four meals are the fewest: what a fourth meal with more water breaks stands in nobody's way."""
    choice = find_blend_options(a_food(), wishes(cap_ml_per_kg=12, fewest_meals=4, water_band=ANY_WATER)).value

    assert choice.proposed.meals == 4
    assert choice.binding == ()


def test_where_nothing_is_proposed_every_broken_limit_binds():
    """Also one that only the day with the most meals breaks."""
    two_meals = wishes(cap_ml_per_kg=2, fewest_meals=2, most_meals=2, water_band=ANY_WATER)

    assert find_blend_options(a_food(), two_meals).value.binding == (BlendLimit.CAP,)


def test_a_limit_met_to_the_last_digit_is_kept():
    """A nanoliter over is the arithmetic's, not the meal's; a hundredth is over."""
    wanted = wishes(warn_ml_per_kg=14)
    way = make_option(a_food(), wanted, meals=4, added_ml_per_can=100)
    at_both = replace(way, ml_per_kg=wanted.cap_ml_per_kg + 1e-9, water_ml=wanted.water_band.high_ml + 1e-9)

    assert limits_broken(at_both, wanted) == ()
    assert limits_broken(replace(way, ml_per_kg=15.01), wanted) == (BlendLimit.CAP,)
    assert limits_broken(replace(way, water_ml=1200.01), wanted) == (BlendLimit.MOST_WATER,)


def test_a_tenth_of_a_can_left_over_is_none():
    """What a spoon leaves in the can; a little more is a part of a can."""
    way = make_option(a_food(), wishes(), meals=4, added_ml_per_can=100)

    assert replace(way, waste_cans=0.1).uses_whole_cans
    assert not replace(way, waste_cans=0.11).uses_whole_cans


def test_a_meal_of_whole_syringes_needs_no_further_fill():
    """240 mL a day at 1 kcal/mL, in four meals of 60 mL: one syringe each."""
    food = CannedFood(name="even", kcal_per_can=100, ml_per_can=100, water_ml_per_can=80)

    assert make_option(food, wishes(kcal_per_day=240), meals=4, added_ml_per_can=0).fills == 4


def test_the_working_says_what_is_proposed():
    """The whole sentence, to three digits."""
    assert find_blend_options(a_food(), wishes()).because == (
        "33 of 325 ways are worth choosing from; proposed: 4 meals of 195 mL (12.9 mL/kg), 145 mL water a can, "
        "1.08 kcal/mL"
    )


@pytest.mark.hazard("H32")
def test_at_a_higher_cap_the_fourth_meal_could_be_dropped():
    """The sentence names the cap to ask for, rounded up to a tenth, and who may raise it."""
    wanted = wishes(cap_ml_per_kg=12, water_band=ANY_WATER)

    assert find_blend_options(a_food(), wanted).value.proposed.meals == 4
    assert [one.words for one in loosened(a_food(), wanted, BlendLimit.CAP)] == [
        "At 14.8 mL/kg there could be 3 meals: only the vet may raise the cap.",
        "At 21.2 mL/kg there could be 2 meals: only the vet may raise the cap.",
    ]


def test_a_number_of_meals_that_is_possible_already_needs_no_higher_cap():
    """Three meals inside the cap but over the vet's warning are a matter of the warning, not of the cap."""
    wanted = wishes(warn_ml_per_kg=13, water_band=ANY_WATER)
    choice = find_blend_options(a_food(), wanted).value

    assert choice.proposed.meals == 4
    assert 3 in {option.meals for option in choice.best}
    assert [one.words for one in loosened(a_food(), wanted, BlendLimit.WARNING)] == [
        "If 14.8 mL/kg needed no question there could be 3 meals: ask the vet."
    ]
    assert [one.words for one in loosened(a_food(), wanted, BlendLimit.CAP)] == [
        "At 21.2 mL/kg there could be 2 meals, but with meals over the vet's warning: only the vet may raise the cap."
    ]
    enough = wishes(warn_ml_per_kg=14.8, water_band=ANY_WATER)
    assert find_blend_options(a_food(), enough).value.proposed.meals == 3


@pytest.mark.hazard("H30")
def test_more_water_a_day_is_named_with_what_it_buys():
    """A heart patient's upper end rules out every way; the least that would do is named."""
    wanted = wishes(water_band=WaterBand(low_ml=500, high_ml=540), cap_ml_per_kg=20)
    choice = find_blend_options(a_food(), wanted).value
    first = loosened(a_food(), wanted, BlendLimit.MOST_WATER)[0]

    assert choice.proposed is None
    assert choice.binding == (BlendLimit.CAP, BlendLimit.MOST_WATER)
    assert first.words == (
        "With 585.3 mL of water a day there could be 3 meals inside every other limit, but with part of a can left "
        "over: only the vet may raise it."
    )
    enough = wishes(water_band=WaterBand(low_ml=500, high_ml=first.needed), cap_ml_per_kg=20)
    assert find_blend_options(a_food(), enough).value.proposed == first.option


@pytest.mark.hazard("H9")
def test_a_thinner_flow_limit_is_named_with_what_less_water_would_buy():
    """With less water the same energy is a smaller meal; only a flow test may say so."""
    food, wanted = a_food(least_added_ml_per_can=150), wishes(water_band=ANY_WATER)

    assert find_blend_options(food, wanted).value.proposed.meals == 4
    assert [one.words for one in loosened(food, wanted, BlendLimit.FLOW)] == [
        "If the blend passed with 95 mL of water a can there could be 3 meals: only a flow test tells."
    ]
    for least, meals in ((95, 3), (100, 4)):
        passes = a_food(least_added_ml_per_can=least)
        assert find_blend_options(passes, wanted).value.proposed.meals == meals


def test_a_cap_that_is_even_is_not_rounded_up():
    """15 mL/kg is 15, and a hair more is 15.1."""
    way = make_option(a_food(), wishes(), meals=3, added_ml_per_can=80)

    assert Loosened(limit=BlendLimit.CAP, needed=15, option=way, buys="3 meals").words == (
        "At 15 mL/kg there could be 3 meals: only the vet may raise the cap."
    )
    assert "At 15.1 mL/kg" in Loosened(limit=BlendLimit.CAP, needed=15.001, option=way, buys="3 meals").words


def test_less_water_is_tried_with_the_meals_that_are_allowed_and_no_others():
    """Three meals a day: 13 mL/kg holds them with 20 mL a can. 11 mL/kg would hold only four, and so would no mix."""
    three = {"fewest_meals": 3, "most_meals": 3, "water_band": ANY_WATER}

    assert [one.needed for one in loosened(a_food(), wishes(cap_ml_per_kg=13, **three), BlendLimit.FLOW)] == [20]
    assert loosened(a_food(), wishes(cap_ml_per_kg=11, **three), BlendLimit.FLOW) == []


def test_less_water_is_tried_from_one_step_on():
    """One step less is 221 mL a meal, 14.47 mL/kg, and fits."""
    wanted = wishes(cap_ml_per_kg=14.5, step_ml=1, water_band=ANY_WATER)

    assert [one.needed for one in loosened(a_food(), wanted, BlendLimit.FLOW)] == [75]


def test_the_last_step_before_none_is_tried():
    """From 7 mL in steps of 5: 2 mL is enough, 210 mL in all, 12.35 mL/kg."""
    food, wanted = a_food(least_added_ml_per_can=7), wishes(cap_ml_per_kg=12.4, step_ml=1, water_band=ANY_WATER)

    assert [one.needed for one in loosened(food, wanted, BlendLimit.FLOW)] == [2]


def test_less_water_is_tried_down_to_none_and_never_below():
    """The last step ends at no water at all, also where it is shorter than the others."""
    food, wanted = a_food(least_added_ml_per_can=1), wishes(cap_ml_per_kg=12.3, step_ml=1, water_band=ANY_WATER)

    assert [one.needed for one in loosened(food, wanted, BlendLimit.FLOW)] == [0]
    assert loosened(a_food(least_added_ml_per_can=0), wanted, BlendLimit.FLOW) == []


def test_another_number_of_meals_is_named_when_none_allowed_fits():
    """Two or three meals do not fit under the cap; four would, and the vet is asked."""
    wanted = wishes(cap_ml_per_kg=12, fewest_meals=2, most_meals=3, water_band=ANY_WATER)
    by_meals = loosened(a_food(), wanted, BlendLimit.MEALS)

    assert find_blend_options(a_food(), wanted).value.proposed is None
    assert [one.words for one in by_meals] == [
        "With another number of meals there could be 4 meals inside every other limit, but with part of a can left "
        "over: ask the vet."
    ]
    assert by_meals[0].needed == 4


def test_fewer_meals_than_the_fewest_are_named_too():
    """A household that wants four or more is told that three would do."""
    wanted = wishes(fewest_meals=4, water_band=ANY_WATER)

    assert [one.words for one in loosened(a_food(), wanted, BlendLimit.MEALS)] == [
        "With another number of meals there could be 3 meals: ask the vet."
    ]


def test_the_nearest_number_of_meals_is_named_first():
    """Three meals are one away from four, two are two away and save one more."""
    wanted = wishes(cap_ml_per_kg=22, fewest_meals=4, most_meals=4, water_band=ANY_WATER)

    assert [one.needed for one in loosened(a_food(), wanted, BlendLimit.MEALS)] == [3, 2]


def test_what_the_vet_is_asked_about_anyway_hides_no_other_limit():
    """Every way is over the warning; that three meals would do, or a can that keeps longer, is named all the same."""
    wanted = wishes(warn_ml_per_kg=5, fewest_meals=4, water_band=ANY_WATER)
    choice = find_blend_options(a_food(), wanted).value

    assert choice.proposed.ml_per_kg > 5
    assert [(one.limit, one.needed) for one in choice.loosened] == [
        (BlendLimit.MEALS, 3),
        (BlendLimit.MEALS, 12),
        (BlendLimit.STORAGE, 2),
    ]


def test_where_nothing_is_possible_the_way_out_says_what_it_does_not_give():
    """Water still due, a part of a can and the vet's warning are named with the higher cap."""
    water = WaterBand(low_ml=1500, high_ml=2000)
    wanted = wishes(cap_ml_per_kg=2, warn_ml_per_kg=1, fewest_meals=6, water_band=water)

    assert [one.words for one in loosened(a_food(), wanted, BlendLimit.CAP)] == [
        "At 8.3 mL/kg there could be 6 meals inside every other limit, but with part of a can left over and 828 mL of "
        "the day's water still due and meals over the vet's warning: only the vet may raise the cap."
    ]


def test_meals_beyond_the_most_are_tried_up_to_twice_as_many():
    """One meal is the most that is wished for: two fit, three and more are not looked at."""
    one_meal = {"fewest_meals": 1, "most_meals": 1, "water_band": ANY_WATER}

    assert [one.needed for one in loosened(a_food(), wishes(cap_ml_per_kg=22, **one_meal), BlendLimit.MEALS)] == [2]
    assert loosened(a_food(), wishes(cap_ml_per_kg=15, **one_meal), BlendLimit.MEALS) == []
    assert loosened(a_food(), wishes(cap_ml_per_kg=1, fewest_meals=24, most_meals=24), BlendLimit.MEALS) == []


def test_a_longer_storage_life_is_named_when_it_would_use_whole_cans():
    """A can and a half a day is whole over two days."""
    food = a_food(kcal_per_can=400, ml_per_can=300)
    wanted = wishes(kcal_per_day=600, cap_ml_per_kg=25, water_band=ANY_WATER)
    by_storage = loosened(food, wanted, BlendLimit.STORAGE)

    assert not find_blend_options(food, wanted).value.proposed.uses_whole_cans
    assert by_storage[0].words == (
        "If an opened can kept for 2 days there could be no part of a can left over: its label says how long it keeps."
    )
    assert find_blend_options(replace(food, keeps_days=2), wanted).value.proposed == by_storage[0].option


def test_the_shortest_storage_life_that_will_do_is_named():
    """A can and a third a day: two days leave a third over, three days none."""
    food = a_food(kcal_per_can=400, ml_per_can=300)
    wanted = wishes(kcal_per_day=533, cap_ml_per_kg=25, step_ml=1, water_band=ANY_WATER)

    assert [one.needed for one in loosened(food, wanted, BlendLimit.STORAGE)] == [3]


def test_storage_is_wished_for_up_to_fourteen_days():
    """17 cans over 14 days are named where a can keeps 13; next to 22 cans over 15 days are not."""
    food = a_food(kcal_per_can=400, ml_per_can=300)
    wanted = wishes(cap_ml_per_kg=25, step_ml=0.1, water_band=ANY_WATER)
    fourteen, fifteen = replace(wanted, kcal_per_day=400 * 17 / 14), replace(wanted, kcal_per_day=400 * 21.95 / 15)

    assert [one.needed for one in loosened(replace(food, keeps_days=13), fourteen, BlendLimit.STORAGE)] == [14]
    assert loosened(replace(food, keeps_days=14), fifteen, BlendLimit.STORAGE) == []
    assert make_option(replace(food, keeps_days=15), fifteen, meals=4, added_ml_per_can=80).uses_whole_cans


def test_storage_beyond_what_any_can_keeps_is_not_wished_for():
    """At fourteen days there is nothing longer to hope for."""
    assert loosened(a_food(keeps_days=14), wishes(kcal_per_day=811, water_band=ANY_WATER), BlendLimit.STORAGE) == []


def test_giving_up_whole_cans_is_named_with_the_meal_it_saves():
    """Whole cans come before fewer meals; what they cost is said."""
    food, wanted = a_food(), wishes(kcal_per_day=1060, cap_ml_per_kg=20, water_band=ANY_WATER)
    proposed = find_blend_options(food, wanted).value.proposed
    given_up = loosened(food, wanted, BlendLimit.WHOLE_CANS)

    assert proposed.uses_whole_cans
    assert [one.option.meals for one in given_up] == [3]
    assert proposed.meals == 4
    assert given_up[0].words == ("With 0.11 of a can left over there could be 3 meals.")
    assert not given_up[0].option.uses_whole_cans


def test_every_loosening_buys_what_no_way_inside_the_limits_has():
    """On random days: it breaks its own limit alone, and what it gives is wanted and not to be had as it is."""
    chance = random.Random(11)
    seen = set()
    for _ in range(120):
        food, wanted = a_random_case(chance)
        wanted = replace(wanted, warn_ml_per_kg=chance.choice([None, 0.9 * wanted.cap_ml_per_kg]))
        choice = find_blend_options(food, wanted).value
        inside = [
            make_option(food, wanted, meals=meals, added_ml_per_can=added)
            for meals in range(wanted.fewest_meals, wanted.most_meals + 1)
            for added in added_water_choices(food, wanted)
        ]
        inside = [option for option in inside if not limits_broken(option, wanted)]
        for one in choice.loosened:
            seen.add(one.limit)
            broken = limits_broken(one.option, wanted)
            assert broken == ((one.limit,) if one.limit in (BlendLimit.CAP, BlendLimit.MOST_WATER) else ())
            assert one.buys
            for other in inside:
                if one.limit is BlendLimit.WARNING and other.ml_per_kg > wanted.warn_ml_per_kg:
                    continue
                if one.limit is BlendLimit.WHOLE_CANS and not other.uses_whole_cans:
                    continue
                assert not (
                    other.meals <= one.option.meals
                    and (other.water_due_ml <= 1e-9 or one.option.water_due_ml > 1e-9)
                    and (one.limit is BlendLimit.WHOLE_CANS or other.uses_whole_cans or not one.option.uses_whole_cans)
                    and (
                        wanted.warn_ml_per_kg is None
                        or one.limit is BlendLimit.WARNING
                        or other.ml_per_kg <= wanted.warn_ml_per_kg
                        or one.option.ml_per_kg > wanted.warn_ml_per_kg
                    )
                )
        if choice.proposed is None:
            continue
        for one in choice.loosened:
            assert one.option != choice.proposed

    assert seen == set(BlendLimit)


def test_a_night_meal_is_avoided_where_everything_else_is_equal():
    """More than four meals need one at night."""
    assert make_option(a_food(), wishes(), meals=4, added_ml_per_can=80).needs_night_meal is False
    assert make_option(a_food(), wishes(), meals=5, added_ml_per_can=80).needs_night_meal is True


def test_what_an_option_comes_to_is_worked_out_to_the_last_fill():
    """569 kcal in 383 + 100 mL, 820 kcal a day in 4 meals: each 175 mL, on a mark of 5 mL, in 3 fills."""
    option = make_option(a_food(keeps_days=2), wishes(), meals=4, added_ml_per_can=100)

    assert option.kcal_per_ml == pytest.approx(569 / 483)
    assert option.blend_ml_per_meal == 175
    assert option.kcal_per_day == pytest.approx(700 * 569 / 483)
    assert option.ml_per_kg == pytest.approx(200 / 17)
    assert option.cans_per_day == pytest.approx(700 / 483)
    assert option.water_ml == pytest.approx(700 / 483 * 370 + 4 * 25)
    assert option.water_due_ml == pytest.approx(700 - 700 / 483 * 370 - 100)
    assert option.cans_opened == 3
    assert option.waste_cans == pytest.approx(3 - 1400 / 483)
    assert option.fills == 12
    assert option.minutes == 70


def test_water_of_medicines_outside_meals_counts_once_for_the_day():
    """Where the day's medicine water is stated, it takes the place of that of each meal; by mouth is added."""
    wanted = wishes(medicine_water_ml_per_day=50, by_mouth_water_ml=30)
    option = make_option(a_food(), wanted, meals=4, added_ml_per_can=100)

    assert option.water_ml == pytest.approx(700 / 483 * 370 + 4 * 20 + 50 + 30)
    assert option.ml_per_kg == pytest.approx(200 / 17)


@pytest.mark.parametrize(
    ("changed", "message"),
    [
        ({"weight_kg": 300}, "weight_kg = 300 kg. Allowed: 0.5 to 100 kg. Check the number and its unit."),
        (
            {"most_meals": 30},
            "most_meals = 30 meals a day. Allowed: 1 to 24 meals a day. Check the number and its unit.",
        ),
        (
            {"flush_ml_per_meal": -1},
            "flush_ml_per_meal = -1 mL. Allowed: 0 to 20,000 mL. Check the number and its unit.",
        ),
        (
            {"medicine_water_ml_per_day": -1},
            "medicine_water_ml_per_day = -1 mL. Allowed: 0 to 20,000 mL. Check the number and its unit.",
        ),
        ({"cap_ml_per_kg": 0}, "cap_ml_per_kg = 0 mL/kg. Allowed: 0.01 mL/kg or more. Check the plan."),
    ],
)
def test_wishes_that_can_only_be_a_slip_are_refused(changed, message):
    """The whole message of each."""
    with pytest.raises(OutOfRange) as caught:
        wishes(**changed)
    assert str(caught.value) == message


def test_wishes_at_the_edge_are_taken():
    """Equal numbers of meals, and the smallest step."""
    assert wishes(fewest_meals=4, most_meals=4, step_ml=0.01).most_meals == 4


@pytest.mark.parametrize(
    ("changed", "message"),
    [
        ({"kcal_per_can": 0.5}, "kcal_per_can = 0.5 kcal. Allowed: 1 kcal or more. Check the label."),
        ({"ml_per_can": 0.5}, "ml_per_can = 0.5 mL. Allowed: 1 mL or more. Measure the can's volume."),
    ],
)
def test_a_can_that_holds_nothing_is_refused(changed, message):
    """The whole message of each."""
    with pytest.raises(OutOfRange) as caught:
        find_blend_options(a_food(**changed), wishes())
    assert str(caught.value) == message


def test_added_water_goes_from_the_flow_limit_up_in_steps():
    """Both ends are tried; a last part of a step is not."""
    food = a_food(least_added_ml_per_can=80, most_added_ml_per_can=98)

    assert added_water_choices(food, wishes()) == (80, 85, 90, 95)
    assert added_water_choices(replace(food, most_added_ml_per_can=100), wishes()) == (80, 85, 90, 95, 100)


def test_where_nothing_is_known_of_the_flow_no_water_is_tried_first():
    """A food of which no flow test tells may pass as it is."""
    food = CannedFood(name="untested", kcal_per_can=500, ml_per_can=380, water_ml_per_can=280)

    assert added_water_choices(food, wishes())[:2] == (0, 5)


def test_a_flow_limit_above_the_most_water_leaves_no_way():
    """Two milliliters short is no choice at all, and the working says so."""
    food = a_food(least_added_ml_per_can=80, most_added_ml_per_can=78)

    assert added_water_choices(food, wishes()) == ()
    assert find_blend_options(food, wishes()).because == "none of 0 ways keeps every limit: no way was allowed"


def test_water_that_is_still_due_is_said():
    """A mix that leaves water out of the day says how much."""
    result = find_blend_options(a_food(), wishes(water_band=WaterBand(low_ml=1500, high_ml=1600), cap_ml_per_kg=14))
    due = result.value.proposed.water_due_ml

    assert due > 0
    assert result.cautions[0] == f"{due:,.0f} mL of the day's water is not in this plan: give it as extra flushes."


@pytest.mark.parametrize(("due_ml", "said"), [(0.3, "0.3 mL"), (12.34, "12.3 mL")])
def test_little_water_that_is_still_due_is_said_too(due_ml, said):
    """Never as 0 mL; and it counts as due when the ways are weighed."""
    one_way = a_food(most_added_ml_per_can=80)
    four = {"fewest_meals": 4, "most_meals": 4}
    water_ml = make_option(one_way, wishes(), meals=4, added_ml_per_can=80).water_ml
    short = wishes(water_band=WaterBand(low_ml=water_ml + due_ml, high_ml=1200), **four)
    result = find_blend_options(one_way, short)

    assert result.cautions[0] == f"{said} of the day's water is not in this plan: give it as extra flushes."
    thinner = find_blend_options(a_food(), replace(short, cap_ml_per_kg=20)).value
    assert thinner.proposed.water_due_ml == 0


def test_the_largest_search_keeps_every_way_that_is_best():
    """Two thousand ways that all pay off somewhere are all kept, and found in well under a second."""
    wanted = wishes(cap_ml_per_kg=45, water_band=WaterBand(low_ml=2500, high_ml=9000), water_step_ml=1)
    start = time.process_time()
    best = find_blend_options(a_food(least_added_ml_per_can=0), wanted).value.best
    seconds = time.process_time() - start

    assert len(best) == 2005
    assert seconds < 2


def test_no_options_have_no_best():
    """Nothing in, nothing out."""
    assert best_of_their_kind([]) == ()


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
