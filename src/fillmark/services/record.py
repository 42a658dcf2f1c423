"""Keeping what happened: once, in order, for good."""

import secrets
from collections.abc import Collection
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from math import fsum
from uuid import UUID

from django.db import IntegrityError, transaction

from fillmark.core.record.care_entries import BatchChosen, FeedingCleared, FeedingLocked, PhotoTaken
from fillmark.core.record.claims import check_press
from fillmark.core.record.corrections import ShownEntry, counting_entries, show_entries
from fillmark.core.record.day_entries import DayReplanned
from fillmark.core.record.entries import (
    SITTER_KINDS,
    Entry,
    KeptEntry,
    check_clock,
    entry_day,
    household_day,
    make_entry_id,
    session_day,
)
from fillmark.core.record.ledger import DayLedger, read_day
from fillmark.core.record.medicine_entries import (
    BottleOpened,
    MedicineGiven,
    SecondCheck,
    StockCounted,
    StrengthConfirmed,
)
from fillmark.core.record.session_entries import SessionEnded, SessionResumed, SessionStarted
from fillmark.core.record.sessions import Standing, read_session
from fillmark.core.today.new_times import newest_times
from fillmark.core.values.errors import AlreadyRecorded, BadEntry, NotAllowed
from fillmark.core.values.people import Capability, Caregiver, Role, check_may
from fillmark.published.record_rules import CLOCK_AHEAD_MINUTES, LATE_SENDING_DAYS
from fillmark.records import queries
from fillmark.records.queries import Home, Rollup
from fillmark.services import batches, doses, locks, plans, sessions

__all__ = ["Rollup"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Recorded:
    """The acknowledgement of one entry.

    Attributes:
        seq: Its place in the household's sequence.
        was_known: It was in the record before; nothing changed.
        clock_ahead: How far the device's clock runs ahead, where that is worth asking about.
    """

    seq: int
    was_known: bool
    clock_ahead: timedelta | None = None


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
        AlreadyRecorded, HeldByAnother: a fresh press whose screen was overtaken by what others wrote.
        NeedsReason: a fresh press of a dose that the record or the plan speaks against, without a typed reason.
        FeedingIsLocked: a fresh press that would go on feeding while a lock holds.
        BatchNotToBeGiven: a fresh press that would feed from a batch that is too thick or past its last day.
        BadEntry: the same id with another content, a date far ahead, or a medicine of another animal.
        NotAllowed: the person may not record this, or the animal lives elsewhere.
    """
    try:
        return _record(household_id=household_id, by=by, entry=entry, now=now, is_fresh=is_fresh)
    except IntegrityError:  # another household's entry has this id: nothing of it is told
        raise _taken_id(entry) from None


@transaction.atomic
def _record(*, household_id: UUID, by: UUID, entry: Entry, now: datetime, is_fresh: bool) -> Recorded:
    home, caregiver = queries.lock_for_entry(household_id=household_id, person_id=by, animal_id=entry.animal_id)
    known = queries.find_entry(household_id=household_id, entry_id=entry.id)
    if known is not None:
        if known.entry != entry:
            raise _taken_id(entry)
        return Recorded(seq=known.seq, was_known=True)
    ahead = check_clock(entry, now=now)
    _check_may_record(caregiver, entry, home=home, now=now)
    if isinstance(entry.payload, DayReplanned):
        raise BadEntry(
            field="kind",
            got="New times for a day, sent like something that happened",
            allowed="new times that were accepted on their page",
            remedy="Open the page of the new times, and accept them there.",
        )
    if isinstance(entry.payload, _OF_ONE_MEDICINE):
        _check_medicine(entry.payload.medicine, entry=entry, household_id=household_id)
    if is_fresh and entry.session is not None and entry.corrects is None:
        day = session_day(entry.session, day_starts=home.day_starts)
        written = queries.entries_of_days(household_id=home.id, animal_id=entry.animal_id, first=day, last=day)
        state = read_session(session=entry.session, entries=written, now=now)
        locks.check_unlocked(household_id=home.id, entry=entry, record=state, at=now)
        check_press(entry.payload, by=by, record=state)
        batches.check_batch(home=home, entry=entry, standing=state.standing, now=now)
        if isinstance(entry.payload, SessionStarted):
            _check_nothing_stopped(home, entry, now=now)
        if state.standing is Standing.STOPPED and isinstance(entry.payload, SessionResumed | SessionEnded):
            check_may(caregiver, what=Capability.RECORD_ANYTHING, on=day)
    if is_fresh and isinstance(entry.payload, MedicineGiven):
        doses.check_fresh_dose(home=home, caregiver=caregiver, entry=entry, now=now)
    kept = queries.add_entry(home=home, by=by, by_name=caregiver.name, entry=entry, now=now)
    is_worth_asking = ahead > timedelta(minutes=CLOCK_AHEAD_MINUTES.value)
    return Recorded(seq=kept.seq, was_known=False, clock_ahead=ahead if is_worth_asking else None)


def is_recorded(*, household_id: UUID, entry_id: UUID) -> bool:
    """Whether this household's record holds an entry with this id."""
    return queries.find_entry(household_id=household_id, entry_id=entry_id) is not None


def recent_entries(*, household_id: UUID, first: date) -> tuple[KeptEntry, ...]:
    """Everything that counts for this day or a later one, of all animals, in sequence."""
    return queries.entries_from_day(household_id=household_id, first=first)


def last_seq(*, household_id: UUID) -> int:
    """The number of the newest entry; 0 for an empty record."""
    return queries.find_home(household_id=household_id).last_seq


def new_entry_id(*, now: datetime) -> UUID:
    """An id for an entry that is about to be offered as a button: pressed twice, it is still one entry."""
    return make_entry_id(at=now, chance=secrets.token_bytes(10))


def find_entry(*, household_id: UUID, entry_id: UUID) -> KeptEntry | None:
    """One entry of this household's record; none where it does not hold it."""
    return queries.find_entry(household_id=household_id, entry_id=entry_id)


def entry_history(*, household_id: UUID, entry_id: UUID) -> tuple[ShownEntry, ...]:
    """One entry with all that corrects it or that it corrects, oldest first; empty where there is none."""
    kept = queries.find_entry(household_id=household_id, entry_id=entry_id)
    return show_entries(queries.with_corrections([kept])) if kept else ()


def entries_about(*, household_id: UUID, animal_id: UUID, entry_ids: Collection[UUID]) -> tuple[KeptEntry, ...]:
    """The photos that belong to one of these entries and were not taken back, oldest first."""
    photos = queries.entries_of_kinds(household_id=household_id, animal_id=animal_id, kinds=("photo_taken",))
    return tuple(
        one
        for one in counting_entries(photos)
        if isinstance(one.entry.payload, PhotoTaken) and one.entry.payload.about in entry_ids
    )


def entries_since(*, household_id: UUID, seq: int, limit: int = 1000) -> tuple[KeptEntry, ...]:
    """What is new in this household's record after `seq`, in sequence, at most `limit` at a time."""
    return queries.entries_since(household_id=household_id, seq=seq, limit=limit)


def day_entries(*, household_id: UUID, animal_id: UUID, day: date) -> tuple[ShownEntry, ...]:
    """Everything written about one day, in the order it happened, corrected entries still in sight."""
    entries = queries.entries_of_days(household_id=household_id, animal_id=animal_id, first=day, last=day)
    shown = show_entries(entries)
    mine = {one.kept.entry.id for one in shown if one.kept.day == day}
    return tuple(one for one in shown if one.kept.entry.id in mine or one.kept.entry.corrects in mine)


def day_ledger(*, household_id: UUID, animal_id: UUID, day: date, now: datetime) -> DayLedger:
    """What one day adds up to, beside what the plan of that day wanted.

    Raises:
        FillmarkError: the day cannot be worked out of its plan.
    """
    entries = queries.entries_of_days(household_id=household_id, animal_id=animal_id, first=day, last=day)
    planned = plans.planned_sessions(household_id=household_id, animal_id=animal_id, day=day)
    ledger = read_day(
        day=day, entries=entries, planned_ml={session.key: session.meal_ml for session in planned}, now=now
    )
    if not newest_times(entries):
        return ledger
    # a meal that was let go or spread on the day itself changes nothing in what the day was planned to bring
    ordered = plans.ordered_sessions(household_id=household_id, animal_id=animal_id, day=day)
    return replace(ledger, planned_ml=fsum(session.meal_ml for session in ordered))


def days(*, household_id: UUID, animal_id: UUID, first: date, last: date) -> tuple[Rollup, ...]:
    """What each of these days added up to, oldest first; a day without entries has none."""
    return queries.rollups(household_id=household_id, animal_id=animal_id, first=first, last=last)


@transaction.atomic
def rebuild_days(*, household_id: UUID, now: datetime) -> None:
    """Work the kept sums of every day out of the entries again."""
    queries.find_home(household_id=household_id, lock=True)
    queries.rebuild_rollups(household_id=household_id, now=now)


def _taken_id(entry: Entry) -> BadEntry:
    return BadEntry(
        field="id",
        got=f"The id {entry.id}, which an entry that says something else already has",
        allowed="a new id for each entry",
        remedy="Look at the record for what was kept; to change it, send a correction under a new id.",
    )


def _check_may_record(caregiver: Caregiver, entry: Entry, *, home: Home, now: datetime) -> None:
    what = _needs(entry)
    today = household_day(at=now, time_zone=home.time_zone, day_starts=home.day_starts)
    happened_on = entry_day(entry, time_zone=home.time_zone, day_starts=home.day_starts)
    check_may(caregiver, what=what, on=happened_on)
    check_may(caregiver, what=what, on=today, days_late=int(LATE_SENDING_DAYS.value))
    if entry.corrects is None:
        return
    corrected = queries.find_entry(household_id=home.id, entry_id=entry.corrects)
    if corrected is not None and isinstance(corrected.entry.payload, FeedingLocked):
        # To take a lock back is to clear it.
        check_may(caregiver, what=Capability.CLEAR_LOCK, on=today)
    if caregiver.role is not Role.SITTER:
        return
    if corrected is None or corrected.by != caregiver.id:
        raise NotAllowed(
            field="corrects",
            got=f"{caregiver.name} ({caregiver.role.value}) asking to {Capability.CORRECT_OTHERS.value}",
            allowed="a correction of what they wrote themselves",
            remedy="Write a note, or ask a lead of this household.",
        )


def _needs(entry: Entry) -> Capability:
    """What a person must be allowed to, to write this."""
    if isinstance(entry.payload, FeedingCleared):
        return Capability.CLEAR_LOCK
    if isinstance(entry.payload, StrengthConfirmed):
        return Capability.CHANGE_PLAN
    if isinstance(entry.payload, BatchChosen) and entry.payload.reason is not None:
        return Capability.OVERRULE_BATCH
    return Capability.RECORD_SESSION if entry.kind in SITTER_KINDS else Capability.RECORD_ANYTHING


def _check_nothing_stopped(home: Home, entry: Entry, *, now: datetime) -> None:
    """After a stop nothing is started until someone has cleared it."""
    before = sessions.next_and_last(household_id=home.id, animal_id=entry.animal_id, now=now).stopped_before
    if before is not None:
        raise AlreadyRecorded(
            field="session",
            got=f"A start, when the {before[11:]} session was stopped and nobody has cleared it",
            allowed="a start after someone has written down what the vet said",
            remedy=f"Go to the stopped {before[11:]} session first.",
        )


_OF_ONE_MEDICINE = (MedicineGiven, SecondCheck, BottleOpened, StrengthConfirmed, StockCounted)


def _check_medicine(medicine: str, *, entry: Entry, household_id: UUID) -> None:
    """A session belongs to one animal: only medicines that a plan of this animal names can be recorded for it."""
    if plans.is_medicine_of(household_id=household_id, animal_id=entry.animal_id, medicine=medicine, at=entry.at):
        return
    raise BadEntry(
        field="medicine",
        got=f'The medicine "{medicine}", which no plan of this animal names',
        allowed="a medicine of this animal's plan",
        remedy="Check that this is the right animal. If another animal's medicine was given, call the vet now.",
    )
