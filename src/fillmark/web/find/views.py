"""Looking something up in the whole record: by day, by kind, by person, by words."""

from datetime import date
from urllib.parse import urlencode
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from fillmark.core.values.errors import BadEntry
from fillmark.core.values.people import Capability
from fillmark.core.values.typed import read_day
from fillmark.services import find as service
from fillmark.services import household
from fillmark.web.bedside import Bedside, at_the_bedside
from fillmark.web.bedside.todays_plan import planned_on
from fillmark.web.words import say_clock, say_entry

KINDS: dict[str, tuple[str, tuple[str, ...]]] = {
    "meals": ("Meals", ("fill_given", "meal_ended", "came_back")),
    "came-back": ("What came back", ("came_back",)),
    "medicines": ("Medicines", ("medicine_given", "effect_seen", "second_check")),
    "water": ("Water", ("flush_given",)),
    "stops": ("Stops and what was left out", ("session_stopped", "session_skipped", "step_skipped")),
    "trouble": ("Trouble and locks", ("feeding_locked", "feeding_cleared", "trouble_seen")),
    "weight": ("Weight", ("weight",)),
    "notes": ("Notes", ("note",)),
    "photos": ("Photos", ("photo_taken",)),
    "corrections": ("Taken back", ("withdrawn", "both_given")),
    "stock": ("Bottles and stock", ("bottle_opened", "strength_confirmed", "stock_counted")),
    "flow": ("Flow tests, batches, foods", ("flow_test", "batch_chosen", "batch_made", "food_kept")),
}
"""What a person looks for, and the kinds of entries that hold it."""


def _day(text: str) -> date | None:
    if not text:
        return None
    found = read_day(text)
    if found is None:
        raise BadEntry(
            field="day", got=f'"{text[:20]}" for a day', allowed="a day that exists", remedy="Choose the day again."
        )
    return found


def _id(text: str) -> UUID | None:
    try:
        return UUID(text) if text else None
    except ValueError:
        raise BadEntry(
            field="by", got=f'"{text[:40]}"', allowed="a person of the list", remedy="Choose the person again."
        ) from None


def _before(text: str) -> tuple[date, UUID] | None:
    day, _, entry_id = text.partition("_")
    found = (_day(day), _id(entry_id))
    return (found[0], found[1]) if found[0] and found[1] else None


@require_GET
@at_the_bedside(what=Capability.SEE_RECORD)
def find(request: HttpRequest, bedside: Bedside) -> HttpResponse:
    asked = request.GET
    kind = asked.get("kind", "")
    found = service.find_entries(
        **bedside.ids,
        first=_day(asked.get("first", "")),
        last=_day(asked.get("last", "")),
        kinds=KINDS[kind][1] if kind in KINDS else (),
        by=_id(asked.get("by", "")),
        words=asked.get("words", "").strip()[:80],
        before=_before(asked.get("before", "")),
    )
    names = planned_on(bedside, bedside.today).names
    filled = {key: asked.get(key, "") for key in ("first", "last", "kind", "by", "words")}
    days: list[tuple[date, list[dict[str, object]]]] = []
    for one in found.entries:
        if not days or days[-1][0] != one.kept.day:
            days.append((one.kept.day, []))
        days[-1][1].append(
            {
                "clock": say_clock(one.kept.entry.at, bedside.zone),
                "words": say_entry(one.kept, names=names),
                "by": one.kept.by_name,
                "is_replaced": one.replaced_by is not None,
                "href": bedside.href("entry", entry_id=one.kept.entry.id),
            }
        )
    after = found.after and urlencode(
        {**{key: value for key, value in filled.items() if value}, "before": f"{found.after[0]}_{found.after[1]}"}
    )
    context = {
        "bedside": bedside,
        "under": "The whole record",
        "calls_href": bedside.href("calls"),
        "filled": filled,
        "kinds": [(key, words) for key, (words, _) in KINDS.items()],
        "people": household.find_people(household_id=bedside.home.id),
        "days": [{"on": day, "href": bedside.href("day_on", on=day), "entries": entries} for day, entries in days],
        "after": after,
        "is_first": not asked.get("before"),
        "today": bedside.today,
    }
    return render(request, "find/find.html", context)
