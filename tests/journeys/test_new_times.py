"""A meal was missed and somebody must leave: the rest of today is planned anew, seen on every phone, and taken back."""

from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
import time_machine
from playwright.sync_api import expect

from fillmark.core.record.session_entries import MealEnded, SessionEnded
from fillmark.core.values.people import Role
from fillmark.services import household, plans, record
from tests.journeys.barriers import no_barrier
from tests.journeys.conftest import Phone
from tests.journeys.household import Household, quarry_lane
from tests.support.builders import an_entry

TWO = datetime(2026, 11, 25, 14, 0, tzinfo=UTC)
"""Nobody wrote down the 11:30 meal, and Sam has to leave."""


@pytest.fixture
def two(transactional_db: None) -> Iterator[Household]:
    with time_machine.travel(TWO, tick=True):
        home = quarry_lane(now=TWO, recorded=False)
        for payload, at in (
            (SessionEnded(session="2026-11-25T06:30"), TWO.replace(hour=6, minute=40)),
            (MealEnded(session="2026-11-25T07:00", fills=0, total_ml=210), TWO.replace(hour=7, minute=20)),
            (SessionEnded(session="2026-11-25T07:00"), TWO.replace(hour=7, minute=20)),
        ):
            entry = an_entry(payload, at=at, animal_id=home.animal_id)
            record.record_entry(household_id=home.id, by=home.noor, entry=entry, now=at)
        yield home


def planned(home: Household) -> dict[str, str]:
    found: dict[str, Any] = {"household_id": home.id, "animal_id": home.animal_id}
    return {one.key[11:]: f"{one.at:%H:%M}" for one in plans.planned_sessions(**found, day=date(2026, 11, 25))}


@pytest.mark.hazard("H11")
@pytest.mark.hazard("H1")
@pytest.mark.parametrize("scripts", [True, False], ids=["with JavaScript", "without"])
def test_a_missed_meal_is_given_late_and_the_next_one_waits(phone: Phone, two: Household, scripts: bool) -> None:
    """Sam says that 11:30 was not given; it comes now, 15:00 waits three hours, and Noor's phone shows it too."""
    noor = phone(link=two.link(two.noor, now=TWO), scripts=scripts)
    page = phone(link=two.link(two.sam, now=TWO), scripts=scripts)
    page.get_by_role("link", name="Late, missed or away: plan the rest of today").click()
    expect(page.get_by_text("Nothing has to move")).to_be_visible()
    page.get_by_label("11:30 was not given").check()
    page.get_by_role("button", name="See the new times").click()

    expect(page.get_by_role("img", name="The rest of today on two lines")).to_be_visible()
    expect(page.locator(".moves li").first).to_contain_text("11:30")
    expect(page.locator(".moves li").filter(has_text="15:00")).to_contain_text("meal 210 mL")
    expect(page.get_by_text("Proposed, not in force")).to_be_visible()
    assert planned(two)["15:00"] == "15:00"
    page.get_by_role("link", name="Take these times").click()
    page.get_by_role("button", name="Take these times").click()

    expect(page.get_by_role("heading", name="Other times today")).to_be_visible()
    expect(page.get_by_text("The 11:30 session was not given in time")).to_be_visible()
    expect(page.get_by_text("Planned for 11:30, moved today.")).to_be_visible()
    now = planned(two)
    assert now["11:30"] >= "14:00"
    assert now["15:00"] >= "17:00"
    noor.reload()
    expect(noor.get_by_text("Planned for 11:30, moved today.")).to_be_visible()
    expect(noor.locator("[data-live=next-clock]")).to_have_text(now["11:30"])
    expect(noor.get_by_role("button", name=f"Start {now['11:30']}")).to_be_visible()
    noor.goto(f"/{two.animal_id}/day/")
    expect(noor.get_by_role("paragraph").filter(has_text="New times for the rest of the day")).to_be_visible()
    expect(noor.get_by_text("(planned for 15:00)")).to_be_visible()

    noor.goto(f"/{two.animal_id}/new-times/")
    noor.get_by_role("button", name="Back to the times before").click()
    expect(noor.get_by_role("heading", name="Other times today")).to_have_count(0)
    assert planned(two)["15:00"] == "15:00"


def test_a_phone_that_was_open_shows_the_new_times_by_itself(phone: Phone, two: Household) -> None:
    """Noor's first screen is never loaded anew: it hears of the new times with the record."""
    noor = phone(link=two.link(two.noor, now=TWO))
    expect(noor.locator("[data-live=next-clock]")).to_have_text("14:30")
    page = phone(link=two.link(two.sam, now=TWO))
    page.goto(f"/{two.animal_id}/new-times/?until=15:30")
    page.get_by_role("button", name="Take these times").click()
    expect(page.get_by_role("heading", name="Other times today")).to_be_visible()
    noor.evaluate("dispatchEvent(new Event('online'))")
    expect(noor.locator("[data-live=next-clock]")).to_have_text("15:30")
    expect(noor.get_by_text("Planned for 14:30, moved today.")).to_be_visible()


@pytest.mark.hazard("H25")
def test_a_sitter_sees_what_it_would_be_and_calls_someone(phone: Phone, two: Household) -> None:
    """There is no button for them."""
    ilse = household.add_person(
        household_id=two.id,
        by=two.noor,
        now=TWO,
        name="Ilse",
        role=Role.SITTER,
        from_on=TWO.date(),
        until_on=TWO.date(),
    )
    page = phone(link=two.link(ilse.id, now=TWO))
    page.goto(f"/{two.animal_id}/new-times/?until=15:30")
    expect(page.get_by_text("A lead or a helper of this household can take these times.")).to_be_visible()
    expect(page.get_by_role("button", name="Take these times")).to_have_count(0)


def test_the_new_times_have_no_barrier_and_fit(phone: Phone, two: Household, shots: Path | None) -> None:
    """Before, with a proposal, refused, and the first screen afterwards."""
    page = phone(link=two.link(two.sam, now=TWO))
    with no_barrier(page, shots, refused="400") as look_at:
        for name, asked in (
            ("new-times", ""),
            ("new-times-away", "?until=18:30"),
            ("new-times-refused", "?from=15:00"),
            ("new-times-asked", "?again=2026-11-25T11:30"),
        ):
            page.goto(f"/{two.animal_id}/new-times/{asked}")
            look_at(name)
        page.get_by_role("button", name="Take these times").click()
        expect(page.get_by_role("heading", name="Other times today")).to_be_visible()
        look_at("new-times-now")
        page.goto(f"/{two.animal_id}/new-times/")
        look_at("new-times-taken")
