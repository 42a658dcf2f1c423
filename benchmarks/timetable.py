"""What the day's timetable promises, measured beside the plain time-indexed model in CP-SAT and in HiGHS."""

import random
import time
from collections.abc import Callable
from datetime import date, datetime, timedelta
from statistics import median
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

from benchmarks.peers import by_cp_sat, by_highs
from benchmarks.regimens import heavy_day, random_regimen
from fillmark.core.day.plan_day import plan_day as plan_care_day
from fillmark.core.day.values import PlannedSession
from fillmark.core.record.sessions import SessionRecord, Standing
from fillmark.core.timetable.day import Timetable
from fillmark.core.timetable.explain import explain_clash
from fillmark.core.timetable.plan import NoDay, plan_day
from fillmark.core.timetable.regimen import Regimen
from fillmark.core.timetable.rest import Away
from fillmark.core.today.new_times import TodaysSession, propose_times
from tests.support.builders import junipers_plan

T = TypeVar("T")
Row = dict[str, Any]
DAYS, FRESH_DAYS, IMPOSSIBLE_DAYS, PEER_DAYS = 500, 100, 200, 5
PEER_LIMIT_S = 20.0
PEER_DAY_LIMIT_S = 5.0


def _timed(work: Callable[[], T]) -> tuple[float, T]:
    begun = time.perf_counter()
    answer = work()
    return time.perf_counter() - begun, answer


def _row(
    name: str, value: float, unit: str, promise: str, *, ok: bool | None, peer: str = "", ratio: float | None = None
) -> Row:
    return {"name": name, "value": value, "unit": unit, "promise": promise, "peer": peer, "ratio": ratio, "ok": ok}


def rows() -> list[Row]:
    """Each figure with its promise and its peer; `ok` is None where there is a comparison but no promise."""
    from ortools.sat.python import cp_model  # noqa: F401  imports are no part of the figures
    from scipy.optimize import milp  # noqa: F401

    plan_day(random_regimen(0))
    fresh = random.SystemRandom().randrange(10**6, 10**9)
    table = _days("500 days, fixed seeds", range(DAYS))
    table += _days(f"{FRESH_DAYS} days, fresh seeds from {fresh}", range(fresh, fresh + FRESH_DAYS))
    return table + _heavy() + _peer_days() + _clashes() + _rests()


def _days(name: str, seeds: range) -> list[Row]:
    found = [_timed(lambda seed=seed: plan_day(random_regimen(seed), aims=())) for seed in seeds]
    times = [seconds for seconds, _ in found]
    settled = [seconds for seconds, answer in found if answer.is_proven]
    within = 100 * sum(seconds <= 1 for seconds in settled) / len(found)
    middle, worst, all_settled = median(times), max(times), len(settled) == len(found)
    return [
        _row(f"{name}: settled within 1 s", within, "%", ">= 99", ok=within >= 99),
        _row(f"{name}: median", middle, "s", "<= 0.05", ok=middle <= 0.05),
        _row(f"{name}: worst, all settled", worst, "s", "<= 5", ok=worst <= 5 and all_settled),
    ]


def _heavy() -> list[Row]:
    day = heavy_day()
    seconds, answer = _timed(lambda: plan_day(day, aims=()))
    all_stages, best = _timed(lambda: plan_day(day))
    assert isinstance(answer, Timetable)
    assert isinstance(best, Timetable)
    found = [
        _row("26-dose day: fewest sessions proven", seconds, "s", "<= 0.4", ok=seconds <= 0.4 and answer.is_proven),
        _row("26-dose day: every stage proven", all_stages, "s", "<= 2", ok=all_stages <= 2 and best.is_proven),
    ]
    for peer, ask in (("time-indexed CP-SAT", by_cp_sat), ("HiGHS", by_highs)):
        theirs, sessions, settled = ask(day, limit_s=PEER_LIMIT_S)
        note = f"{peer}: {theirs:.1f} s, {sessions} sessions{'' if settled else ', not proven, cut off'}"
        found.append(_row("26-dose day beside a peer", seconds, "s", "", peer=note, ratio=theirs / seconds, ok=None))
    return found


def _peer_days() -> list[Row]:
    """The same days for all three, the first of the fixed seeds."""
    days = [random_regimen(seed) for seed in range(PEER_DAYS)]
    ours = sum(_timed(lambda day=day: plan_day(day, aims=()))[0] for day in days)
    found = []
    for peer, ask in (("time-indexed CP-SAT", by_cp_sat), ("HiGHS", by_highs)):
        answers = [ask(day, limit_s=PEER_DAY_LIMIT_S) for day in days]
        theirs = sum(answer[0] for answer in answers)
        cut = sum(not answer[2] for answer in answers)
        note = f"{peer}: {theirs:.1f} s, {cut} of {PEER_DAYS} cut off at {PEER_DAY_LIMIT_S:g} s"
        found.append(_row(f"{PEER_DAYS} days beside a peer", ours, "s", "", peer=note, ratio=theirs / ours, ok=None))
    return found


def impossible_days(count: int, *, first_seed: int = 0) -> list[Regimen]:
    """The first so many generated days that no timetable can hold."""
    found: list[Regimen] = []
    seed = first_seed
    while len(found) < count:
        regimen = random_regimen(seed)
        if isinstance(plan_day(regimen, aims=()), NoDay):
            found.append(regimen)
        seed += 1
    return found


def _clashes() -> list[Row]:
    answers = [_timed(lambda day=day: explain_clash(day)) for day in impossible_days(IMPOSSIBLE_DAYS)]
    times = [seconds for seconds, _ in answers]
    two_ways = all(len(clash.ways_out) >= 2 for _, clash in answers)
    return [
        _row("200 impossible days explained: worst", max(times), "s", "<= 1", ok=max(times) <= 1 and two_ways),
        _row("200 impossible days explained: median", median(times), "s", "", ok=None),
    ]


def _rests() -> list[Row]:
    """Juniper's real plan: the rest of today after every quarter of an hour, nobody there for up to ten hours."""
    plan = junipers_plan()
    day, zone = date(2026, 11, 25), ZoneInfo(plan.household.time_zone)

    def beside(session: PlannedSession) -> TodaysSession:
        record = SessionRecord(session=session.key, standing=Standing.NO_ENTRY, steps_skipped={})
        return TodaysSession(ordered=session, at=session.at, record=record)

    today, tomorrow = (
        [beside(session) for session in plan_care_day(plan, on=day + timedelta(days=ahead)).sessions]
        for ahead in (0, 1)
    )
    ends_at = datetime.combine(day + timedelta(days=1), plan.household.day_starts, tzinfo=zone)
    times = []
    for quarter in range(80):
        now = datetime.combine(day, plan.household.day_starts, tzinfo=zone) + timedelta(minutes=15 * quarter)
        until = now + timedelta(minutes=45 + 15 * (quarter % 37))
        away = Away(now, until) if until < ends_at else None
        given = {"today": today, "around": tomorrow, "givings": (), "now": now, "on": day, "ends_at": ends_at}
        times.append(_timed(lambda given=given, away=away: propose_times(plan, **given, away=away))[0])
    return [_row(f"{len(times)} rests of a day: worst", max(times), "s", "<= 1", ok=max(times) <= 1)]
