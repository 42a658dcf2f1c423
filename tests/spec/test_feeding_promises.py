"""What Fillmark promises about feeding, as a caregiver would read it."""

from datetime import UTC, datetime, timedelta

import pytest

from fillmark.core.changes.blend_option import BlendWishes, CannedFood, make_option
from fillmark.core.changes.what_if import OtherTube, provisions, what_if_tube
from fillmark.core.food.blend import MeasuredVolume, PredictedVolume, blend_energy, energy_given, explain_shortfall
from fillmark.core.food.energy import RestingFactor, Species, energy_goal, explain_disagreement, maintenance_forms
from fillmark.core.food.nutrients import Completeness, Ingredient, check_nutrients
from fillmark.core.food.target_weight import check_may_plan_at_home
from fillmark.core.record.amounts import Amount
from fillmark.core.record.sessions import SessionRecord, Standing
from fillmark.core.today.catch_up import rest_of_today
from fillmark.core.today.meals_today import MealRules, MealToday, WaterToday
from fillmark.core.tube.ladders import next_step, spread_missing
from fillmark.core.tube.meals import LoadLevel, fills, load
from fillmark.core.tube.water import WaterBand, WaterIn, WaterLevel, flushes_in_session, water_ledger
from fillmark.core.values.errors import NeedsHospital
from fillmark.core.values.quantities import ML_PER_US_CUP
from fillmark.published.blend import (
    PRACTICE_AHEAD_DAYS,
    PRACTICE_AHEAD_MEALS,
    PRACTICE_CUPS_PER_CAN,
    PRACTICE_PORTIONS,
    PRACTICE_TUBE_CM,
    PRACTICE_WATER_PER_CAN_ML,
    PRINTED_WATER_PER_CAN_ML,
)
from fillmark.published.figure import Basis
from fillmark.published.meals import CLEARING_FLUSH_ML, PRACTICE_SYRINGE_ML, PRINTED_FLUSH_ML, UPRIGHT_MINUTES


@pytest.mark.hazard("H8")
@pytest.mark.parametrize(
    ("water_ml", "kcal_per_ml", "kcal_per_day"), [(100, 1.18, 895), (300, 0.83, 633), (383, 0.74, 565)]
)
def test_the_same_full_syringes_feed_less_when_the_mix_is_thinner(water_ml, kcal_per_ml, kcal_per_day):
    """One can of 569 kcal in 383 mL: with 100, 300 or 383 mL of water the same four meals of 190 mL carry 895, 633 or
    565 kcal a day, so every syringe can be full while the animal goes hungry."""
    mix = blend_energy(kcal=569, volume=MeasuredVolume(ml=383 + water_ml))
    given = energy_given(blend_ml=4 * 190, kcal_per_ml=mix.value)

    assert mix.value == pytest.approx(kcal_per_ml, abs=0.005)
    assert given.value == pytest.approx(kcal_per_day, abs=0.5)


@pytest.mark.hazard("H8")
def test_a_thin_mix_is_said_in_words():
    """A full syringe of a thin mix does not pass for a full meal."""
    mix = blend_energy(kcal=569, volume=MeasuredVolume(ml=383 + 383))
    short = explain_shortfall(needed_kcal=895, blend_ml=4 * 190, kcal_per_ml=mix.value)

    assert short.because == "the syringes carry 565 of 895 kcal: 330 kcal are missing"
    assert short.cautions == (
        "Every syringe was full, and 37% of the energy is still missing: this mix is thinner than the plan.",
    )


@pytest.mark.hazard("H8")
def test_a_predicted_volume_is_marked_as_predicted():
    """Only a measured batch goes unmarked."""
    predicted = blend_energy(kcal=569, volume=PredictedVolume(food_ml=381, water_ml=100))
    measured = blend_energy(kcal=569, volume=MeasuredVolume(ml=483))

    assert predicted.all_cautions() == (
        "Predicted, not measured: pour the finished blend into a measuring jug and enter what it shows.",
    )
    assert measured.all_cautions() == ()


def test_a_meal_of_190_ml_is_three_full_syringes_and_one_to_the_10_mark():
    """Full syringes first: only the last mark has to be looked for."""
    assert fills(meal_ml=190, syringe_ml=60).because == "190 mL = 3 × 60 mL + 10 mL"


@pytest.mark.hazard("H10")
def test_flushes_and_medicine_water_count_in_what_the_stomach_holds():
    """A meal inside the cap passes it once flushes and medicine water are counted."""
    limits = {"weight_kg": 10, "warn_ml_per_kg": 15, "cap_ml_per_kg": 20}
    alone = load(blend_ml=190, flush_ml=0, medicine_water_ml=0, **limits)
    whole = load(blend_ml=190, flush_ml=20, medicine_water_ml=5, **limits)

    assert alone.value.level is LoadLevel.OVER_WARNING
    assert whole.value.level is LoadLevel.OVER_CAP
    assert whole.cautions == ("More than the vet allows (20 mL/kg): do not give this much at once.",)


@pytest.mark.hazard("H10")
def test_without_a_limit_from_the_vet_print_is_shown_and_the_question_put():
    """Print disagrees on the size of a meal; nothing is chosen silently."""
    result = load(blend_ml=100, flush_ml=0, medicine_water_ml=0, weight_kg=10, warn_ml_per_kg=None, cap_ml_per_kg=None)

    assert result.value.level is LoadLevel.NO_LIMIT_STATED
    assert result.cautions == (
        "The vet stated no limit. Print disagrees (5–10, 5–20, 8.6–13 mL/kg): ask which one holds for this animal.",
    )


@pytest.mark.hazard("H11")
def test_a_missed_meal_is_never_made_up_by_doubling():
    """Three meals to come carry what fits under the cap; the rest is let go."""
    rest = spread_missing(
        planned_ml=(190, 190, 190), missing_ml=190, day_left_ml=760, most_ml=(230, 230, 230), step_ml=5
    )

    assert rest.value.blend_ml_per_meal == (230, 230, 230)
    assert (rest.value.carried_ml, rest.value.let_go_ml) == (120, 70)
    assert rest.cautions == ("Never double a meal to catch up.",)


@pytest.mark.hazard("H23")
def test_a_starved_animal_is_not_planned_for_at_home():
    """The message says hospital first."""
    with pytest.raises(NeedsHospital) as caught:
        check_may_plan_at_home(loss_percent=5, over_days=30, is_starved=True)
    assert str(caught.value) == (
        "This needs the hospital. An animal that was starved. Allowed: up to 10 % within two months, and not starved. "
        "Call the vet now: food given back too fast can kill such an animal. No plan is made here."
    )


@pytest.mark.hazard("H23")
def test_more_than_a_tenth_lost_in_two_months_is_not_planned_for_at_home():
    """12 % within 50 days goes to the hospital; 12 % within a year, or just 10 %, does not."""
    with pytest.raises(NeedsHospital, match=r"^This needs the hospital\. A loss of 12 % within 50 days\."):
        check_may_plan_at_home(loss_percent=12, over_days=50, is_starved=False)
    check_may_plan_at_home(loss_percent=12, over_days=365, is_starved=False)
    check_may_plan_at_home(loss_percent=10, over_days=50, is_starved=False)


@pytest.mark.hazard("H23")
def test_the_ladder_goes_up_one_step_a_day_and_back_after_vomiting():
    """Held when not all was kept, back one after vomiting, never two up."""
    assert next_step(last=3, rung=1, vomited=False, all_kept=True).value == 2
    assert next_step(last=3, rung=2, vomited=False, all_kept=False).value == 2
    assert next_step(last=3, rung=2, vomited=True, all_kept=True).value == 1
    assert next_step(last=3, rung=1, vomited=True, all_kept=False).value == 1
    assert next_step(last=3, rung=3, vomited=False, all_kept=True).value == 3


@pytest.mark.hazard("H30")
def test_too_much_water_is_said_as_plainly_as_too_little():
    """A heart patient's upper end counts as much as the lower one."""
    band = WaterBand(low_ml=700, high_ml=900)
    much = water_ledger(
        WaterIn(food_ml=600, added_ml=200, flush_ml=160), species=Species.DOG, weight_kg=17, vets_band=band
    )
    little = water_ledger(WaterIn(food_ml=500, flush_ml=80), species=Species.DOG, weight_kg=17, vets_band=band)

    assert (much.value.level, much.value.over_ml) == (WaterLevel.TOO_MUCH, 60)
    assert much.cautions == ("60 mL more than the band: ask the vet before giving extra water.",)
    assert (little.value.level, little.value.due_ml) == (WaterLevel.TOO_LITTLE, 120)
    assert little.cautions == ("120 mL less than the band: ask the vet how to give the rest.",)


def test_three_medicines_make_four_flushes_and_a_meal_makes_one_more():
    """n things through the tube are n + 1 flushes; nothing is none."""
    assert flushes_in_session(medicines=3, has_meal=False).value == 4
    assert flushes_in_session(medicines=3, has_meal=True).value == 5
    assert flushes_in_session(medicines=0, has_meal=False).value == 0


def test_print_is_shown_side_by_side_and_never_averaged():
    """For a cat of 4 kg print lies between its lowest and its highest form, both named."""
    spread = explain_disagreement(maintenance_forms(species=Species.CAT, weight_kg=4))

    assert spread.because == (
        "print lies between 190 kcal/day (indoor or neutered cat) and 277 kcal/day (resting × 1.4), 1.5 times apart"
    )


def test_an_unusual_goal_is_asked_about_and_not_changed():
    """A factor of 3 stays 3, with a question for the vet."""
    goal = energy_goal(weight_kg=17, order=RestingFactor(factor=3))

    assert goal.value == pytest.approx(3 * 70 * 17**0.75)
    assert goal.cautions == (
        "This goal is 3 times the resting energy, outside the usual 0.8 to 2: ask the vet whether it is meant.",
    )


def test_a_complete_food_only_watered_down_stays_complete():
    """Water changes nothing for each kcal; an enriched mix is flagged."""
    food = Ingredient(name="canned food", kcal=569, is_complete=True, nutrients={"calcium": (1.0, "g")})
    water = Ingredient(name="water", kcal=0, is_complete=True, nutrients={}, is_water=True)
    oil = Ingredient(name="oil", kcal=45, is_complete=False, nutrients={"calcium": (0, "g")})

    alone = check_nutrients([food], species=Species.DOG)
    watered = check_nutrients([food, water], species=Species.DOG)
    enriched = check_nutrients([food, oil], species=Species.DOG)

    assert alone.value.completeness is watered.value.completeness is Completeness.COMPLETE
    assert alone.value.lines == watered.value.lines
    assert enriched.value.completeness is Completeness.NOT_SHOWN
    assert enriched.cautions[0] == "A home-cooked or enriched mix is not shown to be complete: ask the vet."


PRACTICE = (
    PRACTICE_WATER_PER_CAN_ML,
    PRACTICE_CUPS_PER_CAN,
    PRACTICE_TUBE_CM,
    PRACTICE_AHEAD_DAYS,
    PRACTICE_AHEAD_MEALS,
    PRACTICE_PORTIONS,
    CLEARING_FLUSH_ML,
    PRACTICE_SYRINGE_ML,
    UPRIGHT_MINUTES,
)


def test_facts_of_the_trade_say_what_they_are():
    """What people who do this say, and no source holds, is marked "common practice, no source"."""
    assert {figure.basis for figure in PRACTICE} == {Basis.PRACTICE}
    assert Basis.PRACTICE == "common practice, no source"


def test_print_asks_for_more_water_in_a_can_than_people_say():
    """A quarter to a third of a US cup (59 to 79 mL) by practice, 95 to 120 mL by print: both are shown, and differ."""
    by_cup = [float(ML_PER_US_CUP) * cups for cups in (PRACTICE_CUPS_PER_CAN.low, PRACTICE_CUPS_PER_CAN.high)]

    assert [PRACTICE_WATER_PER_CAN_ML.low, PRACTICE_WATER_PER_CAN_ML.high] == [round(ml) for ml in by_cup]
    assert PRINTED_WATER_PER_CAN_ML.basis is Basis.PUBLISHED
    assert PRACTICE_WATER_PER_CAN_ML.high < PRINTED_WATER_PER_CAN_ML.low


def test_print_clears_the_tube_with_less_water_than_people_do():
    """20 to 30 mL of warm water after a meal by practice, 5 to 10 mL by print: the vet's flush counts."""
    assert PRINTED_FLUSH_ML.basis is Basis.PUBLISHED
    assert CLEARING_FLUSH_ML.low > PRINTED_FLUSH_ML.high


def test_a_60_ml_syringe_means_the_fewest_refills():
    """Every other feeding syringe in common use is filled more often for the same meal."""
    largest = PRACTICE_SYRINGE_ML.value
    refills = {size: len(fills(meal_ml=190, syringe_ml=size).value) for size in (20, 35, 50, largest)}

    assert min(refills, key=lambda size: (refills[size], -size)) == largest


def test_two_meals_a_day_for_three_days_are_six_portions():
    """Cooked ahead for a journey, the portions come to the same."""
    food = CannedFood(
        name="stew", kcal_per_can=500, ml_per_can=390, water_ml_per_can=300, keeps_days=int(PRACTICE_AHEAD_DAYS.value)
    )
    wanted = BlendWishes(
        kcal_per_day=400,
        weight_kg=17,
        cap_ml_per_kg=20,
        flush_ml_per_meal=30,
        medicine_water_ml_per_meal=0,
        water_band=WaterBand(low_ml=0, high_ml=1200),
        by_mouth_water_ml=0,
        syringe_ml=60,
        step_ml=5,
        ml_per_minute=10,
    )
    option = make_option(food, wanted, meals=int(PRACTICE_AHEAD_MEALS.value), added_ml_per_can=100)
    ahead = provisions(food, wanted, option, days=int(PRACTICE_AHEAD_DAYS.value))

    assert ahead.meals == PRACTICE_PORTIONS.value
    assert (ahead.batches, ahead.ahead_days) == (1, PRACTICE_AHEAD_DAYS.value)


def _meal(hour, standing, *, in_ml=None):
    return MealToday(
        session=f"2026-11-25T{hour:02}:00",
        planned_at=datetime(2026, 11, 25, hour, tzinfo=UTC),
        planned_ml=190,
        beside_ml=25,
        record=SessionRecord(
            session=f"2026-11-25T{hour:02}:00",
            standing=standing,
            steps_skipped={},
            blend=None if in_ml is None else Amount(in_ml, in_ml),
            last_at=None if standing is Standing.NO_ENTRY else datetime(2026, 11, 25, hour, 20, tzinfo=UTC),
        ),
    )


def _rest(*meals, hour):
    return rest_of_today(
        meals,
        now=datetime(2026, 11, 25, hour, tzinfo=UTC),
        rules=MealRules(
            weight_kg=17,
            cap_ml_per_kg=15,
            shortest_gap=timedelta(hours=4),
            last_meal_by=datetime(2026, 11, 26, 3, tzinfo=UTC),
            step_ml=5,
            kcal_per_ml=1.2,
        ),
        water=WaterToday(planned_ml=0, per_blend_ml=0, beside_so_far_ml=0, beside_to_come_ml=0),
    )


@pytest.mark.hazard("H11")
def test_a_missed_meal_is_shared_out_under_the_cap_and_what_does_not_fit_is_let_go_and_said():
    """190 mL missed in the morning: the three meals to come take 40 mL more each, 70 mL are let go."""
    missed = _meal(7, Standing.SKIPPED)
    rest = _rest(missed, *(_meal(hour, Standing.NO_ENTRY) for hour in (12, 17, 22)), hour=10)

    assert [meal.blend_ml for meal in rest.value.meals] == [230, 230, 230]
    assert rest.cautions[0] == "70 mL (84 kcal) do not fit today and are let go. Never double a meal to catch up."


@pytest.mark.hazard("H10")
def test_after_a_late_meal_the_next_one_waits_and_stays_as_large_as_planned():
    """Fed at 10:20 in place of 7:00: the meal of 12:00 moves to 14:20, and nothing is made larger."""
    rest = _rest(_meal(10, Standing.ENDED, in_ml=190), _meal(12, Standing.NO_ENTRY), hour=11)

    assert [(f"{meal.at:%H:%M}", meal.blend_ml) for meal in rest.value.meals] == [("14:20", 190)]


@pytest.mark.hazard("H11")
def test_a_meal_of_which_nobody_spoke_is_asked_about_and_not_made_up():
    """Silence is not "missed": it may have been given."""
    rest = _rest(_meal(7, Standing.NO_ENTRY), _meal(12, Standing.NO_ENTRY), hour=10)

    assert [meal.blend_ml for meal in rest.value.meals] == [190]
    assert rest.cautions == (
        "Nobody has said whether the meal of 07:00 went in: nothing is made up for it. Say what happened.",
    )


@pytest.mark.hazard("H32")
def test_another_tube_is_compared_and_left_to_the_vet():
    """The push is compared, the flow limit asked again, and nothing is proposed."""
    change = what_if_tube(old=OtherTube(french=20, inner_mm=4.5), new=OtherTube(french=14, inner_mm=3))

    assert change.because == "4.5 mm → 3 mm inside: 5.1 times the push for the same blend at the same pace"
    assert change.cautions == (
        "The flow limit was set for the old tube: ask the vet for the new one, and test a batch before use.",
        "Which tube an animal gets, and when, the vet decides.",
    )
