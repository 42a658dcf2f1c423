"""Photos beside the record, and how each animal is told apart on the screens."""

from datetime import datetime, timedelta
from uuid import UUID

from django.db import transaction

from fillmark.core.record.care_entries import PhotoTaken
from fillmark.core.record.entries import Entry, read_entry
from fillmark.core.values.errors import BadEntry
from fillmark.core.values.people import Capability, Caregiver, may
from fillmark.records import homes, stored_photos, written
from fillmark.records.homes import AnimalName
from fillmark.records.stored_photos import StoredPhoto
from fillmark.services import household, record
from fillmark.services.pictures import read_picture

__all__ = ["StoredPhoto"]


@transaction.atomic
def record_photo(
    *,
    household_id: UUID,
    animal_id: UUID,
    by: UUID,
    data: bytes,
    entry_id: UUID,
    about: UUID | None,
    words: str | None,
    device: str,
    now: datetime,
) -> Entry:
    """Keep a photo, and the entry that says so. Sent twice under one `entry_id`, it is there once.

    Args:
        household_id: Whose record.
        animal_id: Which animal it shows.
        by: Who took it.
        data: The file as it came.
        entry_id: The id of the entry, made when the form was shown; the photo is kept under the same id.
        about: The entry it belongs to, if any.
        words: What it shows.
        device: From where.
        now: The present instant.
    Raises:
        BadPhoto: the file cannot be used.
        NotAllowed: the person may not record this, or the animal lives elsewhere.
    """
    home = household.find_household(household_id=household_id)
    known = written.find_entry(household_id=household_id, entry_id=entry_id)
    if known is not None:
        return known.entry
    entry = read_entry(
        {
            "id": entry_id,
            "animal_id": animal_id,
            "at": now.isoformat(),
            "zone": home.time_zone,
            "device": device,
            "payload": {"kind": "photo_taken", "photo": str(entry_id), "about": about and str(about), "words": words},
        }
    )
    record.record_entry(household_id=household_id, by=by, entry=entry, now=now)
    _keep(household_id=household_id, animal_id=animal_id, by=by, photo_id=entry_id, data=data, now=now)
    return entry


@transaction.atomic
def take_in_photo(*, household_id: UUID, animal_id: UUID, by: UUID, photo_id: UUID, data: bytes, now: datetime) -> None:
    """Keep the picture of an entry that the record holds already; a phone sends it after the entry, perhaps twice.

    Args:
        household_id: Whose record.
        animal_id: Which animal it shows.
        by: Who sends it; only the writer of the entry may.
        photo_id: The id of the photo, which is the id of its entry.
        data: The file as it came.
        now: The present instant.
    Raises:
        BadEntry: the record holds no entry of this person that names this photo.
        BadPhoto: the file cannot be used.
    """
    kept = written.find_entry(household_id=household_id, entry_id=photo_id)
    named = kept.entry.payload.photo if kept and isinstance(kept.entry.payload, PhotoTaken) else None
    if kept is None or named != photo_id or kept.by != by or kept.entry.animal_id != animal_id:
        raise BadEntry(
            field="photo",
            got="A photo that no entry of yours names",
            allowed="a photo after its entry",
            remedy="Send the entry first.",
        )
    if stored_photos.find_photo(household_id=household_id, photo_id=photo_id) is None:
        _keep(household_id=household_id, animal_id=animal_id, by=by, photo_id=photo_id, data=data, now=now)


def _keep(*, household_id: UUID, animal_id: UUID, by: UUID, photo_id: UUID, data: bytes, now: datetime) -> None:
    picture = read_picture(data)
    stored_photos.add_photo(
        household_id=household_id,
        animal_id=animal_id,
        by=by,
        photo_id=photo_id,
        jpeg=picture.jpeg,
        small_jpeg=picture.small_jpeg,
        now=now,
    )


def find_photo(*, caregiver: Caregiver, photo_id: UUID, now: datetime) -> StoredPhoto | None:
    """A photo of the caregiver's own household; a sitter sees the animals' own and what is as new as their stay."""
    found = stored_photos.find_photo(household_id=caregiver.household_id, photo_id=photo_id)
    if found is None:
        return None
    on = household.today(household_id=caregiver.household_id, now=now)
    if may(caregiver, what=Capability.SEE_RECORD, on=on):
        return found
    is_new = found.recorded_at > now - timedelta(days=2)
    return found if may(caregiver, what=Capability.SEE_TODAY, on=on) and (is_new or found.is_own) else None


@transaction.atomic
def choose_own_look(
    *,
    household_id: UUID,
    animal_id: UUID,
    by: UUID,
    shape: int,
    color: str,
    data: bytes | None,
    photo_id: UUID,
    now: datetime,
) -> AnimalName:
    """How this animal looks on every screen: its shape, its color, and its photo where one is sent along.

    Raises:
        BadPhoto: the file cannot be used.
        NotAllowed: the person may not, or the animal lives elsewhere.
    """
    household.check_person(household_id=household_id, by=by, what=Capability.CHANGE_PLAN, now=now)
    animal = homes.find_animal(household_id=household_id, animal_id=animal_id)
    chosen = animal.photo_id
    if data is not None and stored_photos.find_photo(household_id=household_id, photo_id=photo_id) is None:
        _keep(household_id=household_id, animal_id=animal_id, by=by, photo_id=photo_id, data=data, now=now)
    if data is not None:
        chosen = photo_id
    return homes.set_look(household_id=household_id, animal_id=animal_id, shape=shape, color=color, photo_id=chosen)
