"""What if: old and new side by side, and nothing changed."""

from dataclasses import replace

import pytest

from fillmark.core.changes.blend_option import BlendLimit, make_option
from fillmark.core.changes.what_if import OtherTube, provisions, what_if, what_if_away, what_if_tube
from fillmark.core.values.errors import OutOfRange
from tests.core.changes.test_options import a_food, wishes


def today(food=None, wanted=None, **changed):
    return make_option(food or a_food(), wanted or wishes(), **{"meals": 4, "added_ml_per_can": 80, **changed})


def test_two_meals_for_four_shows_the_limit_it_breaks_and_changes_nothing():
    """Old beside new, with the cap it breaks."""
    food, wanted = a_food(), wishes(cap_ml_per_kg=14)
    old = today(food, wanted)
    change = what_if(food, wanted, old, meals=2)

    assert change.value.old is old
    assert change.value.new == make_option(food, wanted, meals=2, added_ml_per_can=80)
    assert change.value.breaks == (BlendLimit.CAP,)
    assert change.cautions == ("This breaks the vet's limit: cap per meal.",)
    assert change.because == "4 × 170 mL (11.5 mL/kg) → 2 × 335 mL (21.2 mL/kg)"


def test_one_meal_is_a_question_too_though_the_household_wants_two():
    """The question is free; the limit it breaks is said."""
    change = what_if(a_food(), wishes(), today(), meals=1)

    assert change.value.new.meals == 1
    assert change.value.breaks == (BlendLimit.CAP,)


def test_a_change_that_keeps_every_limit_warns_of_nothing():
    """Five meals for four."""
    change = what_if(a_food(), wishes(), today(), meals=5)

    assert change.value.breaks == ()
    assert change.cautions == ()


def test_another_can_keeps_its_flow_limit_and_asks_the_vet():
    """A thicker can is thinned at least as far as its own flow tests ask."""
    food, wanted = a_food(), wishes()
    thicker = a_food(name="thicker", least_added_ml_per_can=120)
    change = what_if(food, wanted, today(), new_food=thicker)

    assert change.value.new.added_ml_per_can == 120
    assert change.value.new.meals == 4
    assert change.cautions == (
        "thicker in place of can of 12.7 oz: ask the vet whether it suits, and test the first batch.",
    )
    assert what_if(food, wanted, today(added_ml_per_can=150), new_food=thicker).value.new.added_ml_per_can == 150


@pytest.mark.hazard("H9")
def test_a_thinner_tube_is_compared_and_its_flow_limit_asked_again():
    """Half the bore is sixteen times the push for water; the vet decides."""
    change = what_if_tube(old=OtherTube(french=20, inner_mm=4), new=OtherTube(french=14, inner_mm=2))

    assert change.value.old.push_times == 1
    assert change.value.old.outer_mm == pytest.approx(20 / 3)
    assert change.value.new.push_times == pytest.approx(16)
    assert change.value.new.outer_mm == pytest.approx(14 / 3)
    assert change.value.breaks == ()
    assert change.because == "4 mm → 2 mm inside: 16 times the push for the same blend at the same pace"
    assert change.cautions == (
        "The flow limit was set for the old tube: ask the vet for the new one, and test a batch before use.",
        "Which tube an animal gets, and when, the vet decides.",
    )
    assert "A comparison only: never a pressure to push with." in change.all_cautions()


def test_a_blend_that_thins_when_pushed_feels_the_bore_less():
    """With a flow index of a third, half the bore is four times the push."""
    change = what_if_tube(old=OtherTube(french=20, inner_mm=4), new=OtherTube(french=14, inner_mm=2), flow_index=1 / 3)

    assert change.value.new.push_times == pytest.approx(4)


@pytest.mark.parametrize(("old_mm", "new_mm"), [(None, 2), (4, None), (None, None)])
def test_without_both_bores_nothing_is_worked_out_from_french(old_mm, new_mm):
    """French is the outside only."""
    change = what_if_tube(old=OtherTube(french=20, inner_mm=old_mm), new=OtherTube(french=14, inner_mm=new_mm))

    assert change.value.new.push_times is None
    assert change.because == "20 Fr → 14 Fr outside; the bore is not stated"
    assert change.cautions[1] == (
        "French is the outside only: the push cannot be compared without both makers' inner diameters."
    )
    assert len(change.parts) == 2


def test_a_bore_wider_than_its_tube_is_refused():
    """Someone entered French for millimeters."""
    with pytest.raises(OutOfRange, match=r"^An inner diameter of 14 mm in a tube of 14 Fr\."):
        what_if_tube(old=OtherTube(french=20, inner_mm=4), new=OtherTube(french=14, inner_mm=14))


@pytest.mark.hazard("H15")
def test_ten_days_away_say_what_keeps_and_what_to_bring():
    """Blend that keeps for three days feeds three of ten; the cans are whole for each batch."""
    food, wanted = a_food(keeps_days=3), wishes()
    option = today(food, wanted, added_ml_per_can=100)
    journey = what_if_away(food, wanted, option, days=10)
    day, away = journey.value.change.old, journey.value.change.new

    assert (day.days, day.meals, day.batches, day.cans, day.ahead_days) == (1, 4, 1, 2, 1)
    assert (away.days, away.meals, away.batches, away.ahead_days) == (10, 40, 4, 3)
    assert away.blend_ml == 40 * 175
    # 1.449 cans a day: three batches of 4.35 take 5 cans each, the last day 2
    assert away.cans == 17
    assert away.waste_cans == pytest.approx(17 - 7000 / 483)
    assert away.mixing_water_ml == pytest.approx(7000 / 483 * 100)
    assert away.beside_water_ml == 40 * 25
    assert away.fills == 120
    assert journey.because == "10 days × 4 meals × 175 mL = 7,000 mL in 4 batches of 3 days: 17 cans"
    assert journey.value.bring == (
        "17 cans of can of 12.7 oz, and one more in case one is spoiled",
        "2,100 mL of blend made before leaving, kept cold: it feeds 3 days",
        "the blender, jug and sieve: the rest is made where you are",
        "2.5 L of drinking water: 1,449 mL for the blend, 1,000 mL for flushes and medicines",
        "two 60 mL feeding syringes, in case one fails",
        "every medicine for the days away and two more, in its own labeled container",
        "the printed sheet, the vet's numbers, and the number of a clinic where you will be",
    )
    assert journey.cautions == (
        "Blend keeps for 3 days: the other 7 days cannot be made before leaving.",
        "What stood warm on the way is thrown away: count its days from when it was made, not from arrival.",
        "Frozen and thawed blend flows differently: test it before it is given.",
    )


def test_a_night_away_is_made_whole_before_leaving():
    """One batch, no blender to carry, and nothing that does not keep."""
    food, wanted = a_food(kcal_per_can=1200), wishes(medicine_water_ml_per_day=44)
    journey = what_if_away(food, wanted, today(food, wanted), days=1)

    assert journey.value.change.old == journey.value.change.new
    assert journey.value.change.new.beside_water_ml == 4 * 20 + 44
    assert journey.value.bring[0] == "1 can of can of 12.7 oz, and one more in case one is spoiled"
    assert journey.value.bring[1].endswith("it feeds 1 day")
    assert len(journey.value.bring) == 6
    assert journey.cautions[0].startswith("What stood warm on the way")
    assert " in 1 batch of 1 day: 1 cans" in journey.because


def test_blend_that_keeps_one_day_is_said_in_the_singular():
    """Two days away, one of them made before."""
    journey = what_if_away(a_food(), wishes(), today(), days=2)

    assert journey.cautions[0] == "Blend keeps for 1 day: the other 1 days cannot be made before leaving."
    assert journey.value.change.new.ahead_days == 1


def test_days_that_can_only_be_a_slip_are_refused():
    """No journey, a year, and a blend that keeps for a month."""
    for days in (0, 365):
        with pytest.raises(OutOfRange, match=rf"^days = {days} days\. Allowed: 1 to 60 days\."):
            what_if_away(a_food(), wishes(), today(), days=days)
    with pytest.raises(OutOfRange, match=r"^keeps_days = 30 days\. Allowed: 1 to 14 days\."):
        what_if_away(replace(a_food(), keeps_days=30), wishes(), today(), days=2)


def test_a_can_a_day_is_a_can_a_day():
    """Whole cans leave nothing over, and a last short batch is counted by its days."""
    food, wanted = a_food(kcal_per_can=400, ml_per_can=300, keeps_days=4), wishes(kcal_per_day=800, step_ml=1)
    option = make_option(food, wanted, meals=4, added_ml_per_can=100)
    away = provisions(food, wanted, option, days=10)

    assert option.cans_per_day == 2
    assert (away.batches, away.cans, away.waste_cans) == (3, 20, 0)
    assert (away.mixing_water_ml, away.beside_water_ml) == (2000, 1000)
    part = provisions(food, wanted, replace(option, cans_per_day=1.4), days=6)
    assert (part.batches, part.cans) == (2, 6 + 3)
    assert part.waste_cans == pytest.approx(0.6)


def test_water_to_bring_is_rounded_up_to_a_tenth_of_a_liter():
    """3,000 mL are 3 L, and a drop more is 3.1 L."""
    food, wanted = a_food(kcal_per_can=400, ml_per_can=300, keeps_days=4), wishes(kcal_per_day=800, step_ml=1)
    option = make_option(food, wanted, meals=4, added_ml_per_can=100)
    more = wishes(kcal_per_day=800, step_ml=1, flush_ml_per_meal=20.1)

    for day, liters in ((wanted, "3"), (more, "3.1")):
        bring = what_if_away(food, day, option, days=10).value.bring
        assert [item for item in bring if item.startswith(f"{liters} L of drinking water: 2,000 mL for the blend, ")]
