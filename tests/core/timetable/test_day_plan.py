"""The fewest sessions, against trying every day; what the check accepts and rejects."""

from dataclasses import replace

import pytest

from benchmarks.regimens import heavy_day, random_regimen
from fillmark.core.timetable import (
    MEAL,
    Aim,
    Apart,
    Duty,
    Insisted,
    Meals,
    NoDay,
    Regimen,
    Session,
    Timetable,
    Window,
    WithMeal,
    check_day,
    every_hours,
    plan_day,
)
from fillmark.core.values.errors import BadPlan
from tests.core.timetable.brute_force import AIMS, best_by_trying
from tests.core.timetable.days import a_small_day, spoil


def _agrees_with_trying(seed: int) -> None:
    regimen = a_small_day(seed)
    found = plan_day(regimen)
    best = best_by_trying(regimen)
    if isinstance(found, NoDay):
        assert found.is_proven
        assert best is None
        return
    assert best is not None
    assert tuple(stage.aim for stage in found.stages) == AIMS
    assert tuple(stage.value for stage in found.stages) == best
    assert found.is_proven
    assert check_day(regimen=regimen, timetable=found) == ()


@pytest.mark.parametrize("seed", range(25))
def test_a_small_day_is_as_good_as_trying_every_day(seed: int) -> None:
    """Every aim, in order, reaches what an exhaustive search reaches."""
    _agrees_with_trying(seed)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(25, 325))
def test_300_small_days_are_as_good_as_trying_every_day(seed: int) -> None:
    """The same over 300 more days."""
    _agrees_with_trying(seed)


def _count_rejected(regimens: range, spoiled_each: int) -> tuple[int, int]:
    spoiled = rejected = 0
    for seed in regimens:
        regimen = random_regimen(seed)
        found = plan_day(regimen, aims=())
        if isinstance(found, NoDay):
            continue
        assert check_day(regimen=regimen, timetable=found) == ()
        for number in range(spoiled_each):
            spoiled += 1
            rejected += bool(
                check_day(regimen=regimen, timetable=spoil(found, regimen=regimen, seed=seed * 1000 + number))
            )
    return spoiled, rejected


@pytest.mark.hazard("H22")
def test_the_check_rejects_1000_spoiled_days() -> None:
    """Something left out, doubled, off the grid, out of order or never ordered is always seen."""
    spoiled, rejected = _count_rejected(range(30), 45)
    assert spoiled >= 1000
    assert rejected == spoiled


@pytest.mark.hazard("H22")
@pytest.mark.parametrize(
    ("moved", "fault"),
    [
        ({19: 17}, "A is given twice within 11 hours."),
        ({9: 8}, "A at 7:00 and B at 8:00 are closer than 2 hours."),
        ({12: 10}, "Two meals are closer than 4 hours."),
        ({22: 23}, "The meal at 23:00 is outside 7:00 to 22:00."),
    ],
)
def test_a_day_with_one_session_moved_breaks_the_rule_by_name(moved: dict[int, int], fault: str) -> None:
    """Each fault is told in words, with its clock times."""
    regimen = Regimen(
        meals=Meals(fewest=3, most=3, shortest_gap_minutes=240, window=Window(7 * 60, 22 * 60)),
        duties=(every_hours("A", hours=12, tolerance_minutes=60), every_hours("B", hours=24, tolerance_minutes=0)),
        apart=(Apart("A", "B", 120),),
    )
    hours = {7: ("A", "meal"), 9: ("B",), 12: ("meal",), 19: ("A",), 22: ("meal",)}

    def day(moves: dict[int, int]) -> Timetable:
        return Timetable(
            sessions=tuple(
                Session(
                    clock=moves.get(hour, hour) * 60,
                    has_meal=MEAL in what,
                    duties=tuple(name for name in what if name != MEAL),
                )
                for hour, what in hours.items()
            )
        )

    assert check_day(regimen=regimen, timetable=day({})) == ()
    assert fault in check_day(regimen=regimen, timetable=day(moved))


def test_the_heaviest_day_is_proven_at_every_stage_and_never_differs() -> None:
    """26 doses, 4 meals, 8 rules of separation; the same day each time."""
    regimen = heavy_day()
    first, again = plan_day(regimen), plan_day(regimen)
    assert isinstance(first, Timetable)
    assert sum(duty.times or 0 for duty in regimen.duties) == 26
    assert len(regimen.duties) == 12
    assert first.is_proven
    assert first == again


def test_a_session_limit_below_the_fewest_has_no_day() -> None:
    """The limit the household insists on is a rule like any other."""
    regimen = heavy_day()
    fewest = plan_day(regimen, aims=())
    assert isinstance(fewest, Timetable)
    limited = replace(regimen, most_sessions=len(fewest.sessions) - 1)
    assert plan_day(limited, aims=()) == NoDay(True)


@pytest.mark.hazard("H36")
def test_an_idle_tube_still_gets_its_water() -> None:
    """With no meal and no medicine, sessions of water alone stay in the day, never further apart than ordered."""
    found = plan_day(Regimen(water_gap_minutes=8 * 60, night=Window(23 * 60, 6 * 60)))
    assert isinstance(found, Timetable)
    assert [session.is_flush_only for session in found.sessions] == [True, True, True]
    assert found.stages[0].because == "fewest sessions: 3; nothing better exists"
    too_few = replace(found, sessions=found.sessions[1:])
    assert check_day(regimen=Regimen(water_gap_minutes=8 * 60), timetable=too_few)


def test_a_medicine_with_each_meal_comes_with_each_meal() -> None:
    """However many meals there are."""
    regimen = Regimen(
        meals=Meals(fewest=3, most=3, shortest_gap_minutes=240),
        duties=(Duty(name="enzyme", times=None, food=WithMeal()), every_hours("A", hours=24, tolerance_minutes=0)),
        apart=(Apart("enzyme", "A", 60),),
        insisted=(Insisted(7 * 60, MEAL),),
    )
    found = plan_day(regimen)
    assert isinstance(found, Timetable)
    assert found.clocks_of("enzyme") == found.clocks_of(MEAL)
    assert 7 * 60 in found.clocks_of(MEAL)
    assert len(found.sessions) == 4


def test_an_empty_regimen_has_an_empty_day() -> None:
    """Nothing asked, nothing done."""
    found = plan_day(Regimen())
    assert isinstance(found, Timetable)
    assert found.sessions == ()
    assert found.stages[0].aim is Aim.SESSIONS


@pytest.mark.parametrize(
    ("build", "message"),
    [
        (
            lambda: every_hours("A", hours=10, tolerance_minutes=0),
            "A 2 times a day, 600 to 600 minutes apart. Allowed: gaps of which so many fill a day of 24 hours. "
            "Check the hours between doses against the number of doses.",
        ),
        (
            lambda: Regimen(duties=(Duty(name="A", times=1), Duty(name="A", times=2))),
            "A more than once. Allowed: each medicine and task once. "
            "Give each its own name, or leave the repeated one out.",
        ),
        (
            lambda: Regimen(duties=(Duty(name="A", times=1),), apart=(Apart("A", "B", 60),)),
            '"B", which is no medicine or task of this day. Allowed: A, meal. Use a name that stands in the list.',
        ),
        (
            lambda: Window(0, 1440),
            "1440 minutes after midnight for window.until_clock. Allowed: a time of day, 0:00 to 23:59. "
            "Write the time as the clock on the wall shows it.",
        ),
    ],
)
def test_a_regimen_that_makes_no_sense_is_refused(build, message: str) -> None:
    """What came, what is allowed, what to do."""
    with pytest.raises(BadPlan) as refused:
        build()
    assert str(refused.value) == message
