"""What each day adds up to, kept beside the entries in the same transaction."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from uuid import UUID

from fillmark.core.bedside.side import Side
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
from fillmark.core.record.entries import Entry, KeptEntry
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
from fillmark.core.record.unreadable import CannotBeRead
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
    CannotBeRead,
)


ROLLED = ("entries", "last_at", "blend_low_ml", "blend_high_ml", "back_low_ml", "back_high_ml", "flush_ml")
_ADD_UP = (
    f"INSERT INTO records_dayrollup (household_id, animal_id, day, {', '.join(ROLLED)}) VALUES {{rows}} "
    f"ON CONFLICT (animal_id, day) DO UPDATE SET {', '.join(f'{name} = excluded.{name}' for name in ROLLED)} "
    "RETURNING id"
)


def adds_something_up(entry: Entry) -> bool:
    """Whether the sums of a day depend on it; else it is only counted."""
    return not isinstance(entry.payload, _ADDS_NOTHING_UP)


def bring_up_to_date(side: Side, new: Sequence[KeptEntry]) -> None:
    """Bring the sums of every day that these new entries touch up to date.

    Args:
        side: Their animal's side, with them in it and every entry of the days that they add something up on.
        new: The entries; the household is locked.
    """
    days: set[date] = set()
    counted: dict[date, list[KeptEntry]] = defaultdict(list)
    for one in new:
        together = side.history_of(one.entry.id)
        if len(together) == 1 and not adds_something_up(one.entry):
            counted[one.day].append(one)
        else:
            days |= {other.day for other in together}
    _add_up(side, sorted(days))
    only_counted = [(day, mine) for day, mine in sorted(counted.items()) if day not in days]
    if only_counted:
        rows = [
            (side.home.id, side.animal_id, day, len(mine), max(one.entry.at for one in mine))
            for day, mine in only_counted
        ]
        ask(_COUNT.format(rows=", ".join([f"({marks(5)})"] * len(rows))), [value for row in rows for value in row])


_COUNT = """
    INSERT INTO records_dayrollup (household_id, animal_id, day, entries, last_at) VALUES {rows}
    ON CONFLICT (animal_id, day) DO UPDATE SET
        entries = records_dayrollup.entries + excluded.entries,
        last_at = CASE WHEN excluded.last_at > records_dayrollup.last_at
            THEN excluded.last_at ELSE records_dayrollup.last_at END
    RETURNING id
"""


def _add_up(side: Side, days: Sequence[date]) -> None:
    """Work the sums of these days out of their entries."""
    missing = [day for day in days if not side.is_whole(day)]
    if missing:  # a correction of another day
        more = read_wanted(Wanted(days=missing), household_id=side.home.id, animal_id=side.animal_id)
        kept = {**side.kept, **{one.entry.id: one for one in more}}
        side = replace(side, kept=kept, whole_days=side.whole_days | set(missing))
    rows: list[tuple[object, ...]] = []
    for day in days:
        ledger = read_day(day=day, entries=side.of_days(day, day), planned_ml={}, now=side.now)
        if ledger.last_at is None:
            models.DayRollup.objects.filter(animal_id=side.animal_id, day=day).delete()
        else:
            rows.append((side.home.id, side.animal_id, day, *_rolled(ledger).values()))
    if rows:
        places = ", ".join([f"({marks(3 + len(ROLLED))})"] * len(rows))
        ask(_ADD_UP.format(rows=places), [value for row in rows for value in row])


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
        kept = {row.pop("day"): row for row in rows.values("day", *ROLLED)}
        right = dict(_sums_of_days(animal, now))
        found += [(animal, day) for day in sorted(kept.keys() | right.keys()) if kept.get(day) != right.get(day)]
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
