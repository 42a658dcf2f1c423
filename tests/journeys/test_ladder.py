"""Back to eating: what is eaten is weighed, the rung is seen, and the tube's share changes with the vet's word."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
import time_machine
from playwright.sync_api import expect

from fillmark.core.plan.reading import read_plan
from fillmark.core.record.care_entries import Ate
from fillmark.examples import example_plan
from fillmark.services import plans, record
from tests.journeys.barriers import no_barrier
from tests.journeys.conftest import EVENING, Phone
from tests.journeys.household import Household, quarry_lane
from tests.support.builders import an_entry


@pytest.fixture
def sorrels(transactional_db: None) -> Iterator[Household]:
    """Sorrel may eat; yesterday he ate 130 g, 68 % of his goal; his ladder up is on its second day."""
    text = (
        example_plan("sorrel")
        .decode()
        .replace('by_mouth = "water"', 'by_mouth = "food and water"')
        .replace('idle_flush = "not stated"', "ladder = { starts_on = 2026-11-24, percent = [33, 66, 100] }")
    )
    with time_machine.travel(EVENING, tick=True):
        home = quarry_lane(now=EVENING, recorded=False, plan=read_plan(text.encode(), kind="toml"))
        at = EVENING - timedelta(days=1)
        entry = an_entry(Ate(food="recovery", g=130), at=at, animal_id=home.animal_id)
        record.record_entry(household_id=home.id, by=home.noor, entry=entry, now=at)
        yield home


@pytest.mark.hazard("H36")
@pytest.mark.parametrize("scripts", [True, False], ids=["with JavaScript", "without"])
def test_what_is_eaten_counts_and_the_tube_gives_the_rest(phone: Phone, sorrels: Household, scripts: bool) -> None:
    """130 g yesterday are 68 %: the record points to the next rung, and a lead accepts it with the vet's word."""
    page = phone(link=sorrels.link(sorrels.noor, now=EVENING), scripts=scripts)
    page.get_by_role("link", name="Food", exact=True).click()
    page.get_by_role("link", name="Back to eating").click()
    rest = page.get_by_role("listitem").filter(has_text="The tube gives what is not eaten")
    expect(rest).to_contain_text("Yesterday's record points here.")
    expect(page.get_by_role("listitem").filter(has_text="Tube meals stay whole")).to_contain_text(
        "The plan stands here."
    )
    page.get_by_label("Eaten, in g").fill("20")
    page.get_by_role("button", name="Write it down").click()
    expect(page.get_by_text("23 kcal, 10%")).to_be_visible()

    page.get_by_label("What the vet said about it").fill("He eats well. Let the tube give the rest.")
    page.get_by_label("On which day").fill("2026-11-25")
    page.get_by_role("button", name="Put it in force from tomorrow").click()
    # the ladder's percent and what it eats come to more than the goal on a day of the ladder
    page.get_by_label("134% of the energy goal").check()
    page.get_by_role("button", name="Put it in force from tomorrow").click()

    expect(page.locator(".who")).to_contain_text("Sorrel")
    version = plans.all_versions(**sorrels.ids)[-1]
    assert version.number == 2
    assert version.plan.orders.weaning.by_mouth_kcal_per_day == 151
    day = version.day((EVENING + timedelta(days=3)).date())
    assert round(day.energy.value) == 71


def test_the_ladders_have_no_barrier_and_fit(phone: Phone, sorrels: Household, shots: Path | None) -> None:
    """Up to full feeding, and back to eating."""
    page = phone(link=sorrels.link(sorrels.noor, now=EVENING))
    with no_barrier(page, shots) as look_at:
        page.goto(f"/{sorrels.animal_id}/ladder/")
        look_at("ladder")
