"""The four places of the app and what stands in each: from this one table come the ruler at the foot and its lists."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from uuid import UUID

from django.urls import resolve, reverse

from fillmark.core.values.people import Capability, Caregiver, may


class PlaceName(StrEnum):
    """One of the four, by the word on the ruler."""

    NOW = "Now"
    RECORD = "Record"
    FOOD = "Food"
    PLAN = "Plan"


HOME = {PlaceName.NOW: "now_of", PlaceName.RECORD: "day", PlaceName.FOOD: "at_the_food", PlaceName.PLAN: "plan"}
"""The page that each begins with."""

IN_PLACE: Mapping[PlaceName, Mapping[str, str]] = {
    PlaceName.NOW: {},
    PlaceName.RECORD: {
        "note": "Write a note",
        "find": "Find",
        "intake": "In, back and kept",
        "chart": "Medicine chart",
        "once_or_twice": "Once or twice?",
        "weigh": "Weigh",
        "chart#paper": "On paper",
    },
    PlaceName.FOOD: {
        "batch_made": "A batch as made",
        "flow": "Batches",
        "flow_test": "Test the flow",
        "mixes": "Mixes",
        "foods": "Foods on hand",
        "energy": "Energy",
        "ways": "Ways to feed",
        "what_if": "What if?",
        "ladder": "Back to eating",
    },
    PlaceName.PLAN: {
        "bottles": "Bottles",
        "timetable": "The day's times",
        "new_times": "Late or away today",
        "plan_versions": "Every version",
        "emblem": "Shape, color, photo",
        "take_in": "Take in a file",
    },
}
"""What stands in each place: the name of its address, with the part of the page that is meant, and its words."""

_LOOKED_AT = {
    **dict.fromkeys(("now", "now_of"), PlaceName.NOW),
    **dict.fromkeys(
        ("day", "day_on", "intake", "intake_on", "chart", "chart_on", "chart_version", "find"), PlaceName.RECORD
    ),
    **dict.fromkeys(("at_the_food", "flow", "mixes", "foods", "energy", "ways", "what_if", "ladder"), PlaceName.FOOD),
    **dict.fromkeys(("plan", "plan_versions", "bottles", "timetable"), PlaceName.PLAN),
}
"""The pages that carry the ruler. In a flow it is gone: no thumb leaves one halfway, and the way out is Back."""
UNDER_THE_TAG = "household"
"""The page that the name of whose hand writes leads to."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Way:
    """A link to a page: where, in which words, and whether it is the page or the place that is looked at."""

    href: str
    words: str
    is_here: bool = False


def may_open(person: Caregiver, href: str, *, on: date) -> bool:
    """Whether a page of this address is for this person, by what the page itself asks of who comes.

    Args:
        person: Who would open it.
        href: Its address.
        on: The household's day.
    """
    needs: Capability = resolve(href).func.needs  # type: ignore[attr-defined]  # set by what gives the screen its guard
    return may(person, what=needs, on=on)


def has_ruler(page: str) -> bool:
    """Whether the page of this name carries the ruler."""
    return page in _LOOKED_AT or page == UNDER_THE_TAG


def ruler(animal_id: UUID, *, page: str) -> Iterator[Way]:
    """The four places, for the foot of a page.

    Args:
        animal_id: Whose places they are.
        page: The name of the page's address.
    """
    for place, name in HOME.items():
        yield Way(href=reverse(name, args=[animal_id]), words=place.value, is_here=_LOOKED_AT.get(page) is place)


def ways_in(place: PlaceName, person: Caregiver, *, animal_id: UUID, on: date) -> Iterator[Way]:
    """What stands in a place, of that what this person may open.

    Args:
        place: The place.
        person: Who looks.
        animal_id: Whose place it is.
        on: The household's day.
    """
    for named, words in IN_PLACE[place].items():
        name, mark, part = named.partition("#")
        href = reverse(name, args=[animal_id])
        if may_open(person, href, on=on):
            yield Way(href=f"{href}{mark}{part}", words=words)
