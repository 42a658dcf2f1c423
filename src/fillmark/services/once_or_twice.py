"""Once or twice? The open questions about entries that look like one thing, and their answers."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID

from django.db import transaction

from fillmark.core.bedside.side import Side
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.day_entries import BothGiven, Withdrawn
from fillmark.core.record.entries import Entry, KeptEntry
from fillmark.core.record.ledger import withdrawn_for_once
from fillmark.core.record.sessions import read_sessions
from fillmark.core.record.two_walks import THE_WALK, steps_of, withdrawn_for_walk
from fillmark.core.values.errors import BadEntry
from fillmark.core.values.people import Capability
from fillmark.records import homes
from fillmark.services import bedside, medicines, record
from fillmark.services.household import check_person


@dataclass(frozen=True, kw_only=True, slots=True)
class OpenQuestion:
    """Entries that look like one thing, or doses that stand too close: did all of them happen?

    Attributes:
        what: What they are of.
        why: Why it is asked, where that is more than "twice".
        entries: The entries, in the order they happened.
        needs_reason: Whether "both happened" needs to say why.
    """

    what: str
    why: str
    entries: tuple[KeptEntry, ...]
    needs_reason: bool

    @property
    def ids(self) -> frozenset[UUID]:
        return frozenset(one.entry.id for one in self.entries)


def open_questions(side: Side, *, first: date, last: date) -> tuple[OpenQuestion, ...]:
    """Every question that waits for an answer on these days, oldest first; one question for each set of entries."""
    days = [first + timedelta(days=offset) for offset in range((last - first).days + 1)]
    side = bedside.widen(side, days=days, kinds_since=medicines.questions_since(side.now, first))
    entries = side.of_days(first, last)
    counting = {one.entry.id: one for one in counting_entries(entries)}
    found: dict[frozenset[UUID], OpenQuestion] = {}
    for question in medicines.open_questions(side, first=first, last=last):
        asked = OpenQuestion(
            what=question.medicine.name,
            why=question.text,
            entries=tuple(one.kept for one in question.givings),
            needs_reason=True,
        )
        found[asked.ids] = asked
    for session in read_sessions(entries=entries, now=side.now).values():
        for clash in session.clashes:
            same = tuple(counting[entry_id] for entry_id in clash.entry_ids if entry_id in counting)
            asked = OpenQuestion(what=clash.what, why="", entries=same, needs_reason=False)
            found.setdefault(asked.ids, asked)
    return tuple(sorted(found.values(), key=lambda asked: (asked.entries[0].entry.at, sorted(asked.ids))))


@transaction.atomic
def answer(
    *,
    household_id: UUID,
    animal_id: UUID,
    by: UUID,
    day: date,
    entry_ids: Sequence[UUID],
    once: UUID | None,
    reason: str,
    device: str,
    now: datetime,
) -> bool:
    """Write the answer to a question: "once, this one" withdraws the others, "both happened" says so.

    Args:
        household_id: Whose record.
        animal_id: Of which animal.
        by: Who answers.
        day: On which day the question stands.
        entry_ids: The entries it asks about, as the person saw them.
        once: The one that happened; none for "all of them happened".
        reason: Why both, or how it came to be written twice.
        device: From where.
        now: The present instant.
    Returns:
        Whether the question was still open; nothing is written when somebody else was faster.
    Raises:
        BadEntry: "both happened" without a reason where one is needed, or an entry that is not asked about.
        NotAllowed: the person may not correct what others wrote.
    """
    homes.find_home(household_id=household_id, lock=True)
    check_person(household_id=household_id, by=by, what=Capability.CORRECT_OTHERS, now=now)
    side = bedside.load_by_ids(household_id=household_id, by=by, animal_id=animal_id, now=now)
    side = bedside.widen(side, days=[day], kinds_since=medicines.questions_since(now, day))
    asked = next(
        (one for one in open_questions(side, first=day, last=day) if one.ids == frozenset(entry_ids)),
        None,
    )
    if asked is None:
        return False
    _check_answer(asked, once=once, reason=reason)
    entries = [
        Entry(
            id=record.new_entry_id(now=now),
            animal_id=animal_id,
            at=now,
            zone=side.home.time_zone,
            device=device,
            payload=payload,
            corrects=corrects,
        )
        for payload, corrects in _facts(asked, once=once, reason=reason, entries=side.of_days(day, day))
    ]
    bedside.keep_together(household_id=household_id, by=by, entries=entries, now=now)
    return True


def _check_answer(asked: OpenQuestion, *, once: UUID | None, reason: str) -> None:
    if once is not None and once not in asked.ids:
        raise BadEntry(
            field="once",
            got="An answer that names another entry",
            allowed="one of the entries that are asked about",
            remedy="Open the question anew and choose one of them.",
        )
    if once is None and asked.needs_reason and not reason:
        raise BadEntry(
            field="reason",
            got=f"Two doses of {asked.what} so close together, without a reason",
            allowed="a few words on why both were given",
            remedy="Say why, or choose the one that happened. If both went in by mistake, call the vet now.",
        )


def _facts(
    asked: OpenQuestion, *, once: UUID | None, reason: str, entries: Iterable[KeptEntry]
) -> list[tuple[BothGiven | Withdrawn, UUID | None]]:
    """What the answer writes, each with the entry it corrects."""
    if once is None:
        sessions = {one.entry.session for one in asked.entries}
        session = next(iter(sessions)) if len(sessions) == 1 else None
        parts = steps_of(asked.entries) if asked.what == THE_WALK else (asked.entries,)
        together = [tuple(sorted(one.entry.id for one in part)) for part in parts]
        return [(BothGiven(session=session, entries=ids, reason=reason or None), None) for ids in together]
    if asked.what == THE_WALK:
        gone = withdrawn_for_walk(asked=asked.entries, keep=once, entries=counting_entries(entries))
        return [(Withdrawn(reason=reason or "Another walk of the same meal."), entry_id) for entry_id in gone]
    gone = withdrawn_for_once(entry_ids=sorted(asked.ids), keep=once, entries=counting_entries(entries))
    return [(Withdrawn(reason=reason or "Written twice; it happened once."), entry_id) for entry_id in gone]
