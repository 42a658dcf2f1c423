"""Writing one fact from a form: the form's own id makes it one entry, however often it is sent."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest
from django.utils.crypto import get_random_string

from fillmark.core.gates.press import check_may_correct
from fillmark.core.record.entries import Entry, read_entry
from fillmark.core.values.errors import BadEntry
from fillmark.services import record
from fillmark.web.bedside import Bedside


def form_id(request: HttpRequest, field: str = "entry_id") -> UUID:
    """The id that a form carries (as press_fields.html writes it).

    Raises:
        BadEntry: it carries none.
    """
    try:
        return UUID(request.POST.get(field, ""))
    except ValueError:
        raise BadEntry(
            field=field,
            got="A form without its id",
            allowed="the id that the page made",
            remedy="Load the page anew and write it down again.",
        ) from None


def device_of(request: HttpRequest) -> str:
    """The name under which this browser writes, the same as long as it stays signed in."""
    name: str = request.session.setdefault("device", f"browser-{get_random_string(8)}")
    return name


def write_fact(
    request: HttpRequest,
    bedside: Bedside,
    fact: dict[str, Any],
    *,
    at: datetime | None = None,
    corrects: UUID | None = None,
    is_fresh: bool = False,
) -> Entry:
    """Keep a fact under the id that the form carries. Sent again, it is the same entry.

    Args:
        request: The form.
        bedside: Who writes, about which animal.
        fact: The payload, as its document.
        at: When it happened; now where nothing else is said.
        corrects: The entry it replaces.
        is_fresh: It happened just now, and the person can still be asked.
    Raises:
        FillmarkError: it cannot be kept as it stands, or this person may not write it.
    """
    entry_id = form_id(request)
    known = record.find_entry(household_id=bedside.home.id, entry_id=entry_id)
    if known is not None:
        return known.entry
    entry = read_entry(
        {
            "id": str(entry_id),
            "animal_id": str(bedside.animal.id),
            "at": (at or bedside.now).isoformat(),
            "zone": request.POST.get("zone") or bedside.home.time_zone,
            "device": device_of(request),
            "payload": fact,
            "corrects": str(corrects) if corrects else None,
        }
    )
    corrected = record.find_entry(household_id=bedside.home.id, entry_id=corrects) if corrects else None
    if corrected is not None:
        check_may_correct(bedside.caregiver, entry.payload, corrected=corrected)
    record.record_entry(
        household_id=bedside.home.id, by=bedside.caregiver.id, entry=entry, now=bedside.now, is_fresh=is_fresh
    )
    return entry
