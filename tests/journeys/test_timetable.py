"""A wish changes the day: both days side by side, accepted with the vet's word, and in force from tomorrow."""

from datetime import datetime, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import expect

from fillmark.services import plans
from tests.journeys.barriers import no_barrier
from tests.journeys.conftest import Phone
from tests.journeys.household import Household


@pytest.mark.hazard("H32")
@pytest.mark.parametrize("scripts", [True, False], ids=["with JavaScript", "without"])
def test_a_wish_is_changed_both_days_are_seen_and_the_lead_accepts(
    phone: Phone, quarry: Household, evening: datetime, scripts: bool
) -> None:
    """From the plan: to bed by 22:00. What moves stands in words, and version 2 begins tomorrow."""
    page = phone(link=quarry.link(quarry.noor, now=evening), scripts=scripts)
    page.goto(f"/{quarry.animal_id}/plan/")
    page.get_by_role("link", name="The day's times").click()
    expect(page.get_by_role("img", name="The day as it is as a dial of 24 hours: 8 sessions")).to_be_visible()
    page.get_by_role("link", name="Other times").click()
    page.get_by_label("Not after").fill("22:00")
    page.get_by_role("button", name="See the new day").click()

    expect(page.get_by_text("8 sessions, as now")).to_be_visible()
    expect(page.locator(".moves li")).to_have_text("Metoclopramide22:30 → 22:00")
    expect(page.get_by_role("img", name="The new day as a dial of 24 hours: 8 sessions")).to_be_visible()
    expect(page.get_by_text("Metoclopramide (was 22:30)")).to_be_visible()
    expect(page.get_by_role("heading", name="Why not fewer than 8 sessions?")).to_be_visible()
    expect(page.get_by_text("Metoclopramide every 8 hours, at most 1 hour early or late")).to_be_visible()
    page.get_by_role("link", name="Accept this day").click()
    expect(page.get_by_role("link", name="Accept this day")).to_be_hidden()  # the form has its own button
    page.get_by_label("What the vet said about these times").fill("22:00 instead of 22:30 is all right by me.")
    page.get_by_label("On which day").fill("2026-11-25")
    page.get_by_role("button", name="Put it in force from Thursday").click()

    expect(page.get_by_role("status")).to_contain_text("Version 2 begins on Thursday 26 November at 04:00.")
    expect(page.locator(".who")).to_contain_text("version 2")
    versions = plans.all_versions(**quarry.ids)
    assert [version.number for version in versions] == [1, 2]
    assert versions[1].vet_words == "22:00 instead of 22:30 is all right by me."
    tomorrow = plans.planned_sessions(**quarry.ids, day=evening.date() + timedelta(days=1))
    assert [f"{session.clock:%H:%M}" for session in tomorrow][-1] == "22:00"


def test_where_no_day_exists_the_clash_and_ways_out_are_said(
    phone: Phone, quarry: Household, evening: datetime
) -> None:
    """Twelve quiet hours and a medicine every 8 hours cannot both be; what the vet must decide is marked."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    page.goto(f"/{quarry.animal_id}/timetable/?earliest=09:00&latest=21:00")

    expect(page.get_by_role("heading", name="No day holds all of this")).to_be_visible()
    expect(page.get_by_text("No session from 21:00 to 9:00")).to_be_visible()
    expect(page.get_by_text("No session from 22:30 to 7:30 only", exact=True)).to_be_visible()
    expect(page.get_by_text("Only the vet can decide this.")).to_be_visible()
    expect(page.get_by_role("button", name="Put it in force from Thursday")).to_have_count(0)


def test_a_helper_sees_a_new_day_and_cannot_accept_it(phone: Phone, quarry: Household, evening: datetime) -> None:
    """Sam may look; the button is Noor's."""
    page = phone(link=quarry.link(quarry.sam, now=evening))
    page.goto(f"/{quarry.animal_id}/timetable/?latest=22:00")

    expect(page.get_by_text("Only a lead of this household can accept a new day.")).to_be_visible()
    expect(page.get_by_role("button", name="Put it in force from Thursday")).to_have_count(0)


def test_the_days_times_have_no_barrier_and_fit_the_phone(
    phone: Phone, quarry: Household, evening: datetime, shots: Path | None
) -> None:
    """The day as it is, a new one, none at all, and one that changes nothing, each with all that it holds."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    with no_barrier(page, shots) as look_at:
        for name, wishes in (
            ("times", ""),
            ("times-new", "?sleep_from=22:00&sleep_until=07:00"),
            ("times-none", "?earliest=09:00&latest=21:00"),
            ("times-same", "?fixed_at=20:00&fixed_what=meal"),
        ):
            page.goto(f"/{quarry.animal_id}/timetable/{wishes}")
            look_at(name, opened=True)


def test_a_wish_that_cannot_be_meant_is_told_in_place(phone: Phone, quarry: Household, evening: datetime) -> None:
    """The form stays, with what to do above it; without the vet's word the accepting is refused the same way."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    page.goto(f"/{quarry.animal_id}/timetable/?earliest=08:00&latest=08:00")
    expect(page.get_by_role("alert")).to_contain_text("Choose an earliest time that comes before the latest.")
    expect(page.get_by_label("Not before")).to_have_value("08:00")

    page.goto(f"/{quarry.animal_id}/timetable/?latest=22:00")
    page.get_by_label("What the vet said about these times").fill(" ")
    page.get_by_label("On which day").fill("2026-11-25")
    page.get_by_role("button", name="Put it in force from Thursday").click()
    expect(page.get_by_role("alert")).to_contain_text("Ask the vet, and write down what they say.")
    expect(page.locator(".moves li")).to_have_text("Metoclopramide22:30 → 22:00")
    assert len(plans.all_versions(**quarry.ids)) == 1
