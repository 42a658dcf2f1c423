"""Entries over HTTP: sent one by one or in a list, each acknowledged for itself; and what is new since a number.

The protocol stands in docs/reference/off-line.md.
"""

import json
import logging
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.http import HttpRequest, JsonResponse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from fillmark.core.record.entries import Entry, read_entry
from fillmark.core.values.errors import (
    AlreadyRecorded,
    BatchNotToBeGiven,
    FeedingIsLocked,
    FillmarkError,
    HeldByAnother,
    NeedsReason,
    NotRead,
)
from fillmark.core.values.people import Capability, Caregiver, may
from fillmark.core.values.words import say_day
from fillmark.published.record_rules import KEPT_DAYS
from fillmark.services import household, plans, record, set_aside
from fillmark.services.not_read import not_read
from fillmark.web.phone.facts import entry_for_phone
from fillmark.web.words import Names

_log = logging.getLogger(__name__)
MOST_AT_ONCE = 500
"""More than a phone writes in a week without a signal; it sends the rest after the answer."""


@never_cache
@require_http_methods(["GET", "POST"])
def entries(request: HttpRequest) -> JsonResponse:
    """The entries of the household: more of them with POST, what is new with GET."""
    caregiver = household.find_caregiver_of_user(request.user.pk) if request.user.is_authenticated else None
    if caregiver is None:
        return JsonResponse(
            {"error": "Sign in, then send the entries again. They are still on your device."}, status=401
        )
    try:
        return _record(request, caregiver) if request.method == "POST" else _since(request, caregiver)
    except FillmarkError as error:  # about the household itself
        return JsonResponse({"error": str(error)}, status=400)


def _record(request: HttpRequest, caregiver: Caregiver) -> JsonResponse:
    """Keep the entries in the body, and answer for each of them in the same order.

    The body is one entry, a list of them, or `{"entries": […], "fresh": [ids], "set_aside": true}`. An acknowledged
    entry is on the disk and need not be sent again. One bad entry does not hold up the others; with `set_aside`, what
    cannot be kept as it is is kept beside the record, for a lead.
    """
    try:
        came = json.loads(request.body)
    except (ValueError, RecursionError):
        return JsonResponse({"error": "The body is not JSON. Allowed: one entry, or a list of entries."}, status=400)
    envelope = came if isinstance(came, dict) and isinstance(came.get("entries"), list) else {"entries": came}
    documents = envelope["entries"] if isinstance(envelope["entries"], list) else [envelope["entries"]]
    if len(documents) > MOST_AT_ONCE:
        message = f"{len(documents)} entries at once. Allowed: {MOST_AT_ONCE}. Send them in parts."
        return JsonResponse({"error": message}, status=413)
    now = timezone.now()
    fresh = envelope.get("fresh")
    fresh_ids = frozenset(one for one in fresh if isinstance(one, str)) if isinstance(fresh, list) else frozenset()
    read = [_read(document) for document in documents]
    may_set_aside = envelope.get("set_aside") is True
    entries = [one for one in read if isinstance(one, Entry)]
    kept = record.record_entries(
        household_id=caregiver.household_id,
        by=caregiver.id,
        entries=entries,
        now=now,
        fresh={entry.id for entry in entries if str(entry.id) in fresh_ids},
    )
    acknowledged = iter(kept)
    answers = []
    for document, one in zip(documents, read, strict=True):
        found = next(acknowledged) if isinstance(one, Entry) else one
        answer = _answer(document, one, found) if isinstance(one, Entry) else _refuse(document, one)
        if may_set_aside and isinstance(found, FillmarkError) and _id(document) not in fresh_ids:
            answer |= _set_aside(caregiver, document, found, now)
        answers.append(answer)
    return JsonResponse({"now": now.isoformat(), "entries": answers})


def _read(document: Any) -> Entry | FillmarkError:
    try:
        return read_entry(document if isinstance(document, dict) else json.dumps(document))
    except FillmarkError as error:
        return error
    except Exception:  # one entry, one answer: the others of the list do not wait for our repair
        _log.exception("An entry could not be read")
        return not_read()


_ASKED = (NotRead, AlreadyRecorded, HeldByAnother, FeedingIsLocked, BatchNotToBeGiven, NeedsReason)
"""What the phone keeps: it asks its person, or sends it again by itself."""


def _set_aside(caregiver: Caregiver, document: Any, error: FillmarkError, now: datetime) -> dict[str, object]:
    """What the phone need not keep: it lies here, whole, until a lead has settled it."""
    if isinstance(error, _ASKED):
        return {}
    try:
        is_kept = set_aside.keep_aside(
            household_id=caregiver.household_id, by=caregiver.id, document=document, error=error, now=now
        )
    except Exception:  # it stays on the phone
        _log.exception("What could not be kept could not be set aside either")
        return {}
    return {"set_aside": True} if is_kept else {}


def _refuse(document: Any, error: FillmarkError) -> dict[str, object]:
    refused: dict[str, object] = {"id": _id(document), "ok": False, "code": error.code, "message": str(error)}
    if isinstance(error, NeedsReason):
        refused["despite"] = [str(one) for one in error.despite]
    return refused


def _answer(document: Any, entry: Entry, kept: record.Answer) -> dict[str, object]:
    if isinstance(kept, FillmarkError):
        return _refuse(document, kept)
    return {
        "id": str(entry.id),
        "ok": True,
        "seq": kept.seq,
        "was_known": kept.was_known,
        "clock_ahead_seconds": kept.clock_ahead.total_seconds() if kept.clock_ahead else 0,
    }


def _id(document: Any) -> str | None:
    """The id as it came, so that the device knows which entry is meant."""
    came = document.get("id") if isinstance(document, dict) else None
    return came[:40] if isinstance(came, str) else None


def _since(request: HttpRequest, caregiver: Caregiver) -> JsonResponse:
    """What is new after `since`; 0 asks for the days a phone keeps.

    A sitter is given what their screens show: today and the day before, while their pass holds.
    """
    text = request.GET.get("since", "0")
    if not text.isascii() or not text.isdigit() or len(text) > 15:
        return JsonResponse({"error": f'"{text[:20]}" for since. Allowed: a number, 0 or more.'}, status=400)
    seq = int(text)
    household_id, now = caregiver.household_id, timezone.now()
    today = household.today(household_id=household_id, now=now)
    if not may(caregiver, what=Capability.SEE_TODAY, on=today):
        return JsonResponse(
            {"error": f"{caregiver.name}'s pass does not hold on {say_day(today)}. Ask a lead."}, status=403
        )
    sees_all = may(caregiver, what=Capability.SEE_RECORD, on=today)
    first = today - timedelta(days=int(KEPT_DAYS.value) if sees_all else 1)
    last = record.last_seq(household_id=household_id)
    if seq == 0 or seq > last:  # a phone that knows more than the record belongs to another one
        found, seq = record.recent_entries(household_id=household_id, first=first), 0
    else:
        found = record.entries_since(household_id=household_id, seq=seq)
    upto = last if not found or seq == 0 else found[-1].seq
    if not sees_all:
        found = record.only_of_days(found, household_id=household_id, first=first)
    names: dict[UUID, Names] = {}
    for kept in found:
        animal_id = kept.entry.animal_id
        if animal_id not in names:
            names[animal_id] = _names(household_id, animal_id, now=now)
    return JsonResponse(
        {
            "now": now.isoformat(),
            "household": str(household_id),
            "me": str(caregiver.id),
            "whole": seq == 0,
            "seq": upto,
            "more": upto < last,
            "entries": [
                entry_for_phone(kept, names=names[kept.entry.animal_id])
                for kept in found
                if kept.day >= first or kept.entry.corrects
            ],
        }
    )


def _names(household_id: UUID, animal_id: UUID, *, now: datetime) -> Names:
    stored = plans.current_plan(household_id=household_id, animal_id=animal_id, at=now)
    if stored is None or not stored.is_readable:
        return Names()
    medicines = {medicine.id: medicine.name for medicine in stored.plan.medicines}
    today = household.today(household_id=household_id, now=now)
    try:
        sessions = plans.planned_sessions(household_id=household_id, animal_id=animal_id, day=today)
    except FillmarkError:
        return Names(medicines=medicines)
    return Names(medicines=medicines, steps={step.id: step.title for one in sessions for step in one.steps})
