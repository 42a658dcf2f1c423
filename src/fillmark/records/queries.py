"""Reading and writing the tables. What comes out is always a frozen value of the core."""

import json
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from functools import lru_cache
from uuid import UUID

from django.db.models import F, Max, Q, QuerySet, Value
from django.db.models.functions import Greatest

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import read_plan
from fillmark.core.record.care_entries import (
    BatchChosen,
    Drank,
    FeedingCleared,
    FeedingLocked,
    FlowTested,
    FoodKept,
    Note,
    PhotoTaken,
    SheetPrinted,
    TroubleSeen,
    Weighed,
)
from fillmark.core.record.entries import Entry, KeptEntry, entry_day, write_payload
from fillmark.core.record.ledger import DayLedger, read_day
from fillmark.core.record.medicine_entries import EffectSeen
from fillmark.core.record.session_entries import (
    SessionEnded,
    SessionPaused,
    SessionResumed,
    SessionStarted,
    SessionTaken,
    StepDone,
    StepSkipped,
)
from fillmark.core.values.errors import NotAllowed
from fillmark.core.values.people import Caregiver, Role
from fillmark.records import models


@dataclass(frozen=True, kw_only=True, slots=True)
class Home:
    """A household, as far as the record needs it; `last_seq` is the number of its newest entry."""

    id: UUID
    name: str
    time_zone: str
    day_starts: time
    last_seq: int


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


@dataclass(frozen=True, kw_only=True, slots=True)
class StoredPhoto:
    """A photo as it is kept; `is_own` when it is the animal's own, in its emblem."""

    id: UUID
    animal_id: UUID
    recorded_at: datetime
    jpeg: bytes
    small_jpeg: bytes
    is_own: bool


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
    def plan(self) -> CarePlan:
        """The document as a value."""
        return _read_plan(self.document)


@lru_cache(maxsize=256)
def _read_plan(document: str) -> CarePlan:
    return read_plan(document.encode(), kind="json")


@dataclass(frozen=True, kw_only=True, slots=True)
class Rollup:
    """What one day adds up to [mL], as kept beside the entries."""

    day: date
    entries: int
    last_at: datetime
    blend_low_ml: float | None
    blend_high_ml: float | None
    back_low_ml: float | None
    back_high_ml: float | None
    flush_ml: float | None


def _not_here(what: str, wanted: object) -> NotAllowed:
    return NotAllowed(
        field=what,
        got=f"The {what} {wanted}",
        allowed=f"a {what} of your own household",
        remedy="Go back to the first screen and choose again.",
    )


def _home(row: models.Household) -> Home:
    return Home(
        id=row.pk, name=row.name, time_zone=row.time_zone, day_starts=row.day_starts_clock, last_seq=row.last_seq
    )


def find_home(*, household_id: UUID, lock: bool = False) -> Home:
    """The household; with `lock`, nobody else records in it until this transaction ends.

    Raises:
        NotAllowed: there is none.
    """
    rows = models.Household.objects.filter(pk=household_id)
    row = (rows.select_for_update() if lock else rows).first()
    if row is None:
        raise _not_here("household", household_id)
    return _home(row)


def add_home(*, name: str, time_zone: str, day_starts: time) -> Home:
    row = models.Household.objects.create(name=name, time_zone=time_zone, day_starts_clock=day_starts)
    return _home(row)


def set_home(*, household_id: UUID, name: str, time_zone: str, day_starts: time) -> Home:
    models.Household.objects.filter(pk=household_id).update(name=name, time_zone=time_zone, day_starts_clock=day_starts)
    return find_home(household_id=household_id)


def all_homes() -> tuple[Home, ...]:
    return tuple(_home(row) for row in models.Household.objects.order_by("name"))


def lock_for_entry(*, household_id: UUID, person_id: UUID, animal_id: UUID) -> tuple[Home, Caregiver]:
    """The household, locked until this transaction ends, and one of its people, to record about one of its animals.

    Raises:
        NotAllowed: there is no such household, or the person or the animal does not belong to it.
    """
    rows = models.Person.objects.select_related("household").select_for_update(of=("household",))
    row = rows.filter(pk=person_id, household_id=household_id, household__animals=animal_id).first()
    if row is None:
        find_home(household_id=household_id)
        find_caregiver(household_id=household_id, person_id=person_id)
        raise _not_here("animal", animal_id)
    return _home(row.household), _caregiver(row)


def _caregiver(row: models.Person) -> Caregiver:
    return Caregiver(
        id=row.pk,
        household_id=row.household_id,
        name=row.name,
        role=Role(row.role),
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
        raise _not_here("person", person_id)
    return _caregiver(row)


def caregiver_of_user(user_id: int) -> Caregiver | None:
    row = models.Person.objects.filter(user_id=user_id).first()
    return _caregiver(row) if row else None


def user_of(person_id: UUID) -> int:
    return models.Person.objects.values_list("user_id", flat=True).get(pk=person_id)


def caregivers(household_id: UUID) -> tuple[Caregiver, ...]:
    return tuple(_caregiver(row) for row in models.Person.objects.filter(household_id=household_id).order_by("name"))


def add_person(
    *, household_id: UUID, user_id: int, name: str, role: Role, from_on: date | None, until_on: date | None
) -> Caregiver:
    row = models.Person(
        household_id=household_id, user_id=user_id, name=name, role=role.value, from_on=from_on, until_on=until_on
    )
    caregiver = _caregiver(row)
    row.save(force_insert=True)
    return caregiver


def members(*, household_id: UUID, now: datetime) -> tuple[Member, ...]:
    """Everybody who is or was a caregiver here, by name."""
    still = Q(signinlink__used_at=None, signinlink__expires_at__gt=now)
    rows = models.Person.objects.filter(household_id=household_id).select_related("user").order_by("name")
    return tuple(
        Member(
            caregiver=_caregiver(row),
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
    caregiver = _caregiver(row)
    row.save()
    return caregiver


def find_animal(*, household_id: UUID, animal_id: UUID) -> AnimalName:
    """The animal, if it lives in this household.

    Raises:
        NotAllowed: it does not.
    """
    row = models.Animal.objects.filter(pk=animal_id, household_id=household_id).first()
    if row is None:
        raise _not_here("animal", animal_id)
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


# Photos


def add_photo(
    *, household_id: UUID, animal_id: UUID, by: UUID, photo_id: UUID, jpeg: bytes, small_jpeg: bytes, now: datetime
) -> None:
    models.Photo(
        id=photo_id,
        household_id=household_id,
        animal_id=animal_id,
        by_id=by,
        recorded_at=now,
        jpeg=jpeg,
        small_jpeg=small_jpeg,
    ).save()


def find_photo(*, household_id: UUID, photo_id: UUID) -> StoredPhoto | None:
    row = models.Photo.objects.select_related("animal").filter(pk=photo_id, household_id=household_id).first()
    if row is None:
        return None
    return StoredPhoto(
        id=row.pk,
        animal_id=row.animal_id,
        recorded_at=row.recorded_at,
        jpeg=bytes(row.jpeg),
        small_jpeg=bytes(row.small_jpeg),
        is_own=row.animal.photo_id == row.pk,
    )


# Plans


def _plan(row: models.PlanVersion) -> StoredPlan:
    return StoredPlan(
        id=row.pk,
        household_id=row.household_id,
        animal_id=row.animal_id,
        number=row.number,
        document=row.document,
        effective_from=row.effective_from,
        confirmed_by=row.confirmed_by_id,
        vet_words=row.vet_words,
        vet_said_on=row.vet_said_on,
        recorded_at=row.recorded_at,
    )


def add_plan(
    *,
    household_id: UUID,
    animal_id: UUID,
    document: str,
    effective_from: datetime,
    confirmed_by: UUID,
    vet_words: str,
    vet_said_on: date,
    now: datetime,
) -> StoredPlan:
    """Keep one more version of this animal's plan; its number is one higher than the last. The household is locked."""
    last = models.PlanVersion.objects.filter(animal_id=animal_id).order_by("-number").first()
    row = models.PlanVersion(
        household_id=household_id,
        animal_id=animal_id,
        number=last.number + 1 if last else 1,
        document=document,
        effective_from=effective_from,
        confirmed_by_id=confirmed_by,
        vet_words=vet_words,
        vet_said_on=vet_said_on,
        recorded_at=now,
    )
    row.save()
    return _plan(row)


def plan_at(*, household_id: UUID, animal_id: UUID, at: datetime) -> StoredPlan | None:
    """The version in force at an instant: of those in effect by then, the one adopted last."""
    rows = models.PlanVersion.objects.filter(household_id=household_id, animal_id=animal_id, effective_from__lte=at)
    row = rows.order_by("-number").first()
    return _plan(row) if row else None


def plans_during(
    *, household_id: UUID, animal_id: UUID, first_at: datetime, last_at: datetime
) -> tuple[StoredPlan, ...]:
    """The versions in force at some time between two instants, in the order they came into force.

    One that another, adopted later, replaces from the same or an earlier instant on was never in force.
    """
    rows = models.PlanVersion.objects.filter(
        household_id=household_id, animal_id=animal_id, effective_from__lt=last_at
    ).order_by("-number")
    found: list[StoredPlan] = []
    for row in rows:
        if not found or row.effective_from < found[-1].effective_from:
            found.append(_plan(row))
            if row.effective_from <= first_at:
                break
    return tuple(reversed(found))


def plans_of(*, household_id: UUID, animal_id: UUID) -> tuple[StoredPlan, ...]:
    rows = models.PlanVersion.objects.filter(household_id=household_id, animal_id=animal_id).order_by("number")
    return tuple(_plan(row) for row in rows)


# Entries


def _entries() -> QuerySet[models.Entry]:
    return models.Entry.objects.select_related("by")


def _kept(row: models.Entry) -> KeptEntry:
    # Read with the device's own zone again, so that what comes out is what went in.
    document = (
        f'{{"id":"{row.pk}","animal_id":"{row.animal_id}","at":"{row.at.isoformat()}","zone":"{row.zone}",'
        f'"device":{_json(row.device)},"payload":{row.payload},'
        f'"corrects":{_json(str(row.corrects)) if row.corrects else "null"}}}'
    )
    return KeptEntry(
        entry=Entry.model_validate_json(document),
        seq=row.seq,
        day=row.day,
        by=row.by_id,
        by_name=row.by.name,
        recorded_at=row.recorded_at,
    )


def _json(text: str) -> str:
    return json.dumps(text)


def find_entry(*, household_id: UUID, entry_id: UUID) -> KeptEntry | None:
    row = _entries().filter(pk=entry_id, household_id=household_id).first()
    return _kept(row) if row else None


def add_entry(*, home: Home, by: UUID, by_name: str, entry: Entry, now: datetime) -> KeptEntry:
    """Keep one more entry under the household's next number, and bring its days up to date. The household is locked.

    Raises:
        IntegrityError: another household's entry has this id; the transaction cannot go on.
    """
    row = models.Entry(
        id=entry.id,
        household_id=home.id,
        animal_id=entry.animal_id,
        seq=home.last_seq + 1,
        kind=entry.kind,
        at=entry.at,
        zone=entry.zone,
        day=entry_day(entry, time_zone=home.time_zone, day_starts=home.day_starts),
        session=entry.session or "",
        recorded_at=now,
        by_id=by,
        device=entry.device,
        payload=write_payload(entry),
        corrects=entry.corrects,
    )
    row.save()
    models.Household.objects.filter(pk=home.id).update(last_seq=row.seq)
    kept = KeptEntry(entry=entry, seq=row.seq, day=row.day, by=by, by_name=by_name, recorded_at=now)
    _bring_up_to_date(home.id, kept, now)
    return kept


def entries_since(*, household_id: UUID, seq: int, limit: int) -> tuple[KeptEntry, ...]:
    rows = _entries().filter(household_id=household_id, seq__gt=seq)
    return tuple(_kept(row) for row in rows.order_by("seq")[:limit])


def entries_from_day(*, household_id: UUID, first: date) -> tuple[KeptEntry, ...]:
    """The entries of this day and later ones, of all animals, in sequence."""
    animal_ids = models.Animal.objects.filter(household_id=household_id).values_list("pk", flat=True)
    rows = _entries().filter(household_id=household_id, animal_id__in=list(animal_ids), day__gte=first)
    return tuple(sorted((_kept(row) for row in rows), key=lambda one: one.seq))


def entries_of_days(*, household_id: UUID, animal_id: UUID, first: date, last: date) -> tuple[KeptEntry, ...]:
    """The entries of these days, both included, with all that corrects them or that they correct."""
    rows = _entries().filter(household_id=household_id, animal_id=animal_id, day__range=(first, last))
    return _with_corrections([_kept(row) for row in rows], animal_id=animal_id)


def entries_of_kinds(*, household_id: UUID, animal_id: UUID, kinds: Sequence[str]) -> tuple[KeptEntry, ...]:
    """Every entry of these kinds, with all that corrects them or that they correct. For kinds that are rare."""
    return _of_household(household_id, _entries().filter(animal_id=animal_id, kind__in=kinds), animal_id=animal_id)


def entries_of_kind(*, household_id: UUID, animal_id: UUID, kind: str) -> tuple[KeptEntry, ...]:
    """Every entry of one kind about one animal, with all that corrects them."""
    return _of_household(household_id, _entries().filter(animal_id=animal_id, kind=kind), animal_id=animal_id)


def entries_around(
    *, household_id: UUID, animal_id: UUID, first: date, last: date, kinds: Sequence[str], whenever: Sequence[str]
) -> tuple[KeptEntry, ...]:
    """The entries of some kinds on these days, and those of other, rare kinds whenever they were, with all that
    corrects them or that they correct.
    """
    mine = _entries().filter(animal_id=animal_id)
    rows = mine.filter(kind__in=kinds, day__range=(first, last)).union(mine.filter(kind__in=whenever), all=True)
    return _of_household(household_id, rows, animal_id=animal_id)


def _of_household(household_id: UUID, rows: Iterable[models.Entry], *, animal_id: UUID) -> tuple[KeptEntry, ...]:
    """These rows with all that corrects them, where they belong to this household.

    Checked here, not asked of the database: SQLite would take the household's index and read all of its entries.
    """
    return _with_corrections([_kept(row) for row in rows if row.household_id == household_id], animal_id=animal_id)


def find_entries(
    *,
    household_id: UUID,
    animal_id: UUID,
    first: date | None,
    last: date | None,
    kinds: Sequence[str],
    by: UUID | None,
    words: str,
    before: tuple[date, UUID] | None,
    limit: int,
) -> tuple[KeptEntry, ...]:
    """Entries that fit, newest first: by their day, then by the moment their button was pressed.

    Args:
        household_id: Whose.
        animal_id: Of which animal.
        first: From this day on.
        last: Up to this day.
        kinds: Of one of these kinds; of any where it is empty.
        by: Written by this person.
        words: Holding these words.
        before: Only what stands behind this one (its day and id).
        limit: At most so many.
    """
    rows = _entries().filter(household_id=household_id, animal_id=animal_id)
    if first is not None:
        rows = rows.filter(day__gte=first)
    if last is not None:
        rows = rows.filter(day__lte=last)
    if kinds:
        rows = rows.filter(kind__in=kinds)
    if by is not None:
        rows = rows.filter(by_id=by)
    if words:
        rows = rows.filter(payload__icontains=words)
    if before is not None:
        day, entry_id = before
        rows = rows.filter(day__lte=day).filter(Q(day__lt=day) | Q(pk__lt=entry_id))
    return tuple(_kept(row) for row in rows.order_by("-day", "-pk")[:limit])


def with_corrections(entries: Sequence[KeptEntry]) -> tuple[KeptEntry, ...]:
    """Entries of one animal, with all that corrects them or that they correct, however often."""
    return _with_corrections(entries, animal_id=entries[0].entry.animal_id) if entries else ()


def _with_corrections(entries: Iterable[KeptEntry], *, animal_id: UUID) -> tuple[KeptEntry, ...]:
    found = {one.entry.id: one for one in entries}
    fresh: Sequence[KeptEntry] = tuple(found.values())
    while fresh:
        ids = [one.entry.id for one in fresh]
        missing = {one.entry.corrects for one in fresh if one.entry.corrects} - found.keys()
        rows = list(_entries().filter(corrects__in=[*ids, *missing]))
        if missing:
            rows += _entries().filter(pk__in=missing)
        # Not asked of the database: it would read all of the animal's entries to find the few that fit.
        mine = [_kept(row) for row in rows if row.animal_id == animal_id]
        fresh = [one for one in mine if one.entry.id not in found]
        found.update((one.entry.id, one) for one in fresh)
    return tuple(found.values())


# Rollups

_ADDS_NOTHING_UP = (
    SessionStarted,
    SessionTaken,
    StepDone,
    StepSkipped,
    SessionPaused,
    SessionResumed,
    SessionEnded,
    Note,
    SheetPrinted,
    Weighed,
    EffectSeen,
    FeedingLocked,
    Drank,
    FlowTested,
    BatchChosen,
    FoodKept,
    FeedingCleared,
    TroubleSeen,
    PhotoTaken,
)


def _bring_up_to_date(household_id: UUID, kept: KeptEntry, now: datetime) -> None:
    """Bring the sums of every day that this entry touches up to date."""
    animal_id = kept.entry.animal_id
    together = _with_corrections([kept], animal_id=animal_id)
    if len(together) == 1 and isinstance(kept.entry.payload, _ADDS_NOTHING_UP):
        changed = models.DayRollup.objects.filter(animal_id=animal_id, day=kept.day).update(
            entries=F("entries") + 1, last_at=Greatest("last_at", Value(kept.entry.at))
        )
        if changed:
            return
    for day in {one.day for one in together}:
        _roll_up(household_id, animal_id, day, now)


def _roll_up(household_id: UUID, animal_id: UUID, day: date, now: datetime) -> None:
    entries = entries_of_days(household_id=household_id, animal_id=animal_id, first=day, last=day)
    ledger = read_day(day=day, entries=entries, planned_ml={}, now=now)
    rows = models.DayRollup.objects.filter(animal_id=animal_id, day=day)
    if ledger.last_at is None:
        rows.delete()
        return
    values = _rolled(ledger)
    if not rows.update(**values):
        models.DayRollup.objects.create(household_id=household_id, animal_id=animal_id, day=day, **values)


def _rolled(ledger: DayLedger) -> dict[str, object]:
    return {
        "entries": ledger.entries,
        "last_at": ledger.last_at,
        "blend_low_ml": ledger.blend and ledger.blend.low_ml,
        "blend_high_ml": ledger.blend and ledger.blend.high_ml,
        "back_low_ml": ledger.back and ledger.back.low_ml,
        "back_high_ml": ledger.back and ledger.back.high_ml,
        "flush_ml": ledger.flush and ledger.flush.high_ml,
    }


def rollups(*, household_id: UUID, animal_id: UUID, first: date, last: date) -> tuple[Rollup, ...]:
    """The kept sums of these days, oldest first; a day without entries has none."""
    rows = models.DayRollup.objects.filter(
        household_id=household_id, animal_id=animal_id, day__range=(first, last)
    ).order_by("day")
    return tuple(
        Rollup(
            day=row.day,
            entries=row.entries,
            last_at=row.last_at,
            blend_low_ml=row.blend_low_ml,
            blend_high_ml=row.blend_high_ml,
            back_low_ml=row.back_low_ml,
            back_high_ml=row.back_high_ml,
            flush_ml=row.flush_ml,
        )
        for row in rows
    )


def rebuild_rollups(*, household_id: UUID, now: datetime) -> None:
    """Throw the kept sums away and work them out of the entries again. The household is locked."""
    models.DayRollup.objects.filter(household_id=household_id).delete()
    for animal in animals(household_id):
        made = [
            models.DayRollup(household_id=household_id, animal_id=animal.id, day=day, **values)
            for day, values in _sums_of_days(animal, now)
        ]
        models.DayRollup.objects.bulk_create(made, batch_size=500)


def days_that_do_not_add_up(*, household_id: UUID, now: datetime) -> tuple[tuple[AnimalName, date], ...]:
    """The days whose kept sums are not those of their entries."""
    found = []
    for animal in animals(household_id):
        rows = models.DayRollup.objects.filter(household_id=household_id, animal_id=animal.id)
        kept = {row.pop("day"): row for row in rows.values("day", *_ROLLED)}
        right = dict(_sums_of_days(animal, now))
        found += [(animal, day) for day in sorted(kept.keys() | right.keys()) if kept.get(day) != right.get(day)]
    return tuple(found)


_ROLLED = ("entries", "last_at", "blend_low_ml", "blend_high_ml", "back_low_ml", "back_high_ml", "flush_ml")


def _sums_of_days(animal: AnimalName, now: datetime) -> Iterator[tuple[date, dict[str, object]]]:
    """What each of an animal's days adds up to; all of its entries are read once."""
    rows = _entries().filter(household_id=animal.household_id, animal_id=animal.id).order_by("seq")
    together = _Groups()
    for row in rows.iterator(chunk_size=500):
        together.add(_kept(row))
    for day, entries in sorted(together.by_day().items()):
        ledger = read_day(day=day, entries=entries, planned_ml={}, now=now)
        if ledger.last_at is not None:
            yield day, _rolled(ledger)


class _Groups:
    """Entries, each with all that corrects it or that it corrects, however often."""

    def __init__(self) -> None:
        self._first: dict[UUID, UUID] = {}
        self._entries: list[KeptEntry] = []

    def add(self, kept: KeptEntry) -> None:
        self._entries.append(kept)
        self._first[self._root(kept.entry.id)] = self._root(kept.entry.corrects or kept.entry.id)

    def _root(self, entry_id: UUID) -> UUID:
        while (above := self._first.setdefault(entry_id, entry_id)) != entry_id:
            entry_id = above
        return entry_id

    def by_day(self) -> dict[date, list[KeptEntry]]:
        """For each day, its entries with everything of other days that belongs to them."""
        groups: dict[UUID, list[KeptEntry]] = defaultdict(list)
        for one in self._entries:
            groups[self._root(one.entry.id)].append(one)
        days: dict[date, list[KeptEntry]] = defaultdict(list)
        for group in groups.values():
            for day in {one.day for one in group}:
                days[day] += group
        return days


# Sign-in links


def add_link(*, household_id: UUID, person_id: UUID, token_hash: str, expires_at: datetime) -> None:
    models.SignInLink.objects.create(
        household_id=household_id, person_id=person_id, token_hash=token_hash, expires_at=expires_at
    )


def drop_links(*, household_id: UUID, person_id: UUID) -> None:
    """No link made for this person until now signs them in any more."""
    models.SignInLink.objects.filter(household_id=household_id, person_id=person_id, used_at=None).delete()


def use_link(*, token_hash: str, now: datetime) -> Caregiver | None:
    """The person a link is for, if it still holds; it holds no more after this, even if two try at once."""
    rows = models.SignInLink.objects.filter(token_hash=token_hash, used_at=None, expires_at__gt=now)
    if not rows.update(used_at=now):
        return None
    return _caregiver(models.SignInLink.objects.select_related("person").get(pk=token_hash).person)
