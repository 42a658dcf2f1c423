"""Writing one fact from a form: the form's own id makes it one entry, however often it is sent."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest

from fillmark.core.entries import Entry, read_entry
from fillmark.services import record
from fillmark.web.bedside import Bedside


def write_fact(
    request: HttpRequest,
    bedside: Bedside,
    fact: dict[str, Any],
    *,
    at: datetime | None = None,
    corrects: UUID | None = None,
) -> Entry:
    """Keep a fact under the id that the form carries (`entry_id`, as press_fields.html writes it).

    Args:
        request: The form.
        bedside: Who writes, about which animal.
        fact: The payload, as its document.
        at: When it happened; now where nothing else is said.
        corrects: The entry it replaces.
    Raises:
        FillmarkError: it cannot be kept as it stands, or this person may not write it.
    """
    entry = read_entry(
        {
            "id": request.POST.get("entry_id", ""),
            "animal_id": str(bedside.animal.id),
            "at": (at or bedside.now).isoformat(),
            "zone": request.POST.get("zone") or bedside.home.time_zone,
            "device": "browser",
            "payload": fact,
            "corrects": str(corrects) if corrects else None,
        }
    )
    known = record.find_entry(household_id=bedside.home.id, entry_id=entry.id)
    if known is not None:
        return known.entry
    record.record_entry(household_id=bedside.home.id, by=bedside.caregiver.id, entry=entry, now=bedside.now)
    return entry
