"""What holds for every animal, food and day."""

from datetime import UTC, datetime, timedelta

import pint
import pytest
from hypothesis import given
from hypothesis.strategies import booleans, composite, floats, integers, lists, none, permutations, sampled_from

from fillmark.core.food.analysis import as_fed_percent, dry_matter_percent
from fillmark.core.food.blend import MeasuredVolume, blend_energy, daily_blend_volume, energy_given
from fillmark.core.food.energy import RestingFactor, Species, energy_goal, maintenance_forms, resting_energy
from fillmark.core.food.food import EnergyUnit, LabelBasis, LabelEnergy, energy_per_g
from fillmark.core.record.amounts import Amount
from fillmark.core.record.sessions import SessionRecord, Standing
from fillmark.core.today.catch_up import rest_of_today
from fillmark.core.today.meals_today import MealRules, MealState, MealToday, WaterToday, meal_state
from fillmark.core.tube.flow_tests import FlowTest, propose_water
from fillmark.core.tube.ladders import next_step, spread_missing
from fillmark.core.tube.meals import fills, pace, split_day
from fillmark.core.tube.water import WaterBand, WaterIn, water_ledger, water_maintenance

units = pint.UnitRegistry()
weights = floats(0.5, 100)


@given(lighter=weights, heavier=weights, factor=floats(0.9, 2))
def test_more_weight_never_needs_less_energy_or_water(lighter, heavier, factor):
    """Every form grows with the weight."""
    lighter, heavier = sorted((lighter, heavier))

    assert resting_energy(weight_kg=lighter).value <= resting_energy(weight_kg=heavier).value
    for species in Species:
        light, heavy = (maintenance_forms(species=species, weight_kg=kg) for kg in (lighter, heavier))
        assert all(light[name].value <= heavy[name].value for name in light.keys() & heavy.keys())
        waters = [water_maintenance(species=species, weight_kg=kg).value for kg in (lighter, heavier)]
        assert waters == sorted(waters)
    goals = [energy_goal(weight_kg=kg, order=RestingFactor(factor=factor)).value for kg in (lighter, heavier)]
    assert goals == sorted(goals)


@given(day_ml=floats(50, 3000), meals=integers(1, 12), step_ml=sampled_from([0.5, 1, 5]))
def test_rounding_meals_keeps_the_day_total(day_ml, meals, step_ml):
    """Rounding to the syringe moves blend between meals, never in or out of the day."""
    rounded = split_day(day_ml=day_ml, meals=meals, step_ml=step_ml).value

    assert len(rounded) == meals
    assert abs(sum(rounded) - day_ml) <= step_ml / 2 + 1e-6
    assert max(rounded) - min(rounded) <= step_ml + 1e-9
    assert list(rounded) == sorted(rounded, reverse=True)
    assert all(abs(meal / step_ml - round(meal / step_ml)) < 1e-6 for meal in rounded)


@given(meal_ml=floats(0, 1000), syringe_ml=sampled_from([10, 20, 35, 50, 60, 100]))
def test_fills_are_the_meal_with_only_the_last_one_short(meal_ml, syringe_ml):
    """Fills add up to the meal, none passes the last mark, and all but the last are full."""
    volumes = fills(meal_ml=meal_ml, syringe_ml=syringe_ml).value

    assert sum(volumes) == pytest.approx(meal_ml, abs=1e-5)
    assert all(volume == syringe_ml for volume in volumes[:-1])
    assert all(0 < volume <= syringe_ml for volume in volumes)


@given(volumes=lists(floats(5, 60), min_size=1, max_size=6), ml_per_minute=floats(0.5, 45))
def test_minutes_and_pace_are_one_order_told_twice(volumes, ml_per_minute):
    """The pace worked out from the minutes gives the minutes back, and the fills take them up."""
    minutes = sum(volumes) / ml_per_minute
    by_minutes = pace(fill_volumes_ml=volumes, minutes=minutes).value
    by_pace = pace(fill_volumes_ml=volumes, ml_per_minute=by_minutes.ml_per_minute).value

    assert by_pace.minutes == pytest.approx(minutes)
    assert sum(by_minutes.seconds_per_fill) == pytest.approx(60 * minutes)


@given(day_ml=floats(100, 2000), meals=integers(1, 8), step_ml=sampled_from([1, 5]), flush_ml=integers(0, 60))
def test_meals_and_flushes_are_the_day(day_ml, meals, step_ml, flush_ml):
    """What the ledger counts is what the meals and their flushes hold."""
    split = split_day(day_ml=day_ml, meals=meals, step_ml=step_ml).value
    ledger = water_ledger(
        WaterIn(added_ml=sum(split), flush_ml=meals * flush_ml),
        species=Species.DOG,
        weight_kg=20,
        vets_band=WaterBand(low_ml=500, high_ml=1500),
    ).value

    assert ledger.total_ml == pytest.approx(sum(meal + flush_ml for meal in split))
    assert min(ledger.due_ml, ledger.over_ml) == 0
    assert ledger.low_ml <= ledger.total_ml + ledger.due_ml - ledger.over_ml <= ledger.high_ml + 1e-9


@pytest.mark.hazard("H11")
@given(
    planned=lists(integers(1, 60).map(lambda steps: steps * 5.0), max_size=6),
    missing_ml=floats(0, 800),
    more_ml=floats(0, 800),
    room_ml=floats(0, 200),
)
def test_catching_up_never_passes_the_cap_doubles_a_meal_or_feeds_more_than_the_day(
    planned, missing_ml, more_ml, room_ml
):
    """No meal added, none lowered, none past the cap or doubled, and the day's need is never passed."""
    most_ml = max(planned, default=0) + room_ml
    day_left_ml = sum(planned) + more_ml
    rest = spread_missing(
        planned_ml=planned, missing_ml=missing_ml, day_left_ml=day_left_ml, most_ml=[most_ml] * len(planned), step_ml=5
    ).value

    assert len(rest.blend_ml_per_meal) == len(planned)
    for before, after in zip(planned, rest.blend_ml_per_meal, strict=True):
        assert before <= after <= most_ml + 1e-6
        assert after < 2 * before
    assert sum(rest.blend_ml_per_meal) <= day_left_ml + 1e-6
    assert sum(rest.blend_ml_per_meal) - sum(planned) == pytest.approx(rest.carried_ml, abs=1e-6)
    assert rest.carried_ml + rest.let_go_ml == pytest.approx(missing_ml, abs=1e-5)


@composite
def a_meal_today(draw, number, now):
    """A planned meal, and any record of it: an amount known or not, some of it back, at any time of the day."""
    planned_at = datetime(2026, 11, 25, 5, tzinfo=UTC) + timedelta(minutes=15 * draw(integers(0, 80)))
    standing = draw(sampled_from(Standing))
    amounts = [sorted(draw(lists(integers(0, 400), min_size=2, max_size=2))) for _ in range(2)]
    blend, back = (draw(none() | sampled_from([Amount(*ends)])) for ends in amounts)
    is_silent = standing is Standing.NO_ENTRY
    return MealToday(
        session=f"2026-11-25T{number:02}:00",
        planned_at=planned_at,
        planned_ml=5.0 * draw(integers(0, 60)),
        beside_ml=float(draw(integers(0, 60))),
        record=SessionRecord(
            session=f"2026-11-25T{number:02}:00",
            standing=standing,
            steps_skipped={},
            blend=None if is_silent else blend,
            back=None if is_silent else back,
            last_at=None if is_silent else now - timedelta(minutes=draw(integers(0, 600))),
        ),
    )


@composite
def a_day_gone_wrong(draw):
    now = datetime(2026, 11, 25, 5, tzinfo=UTC) + timedelta(minutes=draw(integers(0, 1200)))
    meals = [draw(a_meal_today(number, now)) for number in range(draw(integers(1, 7)))]
    rules = MealRules(
        weight_kg=draw(floats(3, 40)),
        cap_ml_per_kg=draw(none() | floats(4, 30)),
        warn_ml_per_kg=draw(none() | floats(4, 30)),
        shortest_gap=timedelta(minutes=draw(integers(0, 480))),
        last_meal_by=datetime(2026, 11, 26, draw(integers(0, 6)), tzinfo=UTC),
        step_ml=draw(sampled_from([1, 5])),
        kcal_per_ml=draw(floats(0.5, 2)),
    )
    return meals, {
        "now": now,
        "rules": rules,
        "water": WaterToday(
            planned_ml=draw(floats(0, 2000)),
            per_blend_ml=draw(floats(0, 1)),
            beside_so_far_ml=draw(floats(0, 200)),
            beside_to_come_ml=draw(floats(0, 200)),
        ),
        "came_back_ml": draw(floats(0, 100)),
    }


@pytest.mark.hazard("H10")
@pytest.mark.hazard("H11")
@given(day=a_day_gone_wrong())
def test_the_rest_of_any_day_keeps_the_cap_the_distance_and_the_need(day):
    """No meal past the cap or doubled, none too close to the one before or early, and never more than the day needs."""
    meals, limits = day
    rest, rules = rest_of_today(meals, **limits).value, limits["rules"]
    planned = {meal.session: meal for meal in meals}

    in_hand_ml = sum(
        max(0.0, meal.planned_ml - (meal.record.blend.high_ml if meal.record.blend else 0.0))
        for meal in meals
        if meal_state(meal, now=limits["now"]) is MealState.IN_HAND
    )
    ahead_ml = sum(meal.blend_ml for meal in rest.meals)
    assert ahead_ml == 0 or rest.kept_ml.high_ml + in_hand_ml + ahead_ml <= rest.day_ml + 1e-6
    for meal in rest.meals:
        mine = planned[meal.session]
        if rules.cap_ml_per_kg is None:
            assert meal.blend_ml <= mine.planned_ml
        elif meal.blend_ml:
            assert meal.blend_ml + mine.beside_ml <= rules.cap_ml_per_kg * rules.weight_kg + 1e-6
        assert meal.blend_ml == 0 or meal.blend_ml < 2 * mine.planned_ml
        if rules.warn_ml_per_kg is not None and meal.blend_ml > mine.planned_ml:
            assert meal.blend_ml + mine.beside_ml <= rules.warn_ml_per_kg * rules.weight_kg + 1e-6
        assert meal.at >= max(mine.planned_at, limits["now"])
        assert meal.at <= max(rules.last_meal_by, mine.planned_at)
    for before, after in zip(rest.meals, rest.meals[1:], strict=False):
        assert after.at - before.at >= rules.shortest_gap
    fed = [
        meal.record.last_at
        for meal in meals
        if meal.record.blend is not None
        and meal.record.blend.high_ml
        and meal_state(meal, now=limits["now"]) is not MealState.TO_COME
    ]
    assert all(rest.meals[0].at - at >= rules.shortest_gap for at in fed if rest.meals)


@pytest.mark.hazard("H11")
@given(day=a_day_gone_wrong())
def test_everything_still_due_is_carried_or_let_go_and_nothing_vanishes(day):
    """What is in, in hand, to come and let go add up to the day, unless the day already had more."""
    meals, limits = day
    rest = rest_of_today(meals, **limits).value

    ahead_ml = sum(meal.blend_ml for meal in rest.meals)
    assert max(rest.due_ml, rest.in_hand_ml) == pytest.approx(ahead_ml + rest.in_hand_ml + rest.let_go_ml, abs=1e-4)
    outcomes = {meal.session for meal in rest.meals} | set(rest.dropped) | set(rest.ask)
    assert {
        meal.session for meal in meals if meal_state(meal, now=limits["now"]) is MealState.TO_COME and meal.planned_ml
    } <= outcomes
    assert rest.water_short_ml <= rest.water_due_ml + 1e-6


@given(day=a_day_gone_wrong(), order=permutations(range(7)))
def test_the_rest_of_the_day_is_the_same_in_whatever_order_its_meals_come(day, order):
    """Nothing hangs on how the record was read."""
    meals, limits = day
    shuffled = [meals[index] for index in order if index < len(meals)]

    assert rest_of_today(meals, **limits) == rest_of_today(shuffled, **limits)


@pytest.mark.hazard("H23")
@given(last=integers(1, 8), days=lists(booleans().flatmap(lambda v: booleans().map(lambda k: (v, k)))))
def test_the_ladder_never_skips_a_rung(last, days):
    """Whatever happens on whichever day, the next step is at most one up and at least the first."""
    rung = 1
    for vomited, all_kept in days:
        tomorrow = next_step(last=last, rung=rung, vomited=vomited, all_kept=all_kept).value
        assert 1 <= tomorrow <= last
        assert tomorrow - rung <= 1
        if vomited or not all_kept:
            assert tomorrow <= rung
        rung = tomorrow


@given(kcal_per_g=floats(0.2, 8), can_g=floats(50, 500))
def test_every_way_to_print_energy_means_the_same_food(kcal_per_g, can_g):
    """kcal and kJ, per can, kg and 100 g, converted by pint, all read back as one energy."""
    per_g = kcal_per_g * units.kilocalorie / units.gram
    labels = [
        LabelEnergy(energy=kcal_per_g * can_g, unit=EnergyUnit.KCAL, per=LabelBasis.CAN),
        LabelEnergy(
            energy=per_g.to(units.kilocalorie / units.kilogram).magnitude, unit=EnergyUnit.KCAL, per=LabelBasis.KG
        ),
        LabelEnergy(
            energy=100 * per_g.to(units.kilojoule / units.gram).magnitude,
            unit=EnergyUnit.KJ,
            per=LabelBasis.HUNDRED_G,
        ),
        LabelEnergy(energy=per_g.to(units.megajoule / units.kilogram).magnitude, unit=EnergyUnit.MJ, per=LabelBasis.KG),
    ]

    for label in labels:
        assert energy_per_g(label, can_g=can_g).value == pytest.approx(kcal_per_g, rel=1e-9)


@given(percent=floats(0, 20), moisture=floats(0, 75))
def test_dry_matter_and_as_fed_round_trip(percent, moisture):
    """Taking the water out and putting it back changes nothing."""
    dry = dry_matter_percent(as_fed_percent=percent, moisture_percent=moisture).value

    assert as_fed_percent(dry_matter_percent=dry, moisture_percent=moisture).value == pytest.approx(percent)


@given(kcal=floats(100, 2000), ml=floats(300, 3000), need=floats(100, 2000))
def test_the_blend_of_a_day_carries_the_energy_of_the_day(kcal, ml, need):
    """Volume worked out from energy gives the energy back."""
    kcal_per_ml = blend_energy(kcal=kcal, volume=MeasuredVolume(ml=ml)).value if kcal / ml >= 0.05 else 1.0
    volume = daily_blend_volume(kcal_per_day=need, kcal_per_ml=kcal_per_ml).value
    if volume <= 20000:
        assert energy_given(blend_ml=volume, kcal_per_ml=kcal_per_ml).value == pytest.approx(need)


@pytest.mark.hazard("H9")
@given(water=floats(10, 60), left=floats(1, 9))
def test_a_thicker_test_never_asks_for_less_water(water, left):
    """More left in the syringe at the same water means at least as much water next time."""
    thin, thick = (
        propose_water([FlowTest(water_ml_per_100_g=water, left_ml=ml)], most_left_ml=6).value.water_ml_per_100_g
        for ml in (left, min(10, left + 0.6))
    )

    assert thick >= thin - 0.1
