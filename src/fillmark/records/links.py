"""Links that sign a person in, by the hash of their token."""

from datetime import datetime
from uuid import UUID

from fillmark.core.values.people import Caregiver
from fillmark.records import models
from fillmark.records.homes import caregiver_of


def add_link(*, household_id: UUID, person_id: UUID, token_hash: str, expires_at: datetime) -> None:
    models.SignInLink.objects.create(
        household_id=household_id, person_id=person_id, token_hash=token_hash, expires_at=expires_at
    )


def drop_links(*, household_id: UUID, person_id: UUID) -> None:
    """No link made for this person until now signs them in any more."""
    models.SignInLink.objects.filter(household_id=household_id, person_id=person_id, used_at=None).delete()


def use_link(*, token_hash: str, now: datetime) -> Caregiver | None:
    """The person a link is for, if it still holds; it holds no more after this, even if two try at once."""
    rows = models.SignInLink.objects.filter(token_hash=token_hash, used_at=None, expires_at__gt=now)
    if not rows.update(used_at=now):
        return None
    return caregiver_of(models.SignInLink.objects.select_related("person").get(pk=token_hash).person)
