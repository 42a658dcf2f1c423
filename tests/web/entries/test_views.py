"""Entries over HTTP: each kept and acknowledged for itself."""

import json
from datetime import timedelta
from typing import Any

import pytest
import time_machine
from django.test import Client
from django.utils import timezone

from fillmark.core.record.care_entries import Note
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.record.entries import Entry, write_payload
from fillmark.core.record.session_entries import FillGiven
from fillmark.services import record, sign_in
from tests.support.builders import NOON, SEVEN, Home, a_home, an_entry, an_id

pytestmark = pytest.mark.django_db


@pytest.fixture
def noor(home: Home) -> Client:
    """Noor's phone, signed in, with the protection against forged requests in force."""
    return signed_in(home.noor)


def signed_in(person_id: Any) -> Client:
    phone = Client(enforce_csrf_checks=True, headers={"X-CSRFToken": "a" * 32})
    phone.cookies["csrftoken"] = "a" * 32
    phone.force_login(sign_in.user_of(person_id))
    return phone


def as_document(entry: Entry) -> dict[str, Any]:
    document = {"id": str(entry.id), "animal_id": str(entry.animal_id), "at": entry.at.isoformat()}
    return {**document, "zone": entry.zone, "device": entry.device, "payload": json.loads(write_payload(entry))}


def a_fill(home: Home, number: int = 1) -> dict[str, Any]:
    payload = FillGiven(session=SEVEN, fill=number, ml=60)
    return as_document(an_entry(payload, animal_id=home.animal_id, at=timezone.now()))


def post(phone: Client, body: Any) -> Any:
    return phone.post("/entries", body if isinstance(body, bytes) else json.dumps(body), "application/json")


def kept(home: Home) -> list[str]:
    return [str(one.entry.id) for one in record.entries_since(household_id=home.id, seq=0)]


def test_one_entry_or_a_list_is_kept_and_answered_in_order(home: Home, noor: Client) -> None:
    """Each with its number, and the server's time beside them."""
    entries = [a_fill(home, number) for number in (1, 2, 3)]

    one, more = post(noor, entries[0]), post(noor, entries)

    assert [answer["seq"] for answer in one.json()["entries"]] == [1]
    assert [(answer["seq"], answer["was_known"]) for answer in more.json()["entries"]] == [
        (1, True),
        (2, False),
        (3, False),
    ]
    assert kept(home) == [entry["id"] for entry in entries]
    assert more.json()["now"].startswith(f"{timezone.now():%Y-%m-%dT}")


@pytest.mark.hazard("H27")
def test_a_bad_entry_does_not_hold_up_the_others(home: Home, noor: Client) -> None:
    """It is named by its id, with what to do; the rest is kept."""
    good, bad = a_fill(home), a_fill(home, 2)
    bad["payload"]["ml"] = "60 mL"

    answers = post(noor, [bad, good, 7]).json()["entries"]

    assert [answer["ok"] for answer in answers] == [False, True, False]
    assert answers[0]["id"] == bad["id"]
    assert answers[0]["code"] == "bad-entry"
    assert answers[0]["message"] == (
        '"60 mL" for fill_given.ml. Allowed: a valid number. Correct it and send the entry again.'
    )
    assert answers[2]["id"] is None
    assert kept(home) == [good["id"]]


def test_without_a_sign_in_nothing_is_kept(home: Home) -> None:
    """The device is told that it still has them."""
    phone = Client(headers={"X-CSRFToken": "a" * 32})

    answer = post(phone, a_fill(home))

    assert answer.status_code == 401
    assert answer.json() == {"error": "Sign in, then send the entries again. They are still on your device."}
    assert kept(home) == []


@pytest.mark.hazard("H34")
def test_a_forged_request_is_refused(home: Home, noor: Client) -> None:
    """Another site's page cannot record with Noor's cookie."""
    del noor.cookies["csrftoken"]

    assert post(noor, a_fill(home)).status_code == 403
    assert kept(home) == []


@pytest.mark.hazard("H25")
def test_a_sitter_or_a_stranger_is_refused_by_the_service(home: Home) -> None:
    """An entry out of the sitter's dates, and one about another household's animal."""
    other = a_home(name="Mill Lane")
    early = as_document(an_entry(Note(text="x"), animal_id=home.animal_id, at=timezone.now().replace(year=2020)))

    by_sitter = post(signed_in(home.ilse), early).json()["entries"][0]
    by_stranger = post(signed_in(other.noor), a_fill(home)).json()["entries"][0]

    assert (by_sitter["ok"], by_sitter["code"]) == (False, "not-allowed")
    assert (by_stranger["ok"], by_stranger["code"]) == (False, "not-allowed")
    assert kept(home) == kept(other) == []


@pytest.mark.parametrize(
    ("body", "status"),
    [(b"", 400), (b"{", 400), (b"\xff", 400), (b"[" * 50_000, 400), (json.dumps([1] * 501).encode(), 413)],
)
def test_what_cannot_be_read_is_refused_as_a_whole(noor: Client, body: bytes, status: int) -> None:
    """With a sentence, not a fault of ours."""
    answer = post(noor, body)

    assert answer.status_code == status
    assert "Allowed: " in answer.json()["error"]


def test_only_sending_and_asking_are_allowed(home: Home, noor: Client) -> None:
    """Entries are sent there and asked for, and nothing else."""
    assert noor.delete("/entries").status_code == 405


@pytest.mark.hazard("H26")
def test_a_phone_that_runs_ahead_is_told_by_how_much(home: Home, noor: Client) -> None:
    """Ten minutes: kept, with a question to ask."""
    ahead = an_entry(
        Note(text="x"), animal_id=home.animal_id, at=timezone.now() + timezone.timedelta(minutes=10), id=an_id()
    )

    answer = post(noor, as_document(ahead)).json()["entries"][0]

    assert answer["ok"]
    assert 590 < answer["clock_ahead_seconds"] <= 600


def fetched(phone: Client, since: int) -> set[str]:
    answer = phone.get(f"/entries?since={since}").json()
    return {one["id"] for one in answer["entries"]}


@pytest.mark.hazard("H25")
@pytest.mark.parametrize("since", [0, 1], ids=["all", "what is new"])
def test_a_sitter_fetches_today_and_yesterday_with_their_corrections(home: Home, since: int) -> None:
    """A correction of an older day tells nothing of it; one that moves an entry into or out of the two days does."""
    days = {name: NOON - timedelta(days=ago) for name, ago in (("today", 0), ("yesterday", 1), ("long ago", 9))}

    def write(text: str, day: str, *, corrects: Entry | None = None, withdraws: bool = False) -> Entry:
        payload = Withdrawn(reason=text) if withdraws else Note(text=text)
        entry = an_entry(
            payload, at=days[day], animal_id=home.animal_id, corrects=corrects.id if corrects else None, id=an_id()
        )
        record.record_entry(household_id=home.id, by=home.noor, entry=entry, now=NOON)
        return entry

    first, old, other = (write(text, "long ago") for text in ("a first entry", "old", "other"))
    mine, moved = write("slept well", "yesterday"), write("at another hour", "yesterday")
    hidden = [
        write("old, put right", "long ago", corrects=old),
        write("old, taken back", "today", corrects=first, withdraws=True),
    ]
    given = [
        write("slept badly", "yesterday", corrects=mine),
        write("it was long ago", "long ago", corrects=moved),
        write("it was yesterday", "yesterday", corrects=other),
        write("twice", "today", corrects=write("twice as well", "today"), withdraws=True),
    ]

    with time_machine.travel(NOON, tick=False):
        found = fetched(signed_in(home.ilse), since)
        of_a_lead = fetched(signed_in(home.noor), since)

    assert found >= {str(one.id) for one in (mine, moved, *given)}
    assert not found & {str(one.id) for one in (old, other, first, *hidden)}
    assert of_a_lead >= {str(one.id) for one in (mine, moved, *given)}
