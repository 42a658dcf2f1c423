"""Opening a household, and who and what belongs to it."""

import secrets
from datetime import UTC, date, datetime, time
from uuid import UUID

from django.contrib.auth.models import User
from django.db import transaction

from fillmark.core.bedside.versions import Home
from fillmark.core.record.entries import household_day
from fillmark.core.values.errors import BadHousehold, BadPlan
from fillmark.core.values.people import Capability, Caregiver, Role, check_may, check_pass
from fillmark.core.values.typed import can_be_seen, has_controls, time_zones
from fillmark.core.values.words import say_date
from fillmark.records import homes, plan_versions, sign_ins
from fillmark.records.homes import AnimalName, Member
from fillmark.records.sign_ins import NotedSignIn
from fillmark.services import visits
from fillmark.services.home import local_time_zone
from fillmark.services.visits import Happened

__all__ = ["AnimalName", "Home", "Member", "NotedSignIn"]

_LONGEST_NAME = 80
_MOST_NOTED = 200


@transaction.atomic
def open_household(*, name: str, time_zone: str, day_starts: time, lead_name: str) -> Caregiver:
    """A new household with its first lead; find it by `household_id` of the lead.

    Raises:
        BadPlan: there is no such time zone.
    """
    _check_time_zone(time_zone)
    home = homes.add_home(name=name, time_zone=time_zone, day_starts=day_starts)
    return _add(home.id, name=lead_name, role=Role.LEAD, from_on=None, until_on=None)


def find_first_lead() -> Caregiver | None:
    """A lead of the first household on this machine who may sign in; none on an empty record."""
    return next((lead for home in homes.all_homes() for lead in find_leads(household_id=home.id)), None)


def find_leads(*, household_id: UUID) -> tuple[Caregiver, ...]:
    """The leads who may sign in, by name."""
    found = homes.members(household_id=household_id, now=datetime.now(UTC))
    return tuple(one.caregiver for one in found if one.may_sign_in and one.caregiver.role is Role.LEAD)


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
        BadHousehold: the name is none, or somebody here has it.
    """
    check_person(household_id=household_id, by=by, what=Capability.INVITE, now=now)
    name = _free_name(name, household_id=household_id, now=now)
    added = _add(household_id, name=name, role=role, from_on=from_on, until_on=until_on)
    check_pass(added, today=today(household_id=household_id, now=now))
    _note_pass(added, by=by, now=now)
    return added


@transaction.atomic
def change_person(
    *,
    household_id: UUID,
    by: UUID,
    person_id: UUID,
    name: str,
    now: datetime,
    from_on: date | None = None,
    until_on: date | None = None,
) -> Caregiver:
    """Another name for a caregiver, in the record too; for a sitter also other days of the pass.

    Args:
        household_id: Where.
        by: Who asks; a lead, or for a name alone the person.
        person_id: Whom.
        name: What the household calls them from now on.
        now: The present instant.
        from_on: First day of a sitter's pass; as it was where nothing is said.
        until_on: Last day of a sitter's pass; as it was where nothing is said.
    Raises:
        NotAllowed: `by` may not, or the pass ends before it begins.
        BadHousehold: the name is none, or somebody here has it.
    """
    person = homes.find_caregiver(household_id=household_id, person_id=person_id)
    if by != person_id or from_on or until_on:
        check_person(household_id=household_id, by=by, what=Capability.INVITE, now=now)
    is_sitter = person.role is Role.SITTER
    changed = homes.set_person(
        household_id=household_id,
        person_id=person_id,
        name=_free_name(name, household_id=household_id, now=now, but=person_id),
        from_on=(from_on or person.from_on) if is_sitter else None,
        until_on=(until_on or person.until_on) if is_sitter else None,
    )
    has_new_days = is_sitter and (changed.from_on, changed.until_on) != (person.from_on, person.until_on)
    if has_new_days:
        check_pass(changed, today=today(household_id=household_id, now=now))
        _note_pass(changed, by=by, now=now)
    return changed


def _note_pass(person: Caregiver, *, by: UUID, now: datetime) -> None:
    days = (
        f" from {say_date(person.from_on)} to {say_date(person.until_on)}" if person.from_on and person.until_on else ""
    )
    visits.note(
        Happened.DAYS,
        household_id=person.household_id,
        person_id=person.id,
        by=by,
        now=now,
        words=f"{person.role.value}{days}",
    )


@transaction.atomic
def check_may_end(*, household_id: UUID, by: UUID, person_id: UUID, now: datetime) -> Caregiver:
    """The person, if a lead may end their sign-in: a household keeps a lead who has signed in.

    Raises:
        NotAllowed: `by` may not, or the person belongs elsewhere.
        BadHousehold: nobody would be left who can lead.
    """
    homes.find_home(household_id=household_id, lock=True)
    check_person(household_id=household_id, by=by, what=Capability.INVITE, now=now)
    person = homes.find_caregiver(household_id=household_id, person_id=person_id)
    left = [
        one.caregiver
        for one in homes.members(household_id=household_id, now=now)
        if one.may_sign_in and one.has_signed_in and one.caregiver.role is Role.LEAD and one.caregiver.id != person_id
    ]
    if person.role is Role.LEAD and not left:
        raise BadHousehold(
            field="person",
            got=f"A household in which no lead is left but {person.name}",
            allowed="a household with a lead who has signed in",
            remedy="Invite another lead first, and wait until they have signed in.",
        )
    return person


@transaction.atomic
def change_household(
    *, household_id: UUID, by: UUID, name: str, time_zone: str, day_starts: time, now: datetime
) -> Home:
    """Another name; and as long as nothing is counted by it, another clock.

    Every entry is kept under the household's day, and a session is called by its local time. Another clock would count
    days that are written down otherwise than they were, so it stays once there is an entry or a plan.

    Args:
        household_id: Which.
        by: The lead who asks.
        name: What it is called.
        time_zone: A name of the time zone database.
        day_starts: When its day begins, by its own clock.
        now: The present instant.
    Raises:
        NotAllowed: `by` may not.
        BadHousehold: the name is none, or the clock can no longer be changed.
        BadPlan: there is no such time zone.
    """
    home = homes.find_home(household_id=household_id, lock=True)
    check_person(household_id=household_id, by=by, what=Capability.CHANGE_HOUSEHOLD, now=now)
    _check_time_zone(time_zone)
    is_another_clock = (time_zone, day_starts) != (home.time_zone, home.day_starts)
    if is_another_clock and not may_change_clock(household_id=household_id):
        raise BadHousehold(
            field="time_zone",
            got=f"Another clock ({time_zone}, day from {day_starts:%H:%M}) for a household with a plan or a record",
            allowed=f"{home.time_zone}, day from {home.day_starts:%H:%M}: the record's days are counted by it",
            remedy="On a journey, go on by the clock of home. "
            "After moving for good, begin a new record and keep this one.",
        )
    return homes.set_home(
        household_id=household_id,
        name=_check_name(name, what="a household"),
        time_zone=time_zone,
        day_starts=day_starts,
    )


def may_change_clock(*, household_id: UUID) -> bool:
    """Whether no entry and no plan is counted by the household's clock yet."""
    return homes.find_home(household_id=household_id).last_seq == 0 and not any(
        plan_versions.plans_of(household_id=household_id, animal_id=animal.id) for animal in homes.animals(household_id)
    )


@transaction.atomic
def add_animal(*, household_id: UUID, by: UUID, name: str, now: datetime) -> AnimalName:
    """One more animal of the household.

    Raises:
        NotAllowed: `by` may not change plans.
    """
    check_person(household_id=household_id, by=by, what=Capability.CHANGE_PLAN, now=now)
    return homes.add_animal(household_id=household_id, name=name)


def find_sign_ins(*, household_id: UUID, by: UUID, now: datetime) -> tuple[NotedSignIn, ...]:
    """Who came in here and who let whom in, the newest first.

    Raises:
        NotAllowed: `by` may not invite people.
    """
    check_person(household_id=household_id, by=by, what=Capability.INVITE, now=now)
    return sign_ins.newest(household_id=household_id, most=_MOST_NOTED)


def find_household(*, household_id: UUID) -> Home:
    return homes.find_home(household_id=household_id)


def find_animals(*, household_id: UUID) -> tuple[AnimalName, ...]:
    """The household's animals, by name."""
    return homes.animals(household_id)


def find_people(*, household_id: UUID) -> tuple[Caregiver, ...]:
    """The household's caregivers, by name."""
    return homes.caregivers(household_id)


def find_members(*, household_id: UUID, by: UUID, now: datetime) -> tuple[Member, ...]:
    """Everybody who is or was a caregiver here, with the state of their sign-in, by name.

    Raises:
        NotAllowed: `by` may not invite people.
    """
    check_person(household_id=household_id, by=by, what=Capability.INVITE, now=now)
    return homes.members(household_id=household_id, now=now)


def find_caregiver_of_user(user_id: int) -> Caregiver | None:
    """The caregiver who is signed in as this user."""
    return homes.caregiver_of_user(user_id)


def check_person(*, household_id: UUID, by: UUID, what: Capability, now: datetime) -> Caregiver:
    """The person, if they may do this today in this household.

    Raises:
        NotAllowed: they may not, or do not belong to it.
    """
    caregiver = homes.find_caregiver(household_id=household_id, person_id=by)
    check_may(caregiver, what=what, on=today(household_id=household_id, now=now))
    return caregiver


def today(*, household_id: UUID, now: datetime) -> date:
    """The household's day that `now` falls in."""
    home = homes.find_home(household_id=household_id)
    return household_day(at=now, time_zone=home.time_zone, day_starts=home.day_starts)


def _check_time_zone(time_zone: str) -> None:
    if time_zone not in time_zones():
        raise BadPlan(
            field="time_zone",
            got=f'"{time_zone[:40]}" for a time zone',
            allowed='a name from the time zone database, such as "Europe/Dublin"',
            remedy="Look at the time zone that your phone or computer names.",
        )


def _check_name(name: str, *, what: str) -> str:
    name = " ".join(name.split())
    if not can_be_seen(name) or len(name) > _LONGEST_NAME or has_controls(name):
        raise BadHousehold(
            field="name",
            got=f'"{name[:40]}" for the name of {what}' if name else f"No name for {what}",
            allowed=f"1 to {_LONGEST_NAME} characters",
            remedy="Write the name that everybody here uses.",
        )
    return name


def _free_name(name: str, *, household_id: UUID, now: datetime, but: UUID | None = None) -> str:
    """A name that says whom the record means."""
    name = _check_name(name, what="a person")
    taken = [
        one.caregiver.name.casefold()
        for one in homes.members(household_id=household_id, now=now)
        if one.caregiver.id != but
    ]
    if name.casefold() in taken:
        raise BadHousehold(
            field="name",
            got=f'The name "{name}", which somebody here has',
            allowed="a name that nobody here has or had: the record is signed with it",
            remedy="Add an initial, or make a new link for the one who is there.",
        )
    return name


def _add(household_id: UUID, *, name: str, role: Role, from_on: date | None, until_on: date | None) -> Caregiver:
    # The user name is never typed before a person has chosen one; until then it only has to be free.
    user = User.objects.create_user(username=secrets.token_urlsafe(12))
    return homes.add_person(
        household_id=household_id, user_id=user.pk, name=name, role=role, from_on=from_on, until_on=until_on
    )
