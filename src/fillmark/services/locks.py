"""The lock on feeding: what holds it, and who may clear it."""

from datetime import datetime
from uuid import UUID

from fillmark.core.record import locks
from fillmark.core.record.entries import Entry
from fillmark.core.record.locks import LOCK_KINDS, Lock
from fillmark.core.record.sessions import SessionRecord
from fillmark.records import queries

__all__ = ["Lock"]


def current_lock(*, household_id: UUID, animal_id: UUID) -> Lock | None:
    """What locks feeding for this animal now; none when nothing does."""
    return locks.open_lock(queries.entries_of_kinds(household_id=household_id, animal_id=animal_id, kinds=LOCK_KINDS))


def check_unlocked(*, household_id: UUID, entry: Entry, record: SessionRecord, at: datetime) -> None:
    """Refuse a press in a session of an animal whose feeding is locked.

    Args:
        household_id: Whose.
        entry: What the press would write.
        record: The session as the record holds it now.
        at: The present instant, for the plan in force.
    Raises:
        FeedingIsLocked: it would go on feeding.
    """
    lock = current_lock(household_id=household_id, animal_id=entry.animal_id)
    if lock is None:
        return
    stored = queries.plan_at(household_id=household_id, animal_id=entry.animal_id, at=at)
    medicines = stored.plan.medicines if stored else ()
    locks.check_unlocked(
        entry.payload,
        lock=lock,
        standing=record.standing,
        other_routes={medicine.id for medicine in medicines if medicine.route != "tube"},
    )
