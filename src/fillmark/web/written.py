"""Writing one fact down from a form that belongs to no session."""

from typing import Any
from uuid import UUID

from django.http import HttpRequest
from django.utils.crypto import get_random_string

from fillmark.core.entries import read_entry
from fillmark.core.errors import BadEntry
from fillmark.services import record
from fillmark.web.bedside import Bedside


def write_down(request: HttpRequest, bedside: Bedside, *, payload: dict[str, Any]) -> UUID:
    """Keep the fact, once: a second press of the same button is the same entry. Its id comes out.

    Raises:
        BadEntry: the page sent no id, or the fact cannot be kept as it stands.
        NotAllowed: this person may not record it.
    """
    try:
        entry_id = UUID(request.POST.get("entry_id", ""))
    except ValueError:
        raise BadEntry(
            field="entry_id",
            got="A press without its id",
            allowed="the id that the page made",
            remedy="Go back, load the page anew and write it down again.",
        ) from None
    if record.is_recorded(household_id=bedside.home.id, entry_id=entry_id):
        return entry_id
    device = request.session.setdefault("device", f"browser-{get_random_string(8)}")
    entry = read_entry(
        {
            "id": str(entry_id),
            "animal_id": str(bedside.animal.id),
            "at": bedside.now.isoformat(),
            "zone": request.POST.get("zone") or bedside.home.time_zone,
            "device": device,
            "payload": payload,
        }
    )
    record.record_entry(household_id=bedside.home.id, by=bedside.caregiver.id, entry=entry, now=bedside.now)
    return entry_id
