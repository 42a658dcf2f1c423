"""Target weight: readings side by side, and where support or the hospital is needed."""

import pytest

from fillmark.core.errors import OutOfRange
from fillmark.core.target_weight import (
    ideal_weight_from_score_5,
    ideal_weight_from_score_9,
    needs_support,
    weight_change,
)


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


@pytest.mark.parametrize(("loss", "days", "indicated"), [(9.9, 2, False), (10, 0, True), (0, 3, True)])
def test_support_is_indicated_by_loss_or_by_days(loss, days, indicated):
    """Either is enough."""
    assert needs_support(loss_percent=loss, poor_intake_days=days).value is indicated
