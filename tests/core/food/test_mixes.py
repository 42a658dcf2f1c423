"""Mixes of several foods: the least volume, and every mix that is the best of its kind."""

import itertools
import random
import time

import pytest

from fillmark.core.food.mixes import Mix, MixFood, NoMix, find_mixes
from fillmark.core.values.errors import OutOfRange
from tests.support.mixes import a_kitchen, solve_with_highs


def least_volume(foods, goal, limits):
    choice = find_mixes(foods, least_kcal=goal, most_kcal=goal * 1.1, limits=limits, most_mixes=1).value
    return min(choice.best, key=lambda mix: mix.ml)


def check_mixes(count, seed):
    chance = random.Random(seed)
    solved = 0
    for _ in range(count):
        foods, limits, goal = a_kitchen(chance, foods=chance.randint(2, 8), nutrients=chance.randint(1, 5))
        expected = solve_with_highs(foods, limits, goal, goal * 1.1)
        if expected is None:
            with pytest.raises(NoMix):
                least_volume(foods, goal, limits)
            continue
        mix = least_volume(foods, goal, limits)
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
    foods, limits, goal = a_kitchen(random.Random(5), foods=40, nutrients=30)
    times = []
    for _ in range(2):
        start = time.process_time()
        mix = least_volume(foods, goal, limits)
        times.append(time.process_time() - start)

    assert mix.kcal >= goal - 1e-6
    assert min(times) < 1.0


def test_an_impossible_mix_says_what_to_do():
    """The message names the foods, the limits and the way out."""
    broth = MixFood(name="broth", kcal_per_portion=10, ml_per_portion=100, most_portions=2, nutrients_per_portion={})
    with pytest.raises(NoMix) as caught:
        find_mixes([broth], least_kcal=100, most_kcal=200, limits={})
    assert str(caught.value) == (
        "Foods of which no mix keeps every limit (broth). Allowed: a mix of 100 to 200 kcal inside every limit. "
        "Add a food, or ask the vet which limit may be loosened."
    )
    assert caught.value.exit_code == 3  # a vet's answer is missing


def small_kitchen(chance):
    """Two to four foods in whole milliliters, some of them canned, with one or two nutrient limits."""
    foods, limits, goal = a_kitchen(chance, foods=chance.randint(2, 4), nutrients=chance.randint(1, 2))
    return (
        [
            MixFood(
                name=food.name,
                kcal_per_portion=food.kcal_per_portion,
                ml_per_portion=round(food.ml_per_portion),
                most_portions=min(4, food.most_portions),
                nutrients_per_portion=food.nutrients_per_portion,
                portions_per_can=chance.choice([None, 2, 3, 4]),
            )
            for food in foods
        ],
        limits,
        goal / 3,
    )


def enumerate_mixes(foods, limits, least_kcal, most_kcal):
    """The costs of the best of their kind by the definition itself: every mix, each held against every other."""
    costs = set()
    for counts in itertools.product(*(range(food.most_portions + 1) for food in foods)):
        used = list(zip(foods, counts, strict=True))
        kcal = sum(food.kcal_per_portion * count for food, count in used)
        held = {name: sum(f.nutrients_per_portion.get(name, 0) * n for f, n in used) for name in limits}
        if not least_kcal <= kcal <= most_kcal or any(
            not limit.least * kcal / 1000 <= held[name] <= limit.most * kcal / 1000 for name, limit in limits.items()
        ):
            continue
        waste = sum(-(n % -f.portions_per_can) / f.portions_per_can for f, n in used if f.portions_per_can)
        ml = sum(food.ml_per_portion * count for food, count in used)
        costs.add((round(waste, 6), round(ml, 6)))
    return {
        one
        for one in costs
        if not any(other != one and all(a <= b for a, b in zip(other, one, strict=True)) for other in costs)
    }


def check_all_mixes(count, seed):
    chance = random.Random(seed)
    sizes = []
    for _ in range(count):
        foods, limits, goal = small_kitchen(chance)
        expected = enumerate_mixes(foods, limits, goal, goal * 1.3)
        values = {"least_kcal": goal, "most_kcal": goal * 1.3, "limits": limits}
        if not expected:
            with pytest.raises(NoMix):
                find_mixes(foods, **values)
            continue
        choice = find_mixes(foods, **values).value
        found = {(round(mix.waste_cans, 6), round(mix.ml, 6)) for mix in choice.best}
        assert choice.is_all
        assert found == expected
        assert len(choice.best) == len(expected)
        assert choice.proposed is choice.best[0]
        wanted = min(
            expected, key=lambda one: (one[0] > 0.1, one[0] if all(e[0] > 0.1 for e in expected) else 0, one[1])
        )
        assert (round(choice.proposed.waste_cans, 6), round(choice.proposed.ml, 6)) == wanted[:2]
        sizes.append(len(expected))
    assert max(sizes) > 1, "some kitchens must leave a choice"
    assert len(sizes) < count, "some kitchens must have no mix"


def test_all_mixes_equal_exhaustive_enumeration():
    """The front is exactly what the definition keeps, on 30 small kitchens, and the proposed one is in order."""
    check_all_mixes(30, seed=12)


@pytest.mark.long
def test_all_mixes_equal_exhaustive_enumeration_on_300_kitchens():
    """The same on 300."""
    check_all_mixes(300, seed=13)


def test_a_search_cut_short_says_so_and_keeps_the_proposed_mix():
    """The first mix is always the proposed one."""
    foods, _, goal = small_kitchen(random.Random(2))
    values = {"least_kcal": goal, "most_kcal": goal * 3, "limits": {}}
    whole = find_mixes(foods, **values)
    short = find_mixes(foods, **values, most_mixes=1)

    assert len(whole.value.best) > 1
    assert short.value.best == (whole.value.proposed,)
    assert not short.value.is_all
    assert short.because.startswith("the first 1 mixes worth choosing from; proposed: ")
    assert whole.because.startswith(f"all {len(whole.value.best)} mixes worth choosing from; proposed: ")
    assert whole.cautions == ("A mix of several foods is not shown to be complete: ask the vet.",)


def test_whole_cans_come_before_the_least_volume():
    """Half a can of the thick food would do; the whole thin can is proposed, and the other stands beside it."""
    thick = MixFood(
        name="thick",
        kcal_per_portion=100,
        ml_per_portion=40,
        most_portions=4,
        nutrients_per_portion={},
        portions_per_can=4,
    )
    thin = MixFood(
        name="thin",
        kcal_per_portion=100,
        ml_per_portion=90,
        most_portions=2,
        nutrients_per_portion={},
        portions_per_can=2,
    )
    choice = find_mixes([thick, thin], least_kcal=200, most_kcal=250, limits={})

    assert choice.value.proposed.portions == {"thin": 2}
    assert choice.value.proposed.uses_whole_cans
    assert [(str(mix), mix.waste_cans) for mix in choice.value.best] == [("2 × thin", 0), ("2 × thick", 0.5)]
    assert choice.because == (
        "all 2 mixes worth choosing from; proposed: 2 × thin, 200 kcal in 180 mL before water, 0 of a can left over"
    )


def test_without_whole_cans_the_least_left_over_comes_first():
    """Nothing fits whole cans: the smaller rest wins over the smaller volume."""
    cans = [
        MixFood(
            name=name,
            kcal_per_portion=100,
            ml_per_portion=ml,
            most_portions=3,
            nutrients_per_portion={},
            portions_per_can=4,
        )
        for name, ml in (("stew", 50), ("puree", 60))
    ]
    choice = find_mixes(cans, least_kcal=300, most_kcal=310, limits={}).value

    assert choice.proposed.portions == {"stew": 3}
    assert choice.proposed.waste_cans == 0.25
    assert not choice.proposed.uses_whole_cans
    assert choice.best == (choice.proposed,)


def test_an_energy_band_upside_down_is_refused():
    """The most energy must not lie below the least; less than nothing is none."""
    with pytest.raises(
        OutOfRange, match=r"^most_kcal = 100 kcal\. Allowed: 200 kcal or more\. Check the energy goal\.$"
    ):
        find_mixes([], least_kcal=200, most_kcal=100, limits={})
    with pytest.raises(OutOfRange, match=r"^least_kcal = -1 kcal\. Allowed: 0 kcal or more\."):
        find_mixes([], least_kcal=-1, most_kcal=100, limits={})


def test_no_food_is_no_energy():
    """From nothing only nothing can be mixed."""
    assert find_mixes([], least_kcal=0, most_kcal=10, limits={}).value.proposed.portions == {}
    assert str(find_mixes([], least_kcal=0, most_kcal=10, limits={}).value.proposed) == "nothing"
    with pytest.raises(NoMix):
        find_mixes([], least_kcal=1, most_kcal=10, limits={})


def a_can(name, *, ml, kcal=100.0, most=3, per_can=4):
    return MixFood(
        name=name,
        kcal_per_portion=kcal,
        ml_per_portion=ml,
        most_portions=most,
        nutrients_per_portion={},
        portions_per_can=per_can,
    )


def test_a_can_left_over_does_not_outweigh_a_milliliter():
    """Half a milliliter less is worth three quarters of a can to a search that asks for the volume."""
    choice = find_mixes(
        [a_can("thin", ml=100.5, per_can=1), a_can("thick", ml=100)], least_kcal=100, most_kcal=100, limits={}
    )

    assert [(mix.ml, mix.waste_cans) for mix in choice.value.best] == [(100.5, 0), (100, 0.75)]


def test_of_two_mixes_of_one_volume_the_one_with_less_left_over_stands():
    """The other is beaten."""
    foods = [a_can("quarter", ml=100), a_can("half", ml=100, per_can=2), a_can("thick", ml=90, per_can=5)]
    choice = find_mixes(foods, least_kcal=100, most_kcal=100, limits={}).value

    assert [(str(mix), mix.waste_cans) for mix in choice.best] == [("1 × half", 0.5), ("1 × thick", 0.8)]


def test_a_tenth_of_a_can_left_over_is_a_whole_can():
    """What a spoon leaves in it; two ninths are not."""
    whole = find_mixes([a_can("ten", ml=10, kcal=10, most=10, per_can=10)], least_kcal=90, most_kcal=90, limits={})
    part = find_mixes([a_can("nine", ml=10, kcal=10, most=9, per_can=9)], least_kcal=70, most_kcal=70, limits={})

    assert whole.value.proposed.uses_whole_cans
    assert Mix(portions={}, kcal=0, ml=0, waste_cans=0.1).uses_whole_cans
    assert Mix(portions={}, kcal=0, ml=0, waste_cans=0.1 + 1e-9).uses_whole_cans
    assert not Mix(portions={}, kcal=0, ml=0, waste_cans=0.101).uses_whole_cans
    assert not part.value.proposed.uses_whole_cans
    assert part.because == (
        "all 1 mixes worth choosing from; proposed: 7 × nine, 70 kcal in 70 mL before water, 0.22 of a can left over"
    )


def test_a_mix_is_not_shown_to_be_complete():
    """A mix is flagged."""
    mix = find_mixes([a_can("stew", ml=100)], least_kcal=100, most_kcal=100, limits={})

    assert mix.cautions == ("A mix of several foods is not shown to be complete: ask the vet.",)
