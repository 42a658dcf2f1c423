"""Meals: splitting, fills, pace, load, ladders, and the rest of a day that went wrong."""

import pytest

from fillmark.core.tube.ladders import next_step, spread_missing, weaning_tube_energy
from fillmark.core.tube.meals import LoadLevel, fills, largest_blend_per_meal, load, pace, split_day
from fillmark.core.values.errors import OutOfRange


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


def test_vomiting_is_told_to_the_vet_before_the_next_meal():
    """Stepping back is not all there is to do."""
    assert next_step(last=3, rung=2, vomited=True, all_kept=False).cautions == (
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


VOLUMES = "Allowed: 0 to 20,000 mL. Check the number and its unit."
STEP = "step_ml = 0 mL. Allowed: 0.01 mL or more. Enter the distance between two marks of the syringe."
ORDER = "Read the vet's order again."


def a_load(**changed):
    values = {"blend_ml": 100, "flush_ml": 20, "medicine_water_ml": 5, "weight_kg": 10}
    return load(**{**values, "warn_ml_per_kg": None, "cap_ml_per_kg": None, **changed})


def a_spread(**changed):
    values = {"planned_ml": (100,), "missing_ml": 10, "day_left_ml": 200, "most_ml": (150,), "step_ml": 5}
    return spread_missing(**{**values, **changed})


def test_every_volume_is_rounded_to_a_nanoliter():
    """Marks a third of a milliliter apart leave no binary dust."""
    third = 1 / 3

    assert split_day(day_ml=1, meals=3, step_ml=third).value == (0.333333, 0.333333, 0.333333)
    assert fills(meal_ml=60 + third, syringe_ml=60).value == (60, 0.333333)
    limits = {"weight_kg": 1, "flush_ml": 0, "medicine_water_ml": 0, "step_ml": third}
    assert largest_blend_per_meal(cap_ml_per_kg=0.5, **limits).value == 0.333333
    spread = a_spread(missing_ml=0.5, step_ml=third).value
    assert spread.blend_ml_per_meal == (100.333333,)
    assert (spread.carried_ml, spread.let_go_ml) == (0.333333, 0.166667)
    assert a_spread(missing_ml=0.12345678).value.let_go_ml == 0.123457


def test_the_working_of_a_split_day_names_both_sizes():
    """Two odd steps of three meals: two are larger, one is smaller."""
    split = split_day(day_ml=310, meals=3, step_ml=5)

    assert split.value == (105, 105, 100)
    assert split.because == "310 mL in 3 meals, on marks of 5 mL: 2 × 105 mL + 1 × 100 mL = 310 mL"


@pytest.mark.parametrize(
    ("meal_ml", "because"),
    [
        (0, "0 mL = nothing"),
        (0.5, "0.5 mL = 0.5 mL"),
        (120, "120 mL = 2 × 60 mL"),
        (180.5, "180.5 mL = 3 × 60 mL + 0.5 mL"),
    ],
)
def test_the_working_of_fills_names_the_full_ones_and_the_rest(meal_ml, because):
    """What is not there is not named."""
    assert fills(meal_ml=meal_ml, syringe_ml=60).because == because


@pytest.mark.hazard("H10")
def test_one_limit_stated_is_a_limit():
    """The cap alone, or the warning alone, is what the vet said; print is then left out."""
    assert a_load(cap_ml_per_kg=20).value.level is LoadLevel.BELOW_WARNING
    assert a_load(warn_ml_per_kg=20).value.level is LoadLevel.BELOW_WARNING
    assert a_load(cap_ml_per_kg=20).figures == ()
    assert len(a_load().figures) == 3


@pytest.mark.hazard("H10")
def test_binary_dust_does_not_trip_the_cap():
    """A billionth of a milliliter over it is at it."""
    dust = {"blend_ml": 175.00000001, "flush_ml": 20}

    assert a_load(cap_ml_per_kg=20, **dust).value.level is LoadLevel.BELOW_WARNING
    assert a_load(warn_ml_per_kg=20, **dust).value.level is LoadLevel.BELOW_WARNING
    assert a_load(cap_ml_per_kg=20, blend_ml=175.001).value.level is LoadLevel.OVER_CAP


def test_a_load_is_said_in_three_digits():
    """125 mL for 17.3 kg are 7.23 mL/kg."""
    assert a_load(weight_kg=17.3).because == ("(100 blend + 20 flush + 5 medicine water) mL ÷ 17.3 kg = 7.23 mL/kg")


@pytest.mark.parametrize(("cap", "ml"), [(15, 125), (14.99, 120), (14.95, 120)])
def test_the_largest_blend_is_on_the_mark_at_or_below_the_cap(cap, ml):
    """Just on a mark is on it; just below goes down to the next."""
    limits = {"weight_kg": 10, "flush_ml": 20, "medicine_water_ml": 5, "step_ml": 5}

    assert largest_blend_per_meal(cap_ml_per_kg=cap, **limits).value == ml


@pytest.mark.hazard("H23")
def test_vomiting_goes_back_by_one_step_only():
    """From the third to the second."""
    assert next_step(last=3, rung=3, vomited=True, all_kept=True).value == 2


@pytest.mark.hazard("H11")
def test_room_for_part_of_a_step_is_no_room():
    """4.5 mL under the cap on marks of 5 mL carry nothing; nor does a day that needs nothing more."""
    assert a_spread(most_ml=(104.5,)).value.blend_ml_per_meal == (100,)
    assert a_spread(day_left_ml=100, step_ml=1).value.blend_ml_per_meal == (100,)


@pytest.mark.parametrize(
    ("ask", "message"),
    [
        (lambda: split_day(day_ml=-1, meals=4, step_ml=5), f"day_ml = -1 mL. {VOLUMES}"),
        (lambda: split_day(day_ml=760, meals=4, step_ml=0), STEP),
        (lambda: fills(meal_ml=-1, syringe_ml=60), f"meal_ml = -1 mL. {VOLUMES}"),
        (
            lambda: fills(meal_ml=190, syringe_ml=0.4),
            "syringe_ml = 0.4 mL. Allowed: 0.5 mL or more. Enter the last mark of the syringe.",
        ),
        (
            lambda: pace(fill_volumes_ml=(60,), minutes=0.05),
            f"minutes = 0.05 minutes. Allowed: 0.1 minutes or more. {ORDER}",
        ),
        (
            lambda: pace(fill_volumes_ml=(60,)),
            "A meal of 60 mL with no usable pace. Allowed: a meal above 0 mL with either minutes or mL/min. "
            "Enter the one the vet gave.",
        ),
        (
            lambda: pace(fill_volumes_ml=(60,), minutes=6, ml_per_minute=10),
            "A meal of 60 mL with both minutes and mL/min. Allowed: a meal above 0 mL with either minutes or mL/min. "
            "Enter the one the vet gave.",
        ),
        (
            lambda: pace(fill_volumes_ml=(), minutes=6),
            "A meal of 0 mL with no usable pace. Allowed: a meal above 0 mL with either minutes or mL/min. "
            "Enter the one the vet gave.",
        ),
        (
            lambda: pace(fill_volumes_ml=(), ml_per_minute=6),
            "A meal of 0 mL with no usable pace. Allowed: a meal above 0 mL with either minutes or mL/min. "
            "Enter the one the vet gave.",
        ),
        (
            lambda: a_load(weight_kg=0.2),
            "weight_kg = 0.2 kg. Allowed: 0.5 to 100 kg. Check the number and its unit.",
        ),
        (lambda: a_load(blend_ml=-1), f"blend_ml = -1 mL. {VOLUMES}"),
        (lambda: a_load(flush_ml=-1), f"flush_ml = -1 mL. {VOLUMES}"),
        (lambda: a_load(medicine_water_ml=-1), f"medicine_water_ml = -1 mL. {VOLUMES}"),
        (lambda: a_load(warn_ml_per_kg=0), f"warn_ml_per_kg = 0 mL/kg. Allowed: 0.1 mL/kg or more. {ORDER}"),
        (lambda: a_load(cap_ml_per_kg=0), f"cap_ml_per_kg = 0 mL/kg. Allowed: 0.1 mL/kg or more. {ORDER}"),
        (
            lambda: largest_blend_per_meal(weight_kg=0.2, cap_ml_per_kg=15, flush_ml=0, medicine_water_ml=0, step_ml=5),
            "weight_kg = 0.2 kg. Allowed: 0.5 to 100 kg. Check the number and its unit.",
        ),
        (
            lambda: largest_blend_per_meal(weight_kg=10, cap_ml_per_kg=15, flush_ml=0, medicine_water_ml=0, step_ml=0),
            STEP,
        ),
        (
            lambda: weaning_tube_energy(goal_kcal=0.5, by_mouth_kcal=0),
            "goal_kcal = 0.5 kcal. Allowed: 1 kcal or more. Check the vet's energy goal.",
        ),
        (
            lambda: weaning_tube_energy(goal_kcal=400, by_mouth_kcal=-1),
            "by_mouth_kcal = -1 kcal. Allowed: 0 kcal or more. Check what was eaten.",
        ),
        (lambda: a_spread(missing_ml=-1), f"missing_ml = -1 mL. {VOLUMES}"),
        (lambda: a_spread(day_left_ml=-1), f"day_left_ml = -1 mL. {VOLUMES}"),
        (lambda: a_spread(planned_ml=(-1,)), f"planned_ml = -1 mL. {VOLUMES}"),
        (lambda: a_spread(most_ml=(-1,)), f"most_ml = -1 mL. {VOLUMES}"),
        (lambda: a_spread(step_ml=0), STEP),
    ],
)
def test_a_number_that_can_only_be_a_slip_is_refused(ask, message):
    """The whole message of each."""
    with pytest.raises(OutOfRange) as caught:
        ask()
    assert str(caught.value) == message


def test_the_smallest_of_everything_is_no_slip():
    """At the edge, and a little above what a careless bound would refuse."""
    assert fills(meal_ml=2, syringe_ml=1).value == (1, 1)
    assert fills(meal_ml=1, syringe_ml=0.5).value == (0.5, 0.5)
    assert pace(fill_volumes_ml=(1,), minutes=1).value.ml_per_minute == 1
    assert a_load(warn_ml_per_kg=0.5, cap_ml_per_kg=0.5).value.level is LoadLevel.OVER_CAP
    assert weaning_tube_energy(goal_kcal=1, by_mouth_kcal=0).value == 1
