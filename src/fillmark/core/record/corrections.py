"""Which entries count, what was corrected, and who may correct what.

The right to correct is judged here, whenever the record is read: a correction may arrive before what it names. One
whose writer may not put that right stays in sight and changes nothing. So the order of arrival never matters.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from uuid import UUID

from fillmark.core.record.care_entries import FeedingLocked
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.record.entries import KeptEntry, Payload
from fillmark.core.values.people import CAPABILITIES, Capability, Role


class NoRight(StrEnum):
    """Why a correction changes nothing."""

    OF_A_LOCK = "a lock is cleared by a lead, with the vet's words"
    OF_ANOTHERS = "a sitter puts right only what they wrote themselves"


def missing_right(payload: Payload, *, by: UUID, role: Role, corrected: KeptEntry) -> NoRight | None:
    """Why this person may not put this entry right in this way; none where they may.

    A lock may be told otherwise by who clears locks, and stays a lock: to take it back is to clear it.

    Args:
        payload: What the correction says.
        by: Who writes it.
        role: What that person is to the household.
        corrected: The entry it is to replace.
    Source:
        our own choice
    """
    if isinstance(corrected.entry.payload, FeedingLocked):
        stays = isinstance(payload, FeedingLocked) and Capability.CLEAR_LOCK in CAPABILITIES[role]
        return None if stays else NoRight.OF_A_LOCK
    if corrected.by == by or Capability.CORRECT_OTHERS in CAPABILITIES[role]:
        return None
    return NoRight.OF_ANOTHERS


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownEntry:
    """An entry as the record shows it: what was corrected stays in sight.

    Attributes:
        replaced_by: What stands in its place.
        counts: Whether it counts.
        aim: The entry whose place it takes, or would take.
        no_right: Why it changes nothing, where its writer may not correct what it names.
    """

    kept: KeptEntry
    replaced_by: UUID | None
    counts: bool
    aim: UUID | None = None
    no_right: NoRight | None = None


def show_entries(entries: Iterable[KeptEntry]) -> tuple[ShownEntry, ...]:
    """Every entry in the order it happened, with whether it counts and what took its place.

    Of all that was written about one fact, the newest that nothing corrects counts; where some of it locks feeding, the
    newest lock. Newest is by the id, which holds the moment the button was pressed.
    """
    kept = {entry.entry.id: entry for entry in entries}
    aims = _Aims(kept)
    groups = Together()
    for one in kept.values():
        is_void = one.entry.id in aims.no_rights
        groups.join(one.entry.id, (None if is_void else aims.of(one)) or one.entry.id)
    winners: dict[UUID, UUID] = {}
    for members in groups.all():
        present = [entry_id for entry_id in members if entry_id in kept and entry_id not in aims.no_rights]
        if present:
            winners.update(dict.fromkeys(members, _newest([kept[one] for one in present], aims)))
    return tuple(_shown(one, winners, aims) for one in sorted(kept.values(), key=_when))


def _newest(about_one_fact: Sequence[KeptEntry], aims: "_Aims") -> UUID:
    found = [one for one in about_one_fact if isinstance(one.entry.payload, FeedingLocked)] or about_one_fact
    corrected = {aims.of(one) for one in found}
    open_ends = [one.entry.id for one in found if one.entry.id not in corrected]
    return max(open_ends or [one.entry.id for one in found])


def _shown(one: KeptEntry, winners: Mapping[UUID, UUID], aims: "_Aims") -> ShownEntry:
    no_right = aims.no_rights.get(one.entry.id)
    winner = winners.get((aims.of(one) or one.entry.id) if no_right else one.entry.id)
    is_winner = winner == one.entry.id and no_right is None
    return ShownEntry(
        kept=one,
        replaced_by=None if is_winner else winner,
        counts=is_winner and not isinstance(one.entry.payload, Withdrawn),
        aim=aims.of(one),
        no_right=no_right,
    )


class _Aims:
    """What each correction puts right, and the corrections whose writers may not."""

    def __init__(self, kept: Mapping[UUID, KeptEntry]) -> None:
        self._kept = kept
        self._aims: dict[UUID, UUID | None] = {}
        self.no_rights: dict[UUID, NoRight] = {}
        for entry_id in sorted(one.entry.id for one in kept.values() if one.entry.corrects is not None):
            self._judge(entry_id)

    def of(self, one: KeptEntry) -> UUID | None:
        """The entry that this one is to replace; none where it corrects nothing."""
        return self._aims.get(one.entry.id)

    def _judge(self, entry_id: UUID) -> None:
        """Judge what it corrects before itself, however long the chain."""
        chain: list[KeptEntry] = []
        here: UUID | None = entry_id
        while here is not None and here in self._kept and here not in self._aims:
            one = self._kept[here]
            self._aims[here] = None
            chain.append(one)
            here = one.entry.corrects
        for one in reversed(chain):
            self._judge_one(one)

    def _judge_one(self, one: KeptEntry) -> None:
        aim, passed = one.entry.corrects, {one.entry.id}
        # what replaces a correction that changes nothing was written about the same fact
        while aim in self.no_rights and aim not in passed and not isinstance(one.entry.payload, Withdrawn):
            passed.add(aim)
            aim = self._kept[aim].entry.corrects
        self._aims[one.entry.id] = aim
        corrected = self._kept.get(aim) if aim is not None and aim not in self.no_rights else None
        if corrected is None:  # it has not arrived, or changes nothing itself
            return
        no_right = missing_right(one.entry.payload, by=one.by, role=one.by_role, corrected=corrected)
        if no_right is None:
            return
        if isinstance(one.entry.payload, FeedingLocked):  # whoever writes it and about whatever: a lock locks
            self._aims[one.entry.id] = None
        else:
            self.no_rights[one.entry.id] = no_right


def counting_entries(entries: Iterable[KeptEntry]) -> tuple[KeptEntry, ...]:
    """The entries that count, in the order they happened: not those corrected or withdrawn."""
    return tuple(shown.kept for shown in show_entries(entries) if shown.counts)


def unanswered_corrections(entries: Iterable[KeptEntry]) -> tuple[ShownEntry, ...]:
    """The corrections that change nothing, and after which nobody who may has put the entry right.

    Args:
        entries: In any order, with everything that corrects them.
    """
    return tuple(
        one
        for one in show_entries(entries)
        if one.no_right is not None and (one.replaced_by is None or one.replaced_by < one.kept.entry.id)
    )


UNDOABLE_KINDS = frozenset(
    {
        "session_started",
        "session_taken",
        "session_paused",
        "session_resumed",
        "session_ended",
        "session_skipped",
        "step_done",
        "step_skipped",
        "fill_given",
        "flush_given",
        "medicine_given",
        "meal_ended",
        "batch_chosen",
        "batch_made",
    }
)
"""What one tap may take back. What stops a session, locks feeding or came back up is put right in the record, where
the reason is written down; a lock is cleared with the vet's words."""


def may_undo(kept: KeptEntry, *, by: UUID) -> bool:
    """Whether this person may take an entry back with one tap: what they pressed themselves, and nothing that stops.

    Args:
        kept: The entry.
        by: Who would take it back.
    Source:
        our own choice
    """
    return kept.by == by and kept.entry.kind in UNDOABLE_KINDS


def _when(one: KeptEntry) -> tuple[datetime, UUID]:
    return one.entry.at, one.entry.id


class Together:
    """Which ids belong together (union-find)."""

    def __init__(self) -> None:
        self._parent: dict[UUID, UUID] = {}

    def _root(self, one: UUID) -> UUID:
        self._parent.setdefault(one, one)
        while self._parent[one] != one:
            one = self._parent[one]
        return one

    def join(self, one: UUID, other: UUID) -> None:
        """These two belong to one group from now on.

        Args:
            one: An id.
            other: Another id.
        """
        self._parent[self._root(one)] = self._root(other)

    def all(self) -> Collection[list[UUID]]:
        """Every group, as its ids."""
        members: dict[UUID, list[UUID]] = defaultdict(list)
        for one in self._parent:
            members[self._root(one)].append(one)
        return members.values()
