"""The medicine bottles and the second check in a browser: by day and by night, on a phone, without a barrier."""

import re
from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal
from pathlib import Path

import pytest
from playwright.sync_api import Page

from fillmark.core.record.medicine_entries import BottleOpened, StockCounted
from tests.journeys.barriers import no_barrier
from tests.journeys.conftest import Phone
from tests.journeys.household import Household


def every_screen(page: Page, quarry: Household, evening: datetime) -> Iterator[str]:
    """One bottle that is in order and counted, one of a tenfold strength; the page stands on each screen in turn."""
    page.goto(f"/{quarry.animal_id}/bottles/")
    yield "stock-none"
    omeprazole = quarry.write(
        BottleOpened(
            medicine="omeprazole",
            strength="2 mg/mL",
            ml=Decimal(100),
            filled_on=evening.date(),
            keeps_as="water, preserved",
        ),
        at=evening,
    )
    quarry.write(StockCounted(medicine="omeprazole", bottle=omeprazole.id, ml=Decimal(61)), at=evening)
    page.goto(f"/{quarry.animal_id}/bottles/metoclopramide/open/")
    page.get_by_text("More from the label").click()
    yield "bottle-open"
    page.get_by_label("Strength, as printed").fill("10 mg/mL")
    page.get_by_label("How many mL it holds").fill("50")
    page.get_by_role("button", name="It is open now").click()
    page.get_by_role("heading", name="Read the label again").wait_for()
    yield "bottle-slip"
    page.get_by_role("button", name="The label says 10 mg/mL").click()
    page.get_by_role("heading", name="Locked: another strength").wait_for()
    page.get_by_text("Why these marks").click()
    yield "strength"
    page.get_by_role("link", name="All bottles").click()
    page.get_by_text("Why these").first.click()
    yield "stock"
    page.get_by_role("link", name=re.compile("Count it.*Omeprazole")).click()
    yield "stock-count"
    check = f"/{quarry.animal_id}/2026-11-25T22:30/second-check/metoclopramide/"
    page.goto(check)
    yield "second-check"
    page.get_by_label("Between two numbers").fill("5.2")
    page.get_by_role("button", name="I read this").click()
    page.get_by_text("The same as the order").wait_for()
    yield "second-check-agrees"
    page.goto(check)
    page.get_by_label("Who reads it?").select_option("Sam")
    page.get_by_role("button", name="4 mL", exact=True).click()
    page.get_by_text("Do not give it").wait_for()
    yield "second-check-differs"


def test_bottles_have_no_barrier_and_fit_the_phone(
    phone: Phone, quarry: Household, evening: datetime, shots: Path | None
) -> None:
    """One that is in order, one of a tenfold strength, and the second check."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    with no_barrier(page, shots, refused="400") as look_at:
        for name in every_screen(page, quarry, evening):
            look_at(name)


@pytest.mark.hazard("H3")
def test_a_new_strength_is_confirmed_without_scripts(phone: Phone, quarry: Household, evening: datetime) -> None:
    """From the label to the plan, on a phone whose browser runs none."""
    page = phone(link=quarry.link(quarry.noor, now=evening), scripts=False)
    page.goto(f"/{quarry.animal_id}/bottles/metoclopramide/open/")
    page.get_by_label("Strength, as printed").fill("2 mg/mL")
    page.get_by_label("How many mL it holds").fill("100")
    page.get_by_role("button", name="It is open now").click()
    page.get_by_label("Read the bottle once more").fill("2 mg/mL")
    page.get_by_label("What the vet or the pharmacy said").fill("Two mg in each mL; draw half.")
    page.get_by_label("On which day").fill("2026-11-25")
    page.get_by_role("button", name="The plan has 2 mg/mL from now on").click()
    page.get_by_label("the old amount would be 2 times the dose").check()
    page.get_by_role("button", name="The plan has 2 mg/mL from now on").click()

    page.get_by_role("heading", name="Metoclopramide 2 mg/mL").wait_for()
    assert page.get_by_text("Locked").count() == 0
