"""Which entries count, and what was corrected."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.record.entries import KeptEntry


@dataclass(frozen=True, kw_only=True, slots=True)
class ShownEntry:
    """An entry as the record shows it: what was corrected stays in sight."""

    kept: KeptEntry
    replaced_by: UUID | None
    counts: bool


def show_entries(entries: Iterable[KeptEntry]) -> tuple[ShownEntry, ...]:
    """Every entry in the order it happened, with whether it counts and what took its place.

    Of all that was written about one fact, the newest that nothing corrects counts. Newest is by the id, which holds
    the moment the button was pressed.
    """
    kept = {entry.entry.id: entry for entry in entries}
    groups = Together()
    for one in kept.values():
        groups.join(one.entry.id, one.entry.corrects or one.entry.id)
    winners: dict[UUID, UUID] = {}
    for members in groups.all():
        present = [entry_id for entry_id in members if entry_id in kept]
        corrected = {kept[entry_id].entry.corrects for entry_id in present}
        open_ends = [entry_id for entry_id in present if entry_id not in corrected] or present
        winner = max(open_ends)
        winners.update(dict.fromkeys(present, winner))
    return tuple(
        ShownEntry(
            kept=one,
            replaced_by=None if winners[one.entry.id] == one.entry.id else winners[one.entry.id],
            counts=winners[one.entry.id] == one.entry.id and not isinstance(one.entry.payload, Withdrawn),
        )
        for one in sorted(kept.values(), key=_when)
    )


def counting_entries(entries: Iterable[KeptEntry]) -> tuple[KeptEntry, ...]:
    """The entries that count, in the order they happened: not those corrected or withdrawn."""
    return tuple(shown.kept for shown in show_entries(entries) if shown.counts)


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
