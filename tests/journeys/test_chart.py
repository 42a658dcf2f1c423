"""The chart of medicines in a browser: by day and by night, on a phone and on a desk, without a barrier."""

from pathlib import Path

import pytest
import time_machine
from playwright.sync_api import expect

from tests.journeys.barriers import no_barrier
from tests.journeys.conftest import Phone
from tests.support.medicine_week import NOW, a_medicine_week


@pytest.fixture
def week(transactional_db: None):
    with time_machine.travel(NOW, tick=True):
        yield a_medicine_week()


def test_the_chart_has_no_barrier_and_fits(phone: Phone, week, shots: Path | None) -> None:
    """The week, a day and a version, on a phone as days and on a desk as a table."""
    page = phone(link=week.link(week.noor, now=NOW))
    with no_barrier(page, shots) as look_at:
        for name, path in (("chart", ""), ("chart-day", "2026-11-24/"), ("chart-version", "version/1/")):
            page.goto(f"/{week.animal_id}/chart/{path}")
            look_at(name, at_widths=(320, 360, 1280))


def test_did_i_give_that_today_is_one_tap_away(phone: Phone, week) -> None:
    """Who gave it last and when, on the day itself; another day is one tap further."""
    page = phone(link=week.link(week.sam, now=NOW))
    page.goto(f"/{week.animal_id}/chart/")
    expect(page.get_by_role("heading", name="Thursday 26 November, today")).to_be_visible()
    expect(page.get_by_text("Last 06:32 by Sam")).to_be_visible()
    page.get_by_role("link", name="Wednesday 25 November").click()
    expect(page.get_by_role("heading", name="Wednesday 25 November")).to_be_visible()
    expect(page.locator("#day").get_by_text("No entry")).to_have_count(1)


def test_what_a_dose_did_is_asked_and_recorded(phone: Phone, week) -> None:
    """One press, and the chart shows it beside the dose."""
    page = phone(link=week.link(week.sam, now=NOW))
    page.goto(f"/{week.animal_id}/chart/")
    with page.expect_navigation():
        page.get_by_role("button", name="Eased a little").click()
    page.get_by_role("link", name="Wednesday 25 November").click()
    expect(page.locator("#day").get_by_text("eased a little (14:20)", exact=False)).to_be_visible()
    expect(page.get_by_text("What did Salbutamol do?")).to_have_count(0)


def test_a_desk_shows_the_week_as_a_table(phone: Phone, week) -> None:
    """With headers that a screen reader tells for each square."""
    page = phone(link=week.link(week.noor, now=NOW), width=1280, height=800)
    page.goto(f"/{week.animal_id}/chart/")
    table = page.get_by_role("table")
    expect(table.get_by_role("columnheader")).to_have_count(9)
    expect(table.get_by_role("rowheader", name="14:30")).to_have_count(1)
    expect(table.get_by_role("cell", name="No entry").first).to_be_visible()
