"""Mixes of the foods on hand: energy, the vet's limits, the profile, and what holds them."""

from datetime import date, time
from itertools import product

import pytest

from fillmark.core.changes.blend_option import limits_broken
from fillmark.core.changes.feeding_change import FeedingChange, plan_with_change
from fillmark.core.changes.feeding_ways import limits_of_day
from fillmark.core.changes.mix_parts import MixWays, check_blend, foods_on_hand, measure_of, nutrients_of
from fillmark.core.changes.mix_ways import find_mix_ways
from fillmark.core.day.plan_day import plan_day
from fillmark.core.food.energy import Species
from fillmark.core.food.mixes import NoMix
from fillmark.core.food.nutrients import Completeness
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.foods import Food
from fillmark.core.plan.reading import read_plan
from fillmark.core.record.care_entries import FoodKept
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.tube.flow_tests import FlowTest
from fillmark.core.values.document import read_document
from fillmark.core.values.errors import BadPlan, NotStated
from fillmark.examples import example_plan
from tests.support.builders import a_kept

TOMORROW = date(2026, 11, 26)


def juniper(**orders: object) -> CarePlan:
    text = example_plan("juniper").decode()
    for key, value in orders.items():
        line = next(one for one in text.splitlines() if one.startswith(f"{key} ="))
        text = text.replace(line, f"{key} = {value}")
    return read_plan(text.encode(), kind="toml")


def a_food(**changes: object) -> Food:
    """Fish oil by the teaspoon: all fat, no protein."""
    values = {
        "id": "oil",
        "name": "Fish oil",
        "label": {"energy": 8, "unit": "kcal", "per": "mL"},
        "portion": {"name": "teaspoon", "g": 4.6, "ml": 5},
        "nutrients": [
            {"nutrient": "fat", "amount": 100, "unit": "g", "per": "100 g"},
            {"nutrient": "protein", "amount": 0, "unit": "g", "per": "100 g"},
        ],
    }
    return read_document(Food, {**values, **changes})


def find(*foods: Food, plan: CarePlan | None = None, days: int = 2, most: dict | None = None, tests=None) -> MixWays:
    plan = plan or juniper()
    return find_mix_ways(
        plan, foods=foods or plan.foods, most_a_day=most or {}, days=days, on=TOMORROW, tests=tests or {}
    )


def in_words(ways: MixWays) -> list[list[str]]:
    return [[f"{measure.words(count)} of {measure.food.id}" for measure, count in way.amounts] for way in ways.ways]


def test_foods_on_hand_are_those_of_the_plan_and_the_newest_labels():
    """What was put right replaces what it corrects, what was taken out is gone, and the plan's own label stays."""
    first, second = a_kept(FoodKept(food=a_food())), a_kept(FoodKept(food=a_food(id="rice", name="Rice")), minute=1)
    better = a_kept(FoodKept(food=a_food(name="Salmon oil")), minute=2, corrects=first.entry.id)
    gone = a_kept(Withdrawn(reason="Used up"), minute=3, corrects=second.entry.id)
    of_the_plan = a_kept(FoodKept(food=a_food(id="stew", name="Another stew")), minute=4)
    found = foods_on_hand(juniper(), [gone, better, second, first, of_the_plan])

    assert [food.name for food in found] == ["Canned stew (invented)", "Canned puree (invented)", "Salmon oil"]


def test_a_can_is_shared_out_in_quarters_and_an_additive_by_its_spoon():
    """Energy, water and room of one portion, and so many of them in words."""
    can = measure_of(juniper().foods[0], species=Species.DOG)
    spoon = measure_of(a_food(), species=Species.DOG)

    assert (can.parts, can.g, can.ml, can.kcal) == (4, 102.5, 98, pytest.approx(124.5))
    assert can.water_ml == pytest.approx(75.85)
    said = [can.words(count) for count in (1, 2, 4, 5, 8, 11)]
    assert said == ["¼ can", "½ can", "1 can", "1¼ cans", "2 cans", "2¾ cans"]
    assert (spoon.g, spoon.ml, spoon.kcal) == (4.6, 5, pytest.approx(40))
    assert (spoon.words(1), spoon.words(3)) == ("1 teaspoon", "3 teaspoons")


@pytest.mark.parametrize(("missing", "words"), [("can_g", "the net weight"), ("can_ml", "the volume")])
def test_a_food_that_cannot_be_measured_out_says_what_is_missing(missing: str, words: str):
    """A label for a kg, and no weight or no volume of a can."""
    sizes = {"can_g": 370, "can_ml": 352, missing: "not stated"}
    food = a_food(label={"energy": 1240, "unit": "kcal", "per": "kg"}, portion="not stated", **sizes)

    with pytest.raises(NotStated, match=f"without {words} of a can"):
        measure_of(food, species=Species.DOG)


def test_a_label_tells_nutrients_in_any_of_its_forms():
    """2 g for 1,000 kcal, in 100 g, in a kg and in a can, of 410 g with 498 kcal; a percent is g in 100 g."""
    stew = juniper().foods[0]

    def held(per: str) -> float:
        values = stew.model_dump(mode="json", exclude_unset=True)
        one = {"nutrient": "calcium", "amount": 2, "unit": "g", "per": per}
        return nutrients_of(read_document(Food, {**values, "nutrients": [one]}), g=820, kcal=996)["calcium"][0]

    assert [held(per) for per in ("1,000 kcal", "100 g", "kg", "can")] == pytest.approx([1.992, 16.4, 1.64, 4.0])
    found = nutrients_of(stew, g=820, kcal=996)
    assert {name: round(amount, 3) for name, (amount, _) in found.items()} == {"protein": 77.9, "fat": 57.4}


def test_the_blend_of_the_plan_is_checked_beside_both_profiles():
    """Stew and water: protein 77.9 g in 996 kcal is 78.2 g for 1,000 kcal; calcium is not stated; AAFCO and FEDIAF."""
    check = check_blend(juniper(), kcal_per_day=None).value
    protein = [line for line in check.lines if line.nutrient == "protein"]

    assert check.completeness is Completeness.COMPLETE
    assert {line.bound.id.split(".")[1] for line in protein} == {"aafco", "fediaf"}
    assert all(line.per_1000_kcal == pytest.approx(78.2, abs=0.05) and line.is_met for line in protein)
    assert "calcium" in {line.nutrient for line in check.unknown}


def test_mixes_carry_the_days_energy_inside_every_limit():
    """Whole cans first; each way feeds the day, keeps the cap and the water, and is what the plan would become."""
    plan, ways = juniper(), find()
    wishes = limits_of_day(plan, day=plan_day(plan, on=TOMORROW)).value

    assert in_words(ways)[0] == ["4 cans of puree"]
    assert ways.ways[0].mix.uses_whole_cans
    assert ways.is_all
    for way in ways.ways:
        assert not limits_broken(way.option, wishes)
        assert 2 * wishes.kcal_per_day <= way.mix.kcal <= 2.2 * wishes.kcal_per_day
        new = plan_day(plan_with_change(plan, FeedingChange(mix=way.change), on=TOMORROW), on=TOMORROW)
        assert new.kcal_per_ml.value == pytest.approx(way.option.kcal_per_ml, rel=1e-3)
        assert max(new.meals.value) <= way.option.blend_ml_per_meal + 1


def test_no_mix_of_two_cans_is_missed():
    """Every pair of quarters tried by hand: none has less volume without more left over than those found."""
    plan, ways = juniper(), find()
    stew, puree = (find(food).ways[0].amounts[0][0] for food in plan.foods)
    goal = 2 * plan_day(plan, on=TOMORROW).energy.value
    most_kcal = max(1.1 * goal, goal + min(stew.kcal, puree.kcal))
    by_hand = [
        (one * stew.ml + two * puree.ml, (-one % 4) / 4 + (-two % 4) / 4)
        for one, two in product(range(20), range(20))
        if goal <= one * stew.kcal + two * puree.kcal <= most_kcal
    ]
    best = {
        (round(ml, 3), waste)
        for ml, waste in by_hand
        if not any(a <= ml and b <= waste and (a < ml - 1e-9 or b < waste) for a, b in by_hand)
    }

    assert {(round(way.mix.ml, 3), way.mix.waste_cans) for way in ways.ways} == best


def test_an_additive_goes_in_only_up_to_what_is_said_for_a_day():
    """Without a word of the vet none of it; with one teaspoon a day at most two in a batch for two days."""
    oil = a_food()
    without = find(*juniper().foods, oil)
    with_one = find(*juniper().foods, oil, most={"oil": 1})

    assert not any("oil" in words for way in in_words(without) for words in way)
    spoons = [count for way in with_one.ways for measure, count in way.amounts if measure.food.id == "oil"]
    assert spoons
    assert max(spoons) <= 2


@pytest.mark.hazard("H32")
def test_a_mix_with_an_additive_is_not_shown_to_be_complete():
    """Two complete cans stay complete; with oil in it the mix is asked about."""
    ways = find(*juniper().foods, a_food(), most={"oil": 2}).ways

    for way in ways:
        has_oil = any(measure.food.id == "oil" for measure, _ in way.amounts)
        assert (way.nutrients.value.completeness is Completeness.NOT_SHOWN) == has_oil


def test_only_nutrients_that_every_label_states_are_kept_and_the_others_are_named():
    """Protein and fat stand in each analysis; the oil without a word of protein takes that bound away."""
    silent = a_food(nutrients=[{"nutrient": "fat", "amount": 100, "unit": "g", "per": "100 g"}])

    assert find().kept == ("fat", "protein")
    ways = find(*juniper().foods, silent, most={"oil": 1})
    assert ways.kept == ("fat",)
    assert "protein" in ways.unknown


def poor(**changes: object) -> Food:
    """A thick canned food with little protein: 27 g for 1,000 kcal."""
    values = {
        "id": "poor",
        "name": "Rice and fat",
        "label": {"energy": 900, "unit": "kcal", "per": "can"},
        "analysis": {"protein_percent": 6, "fat_percent": 15, "fiber_percent": 1, "moisture_percent": 60},
        "can_g": 400,
        "can_ml": 380,
        "portion": "not stated",
        "nutrients": [],
        "complete": True,
    }
    return a_food(**{**values, **changes})


@pytest.mark.hazard("H32")
def test_the_limit_that_binds_is_named_with_what_loosening_it_would_buy():
    """The thick food would make smaller meals; the protein of the profile holds it back."""
    ways = find(*juniper().foods, poor())

    (binding,) = ways.binding
    assert binding.limit == "least protein"
    assert binding.words.startswith("With ")
    assert "of protein (AAFCO: at least 45) there could be " in binding.words
    assert binding.words.endswith(" mL less food a day: ask the vet.")
    held = next(line for line in ways.ways[0].nutrients.value.lines if line.nutrient == "protein")
    assert held.per_1000_kcal >= 45


def test_where_no_mix_keeps_every_limit_the_message_says_which_one_stands_in_the_way():
    """Only the poor food: without the bound for protein there would be a mix."""
    with pytest.raises(NoMix) as caught:
        find(poor())
    assert "of protein (AAFCO: at least 45) there could be a mix" in caught.value.remedy
    assert caught.value.remedy.endswith("Or add a food.")


@pytest.mark.hazard("H10")
def test_the_cap_of_a_session_holds_a_mix_back():
    """With a cap of 13 mL/kg the stew is too thin: the cap is named, and only the vet may raise it."""
    with pytest.raises(NoMix) as caught:
        find(juniper().foods[0], plan=juniper(cap_ml_per_kg=13, warn_ml_per_kg=12))
    assert "mL/kg a session" in caught.value.remedy
    assert "only the vet may raise the cap" in caught.value.remedy


def test_the_households_own_tests_of_a_mix_set_its_water():
    """Without a test as thin as now; with tests of just these foods, what passes nine times of ten."""
    tests = {("puree",): (FlowTest(water_ml_per_100_g=40, left_ml=7.9),) * 4}
    untested, tested = find(juniper().foods[1]).ways[0], find(juniper().foods[1], tests=tests).ways[0]

    assert untested.water_ml == 295
    assert tested.water_ml > 500
    assert tested.water_ml % 5 == 0


def test_two_foods_of_one_name_are_refused():
    """Which of them is meant could not be told."""
    with pytest.raises(BadPlan, match='Two foods that are both called "Fish oil"'):
        find(a_food(), a_food(id="oil-2"))


def test_meals_of_the_plan_are_kept():
    """Three meal times make three meals of every mix."""
    plan = juniper()
    three = plan_with_change(plan, FeedingChange(meals=(time(7), time(13), time(20))), on=TOMORROW)

    assert {way.option.meals for way in find(plan=three).ways} == {3}
