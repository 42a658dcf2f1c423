"""Opening a household, and who and what belongs to it."""

import secrets
from datetime import date, datetime, time
from uuid import UUID
from zoneinfo import ZoneInfo

from django.contrib.auth.models import User
from django.db import transaction

from fillmark.core.entries import household_day
from fillmark.core.errors import BadPlan
from fillmark.core.people import Capability, Caregiver, Role, check_may
from fillmark.records import queries
from fillmark.records.queries import AnimalName, Home
from fillmark.services.home import local_time_zone

__all__ = ["AnimalName", "Home"]


@transaction.atomic
def open_household(*, name: str, time_zone: str, day_starts: time, lead_name: str) -> Caregiver:
    """A new household with its first lead; find it by `household_id` of the lead.

    Raises:
        BadPlan: there is no such time zone.
    """
    try:
        ZoneInfo(time_zone)
    except (ValueError, OSError, KeyError):
        raise BadPlan(
            field="time_zone",
            got=f'"{time_zone[:40]}" for a time zone',
            allowed='a name from the time zone database, such as "Europe/Dublin"',
            remedy="Look at the time zone that your phone or computer names.",
        ) from None
    home = queries.add_home(name=name, time_zone=time_zone, day_starts=day_starts)
    return _add(home.id, name=lead_name, role=Role.LEAD, from_on=None, until_on=None)


def find_first_lead() -> Caregiver | None:
    """A lead of the first household on this machine; none on an empty record."""
    leads = (
        person for home in queries.all_homes() for person in queries.caregivers(home.id) if person.role is Role.LEAD
    )
    return next(leads, None)


@transaction.atomic
def find_or_open_first() -> Caregiver:
    """A lead of this machine's household; on an empty record one is opened, in this machine's time zone."""
    return find_first_lead() or open_household(
        name="Our home", time_zone=local_time_zone(), day_starts=time(4), lead_name="Lead"
    )


@transaction.atomic
def add_person(
    *,
    household_id: UUID,
    by: UUID,
    name: str,
    role: Role,
    now: datetime,
    from_on: date | None = None,
    until_on: date | None = None,
) -> Caregiver:
    """One more caregiver. They sign in by a link until they choose a password.

    Args:
        household_id: Where.
        by: Who asks; only a lead may.
        name: What the household calls them.
        role: A sitter needs both dates.
        now: The present instant.
        from_on: First day of a sitter's pass.
        until_on: Last day of a sitter's pass.
    Raises:
        NotAllowed: `by` may not invite, or a sitter's dates are missing.
    """
    check_person(household_id=household_id, by=by, what=Capability.INVITE, now=now)
    return _add(household_id, name=name, role=role, from_on=from_on, until_on=until_on)


@transaction.atomic
def add_animal(*, household_id: UUID, by: UUID, name: str, now: datetime) -> AnimalName:
    """One more animal of the household.

    Raises:
        NotAllowed: `by` may not change plans.
    """
    check_person(household_id=household_id, by=by, what=Capability.CHANGE_PLAN, now=now)
    return queries.add_animal(household_id=household_id, name=name)


def find_household(*, household_id: UUID) -> Home:
    return queries.find_home(household_id=household_id)


def find_animals(*, household_id: UUID) -> tuple[AnimalName, ...]:
    """The household's animals, by name."""
    return queries.animals(household_id)


def find_people(*, household_id: UUID) -> tuple[Caregiver, ...]:
    """The household's caregivers, by name."""
    return queries.caregivers(household_id)


def find_caregiver_of_user(user_id: int) -> Caregiver | None:
    """The caregiver who is signed in as this user."""
    return queries.caregiver_of_user(user_id)


def check_person(*, household_id: UUID, by: UUID, what: Capability, now: datetime) -> Caregiver:
    """The person, if they may do this today in this household.

    Raises:
        NotAllowed: they may not, or do not belong to it.
    """
    caregiver = queries.find_caregiver(household_id=household_id, person_id=by)
    check_may(caregiver, what=what, on=today(household_id=household_id, now=now))
    return caregiver


def today(*, household_id: UUID, now: datetime) -> date:
    """The household's day that `now` falls in."""
    home = queries.find_home(household_id=household_id)
    return household_day(at=now, time_zone=home.time_zone, day_starts=home.day_starts)


def _add(household_id: UUID, *, name: str, role: Role, from_on: date | None, until_on: date | None) -> Caregiver:
    # The user name is never typed before a person has chosen one; until then it only has to be free.
    user = User.objects.create_user(username=secrets.token_urlsafe(12))
    return queries.add_person(
        household_id=household_id, user_id=user.pk, name=name, role=role, from_on=from_on, until_on=until_on
    )
