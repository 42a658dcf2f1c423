"""What a phone wrote and the record could not keep as it is: whole, with by whom, when and why; a lead settles it."""

from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from fillmark.core.values.errors import BadEntry, FillmarkError, NotAllowed
from fillmark.core.values.people import Capability
from fillmark.core.values.words import say_day
from fillmark.services import record
from fillmark.services import set_aside as service
from fillmark.web.at_home import AtHome, at_home
from fillmark.web.words import say_clock
from fillmark.web.writing import device_of, form_id

_MOST_SHOWN = 1500
"""As much of it as fits into a note, with room for a lead's own words."""


def _page(request: HttpRequest, at: AtHome, *, error: FillmarkError | None = None) -> HttpResponse:
    found = service.find_asides(household_id=at.home.id, by=at.caregiver.id, now=at.now)
    shown = [
        {
            "id": one.id,
            "by": one.by_name,
            "when": f"{say_day(one.recorded_at.astimezone(at.zone).date())}, {say_clock(one.recorded_at, at.zone)}",
            "why": one.message,
            "words": service.plain_words(one.document),
            "note": f"{one.by_name} wrote:\n{service.plain_words(one.document)[:_MOST_SHOWN]}",
            "is_settled": one.settled_at is not None,
            "settled_by": one.settled_by_name,
            "settled": one.words,
            "is_note": one.note is not None,
            "entry_id": record.new_entry_id(now=at.now),
        }
        for one in found
    ]
    context = {
        "waiting": [one for one in shown if not one["is_settled"]],
        "settled": [one for one in shown if one["is_settled"]],
        "animals": at.animals,
        "calls_href": at.calls_href,
        "error": error,
    }
    return render(request, "set_aside/set_aside.html", context, status=400 if error else 200)


@require_GET
@at_home(what=Capability.SETTLE)
def set_aside(request: HttpRequest, at: AtHome) -> HttpResponse:
    return _page(request, at)


@require_POST
@at_home(what=Capability.SETTLE)
def settle(request: HttpRequest, at: AtHome, *, aside_id: UUID) -> HttpResponse:
    """Keep it as a note, or throw it away with a word why."""
    who: dict[str, Any] = {"household_id": at.home.id, "by": at.caregiver.id, "now": at.now}
    form = request.POST
    try:
        if form.get("what") == "note":
            animal = next((one for one in at.animals if str(one.id) == form.get("animal")), None)
            if animal is None:
                raise BadEntry(
                    field="animal",
                    got="A note without its animal",
                    allowed="one of your animals",
                    remedy="Choose which animal it is about.",
                )
            service.keep_as_note(
                **who,
                aside_id=aside_id,
                animal_id=animal.id,
                text=form.get("text", "").replace("\r\n", "\n"),
                entry_id=form_id(request),
                device=device_of(request),
            )
        else:
            service.throw_away(**who, aside_id=aside_id, why=form.get("why", ""))
    except NotAllowed:
        raise
    except FillmarkError as error:
        return _page(request, at, error=error)
    return redirect("set_aside")
