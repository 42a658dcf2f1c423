"""The rest of today after something went otherwise; nights on which the clocks change; trips."""

import itertools
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from fillmark.core.timetable import (
    MEAL,
    Meals,
    Regimen,
    Session,
    Settled,
    Timetable,
    Window,
    check_day,
    day_length_minutes,
    every_hours,
    instant_at,
    replan_day,
    shift_for_trip,
    write_clock,
    write_duration,
)
from fillmark.core.values.errors import BadPlan

BERLIN = ZoneInfo("Europe/Berlin")
DAY = date(2026, 5, 5)
REGIMEN = Regimen(
    meals=Meals(fewest=2, most=2, shortest_gap_minutes=240, upright_minutes=20, window=Window(6 * 60, 23 * 60)),
    duties=(every_hours("A", hours=12, tolerance_minutes=60),),
)
USUAL = Timetable(
    sessions=(
        Session(clock=8 * 60, has_meal=True, duties=("A",)),
        Session(clock=20 * 60, has_meal=True, duties=("A",)),
    )
)


def _at(clock: int, day: date = DAY) -> datetime:
    return instant_at(day=day, clock=clock, zone=BERLIN)


def _settled(what: str, planned: int, given: int | None) -> Settled:
    return Settled(what=what, planned_at=_at(planned), given_at=None if given is None else _at(given))


def test_a_day_kept_on_time_moves_nothing() -> None:
    """Nothing to mend, nothing changed."""
    found = replan_day(regimen=REGIMEN, timetable=USUAL, zone=BERLIN, now=_at(5 * 60))
    assert {placed.moved_minutes for placed in found.placed} == {0}
    assert found.because == "nothing moves"
    assert found.usual_again_on == DAY


@pytest.mark.hazard("H11")
def test_a_late_dose_moves_the_next_by_no_more_than_its_gap_asks() -> None:
    """Given at 9:30, the next is due from 20:30 (11 hours); tomorrow is as usual again."""
    settled = [_settled("A", 480, 570), _settled(MEAL, 480, 570)]
    found = replan_day(regimen=REGIMEN, timetable=USUAL, zone=BERLIN, now=_at(571), settled=settled)
    evening = {placed.what: placed for placed in found.placed if placed.usual_at == _at(1200)}
    assert evening["A"].at == _at(20 * 60 + 30)
    assert found.let_go == ()
    assert found.is_proven


@pytest.mark.hazard("H11")
def test_a_dose_missed_beyond_its_late_window_is_let_go_and_nothing_doubled() -> None:
    """At 13:00 the morning's dose is no longer made up; the evening stays one dose at its time."""
    found = replan_day(
        regimen=REGIMEN, timetable=USUAL, zone=BERLIN, now=_at(13 * 60), settled=[_settled(MEAL, 480, 480)]
    )
    assert [gone.what for gone in found.let_go] == ["A"]
    assert found.let_go[0].because == (
        "A of 8:00 is let go: it is more than 1 hour late, and nothing is doubled to make up"
    )
    assert [placed.at for placed in found.placed if placed.what == "A"] == [_at(20 * 60)]


@pytest.mark.hazard("H11")
def test_a_missed_meal_is_never_added_to_the_next() -> None:
    """What was missed and settled as missed leaves the rest of the day as it is."""
    settled = [_settled("A", 480, 480), _settled(MEAL, 480, None)]
    found = replan_day(regimen=REGIMEN, timetable=USUAL, zone=BERLIN, now=_at(600), settled=settled)
    assert [placed.at for placed in found.placed if placed.what == MEAL] == [_at(20 * 60)]


def test_now_without_a_zone_is_refused() -> None:
    """A bare time could be anywhere."""
    with pytest.raises(BadPlan) as refused:
        replan_day(regimen=REGIMEN, timetable=USUAL, zone=BERLIN, now=datetime(2026, 5, 5, 8))  # noqa: DTZ001
    assert str(refused.value) == "a time without its zone. Allowed: an instant with its zone. Add the zone."


@pytest.mark.hazard("H26")
def test_days_of_23_and_25_hours_are_as_long_as_the_law_makes_them() -> None:
    """Central European summer time: last Sunday of March and of October (directive 2000/84/EC)."""
    lengths = [day_length_minutes(day=day, zone=BERLIN) for day in (date(2026, 3, 29), date(2026, 10, 25), DAY)]
    assert lengths == [1380, 1500, 1440]
    assert instant_at(day=date(2026, 3, 29), clock=150, zone=BERLIN) == datetime(2026, 3, 29, 1, 30, tzinfo=UTC)
    assert instant_at(day=date(2026, 10, 25), clock=150, zone=BERLIN) == datetime(2026, 10, 25, 0, 30, tzinfo=UTC)


@pytest.mark.parametrize(("to", "sign"), [("America/New_York", 1), ("Asia/Tokyo", -1)])
def test_a_trip_reaches_the_new_clock_within_every_gap(to: str, sign: int) -> None:
    """Each gap stays within 11 to 13 hours on the way, and the last day stands at the usual clock times."""
    zone = ZoneInfo(to)
    trip = shift_for_trip(regimen=REGIMEN, timetable=USUAL, from_zone=BERLIN, to_zone=zone, first_day=DAY)
    instants = [_at(20 * 60, DAY - timedelta(days=1)), *(at for day in trip.days for at in day)]
    gaps = [(later - earlier) / timedelta(minutes=1) for earlier, later in itertools.pairwise(instants)]
    assert all(11 * 60 <= gap <= 13 * 60 for gap in gaps)
    assert any((gap - 720) * sign > 0 for gap in gaps)
    assert [at.astimezone(zone).hour for at in trip.days[-1]] == [8, 20]


def test_a_trip_that_the_gaps_forbid_is_refused() -> None:
    """Exactly every 12 hours leaves no room to move."""
    exact = Regimen(duties=(every_hours("A", hours=12, tolerance_minutes=0),))
    day = Timetable(sessions=(Session(clock=480, duties=("A",)), Session(clock=1200, duties=("A",))))
    assert check_day(regimen=exact, timetable=day) == ()
    with pytest.raises(BadPlan) as refused:
        shift_for_trip(regimen=exact, timetable=day, from_zone=BERLIN, to_zone=ZoneInfo("Asia/Tokyo"), first_day=DAY)
    assert str(refused.value) == (
        "a shift of 7 hours. Allowed: what the gaps allow within 60 days. "
        "Ask the vet for a wider tolerance, or keep the old clock during the trip."
    )


def test_clock_and_duration_are_written_as_people_say_them() -> None:
    """No bare minutes reach a person."""
    assert [write_clock(clock) for clock in (0, 450, 1439)] == ["0:00", "7:30", "23:59"]
    assert [write_duration(m) for m in (0, 1, 60, 90, 121)] == [
        "0 minutes",
        "1 minute",
        "1 hour",
        "1 hour 30 minutes",
        "2 hours 1 minute",
    ]
