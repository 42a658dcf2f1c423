"""Which page whom: every address, asked by a lead, a helper and a sitter. An address without a row fails."""

from datetime import date, timedelta
from typing import Any

import pytest
import time_machine
from django.urls import get_resolver, reverse

from fillmark.core.record.care_entries import Note
from fillmark.core.values.people import Role
from fillmark.services import drafts, household, record
from tests.journeys.household import Household
from tests.support.builders import an_entry
from tests.web.test_screens import EVENING, TONIGHT, a_phone

pytestmark = pytest.mark.hazard("H25")
TODAY = EVENING.date()
AGO = {days: TODAY - timedelta(days=days) for days in (1, 2, 9)}
EVERYBODY, HELPERS, LEADS = "lead helper sitter", "lead helper", "lead"
PAGES: list[tuple[str, dict[str, Any], str]] = [
    ("now", {}, EVERYBODY),
    ("now_of", {}, EVERYBODY),
    ("ahead", {}, EVERYBODY),
    ("keep", {}, EVERYBODY),
    ("day", {}, EVERYBODY),
    ("day_on", {"on": TODAY}, EVERYBODY),
    ("day_on", {"on": AGO[1]}, HELPERS),
    ("day_on", {"on": TODAY + timedelta(days=1)}, HELPERS),
    ("walk", {"session": TONIGHT}, EVERYBODY),
    ("walk", {"session": f"{TODAY + timedelta(days=1)}T07:00"}, EVERYBODY),
    ("walk", {"session": f"{AGO[1]}T20:00"}, EVERYBODY),
    ("walk", {"session": f"{AGO[2]}T20:00"}, HELPERS),
    ("second_check", {"session": f"{TODAY}T22:30", "medicine": "metoclopramide"}, EVERYBODY),
    ("calls", {}, EVERYBODY),
    ("lock", {}, EVERYBODY),
    ("note", {}, EVERYBODY),
    ("once_or_twice", {}, EVERYBODY),
    ("once_or_twice", {"?day": AGO[1]}, EVERYBODY),
    ("once_or_twice", {"?day": AGO[2]}, HELPERS),
    ("entry", {"entry_id": "of today"}, EVERYBODY),
    ("entry", {"entry_id": "of yesterday"}, EVERYBODY),
    ("entry", {"entry_id": "of long ago"}, HELPERS),
    ("chart", {}, EVERYBODY),
    ("chart_on", {"on": AGO[1]}, EVERYBODY),
    ("chart_on", {"on": AGO[2]}, HELPERS),
    ("chart_on", {"on": TODAY + timedelta(days=1)}, HELPERS),
    ("chart_paper", {"first": TODAY}, HELPERS),
    ("chart_version", {"number": 1}, EVERYBODY),
    ("when_needed", {"medicine": "ondansetron"}, EVERYBODY),
    ("bottles", {}, HELPERS),
    ("open_bottle", {"medicine": "omeprazole"}, EVERYBODY),
    ("count_bottle", {"medicine": "omeprazole"}, HELPERS),
    ("strength", {"bottle": "none"}, EVERYBODY),
    ("intake", {}, EVERYBODY),
    ("intake_on", {"on": AGO[1]}, HELPERS),
    ("ladder", {}, EVERYBODY),
    ("weigh", {}, HELPERS),
    ("batch_made", {}, HELPERS),
    ("flow", {}, HELPERS),
    ("flow_test", {}, HELPERS),
    ("find", {}, HELPERS),
    ("at_the_food", {}, EVERYBODY),
    ("plan", {}, EVERYBODY),
    ("plan_versions", {}, HELPERS),
    ("plan_toml", {"number": 1}, HELPERS),
    ("plan_json", {"number": 1}, HELPERS),
    ("take_in", {}, LEADS),
    ("take_in_new", {}, LEADS),
    ("make_plan", {}, HELPERS),
    ("plan_draft", {"draft_id": "draft"}, HELPERS),
    ("plan_from_sheet", {"draft_id": "draft"}, HELPERS),
    ("plan_check_sheet", {"draft_id": "draft", "group": "animal"}, HELPERS),
    ("plan_question", {"draft_id": "draft", "spot": "tube"}, HELPERS),
    ("timetable", {}, EVERYBODY),
    ("new_times", {}, EVERYBODY),
    ("ways", {}, EVERYBODY),
    ("what_if", {}, EVERYBODY),
    ("energy", {}, EVERYBODY),
    ("mixes", {}, EVERYBODY),
    ("foods", {}, EVERYBODY),
    ("food_new", {}, HELPERS),
    ("food", {"entry_id": "none"}, HELPERS),
    ("emblem", {}, EVERYBODY),
    ("household", {}, EVERYBODY),
    ("set_aside", {}, LEADS),
    ("sign_ins", {}, LEADS),
    ("welcome", {}, EVERYBODY),
    ("example_dog", {}, EVERYBODY),
    ("example_cat", {}, EVERYBODY),
]
WRITES = {
    # these only write, and the one door asks who may; the sheet is a page too
    *("press", "write_trouble", "write_part", "change_entry", "take_back", "add_photo", "chart_effect", "drank", "ate"),
    *("sheet_thrown_away", "follow_weight", "mark_for_batch"),
    *("new_times_back", "invite", "new_link", "lost_phone", "end_sign_in", "change_person", "choose_password"),
    *("passkey_ask_to_make", "passkey_make", "passkey_end"),
    *("change_household", "chart_sheet", "entries", "settle_aside", "change_plan"),
}
NOBODYS = {
    "passkey_ask_to_sign_in",
    "passkey_sign_in",
    "sign_in",
    "use_link",
    "sign_out",
    "worker",
    "manifest",
    "no_signal",
    "anyones_cards",
}
"""Shown before anybody is signed in."""
BY_PHOTO = {"photo", "photo_small"}
"""Judged by how old the photo is: tests/services/test_photos.py."""


@pytest.fixture
def phones(quarry: Household) -> dict[str, Any]:
    """One of each role; the sitter is here since the day before yesterday."""
    who = {"household_id": quarry.id, "by": quarry.noor, "now": EVENING}
    days = {"from_on": AGO[2], "until_on": TODAY + timedelta(days=1)}
    ilse = household.add_person(**who, name="Ilse", role=Role.SITTER, **days)
    return {"lead": a_phone(quarry), "helper": a_phone(quarry, quarry.sam), "sitter": a_phone(quarry, ilse.id)}


@pytest.fixture
def written(quarry: Household) -> dict[str, str]:
    """The entry of each day that a page is about."""
    found = {}
    for name, days in (("of today", 0), ("of yesterday", 1), ("of long ago", 9)):
        at = EVENING - timedelta(days=days, hours=1)
        entry = an_entry(Note(text=name), at=at, animal_id=quarry.animal_id)
        record.record_entry(household_id=quarry.id, by=quarry.noor, entry=entry, now=EVENING)
        found[name] = str(entry.id)
    who = drafts.Who(household_id=quarry.id, by=quarry.noor, now=EVENING)
    found["draft"] = str(drafts.begin(who, animal_id=None))
    return {**found, "none": "01a21293-b600-7000-8000-000000000001"}


def names() -> set[str]:
    """The name of every address."""
    found = set()
    waiting = list(get_resolver().url_patterns)
    for one in waiting:
        waiting += getattr(one, "url_patterns", [])
        found |= {one.name} if getattr(one, "name", None) else set()
    return found - {"design", "palettes"}


def test_every_address_says_whom_it_is_for() -> None:
    """A new page is not forgotten."""
    assert {name for name, _, _ in PAGES} | WRITES | NOBODYS | BY_PHOTO == names()


def test_each_page_is_shown_to_whom_it_is_for(
    quarry: Household, phones: dict[str, Any], written: dict[str, str]
) -> None:
    """And to nobody else: taking one check out shows in one row."""
    wrong = []
    for name, kwargs, whom in PAGES:
        values = {key: written.get(value, value) for key, value in kwargs.items() if not key.startswith("?")}
        asked = "&".join(f"{key[1:]}={value}" for key, value in kwargs.items() if key.startswith("?"))
        is_about_an_animal = name not in (
            "now",
            "keep",
            "take_in_new",
            "make_plan",
            "plan_draft",
            "plan_from_sheet",
            "plan_check_sheet",
            "plan_question",
            "household",
            "set_aside",
            "sign_ins",
            "welcome",
            "example_dog",
            "example_cat",
        )
        values |= {"animal_id": quarry.animal_id} if is_about_an_animal else {}
        path = f"{reverse(name, kwargs=values)}?{asked}"
        for role, phone in phones.items():
            is_refused = phone.get(path).status_code == 403
            if is_refused == (role in whom.split()):
                wrong.append(f"{name} {kwargs} {'refused to' if is_refused else 'shown to'} a {role}")
    assert wrong == []


def test_a_sheet_is_printed_by_those_who_record_anything(quarry: Household, phones: dict[str, Any]) -> None:
    """It is written down which plan it shows."""
    found = {role: phone.post(f"/{quarry.animal_id}/chart/sheet/").status_code for role, phone in phones.items()}

    assert found["sitter"] == 403
    assert 403 not in (found["lead"], found["helper"])


def test_a_pass_that_is_over_shows_nothing(quarry: Household, phones: dict[str, Any]) -> None:
    """On the day after the last one."""
    with time_machine.travel(EVENING + timedelta(days=2), tick=False):
        for page in ("", "day/", "calls/", f"{date(2026, 11, 27)}T20:00/"):
            assert phones["sitter"].get(f"/{quarry.animal_id}/{page}").status_code == 403
