"""Households, their people and their animals."""

from dataclasses import dataclass
from datetime import date, datetime, time
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import F, Max, Q

from fillmark.core.bedside.versions import Home
from fillmark.core.values.errors import BadHousehold, NotAllowed
from fillmark.core.values.people import Caregiver, Role
from fillmark.records import models
from fillmark.records.reach import turn_of
from fillmark.records.sql import ask, clock_of, day_of, role_of


@dataclass(frozen=True, kw_only=True, slots=True)
class AnimalName:
    """An animal of the household, and how a lead wants it shown; all else about it stands in its plan."""

    id: UUID
    household_id: UUID
    name: str
    shape: int | None = None
    color: str = ""
    photo_id: UUID | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Member:
    """A caregiver with the state of their sign-in.

    Attributes:
        may_sign_in: Nobody has ended it.
        has_signed_in: They have used a link, or a password, at least once.
        link_until: Until when the newest unused link holds; none where there is none.
    """

    caregiver: Caregiver
    may_sign_in: bool
    has_signed_in: bool
    link_until: datetime | None


def not_here(what: str, wanted: object) -> NotAllowed:
    return NotAllowed(
        field=what,
        got=f"The {what} {wanted}",
        allowed=f"a {what} of your own household",
        remedy="Go back to the first screen and choose again.",
    )


def _home(row: models.Household) -> Home:
    try:
        ZoneInfo(row.time_zone)
    except (ValueError, OSError, KeyError):
        raise BadHousehold(
            field="time_zone",
            got=f'A household in the time zone "{row.time_zone[:40]}", which this machine does not have',
            allowed="a zone of the time zone database",
            remedy="Bring the machine's time zone data up to date. Until then write on paper what is given.",
        ) from None
    return Home(
        id=row.pk, name=row.name, time_zone=row.time_zone, day_starts=row.day_starts_clock, last_seq=row.last_seq
    )


def find_home(*, household_id: UUID, lock: bool = False) -> Home:
    """The household; with `lock`, nobody else records in it until this transaction ends.

    Raises:
        NotAllowed: there is none.
    """
    rows = models.Household.objects.filter(pk=household_id)
    if lock:
        with turn_of(household_id):
            row = rows.select_for_update().first()
    else:
        row = rows.first()
    if row is None:
        raise not_here("household", household_id)
    return _home(row)


def add_home(*, name: str, time_zone: str, day_starts: time) -> Home:
    row = models.Household.objects.create(name=name, time_zone=time_zone, day_starts_clock=day_starts)
    return _home(row)


def set_home(*, household_id: UUID, name: str, time_zone: str, day_starts: time) -> Home:
    models.Household.objects.filter(pk=household_id).update(name=name, time_zone=time_zone, day_starts_clock=day_starts)
    return find_home(household_id=household_id)


def all_homes() -> tuple[Home, ...]:
    return tuple(_home(row) for row in models.Household.objects.order_by("name"))


_TAKE_NUMBERS = (
    "UPDATE records_household SET last_seq = last_seq + %s WHERE id = %s "
    "RETURNING name, time_zone, day_starts_clock, last_seq, "
    + ", ".join(
        f"(SELECT {column} FROM records_person WHERE id = %s AND household_id = %s)"
        for column in ("name", "role", "from_on", "until_on")
    )
)


def take_numbers(*, household_id: UUID, person_id: UUID, count: int) -> tuple[Home, Caregiver]:
    """The household, locked until this transaction ends, and one of its people; so many numbers are theirs to use.

    The numbers follow the `last_seq` that comes out. What is not used is given back.

    Raises:
        NotAllowed: there is no such household, or the person does not belong to it.
    """
    person = [value for _ in range(4) for value in (person_id, household_id)]
    with turn_of(household_id):
        rows = ask(_TAKE_NUMBERS, [count, household_id, *person])
    if not rows or rows[0][4] is None:
        find_home(household_id=household_id)
        raise not_here("person", person_id)
    name, time_zone, day_starts, last, called, role, from_on, until_on = rows[0]
    home = Home(id=household_id, name=name, time_zone=time_zone, day_starts=clock_of(day_starts), last_seq=last - count)
    caregiver = Caregiver(
        id=person_id,
        household_id=household_id,
        name=called,
        role=role_of(role),
        from_on=from_on and day_of(from_on),
        until_on=until_on and day_of(until_on),
    )
    return home, caregiver


def give_numbers_back(*, household_id: UUID, count: int) -> None:
    """The last of the numbers that were taken are free again. The household is locked."""
    models.Household.objects.filter(pk=household_id).update(last_seq=F("last_seq") - count)


def caregiver_of(row: models.Person) -> Caregiver:
    return Caregiver(
        id=row.pk,
        household_id=row.household_id,
        name=row.name,
        role=role_of(row.role),
        from_on=row.from_on,
        until_on=row.until_on,
    )


def find_caregiver(*, household_id: UUID, person_id: UUID) -> Caregiver:
    """The person, if they belong to this household.

    Raises:
        NotAllowed: they do not.
    """
    row = models.Person.objects.filter(pk=person_id, household_id=household_id).first()
    if row is None:
        raise not_here("person", person_id)
    return caregiver_of(row)


def caregiver_of_user(user_id: int) -> Caregiver | None:
    row = models.Person.objects.filter(user_id=user_id).first()
    return caregiver_of(row) if row else None


def user_of(person_id: UUID) -> int:
    return models.Person.objects.values_list("user_id", flat=True).get(pk=person_id)


def caregivers(household_id: UUID) -> tuple[Caregiver, ...]:
    return tuple(caregiver_of(row) for row in models.Person.objects.filter(household_id=household_id).order_by("name"))


def add_person(
    *, household_id: UUID, user_id: int, name: str, role: Role, from_on: date | None, until_on: date | None
) -> Caregiver:
    row = models.Person(
        household_id=household_id, user_id=user_id, name=name, role=role.value, from_on=from_on, until_on=until_on
    )
    caregiver = caregiver_of(row)
    row.save(force_insert=True)
    return caregiver


def members(*, household_id: UUID, now: datetime) -> tuple[Member, ...]:
    """Everybody who is or was a caregiver here, by name."""
    still = Q(signinlink__used_at=None, signinlink__expires_at__gt=now)
    rows = models.Person.objects.filter(household_id=household_id).select_related("user").order_by("name")
    return tuple(
        Member(
            caregiver=caregiver_of(row),
            may_sign_in=row.user.is_active,
            has_signed_in=row.user.last_login is not None,
            link_until=row.link_until,
        )
        for row in rows.annotate(link_until=Max("signinlink__expires_at", filter=still))
    )


def set_person(
    *, household_id: UUID, person_id: UUID, name: str, from_on: date | None, until_on: date | None
) -> Caregiver:
    """Another name, or other days of a pass."""
    row = models.Person.objects.get(pk=person_id, household_id=household_id)
    row.name, row.from_on, row.until_on = name, from_on, until_on
    caregiver = caregiver_of(row)
    row.save()
    return caregiver


def find_animal(*, household_id: UUID, animal_id: UUID) -> AnimalName:
    """The animal, if it lives in this household.

    Raises:
        NotAllowed: it does not.
    """
    row = models.Animal.objects.filter(pk=animal_id, household_id=household_id).first()
    if row is None:
        raise not_here("animal", animal_id)
    return _animal(row)


def _animal(row: models.Animal) -> AnimalName:
    return AnimalName(
        id=row.pk,
        household_id=row.household_id,
        name=row.name,
        shape=row.shape,
        color=row.color,
        photo_id=row.photo_id,
    )


def animals(household_id: UUID) -> tuple[AnimalName, ...]:
    rows = models.Animal.objects.filter(household_id=household_id).order_by("name")
    return tuple(_animal(row) for row in rows)


def add_animal(*, household_id: UUID, name: str) -> AnimalName:
    return _animal(models.Animal.objects.create(household_id=household_id, name=name))


def set_look(*, household_id: UUID, animal_id: UUID, shape: int, color: str, photo_id: UUID | None) -> AnimalName:
    models.Animal.objects.filter(pk=animal_id, household_id=household_id).update(
        shape=shape, color=color, photo_id=photo_id
    )
    return find_animal(household_id=household_id, animal_id=animal_id)
