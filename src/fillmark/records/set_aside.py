"""What could not be kept as it is, until a lead settles it."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from fillmark.records import models


@dataclass(frozen=True, kw_only=True, slots=True)
class StoredAside:
    """One thing that a phone wrote, as it came.

    Attributes:
        document: What came, as JSON.
        message: Why it was not kept.
        settled_at: When a lead settled it; none where it still waits.
        words: The note that was made of it, or why it was thrown away.
    """

    id: UUID
    by_name: str
    recorded_at: datetime
    document: str
    code: str
    message: str
    settled_at: datetime | None = None
    settled_by_name: str = ""
    words: str = ""
    note: UUID | None = None


def _stored(row: models.SetAside) -> StoredAside:
    return StoredAside(
        id=row.pk,
        by_name=row.by.name,
        recorded_at=row.recorded_at,
        document=row.document,
        code=row.code,
        message=row.message,
        settled_at=row.settled_at,
        settled_by_name=row.settled_by.name if row.settled_by else "",
        words=row.words,
        note=row.note,
    )


def add_aside(
    *, household_id: UUID, by: UUID, digest: str, document: str, code: str, message: str, now: datetime
) -> None:
    """Keep it, once however often it comes."""
    models.SetAside.objects.get_or_create(
        household_id=household_id,
        digest=digest,
        defaults={"by_id": by, "recorded_at": now, "document": document, "code": code, "message": message},
    )


def count_waiting(*, household_id: UUID) -> int:
    """How many wait for a lead."""
    return models.SetAside.objects.filter(household_id=household_id, settled_at=None).count()


def asides(*, household_id: UUID, limit: int) -> tuple[StoredAside, ...]:
    """What waits, oldest first, then what was settled, newest first."""
    rows = models.SetAside.objects.filter(household_id=household_id).select_related("by", "settled_by")
    waiting = rows.filter(settled_at=None).order_by("recorded_at", "pk")[:limit]
    settled = rows.exclude(settled_at=None).order_by("-settled_at", "pk")[:limit]
    return tuple(_stored(row) for row in (*waiting, *settled))


def settle_aside(*, household_id: UUID, aside_id: UUID, by: UUID, words: str, note: UUID | None, now: datetime) -> bool:
    """Whether it was still waiting; it is settled after this."""
    rows = models.SetAside.objects.filter(pk=aside_id, household_id=household_id, settled_at=None)
    return bool(rows.update(settled_at=now, settled_by_id=by, words=words, note=note))
