"""An empty home to the plan in force on a phone, page by page, with four medicines and without a file."""

import re
from datetime import datetime
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, expect

from fillmark.core.plan.spots import spot_called
from fillmark.core.values.people import Caregiver
from fillmark.services import household, plans
from tests.journeys.barriers import no_barrier
from tests.journeys.conftest import Phone
from tests.journeys.household import Household
from tests.journeys.test_own_household import lead, link_for
from tests.support.sheet import MORE, PASTED, SHEET

__all__ = ["lead"]

LOOKED_AT = {"tube", "energy", "medicine-0", "how-often-1", "medicine-all"}


def fill(page: Page, values: dict[str, object]) -> None:
    """A page's fields, as a person fills them."""
    page.locator("details").evaluate_all("all => all.forEach((one) => { one.open = true; })")
    for name, value in values.items():
        field = page.locator(f'[name="{name}"]')
        if field.first.get_attribute("type") in ("radio", "checkbox"):
            page.locator(f'[name="{name}"][value="{value}"]').check()
        elif name.endswith(".unit"):
            field.select_option(str(value))
        else:
            field.fill(str(value))


def spot_of(page: Page) -> str:
    return page.url.partition("?")[0].rstrip("/").rpartition("/")[2]


def test_an_empty_home_comes_to_its_first_plan_on_a_phone(
    phone: Phone, lead: Caregiver, evening: datetime, shots: Path | None
) -> None:
    """45 pages at most with four medicines; what is asked about is asked on its page and again in the end."""
    page = phone(link=link_for(lead, now=evening))
    with no_barrier(page, shots, refused="400") as look_at:
        page.locator("a.big").click()
        look_at("make-plan")
        page.get_by_role("button", name="Begin with a new animal").click()
        look_at("plan-draft-empty")
        page.get_by_role("link", name=re.compile("Go on")).click()
        went = 0
        for _ in range(90):
            spot = spot_called(spot_of(page))
            if spot is None:
                break
            went += 1
            if spot.id in LOOKED_AT:
                look_at(f"ask-{spot.id}")
            if spot.is_whole_list:
                count = page.locator(".plain-list > li").count()
                if count < MORE.get(spot.page.key, 0):
                    page.get_by_role("link", name="One more").click()
                else:
                    page.locator("button.big").click()
            elif spot.page.key == "how-often" and f"when-needed-{spot.at[0]}" in SHEET:
                page.locator("summary", has_text="The sheet says more about").click()
                page.get_by_role("link", name="Only when needed").click()
                fill(page, SHEET[f"when-needed-{spot.at[0]}"])
                page.locator("button.big").click()
            else:
                fill(page, SHEET.get(spot.id, {}))
                before = page.url.partition("?")[0]
                page.locator("button.big" if SHEET.get(spot.id) else 'button[value="unsaid"]').click()
                if page.url.partition("?")[0] == before:
                    look_at(f"asked-{spot.id}")
                    page.locator("button.big").click()
        look_at("plan-draft", opened=True)
        page.get_by_role("button", name="Read it as a whole").click()
        expect(page.get_by_role("heading", name="Confirm it")).to_be_visible()
        look_at("plan-draft-read")
    assert went <= 45
    for box in page.get_by_label("It is meant so").all():
        box.check()
    for words in page.get_by_label("What the vet said about it").all():
        words.fill("Said by telephone, read back.")
    page.get_by_label("Now (").check()
    page.get_by_role("button", name="I have read it").click()
    expect(page.locator(".who")).to_contain_text("The plan, version 1")
    (animal,) = household.find_animals(household_id=lead.household_id)
    kept = plans.all_versions(household_id=lead.household_id, animal_id=animal.id)[0].plan
    assert [one.name for one in kept.medicines] == ["Mirtazapine", "Omeprazole", "Maropitant", "Ondansetron"]


@pytest.mark.hazard("H28")
def test_a_pasted_sheet_is_checked_page_by_page_on_a_phone(
    phone: Phone, lead: Caregiver, evening: datetime, shots: Path | None
) -> None:
    """15 pages at most with four medicines, by the big button; a dose needs its own tick."""
    page = phone(link=link_for(lead, now=evening))
    with no_barrier(page, shots) as look_at:
        page.locator("a.big").click()
        page.get_by_label("The sheet's text").fill(PASTED + "The neighbor plays the flute on Sundays.\n")
        page.get_by_role("button", name="Read the sheet").click()
        expect(page.locator("mark", has_text="plays the flute")).to_be_visible()
        look_at("from-sheet")
        page.locator("a.big").click()
        went = 0
        while "/from-sheet/" in page.url and went < 40:
            went += 1
            look_at(f"check-{spot_of(page)}")
            for box in page.locator('input[name="right"]').all():
                box.check()
            page.locator("button.big").click()
        look_at("from-sheet-checked")
        expect(page.get_by_text("not confirmed")).to_have_count(0)
        expect(page.get_by_role("link", name=re.compile("Omeprazole: the dose"))).to_contain_text("4.2 mg")
    assert went <= 15


@pytest.mark.parametrize("scripts", [True, False])
def test_the_vet_says_another_dose_by_telephone(
    phone: Phone, quarry: Household, evening: datetime, scripts: bool, shots: Path | None
) -> None:
    """0.4 in place of 0.3 mg/kg from now on: three pages and 8 taps from the first screen; also without scripts."""
    page = phone(link=quarry.link(quarry.noor, now=evening), scripts=scripts)
    taps, pages = 0, set()

    def tap(place: Locator) -> None:
        nonlocal taps
        place.click()
        taps += 1
        path = page.url.partition("?")[0]
        if "make-plan" in path or "take-in" in path:
            pages.add(path)

    tap(page.get_by_role("link", name="Plan", exact=True))
    tap(page.get_by_role("button", name="Metoclopramide: the dose"))
    page.get_by_label("Dose", exact=True).fill("0.4 mg/kg")
    if scripts:
        expect(page.get_by_text("1.33 times as much")).to_be_visible()
    tap(page.get_by_role("button", name="Keep it"))
    expect(page.get_by_role("heading", name="What it does to the day")).to_be_visible()
    tap(page.get_by_role("button", name="On to the vet's words"))
    if scripts:  # what looks for barriers is a script itself
        with no_barrier(page, shots) as look_at:
            look_at("telephone")
    tap(page.get_by_label("Said by telephone, read back"))
    tap(page.get_by_label("Now ("))
    tap(page.get_by_label("It is meant so"))
    tap(page.get_by_role("button", name="I have read it"))
    expect(page.locator(".who")).to_contain_text("The plan, version 2")
    assert taps <= 8
    assert len(pages) <= 3
    page.goto(f"/{quarry.animal_id}/2026-11-25T22:30/")
    assert "7 mL" in page.content()
    assert "5.2 mL" not in page.content()
