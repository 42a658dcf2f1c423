"""The rest of a day at other times: sessions whole and in order, gaps in real time, what finds no time let go."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from fillmark.core.timetable import MEAL, Away, Duty, Event, Meals, Movable, Regimen, WithMeal, place_rest
from fillmark.core.timetable.rest import Rest

DUBLIN = ZoneInfo("Europe/Dublin")
ENDS = datetime(2026, 11, 26, 4, tzinfo=UTC)
REGIMEN = Regimen(
    meals=Meals(fewest=2, most=2, shortest_gap_minutes=180, upright_minutes=20),
    duties=(Duty(name="A", times=1, shortest_gap_minutes=360), Duty(name="B", times=1, food=WithMeal())),
    grid_minutes=5,
)


def at(hour: int, minute: int = 0) -> datetime:
    return datetime(2026, 11, 25, hour, minute, tzinfo=UTC)


def movable(what: str, usual: datetime, *, late_minutes: int = 600, early_minutes: int = 600) -> Movable:
    return Movable(
        what=what,
        session=f"{usual:%H:%M}",
        usual_at=usual,
        earliest_at=usual - timedelta(minutes=early_minutes),
        latest_at=usual + timedelta(minutes=late_minutes),
    )


def place(*things: Movable, now: datetime, given: tuple[Event, ...] = (), away: Away | None = None) -> Rest:
    return place_rest(
        regimen=REGIMEN, zone=DUBLIN, now=now, ends_at=ENDS, given=given, movable=things, after=(), away=away
    )


def clocks(found: Rest) -> dict[str, str]:
    return {session: f"{when:%H:%M}" for session, when in found.at.items()}


def test_nothing_to_come_is_nothing_to_place() -> None:
    """An empty rest is proven."""
    assert place(now=at(10)) == Rest(at={}, let_go=(), is_proven=True)


def test_what_keeps_its_distances_stays_where_it_is() -> None:
    """Not a minute is moved for its own sake."""
    found = place(movable(MEAL, at(12)), movable(MEAL, at(16)), now=at(10), given=(Event(MEAL, at(8)),))
    assert clocks(found) == {"12:00": "12:00", "16:00": "16:00"}
    assert found.is_proven


def test_a_late_meal_pushes_the_next_ones_by_the_gap_alone() -> None:
    """Given at 11:00, the next is due from 14:00, and the one after it from 17:00."""
    found = place(movable(MEAL, at(12)), movable(MEAL, at(16)), now=at(11, 5), given=(Event(MEAL, at(11)),))
    assert clocks(found) == {"12:00": "14:00", "16:00": "17:00"}


def test_things_of_one_session_move_together_or_are_let_go() -> None:
    """A is past its hour and is let go; the meal of its session comes when its distance allows."""
    found = place(
        movable("A", at(12), late_minutes=60), movable(MEAL, at(12)), now=at(13, 30), given=(Event(MEAL, at(11)),)
    )
    assert clocks(found) == {"12:00": "14:00"}
    assert [(one.what, one.session, one.because) for one in found.let_go] == [
        ("A", "12:00", "it is more than 1 hour late")
    ]


def test_where_one_must_go_a_meal_goes_before_a_dose() -> None:
    """A may wait an hour, the meal of its session would have to wait for two."""
    found = place(
        movable("A", at(12), late_minutes=60), movable(MEAL, at(12)), now=at(11), given=(Event(MEAL, at(11)),)
    )
    assert clocks(found) == {"12:00": "12:00"}
    assert [(one.what, one.because) for one in found.let_go] == [
        (MEAL, "no time left today keeps its distance to the others")
    ]


def test_what_goes_with_a_meal_goes_with_it() -> None:
    """B is with food: where the meal is let go, so is B."""
    away = Away(at(10), ENDS - timedelta(minutes=5))
    meal = movable(MEAL, at(12), late_minutes=60, early_minutes=60)
    found = place(meal, movable("B", at(12)), now=at(10), away=away)
    assert found.at == {}
    assert [(one.what, one.because) for one in found.let_go] == [
        (MEAL, "nobody is there while it may be given"),
        ("B", "no time left today keeps its distance to the others"),
    ]


def test_too_late_is_said_with_how_late() -> None:
    """Two hours are over."""
    found = place(movable("A", at(8), late_minutes=120), now=at(11))
    assert [one.because for one in found.let_go] == ["it is more than 2 hours late"]


def test_sessions_keep_their_order_and_stay_a_little_apart() -> None:
    """A dose before a meal that must wait is not overtaken, and two sessions do not run into one."""
    found = place(movable("A", at(12)), movable(MEAL, at(13)), now=at(14))
    assert clocks(found) == {"12:00": "14:00", "13:00": "14:15"}
    close = place(movable("A", at(12)), movable(MEAL, at(12, 5)), now=at(14))
    assert clocks(close) == {"12:00": "14:00", "12:05": "14:05"}


@pytest.mark.parametrize(("until", "expected"), [(at(13), "11:00"), (at(12, 30), "12:30")])
def test_the_nearer_side_of_an_absence_is_taken(until: datetime, expected: str) -> None:
    """At both ends of it somebody is there."""
    found = place(movable("A", at(12)), now=at(9), away=Away(at(11), until))
    assert clocks(found) == {"12:00": expected}


@pytest.mark.hazard("H1")
def test_a_given_dose_keeps_its_distance_in_real_time() -> None:
    """Six hours after 7:10, on the next step of five minutes."""
    found = place(movable("A", at(12)), now=at(9), given=(Event("A", at(7, 8)),))
    assert clocks(found) == {"12:00": "13:10"}
