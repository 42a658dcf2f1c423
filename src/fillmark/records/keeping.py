"""The one place where entries are written."""

from collections.abc import Sequence
from uuid import UUID

from django.db import IntegrityError, transaction

from fillmark.core.record.entries import KeptEntry, write_payload
from fillmark.records.sql import ask, marks
from fillmark.records.written import COLUMNS

_COLUMNS = f"{COLUMNS}, kind, session"
_ROW = f"({marks(len(_COLUMNS.split(', ')))})"
_AT_ONCE = 100


def add_entries(kept: Sequence[KeptEntry], *, household_id: UUID, is_alone: bool) -> tuple[KeptEntry, ...]:
    """Keep these entries under their numbers. The household is locked.

    Args:
        kept: Entries of one animal, numbered without a gap.
        household_id: Whose.
        is_alone: Nothing else is written in this transaction: it may fail with its one entry.
    Raises:
        IntegrityError: the entry that is alone has the id of one that another household writes at the same moment.
    Returns:
        Those that were kept, without a gap in their numbers. Left out is what has the id of an entry that another
        household writes at the same moment: nothing of that one is told.
    """
    if is_alone:
        _insert(kept, household_id=household_id)
        return tuple(kept)
    for place in range(0, len(kept), _AT_ONCE):
        some = kept[place : place + _AT_ONCE]
        try:
            with transaction.atomic():
                _insert(some, household_id=household_id)
        except IntegrityError:
            return (*kept[:place], *_one_by_one(kept[place:], household_id=household_id))
    return tuple(kept)


def _one_by_one(kept: Sequence[KeptEntry], *, household_id: UUID) -> list[KeptEntry]:
    """Each for itself, so that one that cannot be kept does not hurt the others."""
    found: list[KeptEntry] = []
    for one in kept:
        numbered = one.model_copy(update={"seq": kept[0].seq + len(found)})
        try:
            with transaction.atomic():
                _insert([numbered], household_id=household_id)
        except IntegrityError:
            continue
        found.append(numbered)
    return found


def _insert(kept: Sequence[KeptEntry], *, household_id: UUID) -> None:
    values = (value for one in kept for value in _row(one, household_id))
    ask(f"INSERT INTO records_entry ({_COLUMNS}) VALUES {', '.join([_ROW] * len(kept))} RETURNING seq", values)


def _row(one: KeptEntry, household_id: UUID) -> tuple[object, ...]:
    entry = one.entry
    placed = (entry.id, household_id, entry.animal_id, one.seq, entry.at, entry.zone, one.day, one.recorded_at)
    said = (one.by, entry.device, write_payload(entry), entry.corrects, entry.kind, entry.session or "")
    return placed + said
