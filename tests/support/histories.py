"""Histories as three people of different rights may write them on phones whose clocks jump, in any order of arrival."""

import random
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID

from fillmark.core.record.care_entries import FeedingCleared, FeedingLocked, Note
from fillmark.core.record.day_entries import BothGiven, Withdrawn
from fillmark.core.record.entries import Entry, KeptEntry, make_entry_id
from fillmark.core.record.medicine_entries import MedicineGiven, Outcome
from fillmark.core.record.session_entries import (
    CameBack,
    FillGiven,
    FlushGiven,
    MealEnded,
    SessionEnded,
    SessionPaused,
    SessionStarted,
    SessionStopped,
)
from tests.support.builders import ROLES, an_entry

SESSIONS = ("2026-11-25T07:00", "2026-11-25T11:30", "2026-11-24T20:00")
START = datetime(2026, 11, 25, 7, 0, tzinfo=UTC)
JUMPS = [timedelta(0)] * 5 + [timedelta(hours=3), timedelta(hours=-5), timedelta(minutes=-20), timedelta(hours=20)]
"""How far a phone's clock may be off when a button is pressed; further ahead than a day is refused by the door."""


@dataclass(frozen=True, kw_only=True)
class Written:
    """One entry, and by whom."""

    by: str
    entry: Entry


def a_history(chance: random.Random, *, animal_id: UUID, many: int) -> list[Written]:
    """Entries in the order they were pressed.

    Corrections name what was written before them, by whomever, also other corrections, locks and clearings, and now and
    then something that never arrives.

    Args:
        chance: What decides.
        animal_id: About which animal.
        many: How many entries.
    """
    written: list[Written] = []
    at = START
    for _ in range(many):
        at += timedelta(seconds=chance.choice([2, 40, 300]))
        shown_at = at + chance.choice(JUMPS)
        by = chance.choices(list(ROLES), weights=[2, 3, 3])[0]
        entry_id = make_entry_id(at=shown_at, chance=chance.randbytes(10))
        corrects, payload = None, _a_fact(chance, written, by)
        if written and chance.random() < 0.4:
            corrects = _named(chance, written)
            payload = Withdrawn(reason="Not so") if chance.random() < 0.55 else payload
        entry = an_entry(
            payload, at=shown_at, animal_id=animal_id, id=entry_id, corrects=corrects, device=f"{by.lower()}-phone"
        )
        written.append(Written(by=by, entry=entry))
    return written


def _named(chance: random.Random, written: list[Written]) -> UUID:
    locks = [one.entry.id for one in written if isinstance(one.entry.payload, FeedingLocked)]
    if locks and chance.random() < 0.4:
        return chance.choice(locks)
    if chance.random() < 0.05:
        return make_entry_id(at=START, chance=chance.randbytes(10))
    return chance.choice(written[-8:]).entry.id


def _a_fact(chance: random.Random, written: list[Written], by: str) -> Any:
    session = chance.choices(SESSIONS, weights=[3, 1, 1])[0]
    ml = chance.choice([10.0, 47.5, 60.0])
    ids = [one.entry.id for one in written]
    locks = [one.entry.id for one in written if isinstance(one.entry.payload, FeedingLocked)]
    ways = [
        SessionStarted(session=session),
        *[FillGiven(session=session, fill=chance.choice([1, 1, 2]), ml=ml)] * 4,
        FlushGiven(session=session, step=chance.choice(["flush-before", "flush-after"]), ml=ml),
        MedicineGiven(
            session=session,
            medicine=chance.choice(["omeprazole", "metoclopramide"]),
            dose_mg=Decimal(12),
            outcome=chance.choice([Outcome.GIVEN, Outcome.SPILLED]),
        ),
        MealEnded(session=session, total_ml=ml, fills=chance.choice([0, 3])),
        CameBack(session=chance.choice([session, None]), ml=ml),
        SessionPaused(session=session),
        SessionStopped(session=session, reason="Coughed"),
        SessionEnded(session=session),
        Note(text="Calm"),
        *[FeedingLocked(trouble=chance.choice(["cough", "vomiting"]), session=chance.choice([None, session]))] * 2,
    ]
    if by == "Noor" and ids:
        # mostly locks; by a slip of some script also what is none
        named = tuple(chance.sample(locks, chance.randint(1, len(locks)))) if locks else (chance.choice(ids),)
        named = tuple(locks) if locks and chance.random() < 0.6 else named
        ways += [FeedingCleared(locks=named, who="Dr. Marsh", vet_words="Go on, slower.")] * 8
    if by != "Ilse" and len(ids) > 1:  # a sitter does not say "twice"
        fills = [one.entry.id for one in written if isinstance(one.entry.payload, FillGiven)]
        ways += [BothGiven(session=session, entries=tuple(chance.sample(fills if len(fills) > 1 else ids, 2)))] * 2
    return chance.choice(ways)


def orders_of(chance: random.Random, written: list[Written], *, many: int) -> Iterator[list[Written]]:
    """So many orders of arrival: as it was pressed, backwards, and as chance has it."""
    yield list(written)
    yield list(reversed(written))
    for _ in range(many - 2):
        yield chance.sample(written, len(written))


def as_kept(arrived: Iterable[Written], *, people: dict[str, UUID]) -> list[KeptEntry]:
    """The entries as the record would have them, numbered as they arrived.

    Args:
        arrived: In the order they arrived.
        people: Everybody's id, by name.
    """
    return [
        KeptEntry(
            entry=one.entry,
            seq=place + 1,
            day=datetime.fromisoformat(one.entry.session).date() if one.entry.session else one.entry.at.date(),
            by=people[one.by],
            by_name=one.by,
            by_role=ROLES[one.by],
            recorded_at=START + timedelta(days=1, seconds=place),
        )
        for place, one in enumerate(arrived)
    ]


def moved_to(written: Iterable[Written], *, animal_id: UUID, mask: int) -> list[Written]:
    """The same history of another animal, under other ids that sort alike."""

    def other(one: UUID) -> UUID:
        return UUID(int=one.int ^ mask)

    def said(payload: Any) -> Any:
        named = {
            name: tuple(map(other, getattr(payload, name))) for name in ("locks", "entries") if hasattr(payload, name)
        }
        return payload.model_copy(update=named)

    return [
        replace(
            one,
            entry=one.entry.model_copy(
                update={
                    "id": other(one.entry.id),
                    "animal_id": animal_id,
                    "corrects": one.entry.corrects and other(one.entry.corrects),
                    "payload": said(one.entry.payload),
                }
            ),
        )
        for one in written
    ]
