"""Which version of a plan holds when, and what it asks of each day of a household."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from typing import Protocol, TypeVar
from uuid import UUID
from zoneinfo import ZoneInfo

from fillmark.core.day.plan_day import plan_day
from fillmark.core.day.values import DayPlan, PlannedSession
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import read_plan
from fillmark.core.record.day_entries import ReplannedSession
from fillmark.core.record.entries import household_day
from fillmark.core.today.replanned import with_new_time
from fillmark.core.values.errors import FillmarkError


@dataclass(frozen=True, kw_only=True, slots=True)
class Home:
    """A household, as far as the record needs it; `last_seq` is the number of its newest entry."""

    id: UUID
    name: str
    time_zone: str
    day_starts: time
    last_seq: int

    def day_of(self, at: datetime) -> date:
        """The household's day an instant falls in."""
        return household_day(at=at, time_zone=self.time_zone, day_starts=self.day_starts)

    def start_of(self, day: date) -> datetime:
        """The instant at which a day of this household begins."""
        return datetime.combine(day, self.day_starts, tzinfo=ZoneInfo(self.time_zone))


@dataclass(frozen=True, kw_only=True, slots=True)
class Confirmation:
    """Who puts a new version of a plan in force, and the vet's word behind it.

    Attributes:
        household_id: Whose.
        by: The lead who read it and confirms it.
        vet_words: What the vet said about it, in the vet's own words.
        vet_said_on: On which day.
        now: The present instant.
        meant: The keys of what looks wrong about the plan, was asked, and is meant so.
        answers: What the vet said about what needs a word of the vet, by its key.
    """

    household_id: UUID
    by: UUID
    vet_words: str
    vet_said_on: date
    now: datetime
    meant: frozenset[str] = frozenset()
    answers: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True, slots=True)
class StoredPlan:
    """One version of a care plan, with who stands behind it."""

    id: UUID
    household_id: UUID
    animal_id: UUID
    number: int
    document: str
    effective_from: datetime
    confirmed_by: UUID
    vet_words: str
    vet_said_on: date
    recorded_at: datetime

    @property
    def is_readable(self) -> bool:
        """Whether this version of the app can read the document."""
        return _is_readable(self.document)

    @property
    def plan(self) -> CarePlan:
        """The document as a value."""
        return _read_plan(self.document)

    def day(self, on: date) -> DayPlan:
        """What this version asks of a day.

        Raises:
            FillmarkError: the day cannot be worked out of it.
        """
        return _plan_day(self.document, on)


@lru_cache(maxsize=256)
def _read_plan(document: str) -> CarePlan:
    return read_plan(document.encode(), kind="json")


@lru_cache(maxsize=256)
def _is_readable(document: str) -> bool:
    try:
        _read_plan(document)
    except FillmarkError:
        return False
    return True


@lru_cache(maxsize=512)
def _plan_day(document: str, on: date) -> DayPlan:
    return plan_day(_read_plan(document), on=on)


class Version(Protocol):
    """A version of a plan, whole or only its head."""

    @property
    def number(self) -> int:
        """Counted from 1 for each animal."""

    @property
    def effective_from(self) -> datetime:
        """The instant from which it holds."""


AnyVersion = TypeVar("AnyVersion", bound=Version)


def in_force_at(versions: Iterable[AnyVersion], at: datetime) -> AnyVersion | None:
    """The version in force at an instant: of those in effect by then, the one adopted last.

    Args:
        versions: The animal's plan versions, in any order.
        at: The instant.
    """
    return max((one for one in versions if one.effective_from <= at), key=lambda one: one.number, default=None)


def in_force_during(versions: Iterable[AnyVersion], *, first_at: datetime, last_at: datetime) -> tuple[AnyVersion, ...]:
    """The versions in force at some time between two instants, in the order they came into force.

    One that another, adopted later, replaces from the same or an earlier instant on was never in force.

    Args:
        versions: The animal's plan versions, in any order.
        first_at: Beginning, included.
        last_at: End, not included.
    """
    found: list[AnyVersion] = []
    for one in sorted((one for one in versions if one.effective_from < last_at), key=lambda one: -one.number):
        if not found or one.effective_from < found[-1].effective_from:
            found.append(one)
            if one.effective_from <= first_at:
                break
    return tuple(reversed(found))


def worked_out(found: tuple[PlannedSession, ...] | FillmarkError) -> tuple[PlannedSession, ...]:
    """The sessions of a day.

    Raises:
        FillmarkError: it cannot be worked out.
    """
    if isinstance(found, FillmarkError):
        raise found
    return found


def sessions_of_days(
    versions: Iterable[StoredPlan], first: date, last: date, *, home: Home, new: Mapping[str, ReplannedSession]
) -> dict[date, tuple[PlannedSession, ...] | FillmarkError]:
    """The sessions of each of these days, each by the version in force at its time; see `Side.sessions_of_days`.

    Args:
        versions: The animal's plan versions, in any order.
        first: The first day, included.
        last: The last day, included.
        home: The household's clock.
        new: New times by the session's identity.
    """
    found = in_force_during(versions, first_at=home.start_of(first), last_at=home.start_of(last + timedelta(days=1)))
    days: dict[date, tuple[PlannedSession, ...] | FillmarkError] = {}
    for offset in range((last - first).days + 1):
        day = first + timedelta(days=offset)
        try:
            days[day] = _sessions_of(found, day, starts_at=home.start_of(day), new=new)
        except FillmarkError as error:
            days[day] = error
    return days


def _sessions_of(
    versions: tuple[StoredPlan, ...], day: date, *, starts_at: datetime, new: Mapping[str, ReplannedSession]
) -> tuple[PlannedSession, ...]:
    """The sessions of one day; versions of other days are not asked."""
    found = []
    ends_at = starts_at + timedelta(days=1)
    for place, version in enumerate(versions):
        until_at = versions[place + 1].effective_from if place + 1 < len(versions) else None
        if version.effective_from >= ends_at or (until_at is not None and until_at <= starts_at):
            continue
        for session in version.day(day).sessions:
            if version.effective_from <= session.at and (until_at is None or session.at < until_at):
                found.append(with_new_time(session, plan=version.plan, new=new.get(session.key)))
    return tuple(sorted(found, key=lambda session: (session.at.astimezone(UTC), session.key)))
