"""Whatever happens to a day, gaps hold in real time, nothing is doubled, and nothing is lost without a word."""

import itertools
from collections import Counter
from datetime import date, timedelta
from functools import cache
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis.strategies import integers, sampled_from

from benchmarks.regimens import random_regimen
from benchmarks.timetable import late_session
from fillmark.core.timetable import MEAL, NoDay, Replan, Settled, Timetable, instant_at, plan_day, replan_day

ZONES = {
    "Europe/Berlin": (date(2026, 3, 29), date(2026, 10, 25)),
    "America/New_York": (date(2026, 3, 8), date(2026, 11, 1)),
    "Australia/Lord_Howe": (date(2026, 10, 4), date(2026, 4, 5)),
}
"""Three zones with the days on which their clocks change in 2026, one of them by half an hour (IANA tz database)."""


@cache
def _day(seed: int) -> Timetable | None:
    found = plan_day(random_regimen(seed), aims=())
    return None if isinstance(found, NoDay) else found


def _hold(replan: Replan, *, given_args: dict) -> None:
    """Gaps in real time, each planned thing once, all accounted for."""
    regimen, settled = given_args["regimen"], given_args["settled"]
    what = Counter((placed.what, placed.usual_at) for placed in replan.placed)
    gone = Counter((one.what, one.usual_at) for one in replan.let_go)
    assert max((what + gone).values(), default=1) == 1
    assert not {(one.what, one.planned_at) for one in settled} & set(what + gone)
    gaps = {duty.name: duty.shortest_gap_minutes for duty in regimen.duties}
    gaps[MEAL] = regimen.meals.shortest_gap_minutes
    for name, shortest in gaps.items():
        given_at = [one.given_at for one in settled if one.what == name and one.given_at is not None]
        coming = [placed.at for placed in replan.placed if placed.what == name]
        times = sorted([*given_at, *coming])
        for earlier, later in itertools.pairwise(times):
            if later in coming:
                assert (later - earlier).total_seconds() / 60 >= shortest, name
    assert all(placed.at >= given_args["now"] for placed in replan.placed)


@pytest.mark.hazard("H11")
@pytest.mark.hazard("H26")
@settings(max_examples=25, deadline=None)
@given(seed=integers(0, 60), zone=sampled_from(sorted(ZONES)), choice=integers(0, 10_000), turn=integers(-1, 2))
def test_a_late_or_missed_session_never_breaks_a_gap_or_doubles(seed: int, zone: str, choice: int, turn: int) -> None:
    """In three zones, on the days before, of and after a change of the clocks and on an ordinary one."""
    timetable = _day(seed)
    if timetable is None:
        return
    day = date(2026, 6, 10) if turn == 2 else ZONES[zone][choice % 2] + timedelta(days=turn)
    arguments = late_session(random_regimen(seed), timetable, seed=choice, zone=ZoneInfo(zone), day=day)
    _hold(replan_day(**arguments), given_args=arguments)


@pytest.mark.hazard("H26")
@settings(max_examples=15, deadline=None)
@given(seed=integers(0, 60), zone=sampled_from(sorted(ZONES)), autumn=integers(0, 1))
def test_a_night_on_which_the_clocks_change_keeps_every_gap(seed: int, zone: str, autumn: int) -> None:
    """Lived from its start, a day of 23 or 25 hours keeps the shortest gaps in real time and loses nothing unsaid."""
    timetable = _day(seed)
    if timetable is None:
        return
    here = ZoneInfo(zone)
    day = ZONES[zone][autumn]
    now = instant_at(day=day, clock=0, zone=here)
    regimen = random_regimen(seed)
    before = day - timedelta(days=1)
    settled = [
        Settled(
            what=name,
            planned_at=instant_at(day=before, clock=session.clock, zone=here),
            given_at=instant_at(day=before, clock=session.clock, zone=here),
        )
        for session in timetable.sessions
        for name in [*session.duties, *([MEAL] if session.has_meal else [])]
    ]
    replan = replan_day(regimen=regimen, timetable=timetable, zone=here, now=now, settled=settled)
    _hold(replan, given_args={"regimen": regimen, "settled": settled, "now": now})
    due_today = {
        (name, instant_at(day=day, clock=session.clock, zone=here))
        for session in timetable.sessions
        for name in [*session.duties, *([MEAL] if session.has_meal else [])]
    }
    told = {(one.what, one.usual_at) for one in (*replan.placed, *replan.let_go)}
    assert due_today <= told
