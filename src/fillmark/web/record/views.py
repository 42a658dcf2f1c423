"""Entries over HTTP: one or a list, each kept for itself and acknowledged for itself."""

import json
from typing import Any

from django.http import HttpRequest, JsonResponse
from django.utils import timezone
from django.views.decorators.http import require_POST

from fillmark.core.entries import read_entry
from fillmark.core.errors import FillmarkError
from fillmark.services import households, record

MOST_AT_ONCE = 500
"""More than a phone writes in a week without a signal; it sends the rest after the answer."""


@require_POST
def record_entries(request: HttpRequest) -> JsonResponse:
    """Keep the entries in the body (a JSON object, or a list of them), and answer for each of them in the same order.

    An acknowledged entry is on the disk and need not be sent again. One bad entry does not hold up the others.
    """
    caregiver = households.find_caregiver_of_user(request.user.pk) if request.user.is_authenticated else None
    if caregiver is None:
        return JsonResponse(
            {"error": "Sign in, then send the entries again. They are still on your device."}, status=401
        )
    try:
        came = json.loads(request.body)
    except (ValueError, RecursionError):
        return JsonResponse({"error": "The body is not JSON. Allowed: one entry, or a list of entries."}, status=400)
    entries = came if isinstance(came, list) else [came]
    if len(entries) > MOST_AT_ONCE:
        message = f"{len(entries)} entries at once. Allowed: {MOST_AT_ONCE}. Send them in parts."
        return JsonResponse({"error": message}, status=413)
    now = timezone.now()
    answers: list[dict[str, object]] = []
    for document in entries:
        try:
            entry = read_entry(document if isinstance(document, dict) else json.dumps(document))
            kept = record.record_entry(
                household_id=caregiver.household_id, by=caregiver.id, entry=entry, now=timezone.now()
            )
        except FillmarkError as error:
            answers.append({"id": _id(document), "ok": False, "code": error.code, "message": str(error)})
        else:
            answers.append(
                {
                    "id": str(entry.id),
                    "ok": True,
                    "seq": kept.seq,
                    "was_known": kept.was_known,
                    "clock_ahead_seconds": kept.clock_ahead.total_seconds() if kept.clock_ahead else 0,
                }
            )
    return JsonResponse({"now": now.isoformat(), "entries": answers})


def _id(document: Any) -> str | None:
    """The id as it came, so that the device knows which entry is meant."""
    came = document.get("id") if isinstance(document, dict) else None
    return came[:40] if isinstance(came, str) else None
