"""What the screens say and refuse, without a browser."""

import re
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
import time_machine
from django.test import Client

from fillmark.core.record.medicine_entries import BottleOpened
from fillmark.core.values.people import Role
from fillmark.services import household, record, sign_in
from tests.journeys.household import Household, quarry_lane
from tests.support.builders import EVENING, an_entry, junipers_plan
from tests.support.full_shelf import a_full_shelf

TONIGHT = "2026-11-25T20:00"


class Reader(Client):
    """Takes a page as it is read: where its lines break means nothing."""

    def request(self, **asked):
        answer = super().request(**asked)
        if answer.get("Content-Type", "").startswith("text/html"):
            answer.content = re.sub(r"[ \n]+", " ", answer.content.decode())
        return answer


def a_phone(quarry: Household, person=None) -> Client:
    client = Reader()
    client.force_login(sign_in.user_of(person or quarry.noor), backend="django.contrib.auth.backends.ModelBackend")
    return client


def press(client: Client, quarry: Household, what: str, *, session: str = TONIGHT, at: datetime = EVENING, **form: str):
    """Press a button of the walk, with an id of its own."""
    entry_id = form.pop("entry_id", str(record.new_entry_id(now=at)))
    path = f"/{quarry.animal_id}/{session}/press/"
    return client.post(path, {"what": what, "entry_id": entry_id, "zone": "Europe/Dublin", **form})


def shown(page: str) -> str:
    """The screen of the session that a page shows, of all those it holds."""
    _, _, rest = page.partition('class="screen screen-shown"')
    return rest.partition('<div class="screen"')[0]


def kinds(quarry: Household, session: str = TONIGHT) -> list[str]:
    return [entry.kind for entry in quarry.entries(now=EVENING) if entry.session == session]


def test_who_is_not_signed_in_is_asked_to(quarry: Household) -> None:
    """No screen shows anything of a household to a stranger."""
    for path in ("", "day/", "plan/", "calls/", f"{TONIGHT}/"):
        answer = Client().get(f"/{quarry.animal_id}/{path}")
        assert answer.status_code == 302
        assert answer["Location"].startswith("/sign-in/")


@pytest.mark.hazard("H17")
def test_another_households_animal_is_not_shown(quarry: Household) -> None:
    """An address that names another home's animal is refused in words."""
    other = quarry_lane(now=EVENING)
    answer = a_phone(quarry).get(f"/{other.animal_id}/")

    assert answer.status_code == 403
    assert "An animal that is not in this household" in answer.content.decode()


@pytest.mark.hazard("H16")
def test_nothing_by_mouth_is_read_before_anything_else(quarry: Household) -> None:
    """The first step of a session is a question about it, and the first screen says it too."""
    client = a_phone(quarry)
    assert "Nothing by mouth: no food, no water, no treat." in client.get("/").content.decode()
    press(client, quarry, "start")
    first = client.get(f"/{quarry.animal_id}/{TONIGHT}/").content.decode()

    assert "Nothing by mouth: no food, no water, no treat. Have you read this?" in first
    assert "Step 1 of 14" in first


@pytest.mark.hazard("H12")
def test_the_tube_checks_cannot_be_left_out(quarry: Household) -> None:
    """A step whose "no" stops everything has no way around it."""
    client = a_phone(quarry)
    press(client, quarry, "start")
    for step in ("check-mark", "flush-before"):
        answer = press(client, quarry, "out", step=step, reason="In a hurry")
        assert answer.status_code == 400
    assert kinds(quarry) == ["session_started"]


@pytest.mark.hazard("H2")
def test_a_walk_left_open_becomes_not_known_and_never_given(quarry: Household) -> None:
    """Three hours after the last press, the first screen asks; it does not say that the meal was given."""
    client = a_phone(quarry)
    press(client, quarry, "start")
    press(client, quarry, "step", step="fill-1")
    with time_machine.travel(EVENING + timedelta(hours=3, minutes=5), tick=False):
        page = client.get("/").content.decode()
        assert "60 of 210 mL in · no entry since 19:42 · what became of it is not known" in page
        assert "nothing seen coming back" not in page
        assert "What became of 20:00?" in client.get(f"/{quarry.animal_id}/{TONIGHT}/").content.decode()


@pytest.mark.hazard("H1")
def test_the_same_press_sent_twelve_times_is_one_entry(quarry: Household) -> None:
    """A reply that was lost makes the browser send again; also when the clock has moved on meanwhile."""
    client = a_phone(quarry)
    press(client, quarry, "start")
    entry_id = str(record.new_entry_id(now=EVENING))
    for seconds in range(10, 22):
        with time_machine.travel(EVENING + timedelta(seconds=seconds), tick=False):
            assert press(client, quarry, "step", step="fill-1", entry_id=entry_id).status_code == 302

    assert kinds(quarry) == ["session_started", "fill_given"]


@pytest.mark.hazard("H1")
def test_the_rest_of_a_double_tap_does_not_press_the_next_step(quarry: Household) -> None:
    """A press that arrives with a page just made was meant for the page before it, and is not written."""
    client = a_phone(quarry)
    shown = str(record.new_entry_id(now=EVENING + timedelta(seconds=10)))
    for millis, written in ((10_499, []), (10_500, ["session_started"])):
        with time_machine.travel(EVENING + timedelta(milliseconds=millis), tick=False):
            press(client, quarry, "start", shown=shown)
        assert kinds(quarry) == written


@pytest.mark.hazard("H1")
def test_a_session_that_is_ended_cannot_be_started_again(quarry: Household) -> None:
    """The page of a recorded session has no start, and a press from an old page writes nothing."""
    client = a_phone(quarry)
    before = kinds(quarry, "2026-11-25T15:00")
    press(client, quarry, "start", session="2026-11-25T15:00")

    assert kinds(quarry, "2026-11-25T15:00") == before
    page = client.get(f"/{quarry.animal_id}/2026-11-25T15:00/").content.decode()
    assert "15:00 is recorded" in shown(page)
    assert "Start 15:00" not in shown(page)


@pytest.mark.hazard("H10")
def test_what_is_left_in_the_syringe_is_taken_off_the_fill(quarry: Household) -> None:
    """The caregiver reads a line; the sum is the program's. More than the fill is refused."""
    client = a_phone(quarry)
    press(client, quarry, "start")
    refused = press(client, quarry, "less", step="fill-1", left_typed="61")
    assert refused.status_code == 400
    assert "61 mL. Allowed" in refused.content.decode().replace("</p> <p>", " ")
    press(client, quarry, "less", step="fill-1", left_typed="12,5")

    fills = [one.payload for one in quarry.entries(now=EVENING) if one.kind == "fill_given" and one.session == TONIGHT]
    assert [(fill.fill, fill.ml) for fill in fills] == [(1, 47.5)]


@pytest.mark.hazard("H12")
def test_a_sitter_cannot_go_on_after_a_stop(quarry: Household) -> None:
    """Only a lead or a helper clears a stopped session, on the page and behind it."""
    who = {"household_id": quarry.id, "by": quarry.noor, "now": EVENING}
    today = EVENING.date()
    ilse = household.add_person(**who, name="Ilse", role=Role.SITTER, from_on=today, until_on=today)
    client = a_phone(quarry, ilse.id)
    press(client, quarry, "start")
    press(client, quarry, "stop", reason="Coughing or gagging")
    page = client.get(f"/{quarry.animal_id}/{TONIGHT}/").content.decode()

    assert "Only a lead or a helper of this household can go on from here." in page
    for what in ("resume", "end"):
        assert press(client, quarry, what).status_code == 403
    assert kinds(quarry)[-1] == "session_stopped"
    press(client, quarry, "start", session="2026-11-25T22:30")
    assert kinds(quarry, "2026-11-25T22:30") == []


@pytest.mark.hazard("H31")
def test_the_call_card_works_without_a_plan(db: None) -> None:
    """A household that has not set anything up still gets told to stop and call."""
    with time_machine.travel(EVENING, tick=False):
        lead = household.find_or_open_first()
        animal = household.add_animal(household_id=lead.household_id, by=lead.id, name="Sorrel", now=EVENING)
        client = Reader()
        client.force_login(sign_in.user_of(lead.id), backend="django.contrib.auth.backends.ModelBackend")
        page = client.get(f"/{animal.id}/calls/").content.decode()
        first = client.get("/").content.decode()

    assert "your vet, or the nearest animal emergency clinic" in page
    assert "No plan yet" in first
    assert "Something is wrong" in first


@pytest.mark.hazard("H2")
def test_a_session_written_down_afterwards_holds_its_medicines_and_its_end(db: None) -> None:
    """ "It was given", hours later, records each dose, and the session is over; sent twice it is there once."""
    afternoon = datetime(2026, 11, 25, 14, 50, tzinfo=UTC)
    with time_machine.travel(afternoon, tick=True):
        quarry = quarry_lane(now=afternoon, recorded=False)
        client = a_phone(quarry)
        entry_id = str(record.new_entry_id(now=afternoon))
        for _ in range(2):
            press(client, quarry, "afterwards", session="2026-11-25T06:30", ml="planned", entry_id=entry_id)
        written = [one.payload for one in quarry.entries(now=afternoon) if one.session == "2026-11-25T06:30"]

        first = client.get(f"/{quarry.animal_id}/day/").content.decode()

    assert first.count("written down at 14:50") == 3
    assert [one.kind for one in written] == ["medicine_given", "medicine_given", "session_ended"]
    assert {(one.medicine, str(one.dose_mg), one.outcome.value) for one in written[:2]} == {
        ("metoclopramide", "5.22", "given"),
        ("omeprazole", "12", "given"),
    }


@pytest.mark.hazard("H1")
def test_a_second_person_sees_who_has_the_session(quarry: Household) -> None:
    """On the first screen and in the session, the other phone names who holds it, and taking over is one press."""
    press(a_phone(quarry), quarry, "start")
    sam = a_phone(quarry, quarry.sam)

    assert "Noor has it, since 19:42" in sam.get("/").content.decode()
    here = shown(sam.get(f"/{quarry.animal_id}/{TONIGHT}/").content.decode())
    assert '<span data-live="held-by">Noor</span> has it in hand' in here
    assert "Take over 20:00" in here
    press(sam, quarry, "step", step="fill-1")
    assert kinds(quarry) == ["session_started"]
    press(sam, quarry, "take")
    press(sam, quarry, "step", step="fill-1")
    assert kinds(quarry) == ["session_started", "session_taken", "fill_given"]


@pytest.mark.hazard("H2")
def test_a_session_in_hand_has_no_end_while_a_step_is_open(quarry: Household) -> None:
    """An end that is sent early, by an old page or by hand, is not written."""
    client = a_phone(quarry)
    press(client, quarry, "start")
    press(client, quarry, "end")

    assert kinds(quarry) == ["session_started"]


@pytest.mark.hazard("H3")
def test_a_medicine_from_a_bottle_of_another_strength_has_no_mark_in_the_walk(quarry: Household) -> None:
    """Until the new strength is confirmed the old mark is not drawn; the dose can be held, and the walk goes on."""
    bottle = BottleOpened(medicine="metoclopramide", strength="10 mg/mL", ml=Decimal(50))
    entry = an_entry(bottle, animal_id=quarry.animal_id, at=EVENING)
    record.record_entry(household_id=quarry.id, by=quarry.noor, entry=entry, now=EVENING)
    client, late = a_phone(quarry), "2026-11-25T22:30"
    page = client.get(f"/{quarry.animal_id}/{late}/").content.decode()
    step = page.partition('id="locked-medicine-metoclopramide"')[2].partition('<div class="screen')[0]

    assert 'id="step-medicine-metoclopramide"' not in page
    assert "Metoclopramide: draw none of it" in step
    assert "<svg" not in step
    assert "It is given" not in step
    assert f"/{quarry.animal_id}/bottles/{entry.id}/strength/" in step
    assert "locked: the new bottle has another strength" in client.get("/").content.decode()
    press(client, quarry, "start", session=late)
    reason = "The strength of the new bottle is not confirmed yet"
    press(client, quarry, "dose", session=late, step="medicine-metoclopramide", outcome="held", reason=reason)
    assert kinds(quarry, late) == ["session_started", "medicine_given"]


@pytest.mark.hazard("H2")
def test_what_is_on_hold_is_held_when_a_session_is_written_down_afterwards(db: None) -> None:
    """By a browser without scripts too; the walk has no button that says it was given."""
    night = datetime(2026, 11, 25, 23, 50, tzinfo=UTC)
    session = "2026-11-25T22:30"
    with time_machine.travel(night, tick=True):
        quarry = quarry_lane(now=night, recorded=False, plan=a_full_shelf())
        client = a_phone(quarry)
        page = client.get(f"/{quarry.animal_id}/{session}/").content.decode()
        press(client, quarry, "afterwards", session=session, ml="planned", at=night - timedelta(seconds=9))
        written = [one.payload for one in quarry.entries(now=night) if one.session == session]

    assert "All as planned: 1 medicine<" in page
    assert [(one.medicine, one.outcome.value, one.reason) for one in written[:2]] == [
        ("metoclopramide", "given", None),
        ("binder", "held", "Constipated since Monday. Dr. Marsh, 24 November"),
    ]


def test_a_medicine_by_mouth_can_be_refused(db: None) -> None:
    """One press, with its reason; what goes through the tube has no such button."""
    plan = junipers_plan()
    animal = plan.animal.model_copy(update={"by_mouth": "water"})
    syrup = plan.medicines[1].model_copy(update={"route": "mouth"})
    plan = plan.model_copy(update={"animal": animal, "medicines": (plan.medicines[0], syrup)})
    morning = datetime(2026, 11, 25, 6, 20, tzinfo=UTC)
    session = "2026-11-25T06:30"
    with time_machine.travel(morning, tick=True):
        quarry = quarry_lane(now=morning, plan=plan)
        client = a_phone(quarry)
        page = client.get(f"/{quarry.animal_id}/{session}/").content.decode()
        step = {"session": session, "step": "medicine-omeprazole", "at": morning - timedelta(seconds=9)}
        press(client, quarry, "start", session=session, at=morning - timedelta(seconds=20))
        press(client, quarry, "dose", outcome="refused", **step)
        written = [one.payload for one in quarry.entries(now=morning) if one.kind == "medicine_given"]

    assert page.count("> Would not take it<") == 1
    assert [(one.outcome.value, one.reason) for one in written] == [("refused", "Would not take it")]
