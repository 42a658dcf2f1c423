"""What a phone wrote without a signal is never lost: what cannot be kept as it is waits here for a lead."""

import json
import re
from contextlib import suppress
from datetime import datetime
from hashlib import sha256
from typing import Any
from uuid import UUID

from django.db import transaction

from fillmark.core.record.care_entries import Note
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.record.entries import read_entry, read_payload
from fillmark.core.values.errors import BadEntry, FillmarkError
from fillmark.core.values.people import Capability
from fillmark.published.record_rules import SET_ASIDE_BYTES, SET_ASIDE_WAITING
from fillmark.records import homes, set_aside
from fillmark.records.set_aside import StoredAside
from fillmark.services import record
from fillmark.services.household import check_person

__all__ = ["StoredAside"]

SHOWN_AT_ONCE = 100
_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f\ud800-\udfff]")


def keep_aside(*, household_id: UUID, by: UUID, document: Any, error: FillmarkError, now: datetime) -> bool:
    """Keep what came as it came, with why it is no entry; whether it is on the disk now.

    Args:
        household_id: Whose.
        by: Who sent it.
        document: What came, of the values JSON can hold.
        error: Why it was not kept as an entry.
        now: The present instant.
    Source:
        record.set_aside_bytes, record.set_aside_waiting
    """
    text = json.dumps(document, sort_keys=True)
    if len(text) > SET_ASIDE_BYTES.value:
        return False
    if set_aside.count_waiting(household_id=household_id) >= SET_ASIDE_WAITING.value:
        return False
    set_aside.add_aside(
        household_id=household_id,
        by=by,
        digest=sha256(text.encode()).hexdigest(),
        document=text,
        code=error.code,
        message=_CONTROL.sub("\ufffd", str(error)),
        now=now,
    )
    return True


def find_asides(*, household_id: UUID, by: UUID, now: datetime) -> tuple[StoredAside, ...]:
    """What waits, oldest first, and what was settled.

    Raises:
        NotAllowed: `by` may not settle it.
    """
    check_person(household_id=household_id, by=by, what=Capability.SETTLE, now=now)
    return set_aside.asides(household_id=household_id, limit=SHOWN_AT_ONCE)


@transaction.atomic
def keep_as_note(
    *,
    household_id: UUID,
    by: UUID,
    aside_id: UUID,
    animal_id: UUID,
    text: str,
    entry_id: UUID,
    device: str,
    now: datetime,
) -> None:
    """Write down what it says as a note, in a lead's words.

    Args:
        household_id: Whose.
        by: The lead.
        aside_id: What is settled.
        animal_id: Which animal it is about.
        text: The note.
        entry_id: The id of the note's entry.
        device: From where.
        now: The present instant.
    Raises:
        BadEntry: the note cannot be kept, or this was settled meanwhile.
        NotAllowed: `by` may not, or the animal lives elsewhere.
    """
    check_person(household_id=household_id, by=by, what=Capability.SETTLE, now=now)
    entry = read_entry(
        {
            "id": entry_id,
            "animal_id": animal_id,
            "at": now.isoformat(),
            "zone": homes.find_home(household_id=household_id).time_zone,
            "device": device,
            "payload": {"kind": "note", "text": text},
        }
    )
    record.record_entry(household_id=household_id, by=by, entry=entry, now=now)
    words = entry.payload.text if isinstance(entry.payload, Note) else ""
    _settle(household_id=household_id, by=by, aside_id=aside_id, words=words, note=entry_id, now=now)


@transaction.atomic
def throw_away(*, household_id: UUID, by: UUID, aside_id: UUID, why: str, now: datetime) -> None:
    """It says nothing that must be kept; why stays beside it, and so does what came.

    Raises:
        BadEntry: no reason is given, or this was settled meanwhile.
        NotAllowed: `by` may not.
    """
    check_person(household_id=household_id, by=by, what=Capability.SETTLE, now=now)
    read = read_payload({"kind": "withdrawn", "reason": why})
    words = read.reason if isinstance(read, Withdrawn) else why
    _settle(household_id=household_id, by=by, aside_id=aside_id, words=words, note=None, now=now)


def _settle(**settled: Any) -> None:
    if not set_aside.settle_aside(**settled):
        raise BadEntry(
            field="aside",
            got="Something that waits here no longer",
            allowed="one of those that wait",
            remedy="Load the page anew, and look at what became of it.",
        )


def plain_words(document: str) -> str:
    """What came, as a person can read it: each key with its value, on a line of its own."""
    came: Any = document
    with suppress(ValueError):
        came = json.loads(document)
    payload = came.get("payload", came) if isinstance(came, dict) else came
    told = payload if isinstance(payload, dict) else {"text": came}
    lines = [f"{key}: {_plain(value)}" for key, value in told.items()]
    at = came.get("at") if isinstance(came, dict) else None
    return "\n".join([*([f"at: {_plain(at)}"] if at else []), *lines])


def _plain(value: object) -> str:
    text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
    return _CONTROL.sub("\ufffd", text)
