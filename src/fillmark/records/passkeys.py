"""The passkeys of people: which device's key signs whom in."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from fillmark.core.values.people import Caregiver
from fillmark.records import models
from fillmark.records.homes import caregiver_of


@dataclass(frozen=True, kw_only=True, slots=True)
class Passkey:
    """One key of a device.

    Attributes:
        credential: Its name, as base64url.
        public_key: What its signatures are checked by, as base64url.
        uses: How often it was used, as the device counts; 0 for one that does not count.
        device: The kind of device it was made on, in words.
    """

    credential: str
    person: Caregiver
    public_key: str
    uses: int
    made_at: datetime
    device: str


def _passkey(row: models.Passkey) -> Passkey:
    return Passkey(
        credential=row.credential,
        person=caregiver_of(row.person),
        public_key=row.public_key,
        uses=row.uses,
        made_at=row.made_at,
        device=row.device,
    )


def add(passkey: Passkey) -> None:
    """Keep it.

    Raises:
        IntegrityError: there is one of this name.
    """
    models.Passkey.objects.create(
        credential=passkey.credential,
        household_id=passkey.person.household_id,
        person_id=passkey.person.id,
        public_key=passkey.public_key,
        uses=passkey.uses,
        made_at=passkey.made_at,
        device=passkey.device,
    )


def find(credential: str) -> Passkey | None:
    row = models.Passkey.objects.select_related("person").filter(pk=credential).first()
    return _passkey(row) if row else None


def of_person(person_id: UUID) -> tuple[Passkey, ...]:
    """Theirs, the oldest first."""
    rows = models.Passkey.objects.select_related("person").filter(person_id=person_id)
    return tuple(_passkey(row) for row in rows.order_by("made_at", "pk"))


def note_use(credential: str, *, uses: int) -> None:
    models.Passkey.objects.filter(pk=credential).update(uses=uses)


def drop(*, person_id: UUID, credential: str | None = None) -> int:
    """Let go of one of a person's passkeys, or of all of them; how many there were comes out."""
    rows = models.Passkey.objects.filter(person_id=person_id)
    return (rows if credential is None else rows.filter(pk=credential)).delete()[0]
