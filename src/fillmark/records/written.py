"""Reading entries. What comes out is always a frozen value of the core."""

import json
import logging
from collections.abc import Collection, Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from typing import Any
from uuid import UUID

from django.db import connection
from django.db.models import Q, QuerySet
from pydantic import ValidationError

from fillmark.core.record.entries import Entry, KeptEntry
from fillmark.core.record.entries import kinds as all_kinds
from fillmark.core.record.unreadable import CannotBeRead
from fillmark.core.values.typed import is_in_these_years
from fillmark.records import models
from fillmark.records.search import WORDLESS_KINDS, may_hold_words
from fillmark.records.sql import among, ask, day_of, instant_of, marks, role_of, uuid_of

_FIELDS = (
    *("pk", "household_id", "animal_id", "seq", "at", "zone", "day", "recorded_at"),
    *("by_id", "device", "payload", "corrects", "by__name", "by__role"),
)
_log = logging.getLogger(__name__)
COLUMNS = "id, household_id, animal_id, seq, at, zone, day, recorded_at, by_id, device, payload, corrects"
_KEPT_PARSED = 4096


def _rows() -> QuerySet[models.Entry, tuple[Any, ...]]:
    return models.Entry.objects.values_list(*_FIELDS)


def kept_of(row: tuple[Any, ...]) -> KeptEntry:
    """An entry of these columns, the writer's name and role last."""
    entry_id, _, animal_id, seq, at, zone, day, recorded_at, by, device, payload, corrects, name, role = row
    entry = _parse(entry_id, animal_id, at, zone, device, payload, corrects)
    filed_on, came_at = day_of(day), instant_of(recorded_at)
    if isinstance(entry.payload, CannotBeRead) or not is_in_these_years(filed_on) or not is_in_these_years(came_at):
        entry, filed_on, came_at = _unreadable(entry, day=filed_on, recorded_at=came_at)
    return KeptEntry(
        entry=entry,
        seq=seq,
        day=filed_on,
        by=uuid_of(by),
        by_name=name,
        by_role=role_of(role),
        recorded_at=came_at,
    )


_LONG_AGO = datetime(2000, 1, 1, tzinfo=UTC)


def _unreadable(entry: Entry, *, day: date, recorded_at: datetime) -> tuple[Entry, date, datetime]:
    """What is shown in the place of a row that this version cannot read: one row never closes a page.

    It corrects nothing: what it would have put in the place of a readable entry is not known. That one still counts.
    """
    came_at = recorded_at if is_in_these_years(recorded_at) else _LONG_AGO
    at = entry.at if _is_near(entry.at) else came_at
    what = entry.payload if isinstance(entry.payload, CannotBeRead) else CannotBeRead.of(entry.kind)
    shown = entry.model_copy(update={"payload": what, "at": at, "corrects": None})
    filed_on = day if is_in_these_years(day) else at.date()
    return shown, filed_on, came_at


def _is_near(at: datetime) -> bool:
    return is_in_these_years(at) and all(is_in_these_years(at + timedelta(days=days)) for days in (-2, 2))


# An entry never changes, and all that it is made of is asked for: what comes out is never older than the record.
@lru_cache(maxsize=_KEPT_PARSED)
def _parse(entry_id: Any, animal_id: Any, at: Any, zone: str, device: str, payload: str, corrects: Any) -> Entry:
    # Read with the device's own zone again, so that what comes out is what went in.
    instant = instant_of(at)
    written_at = instant.astimezone(UTC) if _is_near(instant) else instant
    document = (
        f'{{"id":"{entry_id}","animal_id":"{animal_id}","at":"{written_at.isoformat()}",'
        f'"zone":{json.dumps(zone)},"device":{json.dumps(device)},"payload":{payload},'
        f'"corrects":{json.dumps(str(corrects)) if corrects else "null"}}}'
    )
    try:
        return Entry.model_validate_json(document)
    except ValidationError as error:
        _log.warning("The entry %s cannot be read: %s", entry_id, error.errors(include_url=False)[0]["msg"])
        return Entry.model_construct(
            id=uuid_of(entry_id),
            animal_id=uuid_of(animal_id),
            at=instant_of(at),
            zone="UTC",
            device="",
            payload=CannotBeRead.of(_kind_of(payload)),
            corrects=None,
        )


def _kind_of(payload: str) -> str:
    """The kind that a payload says it is, as far as it can be read."""
    with suppress(ValueError, TypeError, KeyError, RecursionError):
        return str(json.loads(payload)["kind"])[:40]
    return "unknown"


def find_entry(*, household_id: UUID, entry_id: UUID) -> KeptEntry | None:
    row = _rows().filter(pk=entry_id, household_id=household_id).first()
    return kept_of(row) if row else None


def last_recorded_at(*, household_id: UUID) -> datetime | None:
    """When the newest entry arrived, by the server's clock of then; none where there is none."""
    rows = models.Entry.objects.filter(household_id=household_id).order_by("-seq")
    return rows.values_list("recorded_at", flat=True).first()


def entries_since(*, household_id: UUID, seq: int, limit: int) -> tuple[KeptEntry, ...]:
    rows = _rows().filter(household_id=household_id, seq__gt=seq)
    return tuple(kept_of(row) for row in rows.order_by("seq")[:limit])


def entries_from_day(*, household_id: UUID, first: date) -> tuple[KeptEntry, ...]:
    """The entries of this day and later ones, of all animals, in sequence."""
    animal_ids = models.Animal.objects.filter(household_id=household_id).values_list("pk", flat=True)
    rows = _rows().filter(household_id=household_id, animal_id__in=list(animal_ids), day__gte=first)
    return tuple(sorted((kept_of(row) for row in rows), key=lambda one: one.seq))


def corrections_of(entry_ids: Collection[UUID], *, household_id: UUID) -> tuple[KeptEntry, ...]:
    """What takes the place of one of these entries, in sequence, however often that was corrected again."""
    found: dict[UUID, KeptEntry] = {}
    ends = set(entry_ids)
    while ends:
        rows = _rows().filter(household_id=household_id, corrects__in=list(ends)).order_by("seq")
        new = {kept.entry.id: kept for kept in map(kept_of, rows) if kept.entry.id not in found}
        found |= new
        ends = set(new)
    return tuple(found.values())


def days_of(entry_ids: Collection[UUID], *, household_id: UUID) -> dict[UUID, date]:
    """The day each of these entries counts for; left out is what is not here."""
    rows = models.Entry.objects.filter(household_id=household_id, pk__in=list(entry_ids))
    return dict(rows.values_list("pk", "day"))


def entries_of_animal(*, household_id: UUID, animal_id: UUID) -> Iterable[KeptEntry]:
    """Every entry of an animal, in sequence, some at a time."""
    rows = _rows().filter(household_id=household_id, animal_id=animal_id).order_by("seq")
    return (kept_of(row) for row in rows.iterator(chunk_size=500))


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
    # Whose they are is asked of what comes: asked of the database, it would read the whole record of the household.
    rows = _rows().filter(animal_id=animal_id)
    if first is not None:
        rows = rows.filter(day__gte=first)
    if last is not None:
        rows = rows.filter(day__lte=last)
    if kinds:
        rows = rows.filter(kind__in=kinds)
    if by is not None:
        rows = rows.filter(by_id=by)
    if words:
        # what happened is named by its kind ("came back"), and not always by a word in it
        named = [kind for kind in all_kinds() if words.strip().lower().replace(" ", "_") in kind]
        if not set(named) & set(WORDLESS_KINDS):
            rows = rows.extra(where=[may_hold_words(connection.vendor)])  # noqa: S610 - nothing typed is in it
        rows = rows.filter(Q(payload__icontains=words) | Q(kind__in=named))
    if before is not None:
        day, entry_id = before
        rows = rows.filter(day__lte=day).filter(Q(day__lt=day) | Q(pk__lt=entry_id))
    found = rows.order_by("-day", "-pk")[:limit]
    return tuple(kept_of(row) for row in found if row[1] == household_id)


# Entries with what corrects them, in one statement


@dataclass(frozen=True, kw_only=True, slots=True)
class Wanted:
    """Which entries of one animal are asked for; all that corrects them or that they correct comes along.

    Attributes:
        ids: These, of whatever animal and household they are, and those that correct one of them.
        days: All of these days.
        since: All of this day and later ones.
        kinds: Of these kinds, from `kinds_since` to `kinds_until`, both included.
        whenever: Of these kinds, whenever they were: for kinds that are rare.
        standing: Of these kinds, what stands, or stood on a day since `standing_since`.
    """

    ids: Collection[UUID] = ()
    days: Collection[date] = ()
    since: date | None = None
    kinds: Collection[str] = ()
    kinds_since: date = date.min
    kinds_until: date = date.max
    whenever: Collection[str] = ()
    standing: Collection[str] = ()
    standing_since: date | None = None

    @property
    def stood_since(self) -> date:
        """The first day that asks what stood on it; without another word that of `kinds_since`."""
        return self.standing_since or self.kinds_since


_FROM = "SELECT id, corrects FROM records_entry WHERE "


# Each way has its own index: asked for together, the database would read all entries of an animal.
def _parts(wanted: Wanted, animal_id: UUID) -> Iterable[tuple[str, list[object]]]:
    if wanted.ids:
        yield f"id IN ({marks(len(wanted.ids))})", [*wanted.ids]
        yield f"corrects IN ({marks(len(wanted.ids))})", [*wanted.ids]
    if wanted.days:
        yield f"animal_id = %s AND day IN ({marks(len(wanted.days))})", [animal_id, *wanted.days]
    if wanted.since is not None:
        yield "animal_id = %s AND day >= %s", [animal_id, wanted.since]
    if wanted.kinds:
        where = f"animal_id = %s AND kind IN ({marks(len(wanted.kinds))}) AND day BETWEEN %s AND %s"
        yield where, [animal_id, *wanted.kinds, wanted.kinds_since, wanted.kinds_until]
    if wanted.whenever:
        yield f"animal_id = %s AND kind IN ({marks(len(wanted.whenever))})", [animal_id, *wanted.whenever]
    if wanted.standing:
        values = [animal_id, *wanted.standing, wanted.stood_since]
        yield among("id", f"SELECT entry_id FROM records_standing WHERE {standing_where(wanted)}"), values


def standing_where(wanted: Wanted) -> str:
    """Which rows of what stands are asked for; the values are the animal, the kinds and `stood_since`."""
    return f"animal_id = %s AND kind IN ({marks(len(wanted.standing))}) AND until >= %s"


_ENTRY_COLUMNS = ", ".join(f"entry.{name}" for name in COLUMNS.split(", "))
LINKED = "linked"


# One step of corrections, both ways; two corrections of something that has not arrived are linked by its id. A further
# step is another statement: almost never is there one, and a recursive one is planned as if there were thousands.
def _linked() -> str:
    about = among("other.corrects", "SELECT id FROM near UNION SELECT corrects FROM near WHERE corrects IS NOT NULL")
    return f""", linked (id) AS (
        SELECT id FROM near UNION SELECT corrects FROM near WHERE corrects IS NOT NULL
        UNION SELECT other.id FROM records_entry other WHERE {about}
    ) """


def select_wanted(wanted: Wanted, *, animal_id: UUID) -> tuple[str, list[object], str]:
    """The entries as SQL: what stands before the statement, its values, and the statement.

    Its columns are `COLUMNS`, the writer's name and role, and a word that is `LINKED` for what came along with another
    entry.
    """
    parts = list(_parts(wanted, animal_id))
    head = f"WITH near (id, corrects) AS ({' UNION '.join(_FROM + where for where, _ in parts)}){_linked()}"
    tail = (
        f"SELECT {_ENTRY_COLUMNS}, person.name, person.role, "
        f"CASE WHEN entry.id IN (SELECT id FROM near) THEN '' ELSE '{LINKED}' END "
        "FROM records_entry entry JOIN records_person person ON person.id = entry.by_id "
        f"WHERE {among('entry.id', 'SELECT id FROM linked')}"
    )
    return head, [value for _, values in parts for value in values], tail


def read_wanted(wanted: Wanted, *, household_id: UUID, animal_id: UUID) -> tuple[KeptEntry, ...]:
    """These entries of one animal, with all that corrects them or that they correct."""
    head, values, tail = select_wanted(wanted, animal_id=animal_id)
    return complete(ask(head + tail, values), household_id=household_id, animal_id=animal_id)


def complete(rows: Sequence[tuple[Any, ...]], *, household_id: UUID, animal_id: UUID) -> tuple[KeptEntry, ...]:
    """The entries of these rows that are this animal's, with what further steps of corrections lead to.

    Whose they are is not asked of the database: it would read all of the animal's entries to find the few that fit.
    """
    found: dict[UUID, KeptEntry] = {}
    while rows:
        mine = [row for row in rows if uuid_of(row[2]) == animal_id and uuid_of(row[1]) == household_id]
        further = [entry_id for row in mine if row[-1] == LINKED and (entry_id := uuid_of(row[0])) not in found]
        found.update((one.entry.id, one) for one in (kept_of(row[:-1]) for row in mine))
        if not further:
            break
        head, values, tail = select_wanted(Wanted(ids=further), animal_id=animal_id)
        rows = ask(head + tail, values)
    return tuple(found.values())


def entries_of_days(*, household_id: UUID, animal_id: UUID, first: date, last: date) -> tuple[KeptEntry, ...]:
    """The entries of these days, both included, with all that corrects them or that they correct."""
    days = [date.fromordinal(number) for number in range(first.toordinal(), last.toordinal() + 1)]
    return read_wanted(Wanted(days=days), household_id=household_id, animal_id=animal_id)


def entries_of_kinds(*, household_id: UUID, animal_id: UUID, kinds: Sequence[str]) -> tuple[KeptEntry, ...]:
    """Every entry of these kinds, with all that corrects them or that they correct. For kinds that are rare."""
    return read_wanted(Wanted(whenever=kinds), household_id=household_id, animal_id=animal_id)


def entries_around(
    *, household_id: UUID, animal_id: UUID, first: date, last: date, kinds: Sequence[str]
) -> tuple[KeptEntry, ...]:
    """The entries of some kinds on these days, with all that corrects them or that they correct."""
    wanted = Wanted(kinds=kinds, kinds_since=first, kinds_until=last)
    return read_wanted(wanted, household_id=household_id, animal_id=animal_id)


def with_corrections(entries: Sequence[KeptEntry], *, household_id: UUID) -> tuple[KeptEntry, ...]:
    """Entries of one animal, with all that corrects them or that they correct, however often."""
    if not entries:
        return ()
    wanted = Wanted(ids=[one.entry.id for one in entries])
    return read_wanted(wanted, household_id=household_id, animal_id=entries[0].entry.animal_id)
