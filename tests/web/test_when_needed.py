"""A medicine for when it is needed, without a browser: its gate, its steps, and what is written down."""

from datetime import UTC, datetime, timedelta

import pytest
import time_machine

from fillmark.core.record.care_entries import FeedingLocked
from fillmark.core.record.medicine_entries import MedicineGiven, Outcome
from fillmark.services import record
from tests.journeys.household import Household, quarry_lane
from tests.support.builders import an_entry
from tests.support.full_shelf import a_full_shelf
from tests.web.test_screens import a_phone

NIGHT = datetime(2026, 11, 25, 23, 10, tzinfo=UTC)


@pytest.fixture
def home(db: None):
    with time_machine.travel(NIGHT, tick=True):
        yield quarry_lane(now=NIGHT, plan=a_full_shelf())


def send(home: Household, *, medicine: str = "retching", **form: str):
    form = {"entry_id": str(record.new_entry_id(now=NIGHT)), "zone": "Europe/Dublin", **form}
    return a_phone(home).post(f"/{home.animal_id}/when-needed/{medicine}/", form)


def look(home: Household, medicine: str = "retching"):
    return a_phone(home).get(f"/{home.animal_id}/when-needed/{medicine}/")


def given(home: Household) -> list[MedicineGiven]:
    payloads = [entry.payload for entry in home.entries(now=NIGHT)]
    return [one for one in payloads if isinstance(one, MedicineGiven) and one.medicine == "retching"]


def test_it_shows_its_gate_its_steps_and_its_mark(home: Household) -> None:
    """The tube is checked first, then water, the dose, water."""
    page = look(home).content.decode()
    for words in (
        "When needed: Retching, at least 8 hours apart, at most 2 in 24 hours.",
        "No entry in the last days.",
        "Check the mark: 6.5 cm at the skin",
        "Flush with 10 mL of water",
        "Give Ondansetron: 5 mL through the tube",
        "The label says 0.8 mg/mL",
    ):
        assert words in page


def test_what_is_given_is_written_down_once_with_its_dose(home: Household) -> None:
    """It belongs to no session; the same form sent twice is one dose; the chart asks what it did."""
    entry_id = str(record.new_entry_id(now=NIGHT))
    for _ in range(2):
        assert send(home, entry_id=entry_id).status_code == 302
    (dose,) = given(home)
    assert (dose.session, str(dose.dose_mg), str(dose.ml), dose.outcome) == (None, "4", "5", Outcome.GIVEN)
    assert "What did Ondansetron do?" in a_phone(home).get(f"/{home.animal_id}/chart/").content.decode()


@pytest.mark.hazard("H1")
def test_too_soon_after_the_last_there_is_no_mark_and_a_reason_is_asked_for(home: Household) -> None:
    """What went in all the same is written down with why, and with the dose it came too close to."""
    send(home)
    page = look(home).content.decode()
    assert "Not now" in page
    assert "At least 8 hours lie between two doses." in page
    assert "filled to the mark" not in page
    refused = send(home)
    assert refused.status_code == 400
    assert "Why was it given all the same?" in refused.content.decode()
    assert len(given(home)) == 1
    assert send(home, reason="The vet said once more.").status_code == 302
    assert given(home)[-1].reason == "The vet said once more."
    assert given(home)[-1].despite is not None


@pytest.mark.hazard("H12")
def test_while_feeding_is_locked_nothing_goes_through_the_tube(home: Household) -> None:
    """Neither steps nor button, and the form is not taken."""
    locked = an_entry(FeedingLocked(trouble="tube-out"), animal_id=home.animal_id, at=NIGHT - timedelta(minutes=1))
    record.record_entry(household_id=home.id, by=home.noor, entry=locked, now=NIGHT)
    page = look(home).content.decode()
    assert "Feeding is locked" in page
    assert "It is given" not in page
    assert send(home).status_code == 200
    assert given(home) == []


def test_only_what_is_ordered_for_when_needed_has_this_page(home: Household) -> None:
    """An ordinary medicine, and one that the plan does not name, are refused with what to do."""
    for medicine in ("omeprazole", "nothing-like-it"):
        answer = look(home, medicine)
        assert answer.status_code == 400
        assert "does not give when needed" in answer.content.decode()


def test_the_first_screen_and_the_chart_lead_there(home: Household) -> None:
    """From "Given today?", and from its card in the chart."""
    href = f'href="/{home.animal_id}/when-needed/retching/"'
    assert href in a_phone(home).get("/").content.decode()
    assert href in a_phone(home).get(f"/{home.animal_id}/chart/").content.decode()
    assert f"/{home.animal_id}/when-needed/retching/" in a_phone(home).get("/keep").json()["pages"]
