"""Keeping what happened: once, in order, for good; and reading it."""

import secrets
from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import date, datetime
from math import fsum
from uuid import UUID

from fillmark.core.bedside.side import Side
from fillmark.core.bedside.versions import worked_out
from fillmark.core.record.care_entries import PhotoTaken
from fillmark.core.record.corrections import ShownEntry, counting_entries, show_entries
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.record.entries import Entry, KeptEntry, make_entry_id
from fillmark.core.record.ledger import DayLedger, read_day
from fillmark.core.today.replanned import newest_times
from fillmark.core.values.errors import FillmarkError
from fillmark.records import homes, rollups, written
from fillmark.records.rollups import Rollup
from fillmark.services import bedside
from fillmark.services.bedside import Answer, Recorded

__all__ = ["Answer", "Recorded", "Rollup"]


def record_entry(*, household_id: UUID, by: UUID, entry: Entry, now: datetime, is_fresh: bool = False) -> Recorded:
    """Keep one fact. Once this returns, it is on the disk; sending it again changes nothing.

    Args:
        household_id: Whose record.
        by: The person who writes it.
        entry: What happened.
        now: The present instant.
        is_fresh: It is pressed now, by a person who can still be asked; what a phone wrote while it had no signal is
            not, and is kept whatever the record holds meanwhile.
    Raises:
        BadEntry: the same id with another content.
        NotAllowed: the person or the animal lives elsewhere.
        FillmarkError: it may not be written; see `check_press`.
    """
    fresh = frozenset({entry.id} if is_fresh else ())
    return bedside.keep_together(household_id=household_id, by=by, entries=[entry], now=now, fresh=fresh)[0]


def record_entries(
    *, household_id: UUID, by: UUID, entries: Sequence[Entry], now: datetime, fresh: Collection[UUID] = ()
) -> tuple[Answer, ...]:
    """Keep a list of facts in one transaction, and answer for each; see `record_entry`.

    Args:
        household_id: Whose record.
        by: The person who writes them.
        entries: What happened, in the order it was pressed.
        now: The present instant.
        fresh: The ids of those that are pressed now.
    """
    return bedside.keep(household_id=household_id, by=by, entries=entries, now=now, fresh=fresh) if entries else ()


def is_recorded(*, household_id: UUID, entry_id: UUID) -> bool:
    """Whether this household's record holds an entry with this id."""
    return written.find_entry(household_id=household_id, entry_id=entry_id) is not None


def recent_entries(*, household_id: UUID, first: date) -> tuple[KeptEntry, ...]:
    """Everything written for this day or a later one, of all animals, with what takes its place since, in sequence."""
    found = {one.entry.id: one for one in written.entries_from_day(household_id=household_id, first=first)}
    found |= {one.entry.id: one for one in written.corrections_of(found.keys(), household_id=household_id)}
    return tuple(sorted(found.values(), key=lambda one: one.seq))


def only_of_days(entries: Sequence[KeptEntry], *, household_id: UUID, first: date) -> tuple[KeptEntry, ...]:
    """Those of this day or a later one, and what takes the place of one of them: nothing that tells of an older day.

    Args:
        entries: Of this household.
        household_id: Which.
        first: The first day.
    """
    days = {one.entry.id: one.day for one in entries}
    elsewhere = {one.entry.corrects for one in entries if one.entry.corrects} - days.keys()
    days |= written.days_of(elsewhere, household_id=household_id)

    def is_theirs(one: KeptEntry) -> bool:
        corrected = days.get(one.entry.corrects) if one.entry.corrects else None
        if isinstance(one.entry.payload, Withdrawn):  # it lies on the day it was pressed, and tells of another one
            return one.day >= first and (corrected is None or corrected >= first)
        return one.day >= first or (corrected is not None and corrected >= first)

    return tuple(one for one in entries if is_theirs(one))


def last_seq(*, household_id: UUID) -> int:
    """The number of the newest entry; 0 for an empty record."""
    return homes.find_home(household_id=household_id).last_seq


def new_entry_id(*, now: datetime) -> UUID:
    """An id for an entry that is about to be offered as a button: pressed twice, it is still one entry."""
    return make_entry_id(at=now, chance=secrets.token_bytes(10))


def find_entry(*, household_id: UUID, entry_id: UUID) -> KeptEntry | None:
    """One entry of this household's record; none where it does not hold it."""
    return written.find_entry(household_id=household_id, entry_id=entry_id)


def entry_history(*, household_id: UUID, entry_id: UUID) -> tuple[ShownEntry, ...]:
    """One entry with all that corrects it or that it corrects, oldest first; empty where there is none."""
    kept = written.find_entry(household_id=household_id, entry_id=entry_id)
    return show_entries(written.with_corrections([kept], household_id=household_id)) if kept else ()


def entries_about(*, household_id: UUID, animal_id: UUID, entry_ids: Collection[UUID]) -> tuple[KeptEntry, ...]:
    """The photos that belong to one of these entries and were not taken back, oldest first."""
    photos = written.entries_of_kinds(household_id=household_id, animal_id=animal_id, kinds=("photo_taken",))
    return tuple(
        one
        for one in counting_entries(photos)
        if isinstance(one.entry.payload, PhotoTaken) and one.entry.payload.about in entry_ids
    )


def entries_since(*, household_id: UUID, seq: int, limit: int = 1000) -> tuple[KeptEntry, ...]:
    """What is new in this household's record after `seq`, in sequence, at most `limit` at a time."""
    return written.entries_since(household_id=household_id, seq=seq, limit=limit)


def day_entries(side: Side, *, day: date) -> tuple[ShownEntry, ...]:
    """Everything written about one day, in the order it happened, corrected entries still in sight."""
    shown = show_entries(bedside.widen(side, days=[day]).of_days(day, day))
    mine = {one.kept.entry.id for one in shown if one.kept.day == day}
    return tuple(one for one in shown if one.kept.entry.id in mine or one.kept.entry.corrects in mine)


def day_ledger(side: Side, *, day: date) -> DayLedger:
    """What one day adds up to, beside what its plan wanted; beside nothing, where no day can be worked out of it."""
    side = bedside.widen(side, days=[day])
    entries = side.of_days(day, day)
    new = newest_times(entries)
    planned = side.sessions_of_days(day, day, new=new)[day]
    if isinstance(planned, FillmarkError):  # what was given is shown all the same
        return read_day(day=day, entries=entries, planned_ml={}, now=side.now)
    ledger = read_day(
        day=day, entries=entries, planned_ml={session.key: session.meal_ml for session in planned}, now=side.now
    )
    if not new:
        return ledger
    # a meal that was skipped or spread on the day itself changes nothing in what the day was planned to bring
    ordered = worked_out(side.sessions_of_days(day, day, new={})[day])
    return replace(ledger, planned_ml=fsum(session.meal_ml for session in ordered))


def days(*, household_id: UUID, animal_id: UUID, first: date, last: date, now: datetime) -> tuple[Rollup, ...]:
    """What each of these days added up to, oldest first; a day without entries has none."""
    return rollups.rollups(household_id=household_id, animal_id=animal_id, first=first, last=last, now=now)
