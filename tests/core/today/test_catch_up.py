"""The rest of today: what is still due, what fits, what is let go."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from fillmark.core.record.amounts import Amount
from fillmark.core.record.sessions import Fill, SessionRecord, Standing
from fillmark.core.today.catch_up import rest_of_today
from fillmark.core.today.meals_today import MealAhead, MealRules, MealState, MealToday, WaterToday, meal_state
from fillmark.core.values.errors import BadNumber, OutOfRange
from fillmark.published.record_rules import STAYS_NEXT_MINUTES

CLOCKS = (7, 12, 17, 22)


def at(hour, minute=0, *, day=25):
    return datetime(2026, 11, day, hour, minute, tzinfo=UTC)


def a_record(hour, standing=Standing.NO_ENTRY, *, in_ml=None, back_ml=None, last_at=None, fills=()):
    blend = in_ml if in_ml is None or isinstance(in_ml, Amount) else Amount(in_ml, in_ml)
    back = back_ml if back_ml is None or isinstance(back_ml, Amount) else Amount(back_ml, back_ml)
    return SessionRecord(
        session=f"2026-11-25T{hour:02}:00",
        standing=standing,
        steps_skipped={},
        blend=blend,
        back=back,
        last_at=last_at or (at(hour, 20) if standing is not Standing.NO_ENTRY else None),
        fills=fills,
    )


def a_meal(hour, standing=Standing.NO_ENTRY, *, planned_ml=190.0, beside_ml=25.0, **record):
    return MealToday(
        session=f"2026-11-25T{hour:02}:00",
        planned_at=at(hour),
        planned_ml=planned_ml,
        beside_ml=beside_ml,
        record=a_record(hour, standing, **record),
    )


def given(hour, in_ml=190.0, **record):
    return a_meal(hour, Standing.ENDED, in_ml=in_ml, **record)


def no_water(**changed):
    return WaterToday(**{"planned_ml": 0, "per_blend_ml": 0, "beside_so_far_ml": 0, "beside_to_come_ml": 0, **changed})


def rest(meals, *, now, **changed):
    values = {
        "weight_kg": 17,
        "cap_ml_per_kg": 15,  # 255 mL: 230 mL of blend beside 25 mL
        "shortest_gap": timedelta(hours=4),
        "last_meal_by": at(3, day=26),
        "step_ml": 5,
        "kcal_per_ml": 1.2,
    }
    beside = {name: changed.pop(name) for name in ("water", "came_back_ml", "placed") if name in changed}
    return rest_of_today(meals, now=now, rules=MealRules(**{**values, **changed}), **{"water": no_water(), **beside})


def volumes(result):
    return [meal.blend_ml for meal in result.value.meals]


def hours(result):
    return [(meal.at.hour, meal.at.minute) for meal in result.value.meals]


def test_a_day_in_order_goes_on_as_planned():
    """Two meals given, two to come: nothing moves, nothing grows, nothing is said."""
    result = rest([given(7), given(12), a_meal(17), a_meal(22)], now=at(13))

    assert result.value.is_as_planned
    assert volumes(result) == [190, 190]
    assert hours(result) == [(17, 0), (22, 0)]
    assert (result.value.due_ml, result.value.let_go_ml, result.value.carried_ml) == (380, 0, 0)
    assert result.cautions == ()
    assert result.because == (
        "760 mL for the day, 380 mL in and kept: 380 mL (456 kcal) still due; 2 meals to come carry 380 mL; 0 mL "
        "(0 kcal) are let go"
    )


@pytest.mark.hazard("H11")
def test_a_missed_meal_is_spread_under_the_cap_and_the_rest_is_let_go():
    """190 mL missed at 7:00: three meals take 40 mL more each, and 70 mL are let go."""
    result = rest([a_meal(7, Standing.SKIPPED), a_meal(12), a_meal(17), a_meal(22)], now=at(10))

    assert volumes(result) == [230, 230, 230]
    assert hours(result) == [(12, 0), (17, 0), (22, 0)]
    assert (result.value.carried_ml, result.value.let_go_ml) == (120, 70)
    assert result.value.let_go_kcal == pytest.approx(84)
    assert result.cautions == (
        "70 mL (84 kcal) do not fit today and are let go. Never double a meal to catch up.",
        "A larger meal than planned: only where the vet has said that what was missed may be made up.",
    )
    assert [part.value.carried_ml for part in result.parts] == [120]


@pytest.mark.hazard("H10")
def test_flushes_and_medicine_water_take_their_room_under_the_cap():
    """A meal with more beside it carries less."""
    result = rest([a_meal(7, Standing.SKIPPED), a_meal(12, beside_ml=60), a_meal(17)], now=at(10))

    assert volumes(result) == [195, 230]
    assert [meal.most_ml for meal in result.value.meals] == [195, 230]


@pytest.mark.hazard("H10")
def test_a_planned_meal_over_the_cap_is_brought_under_it():
    """What the plan has too large is not pushed either."""
    result = rest([a_meal(12, planned_ml=300.0), a_meal(17, planned_ml=100.0)], now=at(10))

    assert volumes(result) == [230, 170]
    assert [meal.is_changed for meal in result.value.meals] == [True, True]
    assert (result.value.carried_ml, result.value.let_go_ml) == (0, 0)


@pytest.mark.hazard("H11")
def test_without_a_cap_no_meal_is_made_larger():
    """Nobody guesses how much the stomach takes."""
    result = rest([a_meal(7, Standing.SKIPPED), a_meal(12)], now=at(10), cap_ml_per_kg=None)

    assert volumes(result) == [190]
    assert result.value.let_go_ml == 190
    assert result.value.meals[0].most_ml is None
    assert result.value.water_room_ml is None
    assert result.cautions == (
        "190 mL (228 kcal) do not fit today and are let go. Never double a meal to catch up.",
        "The vet stated no most for one session: no meal is made larger. Ask for it.",
    )


@pytest.mark.hazard("H11")
def test_a_late_meal_moves_the_next_ones_and_none_comes_too_close():
    """Given at 10:30 in place of 7:00: the next waits for four hours, the others stay."""
    late = given(7, last_at=at(10, 30))
    result = rest([late, a_meal(12), a_meal(17), a_meal(22)], now=at(11))

    assert hours(result) == [(14, 30), (18, 30), (22, 30)]
    assert [meal.is_moved for meal in result.value.meals] == [True, True, True]
    assert volumes(result) == [190, 190, 190]
    assert not result.value.is_as_planned


@pytest.mark.hazard("H11")
def test_the_distance_counts_from_the_last_fill():
    """What was written about the session later does not push the next meal on."""
    fill = Fill(number=4, amount=Amount(10, 10), by_name="Noor", at=at(7, 15))
    result = rest([given(7, last_at=at(9), fills=(fill,)), a_meal(11)], now=at(10))

    assert hours(result) == [(11, 15)]


@pytest.mark.hazard("H11")
def test_a_meal_without_time_left_today_is_left_out_and_said_so():
    """After a meal at 21:30 the one of 22:00 would be at 1:30; tomorrow's first is too near. Its blend is let go."""
    result = rest([given(17, last_at=at(21, 30)), a_meal(22)], now=at(21, 40), last_meal_by=at(1, day=26))

    assert result.value.meals == ()
    assert result.value.dropped == ("2026-11-25T22:00",)
    assert result.value.let_go_ml == 190
    assert result.parts == ()
    assert "No time is left today for the meal of 22:00: two meals would come too close." in result.cautions
    assert result.because.endswith("0 meals to come carry 0 mL; 190 mL (228 kcal) are let go")


def test_a_meal_at_its_planned_time_is_never_left_out():
    """The plan's own times stand, even where tomorrow's first meal is near."""
    result = rest([a_meal(22)], now=at(21), last_meal_by=at(20))

    assert hours(result) == [(22, 0)]
    assert result.value.dropped == ()


def test_the_last_minute_that_is_allowed_is_allowed():
    """A meal moved to exactly the last time is kept."""
    result = rest([given(17, last_at=at(21, 30)), a_meal(22)], now=at(21, 40), last_meal_by=at(1, 30, day=26))

    assert hours(result) == [(1, 30)]


def test_a_meal_cut_short_is_made_up_by_the_next_ones():
    """60 of 190 mL went in: the 130 missing are spread over two meals, as far as the cap lets them."""
    result = rest([a_meal(7, Standing.STOPPED, in_ml=60.0), a_meal(12), a_meal(17)], now=at(9))

    assert volumes(result) == [230, 230]
    assert result.value.kept_ml == Amount(60, 60)
    assert result.value.let_go_ml == 50


def test_what_came_back_is_due_again_and_the_vet_is_asked():
    """What did not stay in was not kept."""
    result = rest([given(7, back_ml=50.0), a_meal(12), a_meal(17)], now=at(9))

    assert volumes(result) == [215, 215]
    assert result.value.due_ml == 430
    assert "Something came back: ask the vet before more than the plan is given." in result.cautions


def test_what_came_back_between_meals_counts_too():
    """It belongs to no session, and is still not in the animal."""
    result = rest([given(7), a_meal(12)], now=at(9), came_back_ml=20)

    assert result.value.kept_ml == Amount(170, 170)
    assert volumes(result) == [210]
    assert "Something came back: ask the vet before more than the plan is given." in result.cautions


def test_what_came_back_in_an_unknown_amount_is_not_made_up_beyond_what_is_sure():
    """Between nothing and all of it: what may still be in there is not given again."""
    result = rest([given(7, back_ml=Amount(0, 190)), a_meal(12)], now=at(9))

    assert result.value.kept_ml == Amount(0, 190)
    assert volumes(result) == [190]
    assert "0 to 190 mL in and kept" in result.because


def test_a_meal_nobody_spoke_of_counts_as_given_until_someone_does():
    """Silence is not "missed": nothing is made up for it, and the question is put."""
    now = at(7) + timedelta(minutes=STAYS_NEXT_MINUTES.value, seconds=1)
    result = rest([a_meal(7), a_meal(12)], now=now)

    assert result.value.ask == ("2026-11-25T07:00",)
    assert result.value.kept_ml == Amount(0, 190)
    assert volumes(result) == [190]
    assert not result.value.is_as_planned
    assert result.cautions == (
        "Nobody has said whether the meal of 07:00 went in: nothing is made up for it. Say what happened.",
    )


def test_a_meal_just_past_its_time_is_still_to_come_now():
    """As long as it is offered as the next one, it can be given; the one after it moves."""
    now = at(7) + timedelta(minutes=STAYS_NEXT_MINUTES.value)
    result = rest([a_meal(7), a_meal(12)], now=now)

    assert hours(result) == [(9, 0), (13, 0)]
    assert result.value.ask == ()


def test_an_unfinished_session_gone_silent_is_asked_about_and_keeps_its_distance():
    """It may have gone in whole; the next meal counts from its last entry."""
    silent = a_meal(9, Standing.NOT_KNOWN, in_ml=60.0, last_at=at(9, 30))
    result = rest([silent, a_meal(12)], now=at(11, 45))

    assert result.value.kept_ml == Amount(60, 190)
    assert hours(result) == [(13, 30)]
    assert volumes(result) == [190]
    assert result.value.ask == ("2026-11-25T09:00",)


def test_a_silent_meal_without_any_entry_keeps_its_distance_from_its_planned_time():
    """It may have been given on time."""
    result = rest([a_meal(9), a_meal(12)], now=at(11, 30))

    assert hours(result) == [(13, 0)]


def test_a_meal_that_ended_without_an_amount_is_not_known():
    """The end alone tells nothing of how much went in."""
    ended = a_meal(7, Standing.ENDED)

    assert meal_state(ended, now=at(9)) is MealState.NOT_KNOWN
    assert rest([ended, a_meal(12)], now=at(9)).value.kept_ml == Amount(0, 190)


def test_a_session_that_no_plan_names_is_behind_once_it_ended():
    """An extra session is no question about a planned meal."""
    assert meal_state(a_meal(15, Standing.ENDED, planned_ml=0.0), now=at(16)) is MealState.BEHIND


@pytest.mark.hazard("H10")
def test_a_meal_in_hand_is_finished_as_planned_and_not_made_larger():
    """What it still brings counts; only the meals after it are changed, four hours from now."""
    in_hand = a_meal(12, Standing.IN_HAND, in_ml=60.0)
    result = rest([a_meal(7, Standing.SKIPPED), in_hand, a_meal(17)], now=at(13, 30))

    assert result.value.in_hand_ml == 130
    assert hours(result) == [(17, 30)]
    assert volumes(result) == [230]
    assert result.value.let_go_ml == 150
    assert result.because == (
        "570 mL for the day, 60 mL in and kept: 510 mL (612 kcal) still due; the meal in hand still brings 130 mL; "
        "1 meal to come carries 230 mL; 150 mL (180 kcal) are let go"
    )


def test_a_meal_in_hand_with_nothing_in_yet_brings_all_of_it():
    """Paused before the first fill."""
    result = rest([a_meal(12, Standing.PAUSED)], now=at(12, 10))

    assert result.value.in_hand_ml == 190
    assert result.value.let_go_ml == 0


@pytest.mark.hazard("H10")
def test_more_than_planned_is_taken_back_from_the_last_meal():
    """An extra 100 mL at 9:00: the day gets no more than it needs."""
    extra = given(9, in_ml=100.0, planned_ml=0.0)
    result = rest([given(7), extra, a_meal(14), a_meal(19)], now=at(10))

    assert volumes(result) == [190, 90]
    assert result.value.due_ml == 280
    assert result.value.carried_ml == -100


@pytest.mark.hazard("H10")
def test_what_is_taken_back_stays_on_a_mark():
    """Over by 52 mL on marks of 5 mL takes 55 away; what is left over is let go."""
    result = rest([given(7, in_ml=242.0), a_meal(14)], now=at(10))

    assert volumes(result) == [135]
    assert result.value.let_go_ml == 3
    assert result.cautions == ()


def test_a_day_that_has_enough_brings_nothing_more():
    """Meals to come go down to nothing, never below."""
    result = rest([given(7, in_ml=600.0), a_meal(14), a_meal(19)], now=at(10))

    assert volumes(result) == [0, 0]
    assert result.value.due_ml == 0


def test_a_possible_duplicate_is_counted_at_its_most_for_what_may_still_be_given():
    """190 or 380 mL: until someone says which, the rest of the day makes room for both."""
    result = rest([given(7, in_ml=Amount(190, 380)), a_meal(14), a_meal(19)], now=at(10))

    assert result.value.kept_ml == Amount(190, 380)
    assert sum(volumes(result)) == 190


def test_less_than_a_mark_that_cannot_be_carried_is_not_made_a_fuss_of():
    """3 mL of a syringe's dead space are let go without a warning; a whole mark is named."""
    assert rest([given(7, in_ml=187.0), a_meal(12)], now=at(9)).cautions == ()
    full = {"cap_ml_per_kg": 215 / 17}
    assert rest([given(7, in_ml=185.0), a_meal(12)], now=at(9), **full).cautions == (
        "5 mL (6 kcal) do not fit today and are let go. Never double a meal to catch up.",
    )


@pytest.mark.hazard("H30")
def test_the_days_water_is_followed_too():
    """700 mL planned: what the missed meal and its flushes would have brought has no place, and the vet is asked."""
    water = WaterToday(planned_ml=700, per_blend_ml=0.8, beside_so_far_ml=25, beside_to_come_ml=10)
    result = rest([given(7), a_meal(12, Standing.SKIPPED), a_meal(17), a_meal(22)], now=at(15), water=water)

    assert volumes(result) == [230, 230]
    assert result.value.water_due_ml == pytest.approx(700 - 190 * 0.8 - 25)
    assert result.value.water_short_ml == pytest.approx(523 - 460 * 0.8 - 2 * 25 - 10)
    assert result.value.water_room_ml == 0
    assert result.cautions[-1] == (
        "95 mL of today's water has no place in the sessions to come: ask the vet how to give it."
    )


@pytest.mark.hazard("H30")
def test_water_that_comes_with_the_meals_is_not_missing():
    """Nothing is said of a day whose water comes by itself; the meal in hand brings its own."""
    water = WaterToday(planned_ml=430, per_blend_ml=0.8, beside_so_far_ml=50, beside_to_come_ml=0)
    result = rest([given(7), a_meal(12, Standing.IN_HAND, in_ml=0.0), a_meal(17)], now=at(12), water=water)

    assert result.value.water_due_ml == pytest.approx(430 - 152 - 50)
    assert result.value.water_short_ml == 0
    assert result.value.water_room_ml == 40
    assert rest([given(7)], now=at(12), water=water).value.water_room_ml == 0


def test_meals_on_both_sides_of_a_clock_change_keep_their_real_distance():
    """In the night the clocks go back, four hours on the wall may be five; hours that pass are counted."""
    zone = ZoneInfo("Europe/Dublin")
    before = datetime(2026, 10, 24, 23, 30, tzinfo=zone)
    planned = datetime(2026, 10, 25, 1, 15, tzinfo=zone)
    meals = [
        MealToday(
            session="2026-10-24T22:00",
            planned_at=datetime(2026, 10, 24, 22, 0, tzinfo=zone),
            planned_ml=190,
            beside_ml=25,
            record=a_record(22, Standing.ENDED, in_ml=190.0, last_at=before),
        ),
        MealToday(
            session="2026-10-25T01:15",
            planned_at=planned,
            planned_ml=190,
            beside_ml=25,
            record=a_record(1),
        ),
    ]
    moved = rest(meals, now=before, last_meal_by=planned + timedelta(hours=9)).value.meals[0].at

    assert moved.astimezone(UTC) - before.astimezone(UTC) == timedelta(hours=4)
    assert (moved.hour, moved.minute) == (2, 30)


@pytest.mark.parametrize(
    ("changed", "message"),
    [
        (
            {"kcal_per_ml": 0.001},
            "kcal_per_ml = 0.001 kcal/mL. Allowed: 0.05 to 9.4 kcal/mL. Check the number and its unit.",
        ),
        ({"came_back_ml": -1}, "came_back_ml = -1 mL. Allowed: 0 to 20,000 mL. Check the number and its unit."),
        (
            {"shortest_gap": timedelta(minutes=-90)},
            "A shortest time from meal to meal of -90 minutes. Allowed: 0 minutes or more. Read the vet's order again.",
        ),
        (
            {"step_ml": 0},
            "step_ml = 0 mL. Allowed: 0.01 mL or more. Enter the distance between two marks of the syringe.",
        ),
    ],
)
def test_a_number_that_can_only_be_a_slip_is_refused(changed, message):
    """The whole message of each."""
    with pytest.raises(OutOfRange) as caught:
        rest([a_meal(12)], now=at(10), **changed)
    assert str(caught.value) == message


def test_no_shortest_time_is_allowed():
    """A single meal a day has no other to keep away from."""
    assert hours(rest([a_meal(12)], now=at(10), shortest_gap=timedelta(0))) == [(12, 0)]


@pytest.mark.parametrize("field", ["planned_ml", "beside_ml"])
def test_a_meal_that_can_only_be_a_slip_is_refused(field):
    """Liters for milliliters."""
    with pytest.raises(OutOfRange, match=rf"^{field} = 30,000 mL\."):
        rest([a_meal(12, **{field: 30000.0})], now=at(10))


@pytest.mark.parametrize("field", ["planned_ml", "beside_so_far_ml", "beside_to_come_ml"])
def test_water_that_is_no_number_is_refused(field):
    """NaN is no volume."""
    with pytest.raises(BadNumber):
        no_water(**{field: float("nan")})


def test_one_moved_meal_is_enough_for_another_day_than_planned():
    """The second one stays at its time."""
    result = rest([given(7, last_at=at(8, 30)), a_meal(12), a_meal(17)], now=at(9))

    assert hours(result) == [(12, 30), (17, 0)]
    assert not result.value.is_as_planned


def test_a_nanoliter_is_no_change():
    """Rounding does not make another meal."""
    ahead = MealAhead(session="s", planned_at=at(12), planned_ml=0, at=at(12), blend_ml=1e-6, most_ml=None)

    assert not ahead.is_changed


def test_only_a_session_in_which_blend_went_in_keeps_the_next_one_away():
    """Stopped before the first drop it does not; after half a milliliter it does."""
    for in_ml, hour in ((0.0, 12), (0.5, 15)):
        stopped = a_meal(10, Standing.STOPPED, planned_ml=0.0, in_ml=in_ml, last_at=at(11))
        assert hours(rest([stopped, a_meal(12)], now=at(11))) == [(hour, 0)]


def test_a_meal_in_hand_that_has_all_of_it_brings_nothing_more():
    """Neither a rest of it nor less than nothing."""
    result = rest([a_meal(12, Standing.IN_HAND, in_ml=200.0)], now=at(12, 20))

    assert result.value.in_hand_ml == 0


def test_a_session_without_a_meal_is_no_meal_to_come():
    """One milliliter is."""
    assert rest([a_meal(12, planned_ml=0.0)], now=at(10)).value.meals == ()
    assert volumes(rest([a_meal(12, planned_ml=1.0)], now=at(10), step_ml=1)) == [1]


def test_amounts_are_rounded_to_a_nanoliter():
    """Whatever comes in, no binary dust comes out."""
    fine = 190.12345678
    up = rest([given(7, in_ml=fine - 0.5, planned_ml=fine), a_meal(12, planned_ml=fine)], now=at(9), step_ml=1 / 3)
    down = rest([given(7, in_ml=191.0), a_meal(12, planned_ml=fine)], now=at(9), step_ml=1 / 3, cap_ml_per_kg=None)
    water = no_water(planned_ml=100.12345678)

    assert up.value.carried_ml == 0.333333
    assert volumes(down) == [189.123457]
    assert rest([given(7)], now=at(9), water=water).value.water_short_ml == 100.123457


def test_any_amount_that_came_back_is_named():
    """Half a milliliter too."""
    result = rest([given(7), a_meal(12)], now=at(9), came_back_ml=0.5)

    assert result.cautions == ("Something came back: ask the vet before more than the plan is given.",)


def test_every_meal_that_has_no_time_left_is_named():
    """Two in a row."""
    result = rest([given(17, last_at=at(21, 30)), a_meal(22), a_meal(23)], now=at(21, 40), last_meal_by=at(1, day=26))

    assert result.value.dropped == ("2026-11-25T22:00", "2026-11-25T23:00")
    assert "No time is left today for the meal of 22:00 and 23:00: two meals would come too close." in result.cautions


@pytest.mark.hazard("H10")
def test_without_a_cap_exactly_what_is_too_much_is_taken_back():
    """100 mL over on marks of 5 mL: 100 mL less, not a mark more."""
    extra = given(9, in_ml=100.0, planned_ml=0.0)
    result = rest([given(7), extra, a_meal(14), a_meal(19)], now=at(10), cap_ml_per_kg=None)

    assert volumes(result) == [190, 90]


def test_a_day_that_had_more_water_than_planned_needs_none():
    """Never less than nothing."""
    result = rest([given(7)], now=at(9), water=no_water(planned_ml=10, beside_so_far_ml=25))

    assert (result.value.water_due_ml, result.value.water_short_ml) == (0, 0)


def test_amounts_are_said_to_a_tenth_of_a_milliliter():
    """The lower and the upper end."""
    result = rest([given(7, in_ml=Amount(87.26, 88.26)), a_meal(12)], now=at(9))

    assert " 87.3 to 88.3 mL in and kept: " in result.because


def test_a_whole_mark_but_for_a_nanoliter_is_a_whole_mark():
    """What is let go is named all the same."""
    result = rest([given(7, in_ml=185.000001), a_meal(12)], now=at(9), cap_ml_per_kg=215 / 17)

    assert result.value.let_go_ml == 4.999999
    assert len(result.cautions) == 1


def test_one_larger_meal_is_enough_to_ask_for_the_vets_word():
    """The other one has no room."""
    result = rest([given(7, in_ml=180.0), a_meal(12), a_meal(17, beside_ml=65)], now=at(9))

    assert volumes(result) == [200, 190]
    assert result.cautions == (
        "A larger meal than planned: only where the vet has said that what was missed may be made up.",
    )


@pytest.mark.parametrize(("planned_ml", "is_said"), [(0.9, False), (1, True)])
def test_a_milliliter_of_water_without_a_place_is_said(planned_ml, is_said):
    """Less is rounding."""
    assert bool(rest([given(7)], now=at(9), water=no_water(planned_ml=planned_ml)).cautions) is is_said


@pytest.mark.hazard("H10")
def test_no_meal_grows_past_the_vets_warning_without_asking():
    """At 13 mL/kg a meal beside 25 mL may hold 195 mL unasked: 15 mL are carried, and the rest is let go and asked."""
    result = rest([a_meal(7, Standing.SKIPPED), a_meal(12), a_meal(17), a_meal(22)], now=at(10), warn_ml_per_kg=13)

    assert volumes(result) == [195, 195, 195]
    assert (result.value.carried_ml, result.value.let_go_ml) == (15, 175)
    assert [meal.most_ml for meal in result.value.meals] == [230, 230, 230]
    assert "No meal is raised above the vet's warning of 13 mL/kg without asking." in result.cautions


@pytest.mark.hazard("H10")
def test_a_meal_planned_above_the_warning_stays_as_planned():
    """The vet knew of it; it is neither raised nor lowered."""
    result = rest(
        [a_meal(7, Standing.SKIPPED), a_meal(12), a_meal(17, planned_ml=100.0)], now=at(10), warn_ml_per_kg=10
    )

    assert volumes(result) == [190, 145]


@pytest.mark.hazard("H10")
def test_one_meal_held_by_the_warning_is_enough_to_say_so():
    """The other one stands at the cap already."""
    meals = [a_meal(7, Standing.SKIPPED), a_meal(12, planned_ml=230.0), a_meal(17, planned_ml=100.0)]
    result = rest(meals, now=at(10), warn_ml_per_kg=10)

    assert volumes(result) == [230, 145]
    assert "No meal is raised above the vet's warning of 10 mL/kg without asking." in result.cautions


@pytest.mark.hazard("H10")
def test_a_warning_above_the_cap_raises_nothing_past_the_cap():
    """And the warning is not blamed for what the cap does."""
    result = rest([a_meal(7, Standing.SKIPPED), a_meal(12)], now=at(10), warn_ml_per_kg=20)

    assert volumes(result) == [230]
    assert not [words for words in result.cautions if "warning" in words]


def test_a_warning_without_a_cap_is_no_cap():
    """No meal is made larger, and the cap is asked for."""
    result = rest([a_meal(7, Standing.SKIPPED), a_meal(12)], now=at(10), cap_ml_per_kg=None, warn_ml_per_kg=14)

    assert volumes(result) == [190]
    assert "The vet stated no most for one session: no meal is made larger. Ask for it." in result.cautions
    assert not [words for words in result.cautions if "warning" in words]
