"""What each day adds up to, kept beside the entries: noted in their transaction, added up when it is asked for."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from fillmark.core.bedside.side import Side
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.ledger import DayLedger, read_day
from fillmark.records import models
from fillmark.records.homes import AnimalName, animals
from fillmark.records.sql import ask, marks
from fillmark.records.written import Wanted, entries_of_animal, read_wanted


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


ROLLED = ("entries", "last_at", "blend_low_ml", "blend_high_ml", "back_low_ml", "back_high_ml", "flush_ml")
_TOUCH = """
    INSERT INTO records_dayrollup (household_id, animal_id, day, entries, last_at, touched_seq) VALUES {rows}
    ON CONFLICT (animal_id, day) DO UPDATE SET touched_seq = excluded.touched_seq
    RETURNING id
"""


def bring_up_to_date(side: Side, new: Sequence[KeptEntry]) -> None:
    """Note every day that these new entries touch: what it adds up to is worked out when it is asked for.

    So one more entry costs the same, however many its day already holds.

    Args:
        side: Their animal's side, with them in it.
        new: The entries; the household is locked.
    """
    touched = {other.day: one.seq for one in new for other in side.history_of(one.entry.id)}
    rows = [(side.home.id, side.animal_id, day, 0, side.now, seq) for day, seq in sorted(touched.items())]
    if rows:
        places = ", ".join([f"({marks(6)})"] * len(rows))
        ask(_TOUCH.format(rows=places), [value for row in rows for value in row])


def add_up_touched(*, household_id: UUID, animal_id: UUID, first: date, last: date, now: datetime) -> None:
    """Add up those of these days that entries have touched since; what touches one meanwhile is not overlooked."""
    rows = models.DayRollup.objects.filter(animal_id=animal_id, household_id=household_id, day__range=(first, last))
    touched = dict(rows.exclude(touched_seq=None).values_list("day", "touched_seq"))
    if not touched:
        return
    entries = read_wanted(Wanted(days=list(touched)), household_id=household_id, animal_id=animal_id)
    for day, seq in touched.items():
        ledger = read_day(day=day, entries=entries, planned_ml={}, now=now)
        row = rows.filter(day=day, touched_seq=seq)
        if ledger.last_at is None:
            row.delete()
        else:
            row.update(touched_seq=None, **_rolled(ledger))


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


def rollups(*, household_id: UUID, animal_id: UUID, first: date, last: date, now: datetime) -> tuple[Rollup, ...]:
    """The sums of these days, oldest first; a day without entries has none."""
    add_up_touched(household_id=household_id, animal_id=animal_id, first=first, last=last, now=now)
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
    """The days whose kept sums are not those of their entries; one that is to be added up anew keeps none."""
    found = []
    for animal in animals(household_id):
        rows = models.DayRollup.objects.filter(household_id=household_id, animal_id=animal.id)
        kept = {row.pop("day"): row for row in rows.values("day", "touched_seq", *ROLLED)}
        waiting = {day for day, row in kept.items() if row.pop("touched_seq") is not None}
        right = dict(_sums_of_days(animal, now))
        days = sorted((kept.keys() | right.keys()) - waiting)
        found += [(animal, day) for day in days if kept.get(day) != right.get(day)]
    return tuple(found)


def _sums_of_days(animal: AnimalName, now: datetime) -> Iterator[tuple[date, dict[str, object]]]:
    """What each of an animal's days adds up to; all of its entries are read once."""
    together = _Groups()
    for one in entries_of_animal(household_id=animal.household_id, animal_id=animal.id):
        together.add(one)
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
