"""A dose that another person has just given: asked about before it is written down, on a phone in the hand."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
import time_machine
from playwright.sync_api import expect

from fillmark.core.record.entries import Entry
from fillmark.core.record.medicine_entries import BottleOpened, MedicineGiven, Outcome
from fillmark.services import medicines
from tests.journeys.barriers import take_picture
from tests.journeys.conftest import Phone, wait_until_sent
from tests.journeys.household import Household, quarry_lane
from tests.journeys.test_one_meal import big, seen
from tests.support.sides import side_of

AFTERNOON = datetime(2026, 11, 25, 14, 50, tzinfo=UTC)


@pytest.fixture
def afternoon(transactional_db: None) -> Iterator[Household]:
    """Twenty minutes after Juniper's dose of 14:30 was due."""
    with time_machine.travel(AFTERNOON, tick=True):
        yield quarry_lane(now=AFTERNOON, recorded=False)


def dose_of(quarry: Household, *, at: datetime) -> Entry:
    payload = MedicineGiven(
        medicine="metoclopramide", dose_mg=Decimal("5.22"), ml=Decimal("5.2"), outcome=Outcome.GIVEN
    )
    return quarry.write(payload, at=at, by=quarry.sam, device="sam-phone")


@pytest.mark.hazard("H1")
@pytest.mark.parametrize("insists", [True, False])
def test_a_dose_that_sam_gave_is_asked_about_before_noor_presses(
    phone: Phone, afternoon: Household, shots: Path | None, insists: bool
) -> None:
    """The draw screen says who gave it, when, and how long to wait; only with a reason is it kept."""
    sams = dose_of(afternoon, at=AFTERNOON - timedelta(minutes=12))
    page = phone(link=afternoon.link(afternoon.noor, now=AFTERNOON))
    big(page, "Start 14:30")
    page.wait_for_url("**/2026-11-25T14:30/")
    for _ in range(5):
        big(page, "Yes")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Metoclopramide: 5.2 mL")
    expect(seen(page, "Sam gave it at 14:38, and at least 6 hours lie between two doses.")).to_be_visible()
    expect(seen(page, "Last given 14:38, Sam · not before 20:38")).to_be_visible()
    expect(page.get_by_role("button", name="It is given", exact=True).filter(visible=True)).to_have_count(0)
    take_picture(page, shots, "dose-too-soon")
    if insists:
        why = page.get_by_label("Why is it given all the same?").filter(visible=True)
        why.fill("Sam's came back up; the vet said once more.")
        page.get_by_role("button", name="It is given all the same").filter(visible=True).click()
        expect(page.get_by_role("heading", level=1)).not_to_contain_text("Metoclopramide")
    wait_until_sent(page)

    now = AFTERNOON + timedelta(minutes=10)
    state = medicines.verdicts(side_of(**afternoon.ids, now=now))[0]
    doses = [one for one in state.today if one.at > AFTERNOON - timedelta(hours=1)]
    assert [one.kept.by_name for one in doses] == (["Sam", "Noor"] if insists else ["Sam"])
    assert state.questions == ()
    if insists:
        assert doses[-1].payload.despite == (sams.id,)
        assert doses[-1].payload.reason == "Sam's came back up; the vet said once more."


@pytest.mark.hazard("H3")
def test_a_locked_medicine_shows_no_mark_in_the_walk(phone: Phone, afternoon: Household) -> None:
    """Between the label that another person wrote down and the lead's word, nothing says how much to draw."""
    bottle = BottleOpened(medicine="metoclopramide", strength="10 mg/mL", ml=Decimal(50))
    afternoon.write(bottle, at=AFTERNOON - timedelta(minutes=5), by=afternoon.sam, device="sam-phone")
    page = phone(link=afternoon.link(afternoon.noor, now=AFTERNOON))
    big(page, "Start 14:30")
    page.wait_for_url("**/2026-11-25T14:30/")
    for _ in range(5):
        big(page, "Yes")

    expect(seen(page, "5.2 mL")).to_have_count(0)
    expect(page.get_by_role("img", name="filled to the mark").filter(visible=True)).to_have_count(0)
    page.get_by_role("link", name="Confirm the new strength").filter(visible=True).click()
    expect(page.get_by_role("heading", name="Locked: another strength")).to_be_visible()
