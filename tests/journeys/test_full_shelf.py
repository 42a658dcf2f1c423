"""A shelf with every kind of order, walked through on a phone at night: what a person could misread is said plainly."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
import time_machine
from playwright.sync_api import Page, expect

from fillmark.core.record.medicine_entries import MedicineGiven, Outcome
from tests.journeys.barriers import no_barrier
from tests.journeys.conftest import Phone, wait_until_sent
from tests.journeys.household import Household, quarry_lane
from tests.journeys.test_one_meal import big, seen
from tests.support.full_shelf import a_full_shelf

BEFORE_EIGHT = datetime(2026, 11, 25, 19, 42, tzinfo=UTC)
NIGHT = datetime(2026, 11, 25, 22, 20, tzinfo=UTC)


@pytest.fixture
def at_eight(transactional_db: None) -> Iterator[Household]:
    with time_machine.travel(BEFORE_EIGHT, tick=True):
        yield quarry_lane(now=BEFORE_EIGHT, plan=a_full_shelf())


@pytest.fixture
def at_night(transactional_db: None) -> Iterator[Household]:
    with time_machine.travel(NIGHT, tick=True):
        yield quarry_lane(now=NIGHT, plan=a_full_shelf())


def to_the_medicines(page: Page, clock: str) -> None:
    big(page, f"Start {clock}")
    for _ in range(5):  # hands, the animal, the mark at the skin, the skin, the first flush
        big(page, "Yes")


@pytest.mark.hazard("H3")
@pytest.mark.hazard("H4")
@pytest.mark.hazard("H21")
def test_a_dose_is_read_with_its_label_and_its_place_in_the_course(
    phone: Phone, at_eight: Household, shots: Path | None
) -> None:
    """The mg, what the label says, what is new today, how to crush it; the mark in sight without scrolling."""
    page = phone(link=at_eight.link(at_eight.noor, now=BEFORE_EIGHT))
    with no_barrier(page, shots) as look_at:
        doses = page.get_by_label("Given today?")
        expect(doses.locator("[data-medicine=prednisolone]")).to_contain_text(
            "New from today: 7.5 mg, less than before."
        )
        expect(doses.locator("[data-medicine=amoxicillin]")).to_contain_text("This is the last dose of the course.")
        expect(doses.locator("[data-medicine=appetite]")).to_contain_text("next Fri 06:30")
        expect(seen(page, "Prednisolone one and a half tablets")).to_be_visible()
        look_at("shelf-now")
        to_the_medicines(page, "20:00")
        expect(page.get_by_role("heading", level=1)).to_have_text("Give Prednisolone: one and a half tablets")
        expect(seen(page, "Day 8 of 28. New from today: 7.5 mg, less than before.")).to_be_visible()
        expect(seen(page, "7.5 mg through the tube. The label says 5 mg in each tablet.")).to_be_visible()
        expect(seen(page, "Crush it finely, in 8 mL of water, stirred just before.")).to_be_visible()
        look_at("shelf-tablet")
        big(page, "It is given")
        big(page, "It is in")
        expect(page.get_by_role("heading", level=1)).to_have_text("Give Amoxicillin: 3.4 mL")
        expect(seen(page, "Day 7 of 7. This is the last dose of the course.")).to_be_visible()
        expect(seen(page, "The label says 50 mg/mL")).to_be_visible()
        expect(page.locator(".screen-shown .draw .number")).to_be_in_viewport(ratio=1)
        look_at("shelf-course")


@pytest.mark.hazard("H6")
def test_a_dose_that_wants_a_second_reader_says_what_to_do_first(phone: Phone, at_eight: Household) -> None:
    """Before the press it asks for the other person; read by Sam, it is given and written down."""
    page = phone(link=at_eight.link(at_eight.noor, now=BEFORE_EIGHT))
    to_the_medicines(page, "20:00")
    big(page, "It is given")
    big(page, "It is in")
    expect(seen(page, "The plan asks for a second person to read the syringe, and nobody else has.")).to_be_visible()
    expect(page.get_by_role("button", name="It is given", exact=True).filter(visible=True)).to_have_count(0)
    reader = phone(link=at_eight.link(at_eight.sam, now=BEFORE_EIGHT))
    reader.goto(f"/{at_eight.animal_id}/2026-11-25T20:00/second-check/amoxicillin/")
    expect(seen(reader, "3.4")).to_have_count(0)
    reader.get_by_label("Between two numbers").fill("3.4")
    reader.get_by_role("button", name="I read this").click()
    expect(reader.get_by_text("The same as the order")).to_be_visible()
    page.bring_to_front()
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")  # taken up again, a phone asks what is new
    big(page, "It is given")
    wait_until_sent(page)
    assert given(at_eight, "amoxicillin", now=BEFORE_EIGHT)[-1].reason is None


@pytest.mark.hazard("H32")
def test_what_is_on_hold_has_no_mark_and_is_written_down_as_held(
    phone: Phone, at_night: Household, shots: Path | None
) -> None:
    """Its step says why, one press says that none was given, and neither the card nor the flushes count it."""
    page = phone(link=at_night.link(at_night.noor, now=NIGHT))
    with no_barrier(page, shots) as look_at:
        expect(seen(page, "1 medicine · 30 mL water")).to_be_visible()
        expect(page.locator("[data-medicine=amoxicillin]")).to_contain_text("the course is over")
        big(page, "Start 22:30")
        for _ in range(2):
            big(page, "Yes")
        expect(page.get_by_role("heading", level=1)).to_have_text("Sucralfate is on hold: give none")
        expect(seen(page, "Constipated since Monday")).to_be_visible()
        expect(page.get_by_role("img", name="filled to the mark").filter(visible=True)).to_have_count(0)
        expect(page.get_by_role("button", name="It is given").filter(visible=True)).to_have_count(0)
        look_at("shelf-hold")
        big(page, "None given, go on")
        expect(page.get_by_role("heading", level=1)).to_contain_text("at the skin")
        wait_until_sent(page)
        kept = given(at_night, "binder", now=NIGHT)[-1]
        assert (kept.outcome, kept.reason) == (Outcome.HELD, "Constipated since Monday. Dr. Marsh, 24 November")


@pytest.mark.hazard("H2")
def test_a_session_written_down_afterwards_keeps_what_was_on_hold_as_held(phone: Phone, at_night: Household) -> None:
    """ "All as planned" counts one medicine, and the other stays held."""
    later = NIGHT + timedelta(hours=3)
    with time_machine.travel(later, tick=True):
        page = phone(link=at_night.link(at_night.noor, now=later))
        page.goto(f"/{at_night.animal_id}/2026-11-25T22:30/#afterwards")
        page.get_by_role("button", name="All as planned: 1 medicine").click()
        expect(page.get_by_role("heading", name="22:30 is recorded")).to_be_visible()
        wait_until_sent(page)
        outcomes = {one: given(at_night, one, now=later)[-1].outcome for one in ("metoclopramide", "binder")}
    assert outcomes == {"metoclopramide": Outcome.GIVEN, "binder": Outcome.HELD}


@pytest.mark.hazard("H2")
def test_a_dose_that_was_not_given_needs_one_press_for_the_usual_reasons(phone: Phone, at_night: Household) -> None:
    """ "Vomiting or retching" is a reason ready to press; the dose is held, not missed and not given."""
    page = phone(link=at_night.link(at_night.noor, now=NIGHT))
    big(page, "Start 22:30")
    for words in ("Yes", "Yes", "None given, go on", "Yes", "Yes", "Yes"):
        big(page, words)
    expect(page.get_by_role("heading", level=1)).to_have_text("Give Metoclopramide: 5.2 mL")
    page.get_by_role("link", name="Not all, or none").filter(visible=True).click()
    page.get_by_role("button", name="Not given: vomiting or retching").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Flush with")
    wait_until_sent(page)
    kept = given(at_night, "metoclopramide", now=NIGHT)[-1]
    assert (kept.outcome, kept.reason) == (Outcome.HELD, "Vomiting or retching")


def given(home: Household, medicine: str, *, now: datetime) -> list[MedicineGiven]:
    """What today's record says of a medicine, oldest first."""
    payloads = [entry.payload for entry in home.entries(now=now)]
    return [one for one in payloads if isinstance(one, MedicineGiven) and one.medicine == medicine]


@pytest.mark.hazard("H1")
def test_a_dose_when_needed_is_two_taps_from_the_first_screen(
    phone: Phone, at_night: Household, shots: Path | None
) -> None:
    """Its gate, its mark and its steps; then the chart asks what it did, and the page says how long to wait."""
    page = phone(link=at_night.link(at_night.sam, now=NIGHT))
    with no_barrier(page, shots) as look_at:
        page.get_by_role("link", name="when needed: give it").click()
        expect(page.get_by_role("heading", level=1)).to_have_text("Ondansetron")
        expect(page.get_by_role("img", name="filled to the mark at 5 mL")).to_be_visible()
        look_at("shelf-needed")
        page.get_by_role("button", name="It is given").click()
        expect(page.get_by_role("heading", name="What did Ondansetron do?").filter(visible=True).first).to_be_visible()
        wait_until_sent(page)
        (dose,) = given(at_night, "retching", now=NIGHT)
        assert (dose.session, dose.outcome) == (None, Outcome.GIVEN)
        page.goto(f"/{at_night.animal_id}/when-needed/retching/")
        expect(page.get_by_role("heading", name="Not now")).to_be_visible()
        expect(page.get_by_role("img", name="filled to the mark")).to_have_count(0)
        look_at("shelf-needed-wait")
