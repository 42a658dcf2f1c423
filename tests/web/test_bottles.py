"""What the screens of the bottles and of the second check say, ask and keep to themselves."""

import re
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client

from fillmark.core.doses.bottles import Stock
from fillmark.core.record.medicine_entries import MedicineGiven, Outcome
from fillmark.core.values.people import Role
from fillmark.services import household, medicines, plans, record
from fillmark.web.bottles.bottle import draw_bottle
from tests.journeys.household import Household
from tests.support.builders import EVENING, an_entry
from tests.support.sides import side_of
from tests.web.test_screens import a_phone

NIGHT = "2026-11-25T22:30"


def get(client: Client, quarry: Household, path: str) -> str:
    answer = client.get(f"/{quarry.animal_id}/{path}", follow=True)
    assert answer.status_code == 200
    return answer.content.decode()


def post(client: Client, quarry: Household, path: str, **form: str) -> tuple[int, str]:
    values = {"entry_id": str(record.new_entry_id(now=EVENING)), "zone": "Europe/Dublin", **form}
    answer = client.post(f"/{quarry.animal_id}/{path}", values, follow=True)
    return answer.status_code, answer.content.decode()


def open_bottle(client: Client, quarry: Household, strength: str = "1 mg/mL", **form: str) -> tuple[int, str]:
    return post(client, quarry, "bottles/metoclopramide/open/", strength=strength, **{"held": "100", **form})


def newest(quarry: Household) -> Any:
    return record.entries_since(household_id=quarry.id, seq=0)[-1].entry


def stock(quarry: Household) -> Stock:
    return medicines.stock(side_of(**quarry.ids, now=EVENING + timedelta(minutes=5)))[0]


def test_who_is_not_signed_in_sees_no_bottles(quarry: Household) -> None:
    """Nor writes any down."""
    assert Client().get(f"/{quarry.animal_id}/bottles/").status_code == 302
    for path in ("bottles/metoclopramide/open/", f"{NIGHT}/second-check/metoclopramide/"):
        for answer in (Client().get(f"/{quarry.animal_id}/{path}"), Client().post(f"/{quarry.animal_id}/{path}")):
            assert answer.status_code == 302
            assert answer["Location"].startswith("/sign-in/")


def test_a_new_bottle_is_written_down_by_its_label(quarry: Household) -> None:
    """Pressed twice it is one bottle; what is left and until when stands on the screen."""
    phone = a_phone(quarry)
    form = {
        "discard_on": "2026-12-20",
        "expires": "EXP 03/2027",
        "lot": "K7",
        "entry_id": str(record.new_entry_id(now=EVENING)),
    }

    for _ in range(2):
        status, page = open_bottle(phone, quarry, **form)

    assert status == 200
    assert len([one for one in quarry.entries(now=EVENING) if one.kind == "bottle_opened"]) == 1
    assert "100 mL" in page
    assert "19 doses left" in page
    assert "20 December 2026" in page
    assert "Omeprazole" in page


@pytest.mark.parametrize(
    ("form", "words"),
    [
        ({"strength": "1.0 mg/mL"}, "with nothing but zeros after the point"),
        ({"held": ".5"}, "with no zero before the point"),
        ({"expires": "soon"}, "&quot;soon&quot; as an expiry"),
        ({"discard_on": "tomorrow"}, "&quot;tomorrow&quot; for a day"),
    ],
)
@pytest.mark.hazard("H4")
def test_a_label_that_cannot_be_read_is_sent_back_with_what_was_typed(
    quarry: Household, form: dict[str, str], words: str
) -> None:
    """Nothing is kept, and nothing has to be typed again."""
    status, page = open_bottle(a_phone(quarry), quarry, **{"strength": "1 mg/mL", "lot": "K7", **form})

    assert status == 400
    assert words in page
    assert 'value="K7"' in page
    assert newest(quarry).kind != "bottle_opened"


@pytest.mark.hazard("H3")
@pytest.mark.hazard("H4")
def test_a_tenfold_strength_is_asked_about_then_locks_and_a_lead_confirms_it(quarry: Household) -> None:
    """Asked before it is kept; then both marks side by side; then typed once more, with the vet's words."""
    phone = a_phone(quarry)
    _, asked = open_bottle(phone, quarry, "10 mg/mL")
    assert "10 mg/mL is ten times as much: a point may have moved." in asked
    assert newest(quarry).kind != "bottle_opened"

    _, page = open_bottle(phone, quarry, "10 mg/mL", sure="10 mg/mL")
    bottle = newest(quarry).id
    assert "Locked: another strength" in page
    assert "<strong>10 times the dose</strong>" in page
    assert "filled to the mark at 5.2 mL" in page
    assert "filled to the mark at 0.5 mL" in page
    assert "Draw none of it" in get(phone, quarry, "bottles/")

    said = {"vet_words": "Ten mg in each mL.", "vet_said_on": "2026-11-25"}
    status, page = post(phone, quarry, f"bottles/{bottle}/strength/", typed="1 mg/mL", **said)
    assert (status, "Read the label with a second person" in page) == (400, True)
    path, typed = f"bottles/{bottle}/strength/", {"typed": "10 mg/mL", **said}
    status, page = post(phone, quarry, path, **typed)
    assert (status, "nobody has said that it is meant" in page) == (400, True)
    meant = ["strength-changed: metoclopramide", "strength-slip: metoclopramide"]
    status, page = post(phone, quarry, path, meant=meant, **typed)
    assert (status, "Draw none of it" in page) == (200, False)
    stored = plans.all_versions(**quarry.ids)[-1]
    assert (stored.number, stored.plan.medicines[0].strength, stored.vet_words) == (2, "10 mg/mL", "Ten mg in each mL.")
    assert newest(quarry).kind == "strength_confirmed"


@pytest.mark.hazard("H25")
def test_a_helper_sees_the_lock_and_cannot_open_it(quarry: Household) -> None:
    """Nor by a press made by hand."""
    phone = a_phone(quarry, quarry.sam)
    _, page = open_bottle(phone, quarry, "2 mg/mL")
    bottle = newest(quarry).id

    assert "Only a lead of this household can put it into the plan." in page
    assert "The plan has" not in page
    said = {"typed": "2 mg/mL", "vet_words": "Yes.", "vet_said_on": "2026-11-25"}
    status, _ = post(phone, quarry, f"bottles/{bottle}/strength/", **said)
    assert status == 403
    assert len(plans.all_versions(**quarry.ids)) == 1


@pytest.mark.hazard("H25")
def test_a_sitter_may_open_a_bottle_and_neither_counts_nor_sees_the_stock(quarry: Household) -> None:
    """A new bottle must be written down by whoever opens it: that is what finds another strength."""
    who = {"household_id": quarry.id, "by": quarry.noor, "now": EVENING}
    days = {"from_on": EVENING.date(), "until_on": EVENING.date()}
    ilse = a_phone(quarry, household.add_person(**who, name="Ilse", role=Role.SITTER, **days).id)

    assert open_bottle(ilse, quarry, "1 mg/mL")[0] == 200
    assert newest(quarry).kind == "bottle_opened"
    assert ilse.get(f"/{quarry.animal_id}/bottles/").status_code == 403
    assert post(ilse, quarry, "bottles/metoclopramide/count/", seen="90")[0] == 403


@pytest.mark.hazard("H3")
def test_a_late_dose_from_a_locked_bottle_is_an_alarm_on_the_first_screen(quarry: Household) -> None:
    """Sam's phone had no signal; what it wrote is kept, and everybody is told to call the vet."""
    open_bottle(a_phone(quarry), quarry, "2 mg/mL")
    payload = MedicineGiven(medicine="metoclopramide", dose_mg=Decimal(5), ml=Decimal("5.2"), outcome=Outcome.GIVEN)
    at = EVENING + timedelta(seconds=30)
    entry = an_entry(payload, animal_id=quarry.animal_id, at=at)
    record.record_entry(household_id=quarry.id, by=quarry.sam, entry=entry, now=at)

    for path in ("", "bottles/"):
        page = get(a_phone(quarry), quarry, path)
        assert "Sam gave it at 19:42 (5.2 mL), when the bottle opened by Noor says 2 mg/mL" in page
        assert "call the vet now" in page


def test_a_count_is_made_before_the_expected_amount_is_shown(quarry: Household) -> None:
    """Then the difference is asked about, not judged."""
    phone = a_phone(quarry)
    open_bottle(phone, quarry)

    form = get(phone, quarry, "bottles/metoclopramide/count/")
    assert "How many mL are left?" in form
    _, page = post(phone, quarry, "bottles/metoclopramide/count/", seen="80")

    assert "Noor counted 80 mL on 25 November at 19:42. The record expected 100 mL. Was some spilled" in page
    assert stock(quarry).left_words == "80 mL"


def test_a_bottle_past_its_day_is_asked_about(quarry: Household) -> None:
    """By whom to ask, not by a ban."""
    _, page = open_bottle(a_phone(quarry), quarry, discard_on="2026-11-24")

    assert "Its last day was 24 November. Ask Dr. Aoife Marsh or the pharmacy before the next dose." in page


def test_the_drawn_level_is_what_should_be_left(quarry: Household) -> None:
    """Read back from the drawing's own lines: the mark between bottom (126) and full (34)."""
    phone = a_phone(quarry)
    open_bottle(phone, quarry)
    post(phone, quarry, "bottles/metoclopramide/count/", seen="60")

    drawn = str(draw_bottle(stock(quarry)))

    found = re.search(r'class="mark-waits" x1="8" x2="[\d.]+" y1="([\d.]+)"', drawn)
    assert found
    assert (126 - float(found[1])) / (126 - 34) == pytest.approx(0.6, abs=0.001)
    assert "Bottle: 60 mL of 100 mL should be left" in drawn


# The second person


def test_the_second_check_is_blind(quarry: Household) -> None:
    """Neither the mL nor the mg nor the line is anywhere on the page before the reading is written down."""
    page = get(a_phone(quarry, quarry.sam), quarry, f"{NIGHT}/second-check/metoclopramide/")

    words = re.sub(r"<[^>]+>", " ", page)
    assert "Metoclopramide: what does the syringe hold?" in words
    told = " ".join([words, *re.findall(r' (?:aria-label|value|title|alt|data-[a-z]+)="([^"]*)"', page)])
    for secret in ("5.2", "5.22", "middle line", "1 mg/mL", "0.3 mg/kg"):
        assert secret not in told
    assert 'class="mark-waits"' not in page
    assert 'class="liquid"' not in page


@pytest.mark.parametrize(
    ("form", "words"),
    [({"read_typed": "5.2"}, "The same as the order of Metoclopramide."), ({"read": "5"}, "Do not give it.")],
)
def test_a_reading_is_kept_then_compared(quarry: Household, form: dict[str, str], words: str) -> None:
    """The 10 mL syringe has a line every 0.2 mL: 5 is off by a whole one."""
    status, page = post(a_phone(quarry, quarry.sam), quarry, f"{NIGHT}/second-check/metoclopramide/", **form)

    assert status == 200
    assert words in page
    assert newest(quarry).payload.kind == "second_check"


def test_who_has_the_session_in_hand_is_told_that_another_must_read(quarry: Household) -> None:
    """Their own reading would not count."""
    phone = a_phone(quarry)
    phone.post(
        f"/{quarry.animal_id}/{NIGHT}/press/",
        {"what": "start", "entry_id": str(record.new_entry_id(now=EVENING)), "zone": "Europe/Dublin"},
    )

    told = '<p class="look-again" data-giver{}> <strong>Someone else reads.</strong>'
    hers = get(phone, quarry, f"{NIGHT}/second-check/metoclopramide/")
    assert told.format("") in hers
    assert '<option value="me" data-self hidden disabled>' in hers
    his = get(a_phone(quarry, quarry.sam), quarry, f"{NIGHT}/second-check/metoclopramide/")
    assert told.format(" hidden") in his
    assert '<option value="me" data-self selected>' in his


@pytest.mark.hazard("H6")
def test_the_other_person_reads_on_the_same_phone(quarry: Household) -> None:
    """The reading is theirs, by the name that was chosen; the phone's own person wrote it down."""
    form = {"read_typed": "5.2", "reader": str(quarry.sam)}
    status, page = post(a_phone(quarry), quarry, f"{NIGHT}/second-check/metoclopramide/", **form)

    assert status == 200
    assert "Sam read" in " ".join(page.split())
    assert newest(quarry).payload.reader == quarry.sam
    assert newest(quarry).payload.reader_name == "Sam"


def test_a_medicine_of_no_session_is_not_asked_about(quarry: Household) -> None:
    """Omeprazole is not due at 22:30."""
    answer = a_phone(quarry).get(f"/{quarry.animal_id}/{NIGHT}/second-check/omeprazole/")

    assert answer.status_code == 400
    assert "which the 22:30 session does not name" in answer.content.decode()
