"""Where two versions of a plan meet: from the last that went in by the one to the first by the other."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from math import ceil
from zoneinfo import ZoneInfo

from fillmark.core.chart.givings import read_givings
from fillmark.core.day.values import PlannedSession
from fillmark.core.doses.giving import longest_gap, planned_times, shortest_gap
from fillmark.core.gates.about_a_change import find_previous
from fillmark.core.orders.medicine import Medicine, interval_hours, order_on
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.entries import KeptEntry, household_day
from fillmark.core.record.session_entries import SessionSkipped
from fillmark.core.timetable import MEAL, write_duration
from fillmark.core.today.duties import shortest_meal_gap
from fillmark.core.values.finding import Finding, Weight
from fillmark.core.values.words import say_date
from fillmark.published.medicine import ROLLING_DAY_HOURS


def last_times(
    sessions: Iterable[PlannedSession], entries: Iterable[KeptEntry], *, time_zone: str, before: datetime
) -> dict[str, datetime]:
    """When each medicine, and a meal, goes in for the last time before an instant: by the record, else as planned.

    Args:
        sessions: The sessions as they are to come, or were.
        entries: The doses and skipped sessions of these days, with what corrects them.
        time_zone: The household's time zone, an IANA name.
        before: The instant.
    Source:
        the record
    """
    counting = list(counting_entries(entries))
    givings = read_givings(counting, time_zone=time_zone)
    told = {(giving.payload.session, giving.medicine_id) for giving in givings}
    skipped = {one.entry.payload.session for one in counting if isinstance(one.entry.payload, SessionSkipped)}
    found = [(giving.medicine_id, giving.at) for giving in givings if giving.may_have_gone_in]
    for session in sessions:
        if session.key in skipped:
            continue
        held = [dose.medicine.id for dose in session.medicines if (session.key, dose.medicine.id) not in told]
        found += [(what, session.at) for what in (*held, *((MEAL,) if session.meal_ml else ()))]
    return {what: at for what, at in sorted(found, key=lambda one: one[1].astimezone(UTC)) if at < before}


@dataclass(frozen=True, kw_only=True, slots=True)
class Changeover:
    """Where a new version of a plan begins to hold.

    Attributes:
        old: The version that it takes the place of then.
        last: `last_times` before that.
        from_at: From when on it holds.
    """

    old: CarePlan
    last: Mapping[str, datetime]
    from_at: datetime


def check_changeover(new: CarePlan, at: Changeover) -> Iterator[Finding]:
    """What comes too close to, or too far from, its last time by the version before.

    What comes next at the same time by both versions asks nothing: the new version changes nothing about it.

    Args:
        new: The new version.
        at: Where it begins to hold.
    Source:
        the vet's orders; medicine.window_*, timetable.meal_gap
    """
    old, last, from_at = at.old, at.last, at.from_at
    if old.ends is not None and _day(new, from_at) <= old.ends.last_on:
        told = (
            f"Orders until {say_date(old.ends.last_on)} ({old.ends.why}) hold now. This version holds until "
            f"{say_date(new.ends.last_on)} only: from then on the plan before holds again, without what changes here."
            if new.ends is not None
            else f"The orders until {say_date(old.ends.last_on)} ({old.ends.why}) end with this version. What of them "
            "goes on must stand in it."
        )
        yield Finding(
            code="ends-before-its-day",
            about="plan",
            weight=Weight.ASKED,
            field="ends.last_on",
            text=told,
        )
    for number, medicine in enumerate(new.medicines, start=1):
        before = find_previous(medicine, old)
        if before is None or before.id not in last or interval_hours(medicine) is None:
            continue
        first = _first_dose(medicine, new, from_at=from_at)
        expected = _first_dose(before, old, from_at=from_at)
        if first is None or first == expected:
            continue
        on = _day(new, first)
        order = order_on(medicine, on=on)
        is_a_new_course = expected is None or medicine.start_on == on
        wrong = _wrong(
            first - last[before.id],
            shortest=shortest_gap(order),
            longest=None if is_a_new_course or medicine.held else longest_gap(order),
        )
        if wrong:
            yield _finding(
                medicine.id, f"medicines[{number}].clocks", _say(new, medicine.name, last[before.id], first, wrong)
            )
    first = _first_meal(new, from_at=from_at)
    if first is None or MEAL not in last or first == _first_meal(old, from_at=from_at):
        return
    wrong = _wrong(first - last[MEAL], shortest=timedelta(minutes=shortest_meal_gap(new).value), longest=None)
    if wrong:
        yield _finding(MEAL, "timetable.meals", _say(new, "The meal", last[MEAL], first, wrong))


def _first_dose(medicine: Medicine, plan: CarePlan, *, from_at: datetime) -> datetime | None:
    """The first planned time of a medicine from an instant on."""
    if medicine.when_needed is not None or medicine.with_each_meal:
        return None
    part, first_on = plan.household, _day(plan, from_at)
    days = ceil((interval_hours(medicine) or 0.0) / ROLLING_DAY_HOURS.value) + 1
    return next(
        (
            at
            for offset in range(days + 1)
            for at in planned_times(
                medicine,
                on=first_on + timedelta(days=offset),
                time_zone=part.time_zone,
                day_starts=part.day_starts,
            )
            if at >= from_at
        ),
        None,
    )


def _day(plan: CarePlan, at: datetime) -> date:
    part = plan.household
    return household_day(at=at, time_zone=part.time_zone, day_starts=part.day_starts)


def _first_meal(plan: CarePlan, *, from_at: datetime) -> datetime | None:
    zone = ZoneInfo(plan.household.time_zone)
    on = from_at.astimezone(zone).date()
    instants = (
        datetime.combine(on + timedelta(days=offset), clock, tzinfo=zone).astimezone(UTC)
        for offset in (0, 1)
        for clock in plan.timetable.meals
    )
    return min((at for at in instants if at >= from_at), default=None)


def _wrong(gap: timedelta, *, shortest: timedelta, longest: timedelta | None) -> str:
    if gap < shortest:
        return f"less than {_write(shortest)}"
    return f"more than {_write(longest)}" if longest is not None and gap > longest else ""


def _write(gap: timedelta) -> str:
    return write_duration(round(gap.total_seconds() / 60))


def _say(plan: CarePlan, what: str, last: datetime, first: datetime, wrong: str) -> str:
    zone = ZoneInfo(plan.household.time_zone)
    return (
        f"{what} at {first.astimezone(zone):%H:%M} by this version comes {_write(first - last)} after the one at "
        f"{last.astimezone(zone):%H:%M} by the version before, {wrong}. Ask the vet how to change over."
    )


def _finding(about: str, field: str, text: str) -> Finding:
    return Finding(code="changeover", about=about, weight=Weight.ASKED, field=field, text=text)
