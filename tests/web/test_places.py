"""The way around: from the first screen to what people look for, by the links and buttons that a page shows."""

import re
from collections.abc import Iterator
from decimal import Decimal
from html.parser import HTMLParser
from typing import Any
from urllib.parse import urlsplit

import pytest
import time_machine
from django.test import Client
from django.urls import Resolver404, resolve, reverse

from fillmark.core.record.medicine_entries import BottleOpened
from fillmark.web.places import HOME, PlaceName
from tests.journeys.household import Household, quarry_lane
from tests.support.builders import EVENING
from tests.support.full_shelf import a_full_shelf
from tests.web.test_screens import a_phone
from tests.web.test_who_sees import BY_PHOTO, NOBODYS, PAGES, WRITES, phones  # noqa: F401

SOUGHT: list[tuple[str, str, int, str]] = [
    # what a person would say; the page or the form that answers; taps at most; whom it is for
    ("What is next?", "now", 0, "lead helper sitter"),
    ("Was the omeprazole given today?", "now", 0, "lead helper sitter"),
    ("Whom do I call?", "calls", 1, "lead helper sitter"),
    ("Everything of today", "day", 1, "lead helper sitter"),
    ("How much went in, and how much came back?", "intake", 2, "lead helper sitter"),
    ("Yesterday", "day_on", 2, "lead helper"),
    ("The list of medicines with their times", "chart", 2, "lead helper sitter"),
    ("We both wrote it down", "once_or_twice", 2, "lead helper sitter"),
    ("When was that vomiting last week?", "find", 2, "lead helper"),
    ("I want to write down what I saw", "note", 2, "lead helper sitter"),
    ("She was weighed", "weigh", 2, "lead helper"),
    ("I made a batch", "batch_made", 2, "lead helper"),
    ("Is it too thick?", "flow_test", 2, "lead helper"),
    ("Another can", "mixes", 2, "lead helper sitter"),
    ("How much energy is that?", "energy", 2, "lead helper sitter"),
    ("Fewer, larger meals", "what_if", 2, "lead helper sitter"),
    ("When may she eat by herself?", "ladder", 2, "lead helper sitter"),
    ("What did the vet order?", "plan", 1, "lead helper sitter"),
    ("How much is left in the bottle?", "bottles", 2, "lead helper"),
    ("At what times?", "timetable", 2, "lead helper sitter"),
    ("We are late today", "new_times", 2, "lead helper sitter"),
    ("The plan of last month", "plan_versions", 2, "lead helper"),
    ("The vet says 0.4 instead of 0.3", "plan_question", 3, "lead helper"),
    ("A sitter comes", "invite", 2, "lead"),
    ("I got a new phone", "new_link", 2, "lead helper sitter"),
    ("Sign out", "sign_out", 2, "lead helper sitter"),
    ("Something for the wall", "chart_sheet", 3, "lead helper"),  # two to its button, and the button
]


class Ways(HTMLParser):
    """Where a page leads: its links, and its forms with the fields that they are sent with."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.links: list[str] = []
        self.forms: list[str] = []
        self._is_unseen = 0
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        if tag == "template":
            self._is_unseen += 1
        if self._is_unseen:
            return
        if tag == "a" and told.get("href"):
            self.links.append(str(told["href"]))
        if tag == "form":
            self.forms.append(str(told.get("action") or ""))

    def handle_endtag(self, tag: str) -> None:
        if tag == "template":
            self._is_unseen -= 1


def named(path: str) -> str:
    """The name of an address; none for what is not of this app."""
    try:
        return resolve(urlsplit(path).path).url_name or ""
    except Resolver404:
        return ""


MOST_OF_ONE = 2
"""So many pages of one name are opened: there is a page for every day there ever was."""


def walk(phone: Client, *, most: int) -> tuple[dict[str, int], list[str]]:
    """The fewest taps to each address by its name, and every link that a page shows and this person may not open."""
    taps, seen, opened, refused = {"now": 0}, {"/"}, {}, []
    here = ["/"]
    for tap in range(1, most + 2):
        ahead: list[str] = []
        for path in here:
            answer = phone.get(path, follow=True)
            if answer.status_code == 403:
                refused.append(path)
            if answer.status_code != 200 or not answer["Content-Type"].startswith("text/html"):
                continue
            for name, href in _leads_to(Ways(answer.content.decode()), path, phone):
                taps.setdefault(name, tap)
                opened[name] = opened.get(name, 0) + (href not in seen)
                if href and href not in seen and opened[name] <= MOST_OF_ONE:
                    seen.add(href)
                    ahead.append(href)
        here = ahead
    return taps, refused


def _leads_to(ways: Ways, path: str, phone: Client) -> Iterator[tuple[str, str]]:
    """Each name with the address to open; of the forms only that one is sent which begins a change of the plan."""
    for href in ways.links:
        if href.startswith(("/", "?")):
            yield named(href if href.startswith("/") else path), re.sub(r"#.*", "", href)
    for action in ways.forms:
        yield named(action or path), ""
        if named(action) == "change_plan":
            begun = phone.post(action, {"spot": "meals"})["Location"]
            yield named(begun), begun


@pytest.mark.parametrize("role", ["lead", "helper", "sitter"])
def test_what_people_look_for_is_two_taps_away(quarry: Household, phones: dict[str, Any], role: str) -> None:  # noqa: F811
    """And a change of the plan three. Nobody is shown a way that they may not go."""
    taps, refused = walk(phones[role], most=2)
    far = [
        f"{role}: “{words}” ({name}) is {taps.get(name, 'not')} taps away, not {most}"
        for words, name, most, whom in SOUGHT
        if role in whom.split() and taps.get(name, 99) > most
    ]
    assert far == []
    assert [f"{role}: {path}" for path in refused] == []


THE_PHONES_OWN = {"ahead", "keep", "entries", "passkey_ask_to_make", "passkey_ask_to_sign_in", "passkey_sign_in"}
"""Asked by a script or the worker, not looked at."""
IN_ANOTHER_STATE = {
    *("welcome", "example_dog", "example_cat"),  # a household without an animal: test_no_dead_end.py
    *("strength", "write_part"),  # a bottle of another strength, feeding locked: test_bottles.py, test_calls.py
    *("set_aside", "settle_aside", "sheet_thrown_away", "chart_effect"),  # what waits for an answer
    *("mark_for_batch", "follow_weight", "new_times_back", "passkey_end"),  # offered by what was written before
    *("plan_from_sheet", "plan_check_sheet"),  # a sheet that somebody pasted: test_paste_sheet.py
    *("chart_version", "food"),  # the code on a printed sheet; a food of one's own
}


def test_no_page_is_out_of_reach(db: None) -> None:
    """By links and forms alone, from the first screen, a lead comes to every address that there is."""
    plan = a_full_shelf()
    fed = plan.animal.model_copy(update={"by_mouth": "food and water"})
    with time_machine.travel(EVENING, tick=True):
        quarry = quarry_lane(now=EVENING, plan=plan.model_copy(update={"animal": fed}))
        quarry.write(BottleOpened(medicine="metoclopramide", strength="5 mg/mL", ml=Decimal(50)), at=EVENING)
        taps, _ = walk(a_phone(quarry), most=6)
    wanted = {name for name, _, _ in PAGES} | WRITES
    assert wanted - set(taps) - THE_PHONES_OWN - IN_ANOTHER_STATE - NOBODYS - BY_PHOTO == set()


def test_without_a_signal_each_place_is_kept_that_a_phone_can_keep(quarry: Household, phones: dict[str, Any]) -> None:  # noqa: F811
    """A sitter's phone keeps no plan: there the page for what is not kept says so, with what to do in trouble."""
    kept = {role: phone.get("/keep").json()["pages"] for role, phone in phones.items()}
    places = {place: reverse(name, args=[quarry.animal_id]) for place, name in HOME.items()}
    assert {role: [p for p, href in places.items() if href not in pages] for role, pages in kept.items()} == {
        "lead": [],
        "helper": [],
        "sitter": [PlaceName.PLAN],
    }
    assert "/something-is-wrong/" in phones["sitter"].get("/no-signal").content.decode()


def test_a_flow_has_no_ruler_and_what_is_looked_at_has(quarry: Household, phones: dict[str, Any]) -> None:  # noqa: F811
    """In a walk, a call, the lock, a note, a form that saves no thumb leaves halfway; the tag says who is there."""
    own = f"/{quarry.animal_id}"
    for path in ("/2026-11-25T20:00/", "/calls/", "/lock/", "/note/", "/weigh/", "/batch/", "/new-times/"):
        page = phones["helper"].get(own + path).content.decode()
        assert 'class="places"' not in page, path
        assert '<a class="day-line"' not in page, path
    for path in ("/", "/day/", "/food/", "/plan/", "/chart/", "/bottles/", "/intake/"):
        page = phones["helper"].get(own + path).content.decode()
        assert page.count('class="places"') == 1, path
        assert "Sam</a>" in page, path
        assert page.count('aria-current="true"') == 1, path
