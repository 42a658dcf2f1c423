"""A mix of several foods on a phone: from a label to a new version of the plan."""

from datetime import datetime
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from fillmark.services import plans
from tests.journeys.barriers import no_barrier
from tests.journeys.conftest import Phone
from tests.journeys.household import Household


def write_down_the_oil(page: Page) -> None:
    page.get_by_label("Name, as you call it").fill("Salmon oil")
    page.get_by_label("Energy", exact=True).fill("8.1")
    page.get_by_label("for a", exact=True).select_option("mL")
    page.get_by_label("Complete, it says").select_option("no")
    page.get_by_label("Measured by the").fill("teaspoon")
    page.get_by_label("A level one weighs, g").fill("4.6")
    page.get_by_label("and holds, mL").fill("5")
    page.get_by_role("button", name="Write it down").click()


@pytest.mark.hazard("H32")
@pytest.mark.parametrize("scripts", [True, False], ids=["with JavaScript", "without"])
def test_an_oil_is_written_down_mixed_in_and_accepted_with_the_vets_word(
    phone: Phone, quarry: Household, evening: datetime, scripts: bool
) -> None:
    """Nothing of it reaches the plan before the lead accepts; then the new version names can, spoon and water."""
    page = phone(link=quarry.link(quarry.noor, now=evening), scripts=scripts)
    page.get_by_role("link", name="Food", exact=True).click()
    page.get_by_role("link", name="Mixes").click()
    expect(page.get_by_role("heading", name="4 × 208 mL")).to_be_visible()
    page.get_by_role("link", name="Add a food from its label").click()
    write_down_the_oil(page)
    expect(page.get_by_text("Salmon oil", exact=True)).to_be_visible()
    page.get_by_role("link", name="Mixes of several foods").click()
    page.get_by_label("Salmon oil").check()
    page.get_by_label("At most a day, in teaspoons").fill("2")
    page.get_by_role("button", name="Show the mixes").click()
    mix = page.locator("section", has=page.get_by_text("teaspoons of Salmon oil")).first
    expect(mix).to_contain_text("Not shown to be complete: ask the vet, or a veterinary nutritionist.")
    assert len(plans.all_versions(**quarry.ids)) == 1
    mix.get_by_role("link", name="See it beside now").click()
    expect(page.get_by_text("Salmon oil is not stated to be a complete food: ask the vet.")).to_be_visible()
    page.get_by_role("link", name="Accept this plan").click()
    page.get_by_label("What the vet said about it").fill("Two teaspoons a day at most.")
    page.get_by_label("On which day").fill("2026-11-25")
    page.get_by_role("button", name="Put it in force from Thursday").click()
    expect(page.get_by_role("status")).to_contain_text("Version 2 begins on Thursday 26 November at 04:00.")

    newest = plans.all_versions(**quarry.ids)[-1]
    assert "food-salmon-oil" in {part.food for part in newest.plan.blend.foods}
    assert newest.vet_words == "Two teaspoons a day at most."


def test_the_screens_of_mixes_have_no_barrier_and_fit_the_phone(
    phone: Phone, quarry: Household, evening: datetime, shots: Path | None
) -> None:
    """The mixes with all their parts open, the foods on hand, and the label."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    with no_barrier(page, shots) as look_at:
        page.goto(f"/{quarry.animal_id}/mixes/foods/new/")
        look_at("food", opened=True)
        write_down_the_oil(page)
        expect(page.get_by_text("Salmon oil", exact=True)).to_be_visible()
        look_at("foods")
        page.goto(f"/{quarry.animal_id}/mixes/?food=stew&food=puree&food=food-salmon-oil&most_food-salmon-oil=2&days=2")
        look_at("mixes", opened=True)
        page.goto(f"/{quarry.animal_id}/energy/")
        look_at("energy")
