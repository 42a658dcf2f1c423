"""Other ways to feed the plan's day, and what the plan would be with one of them."""

from datetime import date, time

import pytest

from fillmark.core.changes.canned_food import blend_unit, canned_food
from fillmark.core.changes.feeding_change import FeedingChange, MixChange, meal_clocks, plan_with_change
from fillmark.core.changes.feeding_ways import away, compare, find_ways, limits_of_day, water_for_tests
from fillmark.core.day.plan_day import plan_day
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.foods import BlendFood, Food
from fillmark.core.plan.reading import read_plan, write_plan
from fillmark.core.tube.flow_tests import FlowTest
from fillmark.core.values.document import read_document
from fillmark.core.values.errors import BadPlan, NotStated
from fillmark.examples import example_plan

TOMORROW = date(2026, 11, 26)
THICK_ENOUGH = (FlowTest(water_ml_per_100_g=19.5, left_ml=7.4),) * 3


def juniper(**orders: object) -> CarePlan:
    """Juniper's packaged plan, with other orders where a test names them; None takes one out."""
    text = example_plan("juniper").decode()
    for key, value in orders.items():
        line = next(one for one in text.splitlines() if one.startswith(f"{key} ="))
        text = text.replace(line, "" if value is None else f"{key} = {value}")
    return read_plan(text.encode(), kind="toml")


def sorrel() -> CarePlan:
    return read_plan(example_plan("sorrel"), kind="toml")


def rewritten(**changes: str) -> CarePlan:
    """Juniper's packaged plan with pieces of its text replaced."""
    text = example_plan("juniper").decode()
    for old, new in changes.values():
        assert old in text
        text = text.replace(old, new)
    return read_plan(text.encode(), kind="toml")


def grams(g: int) -> tuple[str, str]:
    return '{ food = "stew", cans = 2 }', f'{{ food = "stew", g = {g} }}'


def test_a_can_counts_as_the_jug_showed_it():
    """935 mL in the jug, 160 of them water: 387.5 mL a can, whatever the label says."""
    plan = juniper()
    food = canned_food(plan, day=plan_day(plan, on=TOMORROW))

    assert food.value.ml_per_can == pytest.approx(387.5)
    assert food.value.kcal_per_can == pytest.approx(498)
    assert food.value.keeps_days == 2
    assert food.because == "935 mL − 160 mL water, for 2 cans: 387.5 mL a can"


def test_the_present_way_is_the_plans_own_day():
    """What is weighed against the others is what the plan says: meals, energy per mL, load and water."""
    plan = juniper()
    day = plan_day(plan, on=TOMORROW)
    ways = find_ways(plan, on=TOMORROW)

    assert ways.present.meals == 4
    assert ways.present.blend_ml_per_meal == pytest.approx(day.meals.value[0])
    assert ways.present.kcal_per_ml == pytest.approx(day.kcal_per_ml.value)
    loads = [session.load.value.ml_per_kg for session in day.sessions if session.meal_ml]
    assert ways.present.ml_per_kg == pytest.approx(max(loads))
    assert ways.present.water_ml == pytest.approx(day.water.value.total_ml, abs=1)


@pytest.mark.hazard("H9")
def test_without_a_flow_test_less_water_than_now_is_not_offered():
    """What nobody tested is not thickened on paper; the words say what to do."""
    ways = find_ways(juniper(), on=TOMORROW)

    assert min(option.added_ml_per_can for option in ways.choice.value.best) == 80
    assert "Test a batch first." in ways.food.cautions[-1]


@pytest.mark.hazard("H9")
def test_flow_tests_set_the_least_water_that_is_offered():
    """Three tests that just pass at 19.5 mL for 100 g: a little more than that is the least, on a mark of 5 mL."""
    ways = find_ways(juniper(), on=TOMORROW, tests=THICK_ENOUGH)
    least = min(option.added_ml_per_can for option in ways.choice.value.best)

    assert 80 < least < 110
    assert least % 5 == 0
    assert least == ways.food.value.least_added_ml_per_can


@pytest.mark.hazard("H10")
def test_what_is_proposed_stays_below_the_vets_warning():
    """Three meals fit under the cap and pass the warning: they are offered, four are proposed."""
    ways = find_ways(juniper(), on=TOMORROW)

    assert {option.meals for option in ways.choice.value.best} >= {3, 4}
    assert ways.choice.value.proposed == ways.present
    assert ways.is_present(ways.choice.value.proposed)


@pytest.mark.parametrize(
    ("key", "ask"), [("cap_ml_per_kg", "at most|the most one session"), ("energy", "how many kcal")]
)
def test_what_nobody_said_is_asked_and_not_guessed(key, ask):
    """Without the vet's cap or energy there is no other way, but a question."""
    changes = {key: None, "warn_ml_per_kg": None} | ({"meals_per_day": "4\nmeal_ml = 210"} if key == "energy" else {})
    plan = juniper(**changes)

    with pytest.raises(NotStated, match=ask):
        find_ways(plan, on=TOMORROW)


def test_where_the_vet_stated_no_pace_or_water_print_stands_in_and_says_so():
    """The slow end of print counts the minutes, and no upper limit of water is invented."""
    plan = juniper(pace_ml_per_minute=None, water_ml_per_kg_per_day=None)
    limits = limits_of_day(plan, day=plan_day(plan, on=TOMORROW))

    assert limits.value.ml_per_minute == 6
    assert limits.value.water_band.high_ml == 20000
    assert [words.split(":")[0] for words in limits.cautions] == [
        "The vet stated no pace",
        "The vet stated no amount of water",
    ]


@pytest.mark.hazard("H8")
@pytest.mark.parametrize("key", ["analysis", "can_g"])
def test_a_mix_is_not_thinned_for_water_that_nobody_stated(key):
    """Without the moisture of the food its water counts as none: that is no reason to stir in more."""
    ways = find_ways(juniper(**{key: None}), on=TOMORROW)

    assert ways.choice.value.proposed == ways.present
    assert ways.present.added_ml_per_can == 80
    assert any(words.startswith("The water inside the food is not stated") for words in ways.wishes.cautions)


@pytest.mark.hazard("H23")
def test_while_feeding_is_stepped_up_no_mix_is_thinned_for_the_days_water():
    """A third of the day's food brings a third of its water; larger meals are not the answer."""
    plan = juniper(meals_per_day="4\nladder = { starts_on = 2026-11-26, percent = [33, 66] }")
    ways = find_ways(plan, on=TOMORROW)

    assert ways.choice.value.proposed.added_ml_per_can == 80
    assert ways.wishes.value.water_band.low_ml == 0
    assert any("stepped up" in words for words in ways.wishes.cautions)


def test_a_volume_that_the_vet_named_is_the_present_way():
    """205 mL a meal, a little below the energy goal: the plan as it is shows 205 mL, not what the goal would need."""
    ways = find_ways(juniper(meals_per_day="4\nmeal_ml = 205"), on=TOMORROW)

    assert ways.present.blend_ml_per_meal == 205


@pytest.mark.hazard("H10")
def test_meals_that_grow_without_a_cap_are_asked_about():
    """Nobody said how much one session may hold: the question comes before the change."""
    plan = juniper(cap_ml_per_kg=None, warn_ml_per_kg=None)
    larger = compare(plan, FeedingChange(meals=meal_clocks(plan, meals=3)), on=TOMORROW)
    smaller = compare(plan, FeedingChange(meals=meal_clocks(plan, meals=5)), on=TOMORROW)

    ask = "The vet stated no most for one session, and meals grow: ask for it before anything else."
    assert ask in larger.cautions
    assert ask not in smaller.cautions


def test_the_meals_of_another_number_are_spread_over_the_same_day():
    """Three meals for four: the first and the last stay, the others stand evenly between them."""
    assert meal_clocks(juniper(), meals=4) == (time(7), time(11, 30), time(15), time(20))
    assert meal_clocks(juniper(), meals=3) == (time(7), time(13, 30), time(20))
    assert meal_clocks(juniper(), meals=5) == (time(7), time(10, 15), time(13, 30), time(16, 45), time(20))
    assert meal_clocks(juniper(), meals=1) == (time(7),)
    with pytest.raises(BadPlan, match="0 meals a day"):
        meal_clocks(juniper(), meals=0)


def test_a_changed_mix_keeps_what_the_jug_taught_and_says_that_it_is_not_measured():
    """More water: the can keeps its measured 387.5 mL, the new volume is a prediction until it is measured."""
    plan = juniper()
    new = plan_with_change(plan, FeedingChange(water_ml_per_can=120), on=TOMORROW)
    day = plan_day(new, on=TOMORROW)

    assert new.blend.measured is None
    assert new.blend.water_ml == 240
    assert day.kcal_per_ml.value == pytest.approx(996 / (775 + 240))
    assert any(words.startswith("Predicted, not measured") for words in day.cautions())
    assert plan.blend.measured is not None  # the plan itself never changes
    finer = plan_with_change(
        rewritten(jug=("ml = 935", "ml = 935.5")), FeedingChange(water_ml_per_can=120), on=TOMORROW
    )
    assert finer.food("stew").can_ml == 387.8  # a tenth is finer than any jug


def test_no_change_is_the_same_plan():
    """And the same amount of water, typed again, is no change either."""
    plan = juniper()

    assert write_plan(plan_with_change(plan, FeedingChange(), on=TOMORROW)) == write_plan(plan)
    assert plan_with_change(plan, FeedingChange(water_ml_per_can=80, food="stew"), on=TOMORROW).blend == plan.blend


@pytest.mark.hazard("H10")
def test_a_change_that_passes_the_cap_says_which_session_and_by_how_much():
    """Two meals a day break the cap of 20 mL/kg."""
    plan = juniper()
    compared = compare(plan, FeedingChange(meals=meal_clocks(plan, meals=2)), on=TOMORROW)

    assert len(compared.breaks) == 2
    assert "do not give this much at once" in compared.breaks[0]
    assert compared.old.meals.value == (210, 210, 210, 210)


@pytest.mark.hazard("H8")
def test_another_can_keeps_the_energy_and_asks_the_vet():
    """The day's energy stays the vet's; the volume follows the new label."""
    plan = juniper()
    compared = compare(plan, FeedingChange(food="puree"), on=TOMORROW)

    assert compared.new.energy.value == compared.old.energy.value
    assert compared.new.kcal_planned.value == pytest.approx(compared.old.kcal_planned.value, rel=0.01)
    assert any("in place of" in words and "ask the vet" in words for words in compared.cautions)
    with pytest.raises(BadPlan, match='A food "porridge"'):
        compare(plan, FeedingChange(food="porridge"), on=TOMORROW)


@pytest.mark.hazard("H9")
def test_a_mix_below_what_the_tests_ask_for_says_so():
    """Less water than nine passes of ten need."""
    thin, thick = (
        compare(juniper(), FeedingChange(water_ml_per_can=ml), on=TOMORROW, tests=THICK_ENOUGH).cautions
        for ml in (130, 40)
    )

    assert "A new mix: test the first batch before any of it is given." in thin
    assert any("less than the" in words and "nine times of ten" in words for words in thick)


@pytest.mark.hazard("H22")
def test_new_meal_times_that_break_a_medicines_order_say_so():
    """Ordered half an hour before food, and the meal would come ten minutes after."""
    compared = compare(juniper(), FeedingChange(meals=(time(6, 40), time(11, 30), time(15), time(20))), on=TOMORROW)

    assert compared.faults == (
        "Metoclopramide at 6:30 is not at least 30 minutes before the next meal.",
        "Omeprazole at 6:30 is not 30 to 90 minutes before a meal.",
    )


def test_a_blend_by_weight_counts_as_parts_of_cans():
    """615 g of a can of 410 g is a can and a half."""
    unit = blend_unit(rewritten(foods=grams(615)))

    assert (unit.unit, unit.name, unit.count, unit.g, unit.keeps_days) == ("can", "Canned stew (invented)", 1.5, 410, 2)


def test_one_food_is_counted_in_cans_whose_weight_is_known():
    """Grams of a can without a net weight: the message says what is missing."""
    with pytest.raises(NotStated, match="without the net weight of a can"):
        blend_unit(rewritten(foods=grams(615), can=("can_g = 410\n", "")))


TWO_FOODS = ('{ food = "stew", cans = 2 }', '{ food = "stew", cans = 1 }, { food = "puree", cans = 1 }')


def test_a_blend_of_several_foods_is_counted_in_batches():
    """A can of each, 780 g, keeps as long as the stew; without a can's weight the batch has none."""
    plan = rewritten(foods=TWO_FOODS)
    unit = blend_unit(plan)

    assert (unit.unit, unit.name, unit.count, unit.g, unit.keeps_days) == ("batch", "Stew and warm water", 1, 780, 2)
    assert blend_unit(rewritten(foods=TWO_FOODS, can=("can_g = 410\n", ""))).g is None


@pytest.mark.hazard("H8")
def test_every_way_to_feed_a_mix_of_several_foods_is_found():
    """498 + 458.8 kcal in 935 mL: ways differ in meals and water, and carry the day's energy."""
    plan = rewritten(foods=TWO_FOODS)
    ways = find_ways(plan, on=TOMORROW)
    food = ways.food.value

    assert (food.unit, food.kcal_per_can, food.ml_per_can) == ("batch", pytest.approx(956.8), pytest.approx(775))
    assert ways.present.added_ml_per_can == 160
    assert all(option.kcal_per_day >= 894.9 for option in ways.choice.value.best)
    assert not any(" can " in one.words for one in ways.choice.value.loosened)


def test_other_water_in_a_mix_keeps_its_foods_and_what_the_jug_showed():
    """775 mL of food were measured, shared by weight; with 200 mL water the batch is predicted at 975 mL."""
    plan = rewritten(foods=TWO_FOODS)
    new = plan_with_change(plan, FeedingChange(water_ml_per_can=200), on=TOMORROW)
    day = plan_day(new, on=TOMORROW)

    assert [(part.food, part.cans) for part in new.blend.foods] == [("stew", 1), ("puree", 1)]
    assert new.blend.water_ml == 200
    assert day.batch.value[0] / day.kcal_per_ml.value == pytest.approx(975, abs=0.2)
    assert plan_with_change(plan, FeedingChange(water_ml_per_can=160), on=TOMORROW).blend == plan.blend


def test_one_food_in_place_of_a_mix_is_chosen_where_its_cans_are_worked_out():
    """How many cans would be a guess here."""
    with pytest.raises(NotStated, match="One food in place of a mix of several") as caught:
        plan_with_change(rewritten(foods=TWO_FOODS), FeedingChange(food="puree"), on=TOMORROW)
    assert "mixes of several foods" in caught.value.remedy


def oil(**changes) -> Food:
    values = {
        "id": "oil",
        "name": "Fish oil",
        "label": {"energy": 8, "unit": "kcal", "per": "mL"},
        "portion": {"name": "teaspoon", "g": 4.6, "ml": 5},
    }
    return read_document(Food, {**values, **changes})


def test_a_mix_with_a_food_that_the_plan_does_not_have_brings_its_label_along():
    """A can, half a can and two teaspoons: the oil is added to the foods of the plan, its volume by its own spoon."""
    parts = (BlendFood(food="stew", cans=1.0), BlendFood(food="puree", cans=0.5), BlendFood(food="oil", g=9.2))
    mix = MixChange(parts=parts, water_ml=150, foods=(oil(),))
    new = plan_with_change(juniper(), FeedingChange(mix=mix), on=TOMORROW)
    day = plan_day(new, on=TOMORROW)

    assert [food.id for food in new.foods] == ["stew", "puree", "oil"]
    assert new.blend.name == "Canned stew (invented) and Canned puree (invented) and Fish oil"
    assert day.batch.value[0] == pytest.approx(498 + 0.5 * 458.8 + 80)
    assert day.batch.value[0] / day.kcal_per_ml.value == pytest.approx(387.5 + 176 + 10 + 150, abs=0.2)
    said = compare(juniper(), FeedingChange(mix=mix), on=TOMORROW).cautions
    assert "New in the mix: Canned puree (invented) and Fish oil. Ask the vet whether it suits." in said
    assert "Fish oil is not stated to be a complete food: ask the vet." in said
    assert "Not shown to be complete: ask the vet." in said


@pytest.mark.hazard("H8")
@pytest.mark.parametrize("jug_ml", [150, 160])
def test_a_jug_that_shows_no_more_than_the_water_is_not_believed(jug_ml):
    """160 mL of water went in: the food must take up room too."""
    plan = rewritten(jug=("ml = 935", f"ml = {jug_ml}"))

    with pytest.raises(BadPlan, match="more than the water alone"):
        canned_food(plan, day=plan_day(plan, on=TOMORROW))


def test_a_jug_that_shows_a_little_more_than_the_water_is_taken_at_its_word():
    """Other checks ask about it; here it is a volume."""
    plan = rewritten(jug=("ml = 935", "ml = 161"))

    assert canned_food(plan, day=plan_day(plan, on=TOMORROW)).value.ml_per_can == pytest.approx(0.5)


def test_a_can_whose_label_was_not_read_keeps_for_a_day_and_says_so():
    """The shorter time is counted."""
    plan = rewritten(keeps=("keeps_days = 2\n", ""))
    read, unread = (canned_food(one, day=plan_day(one, on=TOMORROW)) for one in (juniper(), plan))

    assert (read.value.keeps_days, read.cautions) == (2, ())
    assert unread.value.keeps_days == 1
    assert unread.cautions[0].endswith("was not read for how long an opened can keeps: one day is counted.")
    assert read.value.least_added_ml_per_can == 0


def test_the_limits_of_the_day_are_the_vets_own_numbers():
    """Band, flushes, and the medicines given with meals and between them."""
    plan = juniper()
    limits = limits_of_day(plan, day=plan_day(plan, on=TOMORROW)).value
    cat = limits_of_day(sorrel(), day=plan_day(sorrel(), on=TOMORROW)).value

    assert (limits.water_band.low_ml, limits.water_band.high_ml) == pytest.approx((870, 1392))
    assert limits.flush_ml_per_meal == 30
    assert (limits.medicine_water_ml_per_meal, limits.medicine_water_ml_per_day) == pytest.approx((0, 152.6))
    assert (cat.medicine_water_ml_per_meal, cat.medicine_water_ml_per_day) == pytest.approx((5.6, 11.2))
    assert limits.by_mouth_water_ml == 0


@pytest.mark.parametrize(("key", "left_ml"), [("flush_before_ml", 20), ("flush_after_ml", 10)])
def test_a_flush_that_the_vet_left_out_is_none(key, left_ml):
    """0 mL is an answer."""
    plan = juniper(**{key: 0})

    assert limits_of_day(plan, day=plan_day(plan, on=TOMORROW)).value.flush_ml_per_meal == left_ml


def test_what_stands_in_for_the_vets_word_names_its_source():
    """The least of the printed forms is the lower end, and the pace of print is among the figures."""
    plan = juniper(pace_ml_per_minute=None, water_ml_per_kg_per_day=None)
    limits = limits_of_day(plan, day=plan_day(plan, on=TOMORROW))

    assert limits.value.water_band.low_ml == pytest.approx(plan_day(plan, on=TOMORROW).energy.value)
    assert [figure.id for figure in limits.figures] == ["meals.pace"]


def test_water_by_the_tests_is_that_of_one_can():
    """So much for 100 g, times the net weight; without a test, a limit or a weight there is none."""
    found = water_for_tests(juniper(), tests=THICK_ENOUGH)

    assert found.value == pytest.approx(found.parts[0].value * 4.1)
    assert found.because == "22.5 mL for 100 g × 410 g = 92.1 mL water a can"
    assert water_for_tests(juniper(), tests=()) is None
    assert water_for_tests(juniper(flow_limit_level=None), tests=THICK_ENOUGH) is None
    assert water_for_tests(juniper(can_g=None), tests=THICK_ENOUGH) is None


def test_days_away_take_what_the_plan_takes_and_keep_its_cautions():
    """Three days of four meals; a label that was not read is minded here too."""
    journey = away(rewritten(keeps=("keeps_days = 2\n", "")), on=TOMORROW, days=3)

    assert journey.value.change.new.meals == 12
    assert any("was not read for how long" in words for words in journey.cautions)
    assert any(words.startswith("Blend keeps for 1 day:") for words in journey.cautions)


def test_meal_times_go_round_midnight_with_the_household():
    """A day from 4:30 with meals at 5:00 and 3:00: a third one stands at 16:00. One meal spreads over twelve hours."""
    late = rewritten(
        starts=('day_starts = "04:00"', 'day_starts = "04:30"'),
        meals=('["07:00", "11:30", "15:00", "20:00"]', '["05:00", "03:00"]'),
        count=("meals_per_day = 4", "meals_per_day = 2"),
    )
    one = rewritten(
        meals=('["07:00", "11:30", "15:00", "20:00"]', '["07:00"]'), count=("meals_per_day = 4", "meals_per_day = 1")
    )

    assert meal_clocks(late, meals=3) == (time(5), time(16), time(3))
    assert meal_clocks(one, meals=3) == (time(7), time(13), time(19))


def test_a_named_volume_falls_with_the_number_of_meals_and_stays_with_their_times():
    """205 mL was meant for four meals; at other times it still is."""
    plan = juniper(meals_per_day="4\nmeal_ml = 205")
    three = plan_with_change(plan, FeedingChange(meals=meal_clocks(plan, meals=3)), on=TOMORROW)
    later = plan_with_change(plan, FeedingChange(meals=(time(8), time(12), time(16), time(20))), on=TOMORROW)

    assert three.orders.meal_ml is None
    assert later.orders.meal_ml == 205


def test_another_can_leaves_the_old_ones_label_alone():
    """What the jug taught about the stew is the stew's, and changes nothing where another food is taken."""
    new = plan_with_change(juniper(), FeedingChange(food="puree"), on=TOMORROW)

    assert new.food("stew").can_ml == 392
    assert new.blend.name == "Canned puree (invented) and water"


def test_without_an_energy_to_hold_on_to_nothing_is_compared():
    """A volume alone holds for this mix only."""
    plan = juniper(energy=None, meals_per_day="4\nmeal_ml = 210")

    with pytest.raises(NotStated, match="how many kcal a day"):
        compare(plan, FeedingChange(meals=meal_clocks(plan, meals=3)), on=TOMORROW)


@pytest.mark.hazard("H30")
def test_more_water_than_the_vet_allows_breaks_a_limit_like_too_large_a_meal():
    """961 mL against at most 870: for a heart or kidney patient that is the limit that counts."""
    plan = juniper(water_ml_per_kg_per_day="{ low = 30, high = 50 }")
    compared = compare(plan, FeedingChange(water_ml_per_can=100), on=TOMORROW)

    assert any("more than the band" in words for words in compared.breaks)


def test_what_was_to_mind_before_is_not_said_again():
    """Other times, and nothing else: no word of flow, of measuring or of a cap that was not stated before either."""
    same_size = FeedingChange(meals=(time(7), time(12), time(15), time(20)))
    unmeasured = rewritten(measured=("measured = { on = 2026-11-24, ml = 935 }\n", ""))
    uncapped = juniper(cap_ml_per_kg=None, warn_ml_per_kg=None)

    for plan in (juniper(), unmeasured, uncapped):
        assert compare(plan, same_size, on=TOMORROW).cautions == ()
    predicted = compare(juniper(), FeedingChange(water_ml_per_can=90), on=TOMORROW).cautions
    assert any(words.startswith("Predicted, not measured") for words in predicted)


def test_a_food_that_is_not_stated_to_be_complete_is_asked_about():
    """The other can of the packaged plan is; without that word the question is put."""
    said, unsaid = (
        compare(plan, FeedingChange(food="puree"), on=TOMORROW).cautions
        for plan in (juniper(), rewritten(complete=("keeps_days = 3\ncomplete = true", "keeps_days = 3")))
    )

    assert not any("complete food" in words for words in said)
    assert unsaid[-1] == "Canned puree (invented) is not stated to be a complete food: ask the vet."


@pytest.mark.hazard("H9")
@pytest.mark.parametrize(
    ("below_ml", "words"), [(1.5, "is less than the 92.1 mL that your tests say"), (0.5, "A new mix: test the first")]
)
def test_a_milliliter_below_what_the_tests_ask_for_is_let_pass(below_ml, words):
    """Nobody measures a jug finer."""
    needed = water_for_tests(juniper(), tests=THICK_ENOUGH).value
    change = FeedingChange(water_ml_per_can=needed - below_ml)

    assert any(words in one for one in compare(juniper(), change, on=TOMORROW, tests=THICK_ENOUGH).cautions)


@pytest.mark.hazard("H9")
@pytest.mark.parametrize(
    ("ml_per_100_g", "is_untried"),
    [(8, True), (19.5, True), (19.9, True), (20, False), (20.5, False), (25, False), (40, False)],
)
def test_less_water_than_in_any_tested_batch_is_said(ml_per_100_g, is_untried):
    """Tests at 21 and 30 mL for 100 g that pass with ease let thicker batches hope, and nobody has seen one."""
    tests = (FlowTest(water_ml_per_100_g=21, left_ml=0.3), FlowTest(water_ml_per_100_g=30, left_ml=0.1))
    change = FeedingChange(water_ml_per_can=round(ml_per_100_g * 4.1, 3))
    cautions = compare(juniper(), change, on=TOMORROW, tests=tests).cautions

    assert any(words.startswith("Less water than in any batch you have tested") for words in cautions) is is_untried
