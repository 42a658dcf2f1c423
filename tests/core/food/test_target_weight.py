"""Target weight: readings side by side, and where support or the hospital is needed."""

import pytest

from fillmark.core.food.target_weight import (
    check_may_plan_at_home,
    ideal_weight_from_fat,
    ideal_weight_from_score_5,
    ideal_weight_from_score_9,
    weight_change,
)
from fillmark.core.values.errors import NeedsHospital, OutOfRange


def test_three_readings_of_one_score_stand_side_by_side():
    """40 kg at 8 of 9 is 28, 22 or 31 kg, by the reading; none is averaged."""
    readings = ideal_weight_from_score_9(weight_kg=40, score=8)

    assert {name: round(reading.value, 1) for name, reading in readings.items()} == {
        "10 % of today's weight per point": 28,
        "15 % of today's weight per point": 22,
        "10 % above the ideal per point": 30.8,
    }


@pytest.mark.parametrize("score", [5, 10])
def test_a_score_without_excess_is_refused(score):
    """At 5 or below there is nothing to take away; above 9 there is no score."""
    with pytest.raises(OutOfRange, match=rf"A condition of {score} of 9\. Allowed: 6, 7, 8 or 9 of 9"):
        ideal_weight_from_score_9(weight_kg=40, score=score)


def test_a_score_without_printed_fat_is_refused():
    """Print gives body fat for 4 and 5 of 5."""
    with pytest.raises(OutOfRange, match=r"A condition of 3 of 5\. Allowed: 4 or 5 of 5"):
        ideal_weight_from_score_5(weight_kg=10, score=3)


def test_change_is_signed():
    """A loss is negative, a gain positive."""
    assert weight_change(from_kg=5.4, to_kg=4.3).because == "5.4 kg → 4.3 kg = -20.4 %"
    assert weight_change(from_kg=4, to_kg=5).value == pytest.approx(25)


WEIGHTS = "Allowed: 0.5 to 100 kg. Check the number and its unit."
PERCENTS = "Allowed: 0 to 100 %. Check the number and its unit."
DAYS = "Allowed: 0 days or more. Count the days."


def test_the_readings_of_a_score_name_who_decides():
    """They differ, and are not averaged."""
    above = ideal_weight_from_score_9(weight_kg=40, score=8)["10 % above the ideal per point"]

    assert above.cautions == ("The readings differ: show them to the vet, who names the target weight.",)


def test_an_ideal_weight_is_said_in_three_digits():
    """Scales tell no more."""
    assert ideal_weight_from_fat(weight_kg=17.33, fat_percent=33).because == (
        "17.33 kg × (100 − 33) % ÷ (100 − 20) % = 14.5 kg"
    )
    readings = ideal_weight_from_score_9(weight_kg=17.33, score=7)
    assert [reading.because for reading in readings.values()] == [
        "17.33 kg × (1 − 2 × 10 %) = 13.9 kg",
        "17.33 kg × (1 − 2 × 15 %) = 12.1 kg",
        "17.33 kg ÷ (1 + 2 × 10 %) = 14.4 kg",
    ]


@pytest.mark.hazard("H23")
@pytest.mark.parametrize(("loss", "days", "goes"), [(10, 60, False), (10.1, 60, True), (10.1, 62, False)])
def test_the_hospital_is_named_for_more_than_a_tenth_within_two_months(loss, days, goes):
    """Just a tenth, or over a longer time, may be planned for at home."""
    if not goes:
        check_may_plan_at_home(loss_percent=loss, over_days=days, is_starved=False)
        return
    with pytest.raises(NeedsHospital, match=r"^This needs the hospital\. A loss of 10\.1 % within 60 days\."):
        check_may_plan_at_home(loss_percent=loss, over_days=days, is_starved=False)


@pytest.mark.parametrize(
    ("ask", "message"),
    [
        (lambda: ideal_weight_from_fat(weight_kg=0.2, fat_percent=30), f"weight_kg = 0.2 kg. {WEIGHTS}"),
        (lambda: ideal_weight_from_fat(weight_kg=10, fat_percent=101), f"fat_percent = 101 %. {PERCENTS}"),
        (lambda: ideal_weight_from_score_9(weight_kg=0.2, score=7), f"weight_kg = 0.2 kg. {WEIGHTS}"),
        (
            lambda: ideal_weight_from_score_9(weight_kg=10, score=5),
            "A condition of 5 of 9. Allowed: 6, 7, 8 or 9 of 9. At 5 or below there is no excess to take away: ask the "
            "vet for a target weight.",
        ),
        (
            lambda: ideal_weight_from_score_5(weight_kg=10, score=3),
            "A condition of 3 of 5. Allowed: 4 or 5 of 5. Print gives a body fat only for these: ask the vet for a "
            "target weight.",
        ),
        (lambda: weight_change(from_kg=0.2, to_kg=5), f"from_kg = 0.2 kg. {WEIGHTS}"),
        (lambda: weight_change(from_kg=5, to_kg=0.2), f"to_kg = 0.2 kg. {WEIGHTS}"),
        (
            lambda: check_may_plan_at_home(loss_percent=-1, over_days=10, is_starved=False),
            f"loss_percent = -1 %. {PERCENTS}",
        ),
        (
            lambda: check_may_plan_at_home(loss_percent=1, over_days=-1, is_starved=False),
            f"over_days = -1 days. {DAYS}",
        ),
    ],
)
def test_a_number_that_can_only_be_a_slip_is_refused(ask, message):
    """The whole message of each."""
    with pytest.raises(OutOfRange) as caught:
        ask()
    assert str(caught.value) == message
