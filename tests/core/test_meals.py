"""Meals: splitting, fills, pace, load, ladders, and the rest of a day that went wrong."""

import pytest

from fillmark.core.errors import OutOfRange
from fillmark.core.meals import (
    LADDERS,
    LoadLevel,
    fills,
    largest_blend_per_meal,
    load,
    next_rung,
    pace,
    rung_amount,
    split_day,
    spread_missing,
    weaning_tube_energy,
)


def test_odd_steps_go_to_the_first_meals():
    """A day cut short has then lost less."""
    split = split_day(day_ml=763, meals=4, step_ml=5)

    assert split.value == (195, 190, 190, 190)
    assert split.because == "763 mL in 4 meals, on marks of 5 mL: 1 × 195 mL + 3 × 190 mL = 765 mL"


@pytest.mark.parametrize("changes", [{"meals": 0}, {"meals": 25}, {"step_ml": 0}, {"day_ml": -1}])
def test_a_day_that_cannot_be_split_is_refused(changes):
    """No meals, too many, no step, less than nothing."""
    with pytest.raises(OutOfRange):
        split_day(**{"day_ml": 700, "meals": 4, "step_ml": 5, **changes})


@pytest.mark.parametrize(
    ("meal_ml", "volumes"),
    [(0, ()), (10, (10,)), (60, (60,)), (120, (60, 60)), (190, (60, 60, 60, 10)), (180.5, (60, 60, 60, 0.5))],
)
def test_full_syringes_come_first(meal_ml, volumes):
    """Only the last one is short, and a meal of whole syringes has none."""
    assert fills(meal_ml=meal_ml, syringe_ml=60).value == volumes


def test_the_vets_minutes_become_a_countdown_for_each_fill():
    """190 mL over 19 minutes is 10 mL a minute: a minute for 10 mL, six for a full syringe."""
    result = pace(fill_volumes_ml=(60, 60, 60, 10), minutes=19)

    assert result.value.ml_per_minute == 10
    assert result.value.seconds_per_fill == (360, 360, 360, 60)
    assert result.because == "190 mL ÷ 19 minutes = 10 mL/min"


@pytest.mark.parametrize("order", [{}, {"minutes": 10, "ml_per_minute": 10}, {"minutes": 0.1}, {"ml_per_minute": 0.01}])
def test_a_pace_needs_exactly_one_sensible_order(order):
    """Neither, both, and a slip are refused."""
    with pytest.raises(OutOfRange):
        pace(fill_volumes_ml=(60,), **order)


def test_an_empty_meal_has_no_pace():
    """There is nothing to time."""
    with pytest.raises(OutOfRange):
        pace(fill_volumes_ml=(), minutes=10)


@pytest.mark.hazard("H10")
@pytest.mark.parametrize(
    ("blend_ml", "level"),
    [
        (125, LoadLevel.BELOW_WARNING),
        (125.1, LoadLevel.OVER_WARNING),
        (175, LoadLevel.OVER_WARNING),
        (175.1, LoadLevel.OVER_CAP),
    ],
)
def test_the_vets_limits_themselves_are_still_allowed(blend_ml, level):
    """15 and 20 mL/kg for 10 kg, with 20 mL flush and 5 mL medicine water."""
    result = load(
        blend_ml=blend_ml, flush_ml=20, medicine_water_ml=5, weight_kg=10, warn_ml_per_kg=15, cap_ml_per_kg=20
    )

    assert result.value.level is level
    assert result.value.total_ml == pytest.approx(blend_ml + 25)


def test_a_warning_above_the_cap_is_refused():
    """One of the two was misread."""
    with pytest.raises(OutOfRange, match=r"A warning at 25 mL/kg above the cap\. Allowed: 20 mL/kg or less"):
        load(blend_ml=1, flush_ml=0, medicine_water_ml=0, weight_kg=10, warn_ml_per_kg=25, cap_ml_per_kg=20)


def test_the_largest_blend_leaves_room_for_flushes_and_stands_on_a_mark():
    """17 kg at 15 mL/kg is 255 mL, less 25: 230 mL; never below nothing."""
    limits = {"weight_kg": 17, "flush_ml": 20, "medicine_water_ml": 7, "step_ml": 5}

    assert largest_blend_per_meal(cap_ml_per_kg=15, **limits).value == 225
    assert largest_blend_per_meal(cap_ml_per_kg=1, **limits).value == 0


@pytest.mark.hazard("H23")
def test_a_step_outside_the_ladder_is_refused():
    """There is no step 0 and no step past the last."""
    for rung in (0, 4):
        with pytest.raises(OutOfRange, match=rf"Step {rung} of the ladder\. Allowed: 1 to 3"):
            rung_amount(LADDERS[0], full=100, rung=rung)
        with pytest.raises(OutOfRange):
            next_rung(LADDERS[0], rung=rung, vomited=False, all_kept=True)


def test_vomiting_is_told_to_the_vet_before_the_next_meal():
    """Stepping back is not all there is to do."""
    assert next_rung(LADDERS[0], rung=2, vomited=True, all_kept=False).cautions == (
        "The animal vomited: call the vet before the next meal.",
    )


@pytest.mark.parametrize(("by_mouth", "by_tube"), [(0, 400), (239, 400), (240, 160), (400, 0), (450, 0)])
def test_tube_meals_stay_whole_until_enough_is_eaten_by_mouth(by_mouth, by_tube):
    """60 % by mouth starts the taper; the tube then fills up the rest."""
    assert weaning_tube_energy(goal_kcal=400, by_mouth_kcal=by_mouth).value == by_tube


@pytest.mark.hazard("H36")
def test_an_idle_tube_is_flushed_until_it_is_out():
    """Nothing by tube is not nothing to do."""
    assert weaning_tube_energy(goal_kcal=400, by_mouth_kcal=400).cautions == (
        "The tube stands idle: flush it 4 times a day until the vet takes it out.",
    )


@pytest.mark.hazard("H11")
@pytest.mark.parametrize(
    ("planned", "missing", "day_left", "most", "expected"),
    [
        ((100, 100), 30, 230, 150, (115, 115)),  # all of it fits
        ((100, 100), 30, 210, 150, (105, 105)),  # the day needs only 10 more
        ((100, 100), 30, 230, 100, (100, 100)),  # no room under the cap
        ((100, 100), 0, 200, 150, (100, 100)),  # nothing is missing
        ((100, 100), 400, 600, 500, (195, 195)),  # never doubled, whatever the cap
        ((), 100, 100, 150, ()),  # no meal left: none is added
    ],
)
def test_what_is_missing_is_spread_inside_every_limit(planned, missing, day_left, most, expected):
    """Cap, need of the day and no doubling each bind in turn."""
    rest = spread_missing(
        planned_ml=planned, missing_ml=missing, day_left_ml=day_left, most_ml=[most] * len(planned), step_ml=5
    )

    assert rest.value.blend_ml_per_meal == expected
    assert rest.value.carried_ml == sum(expected) - sum(planned)
    assert rest.value.let_go_ml == missing - rest.value.carried_ml
