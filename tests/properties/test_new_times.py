"""Whatever happens to a day of a real plan: gaps hold in real time, nothing passes the cap, nothing is given twice."""

import random
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis.strategies import integers, sampled_from

from fillmark.core.chart.givings import RecordedGiving, read_givings
from fillmark.core.day.due import instant_of
from fillmark.core.day.plan_day import plan_day
from fillmark.core.day.values import PlannedSession
from fillmark.core.doses.giving import shortest_gap
from fillmark.core.orders.medicine import order_on
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import read_plan
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.medicine_entries import MedicineGiven, Outcome
from fillmark.core.record.session_entries import MealEnded, SessionEnded, SessionSkipped, SessionStarted
from fillmark.core.record.sessions import Standing, read_session
from fillmark.core.timetable import Away
from fillmark.core.today.duties import shortest_meal_gap
from fillmark.core.today.new_times import NewTimes, TodaysSession, propose_times
from fillmark.core.values.people import Role
from fillmark.examples import example_plan
from tests.support.builders import NOOR, an_entry

DAYS = {
    "Europe/Dublin": (date(2026, 3, 29), date(2026, 10, 25), date(2026, 11, 25)),
    "America/New_York": (date(2026, 3, 8), date(2026, 11, 1), date(2026, 11, 25)),
    "Australia/Lord_Howe": (date(2026, 10, 4), date(2026, 4, 5), date(2026, 11, 25)),
}
"""Three zones with the days on which their clocks change in 2026 (IANA tz database), and one ordinary day."""


def _plan(name: str, zone: str, *, starts: str) -> CarePlan:
    plan = read_plan(example_plan(name), kind="toml")
    home = plan.household.model_copy(update={"time_zone": zone, "day_starts": time.fromisoformat(starts)})
    return plan.model_copy(update={"household": home})


def _live(session: PlannedSession, *, chance: random.Random, now: datetime) -> list[KeptEntry]:
    """What the record may hold of a session whose time has come."""
    how = chance.choice(["kept", "kept", "late", "silent", "skipped", "begun", "taken half"])
    at = session.at.astimezone(UTC) + timedelta(minutes=chance.randint(5, 150) if how == "late" else 5)
    if how == "silent" or at > now:
        return []
    payloads: list[object] = []
    if how == "skipped":
        payloads = [SessionSkipped(session=session.key, reason="asleep")]
    if how in ("begun", "taken half", "kept", "late"):
        payloads.append(SessionStarted(session=session.key))
    if how in ("taken half", "kept", "late"):
        payloads += [
            MedicineGiven(session=session.key, medicine=dose.medicine.id, dose_mg=Decimal(1), outcome=Outcome.GIVEN)
            for dose in session.medicines
        ]
    if how in ("kept", "late"):
        if session.meal_ml:
            payloads.append(MealEnded(session=session.key, fills=0, total_ml=session.meal_ml))
        payloads.append(SessionEnded(session=session.key))
    entries = [an_entry(payload, at=at) for payload in payloads]
    return [
        KeptEntry(entry=entry, seq=place, day=at.date(), by=NOOR, by_name="Noor", by_role=Role.LEAD, recorded_at=at)
        for place, entry in enumerate(entries, start=1)
    ]


def _check(
    found: NewTimes,
    *,
    plan: CarePlan,
    today: list[TodaysSession],
    around: list[TodaysSession],
    givings: tuple[RecordedGiving, ...],
    now: datetime,
    on: date,
    away: Away | None,
) -> None:
    coming = {one.key: one for one in found.times}
    # each session once, and none that anything is recorded of
    assert len(coming) == len(found.times)
    assert all(one.record.standing is Standing.NO_ENTRY for one in today if one.key in coming)
    placed = [one for one in found.times if one.at is not None]
    assert all(one.at >= now for one in placed)
    assert away is None or not any(away.from_at < one.at < away.until_at for one in placed)
    # sessions keep their order
    assert [one.key for one in placed] == [one.key for one in sorted(placed, key=lambda one: one.at)]
    tomorrow = [one for one in around if one.at > now]
    # no medicine nearer than its gap, in real time, to what was given, what is to come and what tomorrow brings
    for medicine in plan.medicines:
        gap = shortest_gap(order_on(medicine, on=on))
        new = [
            one.at
            for one in placed
            if medicine.id in {dose.medicine.id for dose in one.ordered.medicines} - set(one.without)
        ]
        other = [one.at for one in givings if one.medicine_id == medicine.id]
        other += [one.at for one in tomorrow if medicine.id in {dose.medicine.id for dose in one.ordered.medicines}]
        for one, following in pairwise(sorted(at.astimezone(UTC) for at in [*new, *other])):
            if {one, following} & {at.astimezone(UTC) for at in new}:
                assert following - one >= gap, medicine.name
    # no meal nearer than the distance between meals
    least = timedelta(minutes=shortest_meal_gap(plan).value)
    meals = [one.at.astimezone(UTC) for one in placed if one.has_meal]
    fed = [one.record.last_at for one in [*today, *around] if one.record.blend is not None]
    fed += [one.at for one in tomorrow if one.ordered.meal_ml]
    for one, following in pairwise(sorted(at.astimezone(UTC) for at in [*meals, *fed])):
        if {one, following} & set(meals):
            assert following - one >= least


@pytest.mark.hazard("H1")
@pytest.mark.hazard("H11")
@pytest.mark.hazard("H26")
@settings(max_examples=60, deadline=None)
@given(
    seed=integers(0, 100_000),
    name=sampled_from(["juniper", "sorrel"]),
    zone=sampled_from(sorted(DAYS)),
    which=integers(0, 2),
    starts=sampled_from(["04:00", "00:00", "06:00"]),
)
def test_new_times_keep_every_distance_and_give_nothing_twice(
    seed: int, name: str, zone: str, which: int, starts: str
) -> None:
    """Two plans, three zones, days of 23, 24 and 25 hours, any hour, any record, somebody there or nobody."""
    chance, plan, on = random.Random(seed), _plan(name, zone, starts=starts), DAYS[zone][which]
    days = [plan_day(plan, on=on + timedelta(days=offset)).sessions for offset in (-1, 0, 1)]
    begins = instant_of(plan, on=on, clock=plan.household.day_starts).astimezone(UTC)
    ends_at = instant_of(plan, on=on + timedelta(days=1), clock=plan.household.day_starts).astimezone(ZoneInfo(zone))
    now = begins + timedelta(minutes=chance.randint(0, 23 * 60 - 1))
    entries = {
        session.key: _live(session, chance=chance, now=now) for day in days for session in day if session.at <= now
    }

    def beside(session: PlannedSession) -> TodaysSession:
        record = read_session(session=session.key, entries=entries.get(session.key, []), now=now)
        return TodaysSession(ordered=session, at=session.at, record=record)

    today = [beside(session) for session in days[1]]
    around = [beside(session) for day in (days[0], days[2]) for session in day]
    givings = read_givings([one for kept in entries.values() for one in kept], time_zone=zone)
    away = None
    if chance.random() < 0.5:
        until_at = now + timedelta(minutes=chance.randint(30, 600))
        away = Away(now, until_at) if until_at < ends_at else None
    arguments = {"today": today, "around": around, "givings": givings, "now": now, "on": on}
    asked = propose_times(plan, **arguments, ends_at=ends_at, away=away).value
    _check(asked, plan=plan, **arguments, away=away)

    again = tuple(key for key in asked.ask if chance.random() < 0.5)
    told = propose_times(plan, **arguments, ends_at=ends_at, away=away, again=again).value
    assert {one.key for one in told.times} == {one.key for one in asked.times} | set(again)
    _check(told, plan=plan, **arguments, away=away)
