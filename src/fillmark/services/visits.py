"""What is written down about signing in: who came in and how, from where, and who let whom in."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from uuid import UUID

from fillmark.records import sign_ins

_KEEP = timedelta(days=90)
"""As long as a phone stays signed in."""


class Happened(StrEnum):
    """What is written down about signing in."""

    LINK = "by link"
    TYPED = "by password"
    REFUSED = "refused"
    LINK_MADE = "link made"
    CHOSEN = "password chosen"
    PASSKEY = "by passkey"
    PASSKEY_MADE = "passkey made"
    PASSKEY_ENDED = "passkey ended"
    SIGNED_OUT = "signed out"
    ENDED = "ended"
    DAYS = "pass"


@dataclass(frozen=True, kw_only=True, slots=True)
class Visit:
    """Who knocks, as far as it can be seen.

    Attributes:
        address: In digits; whatever the server was told.
        device: Its kind, in words.
    """

    address: str = ""
    device: str = ""

    @property
    def words(self) -> str:
        return ", ".join(part for part in (self.device, self.address and f"from {self.address}") if part)[:160]


NOBODY_SEEN = Visit()


def note(
    happened: Happened, *, household_id: UUID, person_id: UUID, now: datetime, by: UUID | None = None, words: str = ""
) -> None:
    """Write down what happened.

    Args:
        happened: Its kind.
        household_id: Whose.
        person_id: Whom it is about.
        now: The present instant.
        by: Who did it; none for the person.
        words: What else is known.
    """
    other = by if by != person_id else None
    sign_ins.add(
        household_id=household_id,
        person_id=person_id,
        by=other,
        what=happened.value,
        words=words[:160],
        now=now,
        keep=_KEEP,
    )
