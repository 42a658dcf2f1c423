"""Slips of a pen, and where a printed range ends."""

import pytest

from fillmark.core.orders.slips import TENFOLDS, find_slip, find_slip_into_print, is_above, is_inside
from fillmark.published import Band
from fillmark.published.sources import OWN_CHOICE

ONE_TO_TWO = Band(id="x", low=1, high=2, unit="mg/kg per dose", source=OWN_CHOICE, place="here", says="A range.")


@pytest.mark.parametrize(
    ("value", "reference", "said"),
    [
        (10, 1, "ten times as much: a point may have moved"),
        (1, 10, "ten times less: a point may have moved"),
        (100, 1, "a hundred times as much: a point may have moved"),
        (1, 1000, "a thousand times less: mg and mcg may be swapped"),
        (22, 10, "2.2 times as much: kg and lb may be swapped"),
        (10, 22, "2.2 times less: kg and lb may be swapped"),
        (95.5, 1, "a hundred times as much: a point may have moved"),
        (950.5, 1, "a thousand times as much: mg and mcg may be swapped"),
        (1.5, 1, None),
        (0, 1, None),
        (-10, 1, None),
        (1, 0, None),
    ],
)
@pytest.mark.hazard("H4")
@pytest.mark.hazard("H5")
def test_the_usual_slips_are_named(value, reference, said):
    """Up and down alike."""
    assert find_slip(value=value, reference=reference) == said


def test_tenfold_slips_are_those_of_a_point_or_a_unit():
    """Not those of a weight."""
    assert [times for times, *_ in TENFOLDS] == [10, 100, 1000]


@pytest.mark.hazard("H4")
@pytest.mark.hazard("H5")
@pytest.mark.parametrize(
    ("value", "said"),
    [
        (15, "ten times as much as print says: a point may have moved"),
        (0.15, "ten times less than print says: a point may have moved"),
        (150, "a hundred times as much as print says: a point may have moved"),
        (0.0015, "a thousand times less than print says: mg and mcg may be swapped"),
        (4, "2.2 times as much as print says: kg and lb may be swapped"),
        (0.6, "2.2 times less than print says: kg and lb may be swapped"),
        (7, None),
        (0.3, None),
    ],
)
def test_the_slip_that_leads_into_print_is_named(value, said):
    """None where none of them does."""
    assert find_slip_into_print(value, ONE_TO_TWO) == said


@pytest.mark.parametrize(
    ("value", "inside"),
    [(0.99, True), (0.9899, False), (1, True), (2, True), (2.02, True), (2.0201, False), (1.5, True)],
)
def test_a_range_ends_a_hundredth_beyond_what_is_printed(value, inside):
    """The hundredth of a rounded weight, on both sides."""
    assert is_inside(value, ONE_TO_TWO) is inside


def test_the_last_digits_of_the_arithmetic_are_no_dose():
    """A millionth over is on the limit, a thousandth is above it."""
    assert not is_above(1.0000005, 1)
    assert not is_above(1, 1)
    assert is_above(1.001, 1)
