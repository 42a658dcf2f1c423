"""What a person hears of a course while giving a dose."""

from datetime import date, timedelta

import pytest

from fillmark.core.doses.giving import gap_between, planned_times, shortest_gap
from fillmark.core.orders.course import course_notes
from fillmark.core.orders.dosing_days import is_dosing_day, rhythms
from fillmark.core.orders.medicine import Medicine, order_on
from fillmark.core.values.document import read_document
from fillmark.core.values.errors import FillmarkError
from tests.support.medicines import a_medicine

MONDAY = date(2026, 11, 30)
TAPER = a_medicine(
    dose="4 mg",
    every_hours=12,
    clocks=("07:00", "19:00"),
    start_on=MONDAY,
    stop_on=MONDAY + timedelta(days=27),
    steps=(
        {"from_on": MONDAY + timedelta(days=7), "dose": "2 mg"},
        {"from_on": MONDAY + timedelta(days=14), "dose": "2 mg", "every_hours": 24, "clocks": ("07:00",)},
        {"from_on": MONDAY + timedelta(days=21), "dose": "1 mg", "every_hours": 48},
    ),
)
"""Two weeks twice a day, one week daily, then every other day."""


def notes(day: int, *, order: Medicine = TAPER, is_last: bool = False) -> tuple[str, ...]:
    found = course_notes(order, on=MONDAY + timedelta(days=day), is_last_dose=is_last)
    return (*found.changes, found.place)


def test_a_taper_is_told_step_by_step():
    """The new dose on its day, the coming one the day before; the old number is never named."""
    assert notes(0) == ("Day 1 of 28.",)
    assert notes(6) == ("From tomorrow: 2 mg.", "Day 7 of 28.")
    assert notes(7) == ("New from today: 2 mg, less than before.", "Day 8 of 28.")
    assert notes(8) == ("Day 9 of 28.",)
    assert notes(13) == ("From tomorrow: 2 mg every 24 hours.", "Day 14 of 28.")
    assert notes(14) == ("New from today: 2 mg every 24 hours.", "Day 15 of 28.")
    assert notes(21) == ("New from today: 1 mg every 48 hours, less than before.", "Day 22 of 28.")


def test_the_end_of_a_course_is_told_before_on_and_with_its_last_dose():
    """The last dose may come before the last day."""
    assert notes(26) == ("The course ends tomorrow.", "Day 27 of 28.")
    assert notes(27) == ("The course ends today.", "Day 28 of 28.")
    assert notes(27, is_last=True) == ("This is the last dose of the course.", "Day 28 of 28.")
    assert notes(25, is_last=True) == ("This is the last dose of the course.", "Day 26 of 28.")


def test_a_larger_dose_is_called_more():
    """And doses that cannot be held against each other are not."""
    up = a_medicine(dose="1 mg", start_on=MONDAY, steps=({"from_on": MONDAY + timedelta(days=2), "dose": "2 mg"},))
    other = a_medicine(
        dose="1 mg",
        dose_for_weight_kg=10,
        start_on=MONDAY,
        steps=({"from_on": MONDAY + timedelta(days=2), "dose": "2 mg/kg"},),
    )
    drops = a_medicine(
        form="drops",
        strength="not stated",
        dose="3 drops",
        route="ear",
        start_on=MONDAY,
        steps=({"from_on": MONDAY + timedelta(days=2), "dose": "2 drops"},),
    )

    assert notes(2, order=up) == ("New from today: 2 mg, more than before.", "Day 3.")
    assert notes(2, order=other) == ("New from today: 2 mg/kg.", "Day 3.")
    assert notes(2, order=drops) == ("New from today: 2 drops, less than before.", "Day 3.")


def test_an_order_without_a_course_says_nothing():
    """Nor one that begins with its first step."""
    assert notes(3, order=a_medicine()) == ("",)
    assert notes(3, order=a_medicine(start_on=MONDAY)) == ("",)
    first = a_medicine(start_on=MONDAY, steps=({"from_on": MONDAY, "dose": "2 mg"},))
    assert notes(0, order=first) == ("Day 1.",)


def test_each_rhythm_of_a_taper_holds_from_its_day():
    """Twice a day, daily, then every other day counted from the day it begins."""
    doses = [len(planned_times(TAPER, on=MONDAY + timedelta(days=day), time_zone="Europe/Dublin")) for day in range(28)]

    assert doses == [2] * 14 + [1] * 7 + [1, 0, 1, 0, 1, 0, 1]
    assert [order.every_hours for order in rhythms(TAPER)] == [12, 24, 48]
    assert order_on(TAPER, on=MONDAY + timedelta(days=13)) is TAPER
    assert (
        order_on(TAPER, on=MONDAY + timedelta(days=22)).clocks == order_on(TAPER, on=MONDAY + timedelta(days=14)).clocks
    ), "times of day go on where a step names none"
    assert not is_dosing_day(TAPER, on=MONDAY + timedelta(days=22))


@pytest.mark.hazard("H1")
def test_where_the_rhythm_changes_the_shorter_gap_holds():
    """The first dose every other day comes a day after the last daily one, and is not too soon."""
    days = [MONDAY + timedelta(days=day) for day in (20, 21, 23)]

    assert gap_between(TAPER, earlier_on=days[0], later_on=days[1]) == shortest_gap(a_medicine(every_hours=24))
    assert gap_between(TAPER, earlier_on=days[1], later_on=days[2]) == shortest_gap(a_medicine(every_hours=48))


STEPS = {"from_on": "2026-12-07", "dose": "2 mg"}
ORDER = {"id": "drug", "name": "Drug", "form": "liquid", "strength": "1 mg/mL", "dose": "4 mg", "route": "tube"}


@pytest.mark.parametrize(
    ("order", "step", "fragment"),
    [
        (
            {"every_hours": 12},
            {"clocks": ["07:00"]},
            "steps[1].clocks: Times of day in a step of Drug, without every_hours",
        ),
        ({"with_each_meal": True}, {"every_hours": 24}, "steps[1].every_hours: Drug with another rhythm in a step"),
        (
            {"every_hours": 12, "clocks": ["07:00", "19:00"]},
            {"every_hours": 24},
            "steps[1].clocks: Drug every 24 hours, with 2 times of day. Allowed: 1 times of day",
        ),
        (
            {"every_hours": 24, "clocks": ["07:00"]},
            {"every_hours": 36},
            "steps[1].clocks: Drug every 36 hours, with 1 times of day",
        ),
        ({"every_hours": 12}, {"every_hours": 0.1}, "0.5 to 744 hours"),
    ],
)
def test_a_rhythm_that_a_step_cannot_have_is_refused(order, step, fragment):
    """With the place, what is allowed, and what to do."""
    with pytest.raises(FillmarkError) as told:
        read_document(Medicine, {**ORDER, **order, "steps": [{**STEPS, **step}]})
    assert fragment in str(told.value)


def test_so_many_times_a_day_may_become_hours():
    """Twice a day, then every 24 hours."""
    order = read_document(
        Medicine,
        {
            **ORDER,
            "times_per_day": 2,
            "clocks": ["07:00", "19:00"],
            "steps": [{**STEPS, "every_hours": 24, "clocks": ["07:00"]}],
        },
    )
    later = order_on(order, on=date(2026, 12, 7))

    assert (later.every_hours, later.times_per_day, len(later.clocks)) == (24, None, 1)
