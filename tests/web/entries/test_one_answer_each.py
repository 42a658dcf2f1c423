"""One entry, one answer; and what a phone wrote without a signal is never lost."""

import json
from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.urls import reverse

from fillmark.core.record.care_entries import Note
from fillmark.core.values.people import Role
from fillmark.services import household, record, sign_in
from tests.journeys.household import Household
from tests.support.builders import EVENING, an_entry, an_id
from tests.support.phone_model import as_document

pytestmark = pytest.mark.hazard("H42")


def signed_in(person: Any) -> Client:
    client = Client()
    client.force_login(sign_in.user_of(person), backend="django.contrib.auth.backends.ModelBackend")
    return client


@pytest.fixture
def noor(quarry: Household) -> Client:
    return signed_in(quarry.noor)


def a_note(quarry: Household, text: str) -> dict[str, Any]:
    return as_document(an_entry(Note(text=text), at=EVENING, animal_id=quarry.animal_id, id=an_id(at=EVENING)))


def send(client: Client, documents: list[Any], **beside: Any) -> list[dict[str, Any]]:
    answer = client.post("/entries", json.dumps({"entries": documents, **beside}), "application/json")
    assert answer.status_code == 200, answer.content
    return answer.json()["entries"]


@pytest.fixture
def broken_database(db: None) -> Iterator[None]:
    """A database that fails, in a way nobody thought of, on every entry that says so."""
    if connection.vendor != "sqlite":
        pytest.skip("made by a trigger of SQLite")
    with connection.cursor() as cursor:
        cursor.execute(
            "CREATE TRIGGER breaks BEFORE INSERT ON records_entry WHEN NEW.payload LIKE '%BREAKS%' "
            "BEGIN SELECT abs(-9223372036854775807 - 1); END"
        )
    yield
    with connection.cursor() as cursor:
        cursor.execute("DROP TRIGGER breaks")


def test_a_fault_of_ours_is_the_answer_to_one_entry(
    quarry: Household, noor: Client, broken_database: None, caplog: pytest.LogCaptureFixture
) -> None:
    """The others of the list are kept; it is written to the log, stays on the phone, and is kept once mended."""
    documents = [a_note(quarry, text) for text in ("one", "it BREAKS", "three")]
    answers = send(noor, documents, set_aside=True)

    assert [one["ok"] for one in answers] == [True, False, True]
    assert answers[1]["code"] == "not-read"
    assert "could not be read here" in answers[1]["message"]
    assert "set_aside" not in answers[1]
    assert "integer overflow" in caplog.text
    texts = [one.entry.payload.text for one in record.entries_since(household_id=quarry.id, seq=0, limit=9999)[-2:]]
    assert texts == ["one", "three"]
    with connection.cursor() as cursor:
        cursor.execute("DROP TRIGGER breaks")
        cursor.execute("CREATE TRIGGER breaks AFTER INSERT ON records_entry BEGIN SELECT 1; END")
    assert [one["ok"] for one in send(noor, documents, set_aside=True)] == [True, True, True]


def test_a_database_that_does_not_answer_is_not_asked_for_each_of_two_hundred(
    quarry: Household, noor: Client, broken_database: None, caplog: pytest.LogCaptureFixture
) -> None:
    """After three faults in a row the rest has the same answer."""
    answers = send(noor, [a_note(quarry, f"BREAKS {number}") for number in range(200)])

    assert {one["code"] for one in answers} == {"not-read"}
    assert len(answers) == 200
    assert caplog.text.count("was not kept together") == 4


def strange(quarry: Household) -> list[Any]:
    """What a phone of another version, with a broken clock or a broken store may hold."""
    note = a_note(quarry, "x")
    return [
        {**note, "id": str(an_id(at=EVENING)), "at": "2001-01-01T00:00:00+00:00"},
        {**note, "id": str(an_id(at=EVENING)), "payload": {"kind": "of_next_year", "text": "fed 60 mL"}},
        {**note, "id": str(an_id(at=EVENING)), "payload": {"kind": "note", "text": "a\x00\ud800 b"}},
        {**note, "id": "7"},
        {},
        None,
        7,
        "text",
        [note],
        {"id": {"a": 1}, "payload": 9},
    ]


@pytest.mark.hazard("H27")
def test_what_cannot_be_kept_is_set_aside_whole_and_the_queue_goes_on(quarry: Household, noor: Client) -> None:
    """By whom, when and why; sent again it is there once; nothing of it counts."""
    documents = [a_note(quarry, "before"), *strange(quarry), a_note(quarry, "after")]
    for _ in range(2):
        answers = send(noor, documents, set_aside=True)
        assert [one["ok"] for one in answers] == [True, *[False] * 10, True]
        assert [one.get("set_aside") for one in answers[1:-1]] == [True] * 10, answers
    page = noor.get(reverse("set_aside")).content.decode()
    assert page.count("Keep it as a note") == 10
    assert "Noor, sent 25 November, 19:42" in page
    assert "no more than 731 days back" in page
    assert "kind: of_next_year" in page
    assert "fed 60 mL" in page
    first = noor.get("/").content.decode()
    assert "10 things that a phone wrote could not be kept as they came" in " ".join(first.split())


@pytest.mark.hazard("H26")
@pytest.mark.parametrize("back", [timedelta(days=2), timedelta(days=20_000)])
def test_while_the_servers_own_clock_is_set_back_nothing_is_set_aside_or_lost(
    quarry: Household, noor: Client, back: timedelta
) -> None:
    """A machine without a battery begins in a year long past: the phone keeps what it has until the clock is right."""
    send(noor, [a_note(quarry, "before")])
    documents = [a_note(quarry, "one"), a_note(quarry, "two")]
    with time_machine.travel(EVENING - back, tick=True):
        answers = send(signed_in(quarry.noor), documents, set_aside=True)
    assert [(one["code"], one.get("set_aside")) for one in answers] == [("not-read", None)] * 2
    assert "Set the machine's clock." in answers[0]["message"]

    with time_machine.travel(EVENING - timedelta(hours=2), tick=True):  # a little back: it is kept, in sequence
        assert send(signed_in(quarry.noor), documents[:1])[0]["ok"]
    assert send(noor, documents, set_aside=True)[1]["ok"]
    kept = record.entries_since(household_id=quarry.id, seq=0, limit=9999)
    assert [one.seq for one in kept] == list(range(1, len(kept) + 1))
    assert [one.entry.payload.text for one in kept[-3:]] == ["before", "one", "two"]


def test_a_phone_of_before_and_a_fresh_press_are_answered_as_ever(quarry: Household, noor: Client) -> None:
    """Whoever can still be asked is asked; a page that does not know of it keeps its entry."""
    document = {**a_note(quarry, "x"), "at": "2001-01-01T00:00:00+00:00"}
    for beside in ({}, {"set_aside": True, "fresh": [document["id"]]}):
        (answer,) = send(noor, [document], **beside)
        assert (answer["ok"], answer["code"], answer.get("set_aside")) == (False, "bad-entry", None)
    assert "Keep it as a note" not in noor.get(reverse("set_aside")).content.decode()


def test_a_lead_settles_it_and_nobody_else(quarry: Household, noor: Client) -> None:
    """As a note in their own words, or thrown away with a word; what came stays beside it."""
    sam = signed_in(quarry.sam)
    send(sam, strange(quarry)[:2], set_aside=True)
    asides = [one["id"] for one in noor.get(reverse("set_aside")).context["waiting"]]
    note = {
        "what": "note",
        "animal": str(quarry.animal_id),
        "text": "Sam fed 60 mL",
        "entry_id": str(an_id(at=EVENING)),
    }
    assert sam.get(reverse("set_aside")).status_code == 403
    assert sam.post(reverse("settle_aside", args=[asides[0]]), note).status_code == 403
    assert noor.post(reverse("settle_aside", args=[asides[0]]), note | {"text": " \u200b"}).status_code == 400
    assert noor.post(reverse("settle_aside", args=[asides[0]]), note | {"animal": "x"}).status_code == 400
    assert noor.post(reverse("settle_aside", args=[asides[1]]), {"why": ""}).status_code == 400
    assert len(noor.get(reverse("set_aside")).context["waiting"]) == 2

    assert noor.post(reverse("settle_aside", args=[asides[0]]), note).status_code == 302
    assert noor.post(reverse("settle_aside", args=[asides[1]]), {"why": "A test"}).status_code == 302
    again = noor.post(reverse("settle_aside", args=[asides[1]]), {"why": "Once more"})
    assert again.status_code == 400
    assert "Something that waits here no longer" in again.content.decode()
    kept = record.entries_since(household_id=quarry.id, seq=0, limit=9999)[-1]
    assert kept.entry.payload == Note(text="Sam fed 60 mL")
    page = noor.get(reverse("set_aside")).content.decode()
    assert "Nothing waits." in page
    assert "Thrown away by Noor: A test" in " ".join(page.split())
    assert "kind: of_next_year" in page
    assert "data-set-aside" not in noor.get("/").content.decode()


@pytest.mark.hazard("H25")
def test_what_a_sitter_wrote_whose_pass_is_long_over_is_not_lost(quarry: Household, noor: Client) -> None:
    """It is no entry, and a lead still reads it."""
    who = {"household_id": quarry.id, "by": quarry.noor, "now": EVENING}
    days = {"from_on": EVENING.date(), "until_on": EVENING.date()}
    ilse = household.add_person(**who, name="Ilse", role=Role.SITTER, **days)
    document = a_note(quarry, "Ate well at ten")
    with time_machine.travel(EVENING + timedelta(days=9), tick=False):
        (answer,) = send(signed_in(ilse.id), [document], set_aside=True)
        assert (answer["code"], answer["set_aside"]) == ("not-allowed", True)
        assert "Ate well at ten" in signed_in(quarry.noor).get(reverse("set_aside")).content.decode()
