"""Doses whose hours are counted from the first one: none lost, none doubled, whatever the clocks do."""

from collections import Counter
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis.strategies import booleans, integers, sampled_from

from fillmark.core.day.due import due_medicines, instant_of
from fillmark.core.doses.counted_hours import give_or_take
from fillmark.core.doses.giving import planned_times, shortest_gap
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.entries import household_day
from tests.support.charts import a_plan
from tests.support.medicines import a_medicine

ZONES = {
    "Europe/Berlin": (date(2026, 3, 29), date(2026, 10, 25)),
    "America/New_York": (date(2026, 3, 8), date(2026, 11, 1)),
    "Australia/Lord_Howe": (date(2026, 10, 4), date(2026, 4, 5)),
}
"""Three zones with the days on which their clocks change in 2026, one of them by half an hour (IANA tz database)."""

DAYS = 60
HOURS = (3, 5, 7, 7.5, 10, 11, 13, 16, 18, 20, 22, 28, 36, 40, 60, 72, 100)
REPEATED_HOUR = timedelta(hours=1)


def a_household(*, zone: str, turn: int, hours: float, minute: int, beside: bool) -> tuple[CarePlan, date]:
    """A plan with such an order around a changed clock, and the first of sixty days."""
    first_on = ZONES[zone][turn] - timedelta(days=DAYS // 2)
    first = datetime.combine(first_on + timedelta(days=1), time(*divmod(minute, 60)))
    drug = a_medicine(every_hours=hours, first_dose=first)
    other = a_medicine(id="other", name="Other", clocks=(time(1, 30), time(13, 30)))
    second = a_medicine(id="second", name="Second", every_hours=hours + 1, first_dose=first + timedelta(hours=2))
    return a_plan(*((other, drug, second) if beside else (drug,)), time_zone=zone), first_on


@pytest.mark.hazard("H26")
@pytest.mark.hazard("H1")
@settings(max_examples=120, deadline=None)
@given(
    zone=sampled_from(sorted(ZONES)),
    turn=integers(0, 1),
    hours=sampled_from(HOURS),
    minute=integers(0, 1439),
    beside=booleans(),
)
def test_sixty_days_hold_each_dose_once(zone: str, turn: int, hours: float, minute: int, beside: bool) -> None:
    """The order's instants lie exactly so many hours apart, and each stands in exactly one session within its reach."""
    plan, first_on = a_household(zone=zone, turn=turn, hours=hours, minute=minute, beside=beside)
    household = plan.household
    drug = next(one for one in plan.medicines if one.id == "drug")
    own: list[datetime] = []
    stands: list[datetime] = []
    keys: Counter[tuple[date, time]] = Counter()
    for day in (first_on + timedelta(days=number) for number in range(DAYS)):
        own += planned_times(drug, on=day, time_zone=zone, day_starts=household.day_starts)
        for clock, due in due_medicines(plan, on=day).items():
            at = instant_of(plan, on=day, clock=clock).astimezone(UTC)
            assert household_day(at=at, time_zone=zone, day_starts=household.day_starts) == day
            for one in (one for one in due if one.medicine.id == "drug"):
                assert one.due_at is not None
                keys[day, clock] += 1
                stands.append(at)
                moved = abs(at - one.due_at.replace(second=0, microsecond=0))
                twice = one.due_at.astimezone(ZoneInfo(zone)).fold
                assert moved <= give_or_take(drug) or (twice and moved <= REPEATED_HOUR)

    first = drug.first_dose.replace(tzinfo=ZoneInfo(zone)).astimezone(UTC)
    assert own == [first + number * timedelta(hours=hours) for number in range(len(own))]
    until = datetime.combine(first_on + timedelta(days=DAYS), household.day_starts, tzinfo=ZoneInfo(zone))
    assert own[-1] + timedelta(hours=hours) >= until.astimezone(UTC), "no dose of these days is missing"
    assert len(stands) == len(own)
    assert max(keys.values()) == 1
    gap = shortest_gap(drug)
    for (before, after), (one, other) in zip(pairwise(stands), pairwise(own), strict=True):
        any_twice = any(at.astimezone(ZoneInfo(zone)).fold for at in (one, other))
        assert after - before >= gap - (REPEATED_HOUR if any_twice else timedelta(0))
