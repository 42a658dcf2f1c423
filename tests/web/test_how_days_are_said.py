"""Days and spans as people say them, on every page of a household with data."""

import re
from datetime import timedelta
from html import unescape

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from fillmark.core.record.medicine_entries import BottleOpened
from fillmark.services import record
from tests.journeys.household import quarry_lane
from tests.repo.test_words import screens
from tests.support.full_shelf import a_full_shelf
from tests.support.medicine_week import NOW, a_medicine_week, keep
from tests.web.test_screens import EVENING, a_phone

MONTHS = "January|February|March|April|May|June|July|August|September|October|November|December"
UNSAID = {
    "a day as a file has it": r"\b\d{4}-\d{2}-\d{2}\b",
    "a day with a zero in front": rf"\b0\d (?:{MONTHS})\b",
    "a span in parts of an hour": r"\d\.\d{3,} (?:hours|days|minutes)\b",
}


def unsaid(page: str) -> list[str]:
    """What nobody would say, in what a page shows or tells aloud, each with the words around it."""
    page = re.sub(r"(?s)<(script|style|template|textarea)\b.*?</\1>", " ", page)
    aloud = " . ".join(re.findall(r'(?:aria-label|alt|title|placeholder)="([^"]*)"', page))
    text = " ".join(unescape(f"{re.sub(r'<[^>]*>', ' ', page)} . {aloud}").split())
    return [
        f"{what}: …{text[max(0, found.start() - 40) : found.end() + 20]}…"
        for what, form in UNSAID.items()
        for found in re.finditer(form, text)
    ]


def faults(client: Client, fills: dict[str, object]) -> list[str]:
    found, seen = [], 0
    for name, needs in screens():
        kwargs = {one: fills.get(one, fills.get(kind)) for one, kind in needs.items()}
        if None in kwargs.values():
            continue
        answer = client.get(reverse(name, kwargs=kwargs))
        if answer.get("Content-Type", "").startswith("text/html") and answer.status_code == 200:
            seen += 1
            found += [f"{name}: {fault}" for fault in unsaid(answer.content.decode())]
    assert seen > 25
    return found


@pytest.mark.hazard("H4")
def test_a_week_of_medicines_is_told_as_people_say_it(db: None) -> None:
    """Also the questions about doses that stand close together."""
    with time_machine.travel(NOW, tick=False):
        week = a_medicine_week()
        opened = BottleOpened(medicine="omeprazole", strength="4 mg/mL", ml="100")
        fills = {
            "SessionConverter": "2026-11-26T14:30",
            "DayConverter": (NOW - timedelta(days=1)).date(),
            "IntConverter": 1,
            "animal_id": week.animal_id,
            "entry_id": record.entries_since(household_id=week.id, seq=0)[0].entry.id,
            "medicine": "omeprazole",
            "bottle": keep(week, opened, at=NOW - timedelta(hours=1), by=week.noor),
        }
        assert faults(a_phone(week), fills) == []


@pytest.mark.hazard("H4")
def test_every_kind_of_order_is_told_as_people_say_it(db: None) -> None:
    """Early in a month, when a day has one digit."""
    now = EVENING + timedelta(days=9)
    with time_machine.travel(now, tick=False):
        home = quarry_lane(now=now, plan=a_full_shelf())
        fills = {
            "SessionConverter": "2026-12-04T20:00",
            "DayConverter": now.date(),
            "IntConverter": 1,
            "animal_id": home.animal_id,
            "medicine": "retching",
        }
        assert faults(a_phone(home), fills) == []


@pytest.mark.parametrize("planted", ["on 2026-11-26.", "Friday 04 December", "1.333 hours apart"])
def test_what_is_planted_is_found(planted: str) -> None:
    """On a page, and in what it only says aloud."""
    assert len(unsaid(f'<p>{planted}</p><svg aria-label="{planted}"></svg>')) == 2
