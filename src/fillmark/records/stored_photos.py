"""Photos as they are kept."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from fillmark.records import models


@dataclass(frozen=True, kw_only=True, slots=True)
class StoredPhoto:
    """A photo as it is kept; `is_own` when it is the animal's own, in its emblem."""

    id: UUID
    animal_id: UUID
    recorded_at: datetime
    jpeg: bytes
    small_jpeg: bytes
    is_own: bool


def add_photo(
    *, household_id: UUID, animal_id: UUID, by: UUID, photo_id: UUID, jpeg: bytes, small_jpeg: bytes, now: datetime
) -> None:
    models.Photo(
        id=photo_id,
        household_id=household_id,
        animal_id=animal_id,
        by_id=by,
        recorded_at=now,
        jpeg=jpeg,
        small_jpeg=small_jpeg,
    ).save()


def find_photo(*, household_id: UUID, photo_id: UUID) -> StoredPhoto | None:
    row = models.Photo.objects.select_related("animal").filter(pk=photo_id, household_id=household_id).first()
    if row is None:
        return None
    return StoredPhoto(
        id=row.pk,
        animal_id=row.animal_id,
        recorded_at=row.recorded_at,
        jpeg=bytes(row.jpeg),
        small_jpeg=bytes(row.small_jpeg),
        is_own=row.animal.photo_id == row.pk,
    )
