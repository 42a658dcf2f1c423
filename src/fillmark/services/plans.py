"""The animal's care plan: one document per version, in force from an instant on, with who stands behind it."""

from collections.abc import Mapping
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction

from fillmark.core.day.plan_day import plan_day
from fillmark.core.day.values import DayPlan, PlannedSession
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import read_plan, write_plan
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.day_entries import DayReplanned, ReplannedSession
from fillmark.core.record.entries import KeptEntry, household_day, session_day
from fillmark.core.today.new_times import newest_times, with_new_time
from fillmark.core.values.errors import BadPlan, FillmarkError
from fillmark.core.values.people import Capability
from fillmark.records import queries
from fillmark.records.queries import Home, StoredPlan
from fillmark.services.households import check_person

__all__ = ["PlannedSession", "StoredPlan"]


@transaction.atomic
def adopt_plan(
    *,
    household_id: UUID,
    animal_id: UUID,
    document: str | CarePlan,
    effective_from: datetime,
    confirmed_by: UUID,
    vet_words: str,
    vet_said_on: date,
    now: datetime,
) -> StoredPlan:
    """Put a new version of the plan in force. Earlier days keep the version they had.

    Args:
        household_id: Whose.
        animal_id: For which animal.
        document: The plan, or its JSON text.
        effective_from: From when on it holds.
        confirmed_by: The lead who read it and confirms it.
        vet_words: What the vet said, in the vet's own words.
        vet_said_on: On which day.
        now: The present instant.
    Raises:
        FillmarkError: the document cannot be used, or its first day cannot be worked out of it.
        BadPlan: nothing says that a vet stands behind it, or its days are counted by another clock.
        NotAllowed: `confirmed_by` may not change plans, or the animal lives elsewhere.
    """
    home = queries.find_home(household_id=household_id, lock=True)
    check_person(household_id=household_id, by=confirmed_by, what=Capability.CHANGE_PLAN, now=now)
    queries.find_animal(household_id=household_id, animal_id=animal_id)
    _check_vet_stands_behind(vet_words, vet_said_on, now)
    plan = document if isinstance(document, CarePlan) else read_plan(document.encode(), kind="json")
    _check_clock(plan, home)
    plan_day(plan, on=household_day(at=effective_from, time_zone=home.time_zone, day_starts=home.day_starts))
    return queries.add_plan(
        household_id=household_id,
        animal_id=animal_id,
        document=write_plan(plan),
        effective_from=effective_from,
        confirmed_by=confirmed_by,
        vet_words=vet_words,
        vet_said_on=vet_said_on,
        now=now,
    )


def current_plan(*, household_id: UUID, animal_id: UUID, at: datetime) -> StoredPlan | None:
    """The version in force at an instant; none before the first."""
    return queries.plan_at(household_id=household_id, animal_id=animal_id, at=at)


def all_versions(*, household_id: UUID, animal_id: UUID) -> tuple[StoredPlan, ...]:
    """Every version there has been, oldest first."""
    return queries.plans_of(household_id=household_id, animal_id=animal_id)


def planned_day(*, household_id: UUID, animal_id: UUID, day: date, at: datetime) -> DayPlan | None:
    """The whole day by the version in force at an instant; none before the first version.

    Raises:
        FillmarkError: this day cannot be worked out of that version.
    """
    version = queries.plan_at(household_id=household_id, animal_id=animal_id, at=at)
    return _plan_day(version.document, day) if version else None


def planned_sessions(*, household_id: UUID, animal_id: UUID, day: date) -> tuple[PlannedSession, ...]:
    """The sessions of a day, in order, each by the version that was in force at its time.

    Raises:
        FillmarkError: this day cannot be worked out of a version.
    """
    found = sessions_of_days(household_id=household_id, animal_id=animal_id, first=day, last=day)[day]
    if isinstance(found, FillmarkError):
        raise found
    return found


def ordered_sessions(*, household_id: UUID, animal_id: UUID, day: date) -> tuple[PlannedSession, ...]:
    """The sessions of a day by the plan alone, without the times that the household gave them on the day itself.

    Raises:
        FillmarkError: this day cannot be worked out of a version.
    """
    found = sessions_of_days(household_id=household_id, animal_id=animal_id, first=day, last=day, new={})[day]
    if isinstance(found, FillmarkError):
        raise found
    return found


def sessions_of_days(
    *,
    household_id: UUID,
    animal_id: UUID,
    first: date,
    last: date,
    new: Mapping[str, ReplannedSession] | None = None,
    home: Home | None = None,
) -> dict[date, tuple[PlannedSession, ...] | FillmarkError]:
    """The sessions of each of these days in their order, or why a day cannot be worked out of its plan.

    Args:
        household_id: Whose.
        animal_id: Of which animal.
        first: The first day.
        last: The last one.
        new: When sessions of these days come that were given another time, where that is loaded already; empty for
            the plan's own times.
        home: The household, where that is loaded already.
    """
    home = home or queries.find_home(household_id=household_id)
    starts_at = datetime.combine(first, home.day_starts, tzinfo=ZoneInfo(home.time_zone))
    ends_at = datetime.combine(last + timedelta(days=1), home.day_starts, tzinfo=ZoneInfo(home.time_zone))
    versions = queries.plans_during(household_id=household_id, animal_id=animal_id, first_at=starts_at, last_at=ends_at)
    if new is None:
        new = new_times(household_id=household_id, animal_id=animal_id, first=first, last=last)
    days: dict[date, tuple[PlannedSession, ...] | FillmarkError] = {}
    for offset in range((last - first).days + 1):
        day = first + timedelta(days=offset)
        day_at = datetime.combine(day, home.day_starts, tzinfo=ZoneInfo(home.time_zone))
        try:
            days[day] = _sessions_of(versions, day, starts_at=day_at, new=new)
        except FillmarkError as error:
            days[day] = error
    return days


def new_times(*, household_id: UUID, animal_id: UUID, first: date, last: date) -> dict[str, ReplannedSession]:
    """By session, when those of these days come that were given another time on the day itself."""
    return newest_times(replanned(household_id=household_id, animal_id=animal_id, first=first, last=last))


def replanned(*, household_id: UUID, animal_id: UUID, first: date, last: date) -> tuple[KeptEntry, ...]:
    """The new times of these days that count, oldest first."""
    entries = queries.entries_around(
        household_id=household_id,
        animal_id=animal_id,
        first=first,
        last=last,
        kinds=("day_replanned",),
        whenever=(),
    )
    return tuple(one for one in counting_entries(entries) if isinstance(one.entry.payload, DayReplanned))


def _sessions_of(
    versions: tuple[StoredPlan, ...], day: date, *, starts_at: datetime, new: Mapping[str, ReplannedSession]
) -> tuple[PlannedSession, ...]:
    """The sessions of one day, each by the version in force at its time; versions of other days are not asked."""
    found = []
    ends_at = starts_at + timedelta(days=1)
    for place, version in enumerate(versions):
        until_at = versions[place + 1].effective_from if place + 1 < len(versions) else None
        if version.effective_from >= ends_at or (until_at is not None and until_at <= starts_at):
            continue
        for session in _plan_day(version.document, day).sessions:
            if version.effective_from <= session.at and (until_at is None or session.at < until_at):
                found.append(with_new_time(session, plan=version.plan, new=new.get(session.key)))
    return tuple(sorted(found, key=lambda session: (session.at.astimezone(UTC), session.key)))


def find_session(*, household_id: UUID, animal_id: UUID, session: str) -> PlannedSession | None:
    """One planned session by its identity; none when the plan does not know it."""
    home = queries.find_home(household_id=household_id)
    day = session_day(session, day_starts=home.day_starts)
    planned = planned_sessions(household_id=household_id, animal_id=animal_id, day=day)
    return next((one for one in planned if one.key == session), None)


@lru_cache(maxsize=512)
def _plan_day(document: str, day: date) -> DayPlan:
    return plan_day(read_plan(document.encode(), kind="json"), on=day)


def is_medicine_of(*, household_id: UUID, animal_id: UUID, medicine: str, at: datetime) -> bool:
    """Whether the plan in force, or else any version, names this medicine; without any plan, no medicine is known."""
    current = queries.plan_at(household_id=household_id, animal_id=animal_id, at=at)
    if current and medicine in _medicines(current):
        return True
    return any(
        medicine in _medicines(version) for version in all_versions(household_id=household_id, animal_id=animal_id)
    )


def _medicines(version: StoredPlan) -> frozenset[str]:
    return frozenset(medicine.id for medicine in version.plan.medicines)


def _check_clock(plan: CarePlan, home: Home) -> None:
    """Sessions are called by the plan's clock and entries are kept under the household's: they are one clock."""
    mine = plan.household
    if (mine.time_zone, mine.day_starts) != (home.time_zone, home.day_starts):
        raise BadPlan(
            field="household",
            got=f"A plan whose days are counted in {mine.time_zone} from {mine.day_starts:%H:%M}",
            allowed=f"the household's own {home.time_zone}, from {home.day_starts:%H:%M}",
            remedy="Take it in from the plan page, which puts it by the household's clock.",
        )


def _check_vet_stands_behind(vet_words: str, vet_said_on: date, now: datetime) -> None:
    if not vet_words.strip():
        raise BadPlan(
            field="vet_words",
            got="A plan without the vet's words",
            allowed="what the vet said about it, in the vet's own words",
            remedy="Ask the vet, and write down what they say.",
        )
    if vet_said_on > now.date():
        raise BadPlan(
            field="vet_said_on",
            got=f"A plan that the vet will have spoken about on {vet_said_on}",
            allowed=f"{now.date()} or earlier",
            remedy="Enter the day on which the vet said it.",
        )
