"""May anything go through the tube? Not from a trouble that locks feeding until someone has cleared it.

A clearing names the locks it clears. So a lock that a phone wrote without a signal, and that arrives after a clearing
of another one, still holds; and the order of arrival never matters. Nothing else ends a lock: see `missing_right`.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from fillmark.core.record.care_entries import FeedingCleared, FeedingLocked
from fillmark.core.record.corrections import show_entries
from fillmark.core.record.entries import KeptEntry, Payload
from fillmark.core.record.medicine_entries import MedicineGiven
from fillmark.core.record.session_entries import FillGiven, FlushGiven, SessionResumed, SessionStarted, StepDone
from fillmark.core.record.sessions import Standing
from fillmark.core.values.errors import FeedingIsLocked
from fillmark.core.values.trouble import Trouble

LOCK_KINDS = ("feeding_locked", "feeding_cleared")
"""The kinds of entries that `open_lock` needs, beside what corrects them."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Lock:
    """Nothing goes through this animal's tube.

    Attributes:
        trouble: What it is for; of several, the newest.
        at: Since when.
        by_name: Who wrote it.
        session: In which session it happened, if in one.
        words: What that person wrote about it.
        entry_ids: Every entry that locks, oldest first: a clearing names them all.
    """

    trouble: Trouble
    at: datetime
    by_name: str
    session: str | None
    words: str | None
    entry_ids: tuple[UUID, ...]

    @property
    def title(self) -> str:
        """What is wrong, in words."""
        return self.trouble.words


def open_lock(entries: Iterable[KeptEntry]) -> Lock | None:
    """The lock that holds; none when every one was cleared.

    Args:
        entries: Those of LOCK_KINDS of one animal, in any order, with all that corrects them or that they correct.
    """
    shown = show_entries(entries)
    aims = {one.kept.entry.id: one.aim for one in shown}
    counting = [one.kept for one in shown if one.counts]
    cleared = {
        entry_id
        for one in counting
        if isinstance(one.entry.payload, FeedingCleared)
        for entry_id in one.entry.payload.locks
    }
    holding = []
    for one in counting:
        if isinstance(one.entry.payload, FeedingLocked) and not cleared & _with_earlier(one.entry.id, aims):
            holding.append((one, one.entry.payload))
    if not holding:
        return None
    newest, payload = holding[-1]
    return Lock(
        trouble=payload.trouble,
        at=newest.entry.at,
        by_name=newest.by_name,
        session=payload.session,
        words=payload.words,
        entry_ids=tuple(one.entry.id for one, _ in holding),
    )


def check_unlocked(
    payload: Payload, *, lock: Lock | None, standing: Standing, other_routes: Collection[str] = ()
) -> None:
    """Refuse a press that would go on feeding while a lock holds. What had gone in before is written down all the same.

    Args:
        payload: What the press would write.
        lock: What holds now, if anything does.
        standing: How far the session of the press has come.
        other_routes: The medicines that do not go through the tube: they are never held up.
    Raises:
        FeedingIsLocked: it would.
    """
    if lock is None or not _goes_on(payload, standing, other_routes):
        return
    raise FeedingIsLocked(
        field="session",
        got=f'Feeding, while it is locked ("{lock.title}", written by {lock.by_name})',
        allowed="nothing through the tube until a lead has cleared it with the vet's words",
        remedy="Call the vet or the clinic on the card. What had gone in before can still be written down there.",
    )


def _goes_on(payload: Payload, standing: Standing, other_routes: Collection[str]) -> bool:
    if isinstance(payload, SessionStarted | SessionResumed):
        return True
    if standing is not Standing.IN_HAND:  # written down afterwards
        return False
    if isinstance(payload, MedicineGiven):
        return payload.medicine not in other_routes
    return isinstance(payload, FillGiven | FlushGiven | StepDone)


def _with_earlier(entry_id: UUID, aims: Mapping[UUID, UUID | None]) -> set[UUID]:
    """An entry's id with those of all whose place it takes, however often."""
    found: set[UUID] = set()
    here: UUID | None = entry_id
    while here is not None and here not in found:
        found.add(here)
        here = aims.get(here)
    return found
