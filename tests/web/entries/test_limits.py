"""Limits where entries come in: each from the request that got through before, or from the form that sends it."""

import json
from datetime import time, timedelta
from typing import Any
from uuid import UUID, uuid4

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from fillmark.core.record.care_entries import Note
from fillmark.core.record.entries import make_entry_id
from fillmark.services import record, sign_in
from tests.journeys.household import Household
from tests.support.builders import EVENING, an_entry, an_id

pytestmark = pytest.mark.hazard("H42")
SESSION = "2026-11-25T20:00"
NOBODY = UUID("00000000-0000-4000-8000-00000000dead")
FLOW = {
    "kind": "flow_test",
    "foods": ["stew"],
    "food_g": 312.0,
    "water_ml": 20.0,
    "left_ml": 3.0,
    "sieved": True,
    "frozen": False,
}
BOTTLE = {"kind": "bottle_opened", "medicine": "omeprazole", "strength": "2 mg/mL", "ml": "100"}
DOSE = {"kind": "medicine_given", "medicine": "omeprazole", "outcome": "given"}


@pytest.fixture
def noor(quarry: Household) -> Client:
    client = Client()
    client.force_login(sign_in.user_of(quarry.noor), backend="django.contrib.auth.backends.ModelBackend")
    return client


def document(quarry: Household, payload: dict[str, Any], **changed: Any) -> dict[str, Any]:
    return {
        "id": str(an_id(at=EVENING)),
        "animal_id": str(quarry.animal_id),
        "at": EVENING.isoformat(),
        "zone": "Europe/Dublin",
        "device": "noor-phone",
        "payload": payload,
        **changed,
    }


def send(client: Client, *documents: object, fresh: bool = False) -> list[dict[str, Any]]:
    ids = [one["id"] for one in documents if isinstance(one, dict)] if fresh else []
    body = json.dumps({"entries": list(documents), "fresh": ids})
    answer = client.post("/entries", body, content_type="application/json")
    assert answer.status_code == 200
    return answer.json()["entries"]


@pytest.mark.parametrize(
    ("payload", "changed", "allowed"),
    [
        ({"kind": "batch_chosen", "session": SESSION, "made_on": "9999-01-01"}, {}, "the years 1990 to 2100"),
        ({"kind": "batch_chosen", "session": SESSION, "made_on": "2026-12-24"}, {}, "2025 to 26 November 2026"),
        ({"kind": "batch_chosen", "session": SESSION, "made_on": "2026-11-26"}, {}, "25 November 2026 or earlier"),
        ({"kind": "batch_chosen", "session": SESSION, "made_on": "0001-01-01"}, {}, "the years 1990 to 2100"),
        (FLOW | {"made_on": "2026-11-26"}, {}, "25 November 2026 or earlier"),
        (FLOW | {"foods": ["no-such-food"]}, {}, "a food of this animal's plan"),
        ({"kind": "ate", "food": "no-such-food", "g": 5.0}, {}, "a food of this animal's plan"),
        (BOTTLE | {"expires_on": "9999-12-31"}, {}, "the years 1990 to 2100"),
        (BOTTLE | {"discard_on": "2061-01-01"}, {}, "a day from"),
        (BOTTLE | {"filled_on": "2026-12-25"}, {}, "a day from"),
        (BOTTLE | {"ml": "9999999"}, {}, "5,000 or less"),
        (BOTTLE | {"ml": "１00"}, {}, 'a decimal in quotes, 0 or more, such as "0.5"'),
        ({"kind": "session_started", "session": "0001-01-01T07:00"}, {}, "a day and a planned time"),
        ({"kind": "session_started", "session": "２026-11-25T07:00"}, {}, "a day and a planned time"),
        ({"kind": "session_started", "session": "2026-12-25T07:00"}, {}, "sessions up to 29 November 2026"),
        (DOSE | {"dose_mg": "999999999"}, {}, "100,000 or less"),
        ({"kind": "note", "text": "\u200b\u2060 \u00ad"}, {}, "ordinary text"),
        ({"kind": "note", "text": "\u3164"}, {}, "ordinary text"),
        ({"kind": "note", "text": "a\x00b"}, {}, "ordinary text"),
        ({"kind": "note", "text": "a\x85b"}, {}, "ordinary text"),
        ({"kind": "note", "text": "x" * 10_000}, {}, "2,000 characters or fewer"),
        ({"kind": "note", "text": "x"}, {"device": "\x00"}, "ordinary text"),
        ({"kind": "note", "text": "x"}, {"device": "\u200b"}, "ordinary text"),
        ({"kind": "note", "text": "x"}, {"zone": "localtime"}, "a name from the time zone database"),
        ({"kind": "note", "text": "x"}, {"zone": "posixrules"}, "a name from the time zone database"),
        ({"kind": "note", "text": "x"}, {"zone": "europe/dublin"}, "a name from the time zone database"),
        ({"kind": "note", "text": "x"}, {"at": "9999-12-31T23:59:59+00:00"}, "an instant in the years 1990 to 2100"),
        ({"kind": "note", "text": "x"}, {"at": "0001-01-01T00:00:00+00:00"}, "an instant in the years 1990 to 2100"),
        ({"kind": "note", "text": "x"}, {"at": "1999-01-01T00:00:00+00:00"}, "no more than 731 days back"),
        ({"kind": "note", "text": "x"}, {"id": "ffffffff-ffff-7fff-bfff-ffffffffffff"}, "no more than 24 hours ahead"),
        ({"kind": "sheet_printed", "version": 99, "first_on": "2026-11-25", "last_on": "2026-12-01"}, {}, "up to 1"),
        (
            {"kind": "second_check", "medicine": "omeprazole", "ml": "6", "reader": str(NOBODY), "reader_name": "X"},
            {},
            "another person of this household",
        ),
    ],
)
def test_an_entry_beyond_its_limits_is_sent_back_with_what_is_allowed(
    quarry: Household, noor: Client, payload: dict[str, Any], changed: dict[str, Any], allowed: str
) -> None:
    """Whatever the phone was told, and nothing of it is kept."""
    before = quarry.all_ids()
    (answer,) = send(noor, document(quarry, payload, **changed))

    assert (answer["ok"], answer["code"]) == (False, "bad-entry"), answer
    assert allowed in answer["message"]
    assert quarry.all_ids() == before


def test_who_gives_is_no_second_reader(quarry: Household, noor: Client) -> None:
    """Named from one's own phone, where the other person was meant."""
    payload = {"kind": "second_check", "medicine": "omeprazole", "ml": "6", "reader_name": "Noor"}
    (mine,) = send(noor, document(quarry, payload | {"reader": str(quarry.noor)}))
    (sams,) = send(noor, document(quarry, payload | {"reader": str(quarry.sam), "reader_name": "Sam"}))

    assert (mine["ok"], sams["ok"]) == (False, True)
    assert "a second reader who is the same person" in mine["message"]


@pytest.mark.hazard("H4")
def test_a_thousand_times_the_order_is_no_press(quarry: Household, noor: Client) -> None:
    """Also with a reason; what arrives late stays a fact."""
    dose = DOSE | {"dose_mg": "12000", "reason": "Noted"}
    (pressed,) = send(noor, document(quarry, dose), fresh=True)
    (late,) = send(noor, document(quarry, dose))

    assert (pressed["ok"], pressed["code"]) == (False, "bad-entry")
    assert "12,000 mg of Omeprazole, of which 12 mg is ordered" in pressed["message"]
    assert late["ok"]


@pytest.mark.parametrize(
    "payload",
    [
        {"kind": "effect_seen", "effect": "eased", "of": "{note}"},
        {"kind": "stock_counted", "medicine": "omeprazole", "ml": "5", "bottle": "{note}"},
        {"kind": "feeding_cleared", "who": "Dr. Hale", "vet_words": "Go on.", "locks": ["{note}"]},
    ],
)
def test_what_is_about_another_entry_names_one_of_its_kind(
    quarry: Household, noor: Client, payload: dict[str, Any]
) -> None:
    """A note is no dose, no bottle and no lock, and is not named by a press made now; late, either may come first."""
    note = quarry.write(Note(text="x"), at=EVENING)
    other = str(make_entry_id(at=EVENING, chance=bytes(10)))
    about_note = json.loads(json.dumps(payload).replace("{note}", str(note.id)))
    about_none = json.loads(json.dumps(payload).replace("{note}", other))

    assert "which is a note" in send(noor, document(quarry, about_note), fresh=True)[0]["message"]
    assert send(noor, document(quarry, about_note))[0]["ok"]
    assert send(noor, document(quarry, about_none))[0]["ok"]
    assert f"names the entry {other}" in send(noor, document(quarry, about_none), fresh=True)[0]["message"]


def test_a_note_of_ten_thousand_characters_is_not_cut_without_a_word(quarry: Household, noor: Client) -> None:
    """2,000 are kept whole; more is sent back by its own form."""
    where = f"/{quarry.animal_id}/note/"
    form = {"entry_id": str(record.new_entry_id(now=EVENING))}
    refused = noor.post(where, form | {"text": "x" * 10_000})
    assert refused.status_code == 400
    assert "A text of 10,000 characters" in refused.content.decode()
    assert noor.post(where, form | {"text": "y" * 2_000}).status_code == 302
    kept = record.find_entry(household_id=quarry.id, entry_id=UUID(form["entry_id"]))
    assert kept is not None
    assert kept.entry.payload == Note(text="y" * 2_000)


def test_a_pass_until_the_end_of_time_is_not_made(quarry: Household, noor: Client) -> None:
    """Nor one that began before anybody lived."""
    who = {"name": "Ilse", "role": "sitter"}
    for first, last in (("2026-11-25", "9999-12-31"), ("1991-01-01", "2026-12-01"), ("2026-11-25", "2099-01-01")):
        refused = noor.post(reverse("invite"), who | {"from_on": first, "until_on": last})
        assert refused.status_code == 400
    assert noor.post(reverse("invite"), who | {"from_on": "2026-11-25", "until_on": "2026-12-01"}).status_code == 200


def test_a_household_keeps_no_clock_of_one_machine(db: None) -> None:
    """`localtime` means another time on each of them."""
    from fillmark.core.values.errors import BadPlan
    from fillmark.services import household

    for zone in ("localtime", "posixrules", "Factory", "../etc/passwd", "x" * 500):
        with pytest.raises(BadPlan, match="for a time zone"):
            household.open_household(name="Home", time_zone=zone, day_starts=time(4), lead_name="Noor")


def test_the_form_tells_the_phone_what_the_door_allows(quarry: Household, noor: Client) -> None:
    """Declared once, in the type of the entry's field: the place on the page holds it."""
    page = noor.get(f"/{quarry.animal_id}/bottles/omeprazole/open/").content.decode()
    assert "&quot;high&quot;:5000.0" in page
    assert "&quot;ahead&quot;:3660" in page


def test_an_entry_about_another_animal_is_named(quarry: Household, noor: Client) -> None:
    """An id that another household's entry has is nothing of this one."""
    with time_machine.travel(EVENING + timedelta(minutes=1), tick=False):
        answer = send(noor, document(quarry, {"kind": "note", "text": "x"}, animal_id=str(uuid4())))
    assert answer[0]["code"] == "not-allowed"
    assert an_entry(Note(text="x"), at=EVENING).kind == "note"
