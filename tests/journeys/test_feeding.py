"""Feeding on a phone: another way chosen and accepted, ten seconds of a flow test, and a day's in, back and kept."""

from datetime import datetime
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from fillmark.core.plan.reading import read_plan
from fillmark.core.record.care_entries import FlowTested
from fillmark.core.record.session_entries import CameBack, FillGiven, SessionStarted
from fillmark.examples import example_plan
from fillmark.services import household, plans
from tests.journeys.barriers import no_barrier
from tests.journeys.conftest import Phone, wait_until_sent
from tests.journeys.household import Household
from tests.support.builders import adopt


def a_flow_test(left_ml: float, *, water_ml: float = 160, batch: str | None = None) -> FlowTested:
    return FlowTested(
        foods=("stew",), food_g=820, water_ml=water_ml, left_ml=left_ml, sieved=False, frozen=False, batch=batch
    )


@pytest.mark.hazard("H32")
@pytest.mark.hazard("H10")
@pytest.mark.parametrize("scripts", [True, False], ids=["with JavaScript", "without"])
def test_another_way_to_feed_the_day_is_seen_beside_now_and_accepted_by_the_lead(
    phone: Phone, quarry: Household, evening: datetime, scripts: bool
) -> None:
    """From the plan to three meals for four: nothing changes before the vet's word, and version 2 begins tomorrow."""
    page = phone(link=quarry.link(quarry.noor, now=evening), scripts=scripts)
    page.get_by_role("link", name="Food", exact=True).click()
    page.get_by_role("link", name="Ways to feed").click()
    expect(page.get_by_text("As it is now, and proposed")).to_be_visible()
    expect(page.get_by_role("img", name="3 × 60 + 30 mL").first).to_be_visible()
    three = page.locator("li.card", has=page.get_by_role("heading", name="3 × 280 mL"))
    expect(three).to_contain_text("Above the level the vet asks about.")
    three.get_by_role("link", name="See it beside now").click()

    expect(page.get_by_text("Proposed, not in force")).to_be_visible()
    expect(page.get_by_role("heading", name="Now: 4 meals")).to_be_visible()
    expect(page.get_by_role("heading", name="Then: 3 meals")).to_be_visible()
    expect(page.locator(".facts div", has_text="Fullest session")).to_contain_text("13.8 mL/kg → 17.8 mL/kg")
    expect(page.get_by_text("Over the vet's warning of 17 mL/kg")).to_be_visible()
    assert len(plans.all_versions(**quarry.ids)) == 1
    page.get_by_label("Meal 2").fill("13:00")
    page.get_by_role("button", name="See it beside now").click()
    expect(page.locator(".facts div", has_text="Meals")).to_contain_text("07:00, 13:00, 20:00")
    page.get_by_role("link", name="Accept this plan").click()
    asked = page.get_by_role("region", name="Needs a word of the vet")
    expect(asked).to_contain_text("Metoclopramide at 14:30 is ordered before food, and no meal follows")
    asked.get_by_label("What the vet said about it").fill("It need not be before a meal.")
    expect(page.get_by_label("What the vet said about it")).to_have_count(1)
    page.get_by_label("On which day").fill("2026-11-25")
    page.get_by_role("button", name="Put it in force from Thursday").click()

    expect(page.get_by_role("status")).to_contain_text("Version 2 begins on Thursday 26 November at 04:00.")
    versions = plans.all_versions(**quarry.ids)
    assert [f"{clock:%H:%M}" for clock in versions[1].plan.timetable.meals] == ["07:00", "13:00", "20:00"]
    assert versions[1].vet_words == "It need not be before a meal."


@pytest.mark.hazard("H10")
def test_a_way_over_the_cap_is_shown_and_cannot_be_accepted(phone: Phone, quarry: Household, evening: datetime) -> None:
    """Two meals a day would pass 20 mL/kg: the page says so, and has no button for it."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    page.goto(f"/{quarry.animal_id}/ways/what-if/?meals=2")

    expect(page.get_by_role("heading", name="This breaks the vet's limit")).to_be_visible()
    expect(page.get_by_text("It cannot be put in force.")).to_be_visible()
    expect(page.get_by_role("button", name="Put it in force from Thursday")).to_have_count(0)


@pytest.mark.hazard("H8")
def test_three_mixes_of_one_can_show_why_the_water_is_measured(
    phone: Phone, quarry: Household, evening: datetime
) -> None:
    """This household's own can, and the worked example: 895, 633 and 565 kcal from the same full syringes."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    page.goto(f"/{quarry.animal_id}/ways/")
    own = page.locator("section", has=page.get_by_role("heading", name="Why the water is measured"))
    expect(own.locator("li").first).to_contain_text("80 mL water895 kcal")
    expect(own.locator("> ul li")).to_have_count(3)
    own.get_by_text("A worked example").click()
    example = own.locator("details li")
    expect(example.nth(0)).to_contain_text("895 kcal")
    expect(example.nth(1)).to_contain_text("633 kcal")
    expect(example.nth(2)).to_contain_text("565 kcal")
    expect(example.nth(1)).to_contain_text("0.83 kcal/mL")


@pytest.mark.hazard("H9")
def test_ten_seconds_are_counted_and_a_batch_that_is_too_thick_is_not_to_be_given(
    phone: Phone, quarry: Household, evening: datetime
) -> None:
    """Start, ten seconds large on the screen, then the question; 9 mL left is level 3, and the vet allows 2."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    page.goto(f"/{quarry.animal_id}/flow/")
    page.get_by_role("link", name="Test a batch").click()
    expect(page.get_by_role("button", name="9 mL")).to_be_hidden()
    page.get_by_label("What is written on the jar").fill("Jar 7")
    page.get_by_role("button", name="Start 10 seconds").click()
    expect(page.get_by_role("timer")).to_be_visible()
    expect(page.get_by_role("button", name="9 mL")).to_be_visible()
    page.get_by_role("button", name="9 mL").click()

    expect(page.get_by_role("status")).to_contain_text("Too thick")
    expect(page.get_by_role("status")).to_contain_text("Do not give this batch through the tube.")
    expect(page.get_by_text("Not to be given: too thick.")).to_be_visible()
    wait_until_sent(page)
    (kept,) = [entry.payload for entry in quarry.entries(now=evening) if entry.kind == "flow_test"]
    assert (kept.left_ml, kept.water_ml, kept.food_g, kept.batch) == (9, 160, 820, "Jar 7")


def test_a_flow_test_needs_no_javascript(phone: Phone, quarry: Household, evening: datetime) -> None:
    """A clock on the wall counts; every answer is a button, and what is typed wrongly is asked again."""
    page = phone(link=quarry.link(quarry.noor, now=evening), scripts=False)
    page.goto(f"/{quarry.animal_id}/flow/test/")
    expect(page.get_by_text("Count 10 seconds on a clock with a second hand.")).to_be_visible()
    page.get_by_label("Between two lines, in mL").fill("12")
    page.get_by_role("button", name="Write this down").click()
    expect(page.get_by_role("alert")).to_contain_text("Allowed: 0 to 10 mL left.")
    page.get_by_label("Between two lines, in mL").fill("3,5")
    page.get_by_role("button", name="Write this down").click()

    expect(page.get_by_role("status")).to_contain_text("It passes")
    expect(page.get_by_role("status")).to_contain_text("3.5 mL left: level 1, and the vet allows level 2 or thinner.")


@pytest.mark.hazard("H11")
@pytest.mark.hazard("H30")
def test_a_meal_that_came_back_leaves_a_day_that_is_not_doubled(
    phone: Phone, quarry: Household, evening: datetime
) -> None:
    """60 mL came back: in, back and kept are told apart, and what is proposed stays under the cap."""
    quarry.write(CameBack(session="2026-11-25T15:00", ml=60), at=evening)
    page = phone(link=quarry.link(quarry.noor, now=evening))
    page.goto(f"/{quarry.animal_id}/day/")
    page.get_by_role("link", name="Meal by meal, the water, the rest of today").click()

    expect(page.get_by_text("210 mL in, 60 mL came back, 150 mL kept")).to_be_visible()
    rest = page.locator("section", has=page.get_by_role("heading", name="The rest of today"))
    expect(rest).to_contain_text("Proposed, not in force.")
    expect(rest).to_contain_text("ask the vet")
    expect(rest).to_contain_text("at most 318 mL under the vet's cap")
    expect(page.locator("section", has=page.get_by_role("heading", name="Water"))).to_contain_text(
        "the vet's band: 870 to 1,392 mL"
    )


@pytest.mark.hazard("H30")
def test_what_a_cat_drinks_from_the_bowl_counts_in_its_day(
    phone: Phone, quarry: Household, evening: datetime, shots: Path | None
) -> None:
    """Sorrel may drink: 40 mL are one press, kept on the phone until the record has them. No screen has a barrier."""
    sorrel = household.add_animal(household_id=quarry.id, by=quarry.noor, name="Sorrel", now=evening)
    adopt(quarry, read_plan(example_plan("sorrel"), kind="toml"), from_at=evening, animal_id=sorrel.id)
    page = phone(link=quarry.link(quarry.noor, now=evening))
    with no_barrier(page, shots) as look_at:
        for name in ("blend", "flow", "plan", "feeding"):
            page.goto(f"/{sorrel.id}/{name}/")
            look_at(f"feeding-cat-{name}")
    page.get_by_label("Drank from the bowl, mL").fill("40")
    page.get_by_role("button", name="Write it down").click()
    expect(page.locator(".facts div", has_text="By mouth")).to_contain_text("40 mL")


def every_screen(page: Page, quarry: Household, evening: datetime) -> list[tuple[str, str]]:
    """The feeding screens in the states that look different."""
    for place, (left, water) in enumerate(((6.2, 150), (4.1, 170), (8.6, 120))):
        quarry.write(a_flow_test(left, water_ml=water, batch=f"Jar {place + 1}"), at=evening)
    quarry.write(CameBack(session="2026-11-25T15:00", ml="not known"), at=evening)
    quarry.write(SessionStarted(session="2026-11-25T20:00"), at=evening)
    quarry.write(FillGiven(session="2026-11-25T20:00", fill=1, ml=60), at=evening)
    return [
        ("blend", "ways/"),
        ("what-if", "ways/what-if/?meals=3"),
        ("what-if-over", "ways/what-if/?meals=2&water=120"),
        ("what-if-food", "ways/what-if/?food=puree&water=100"),
        ("what-if-away", "ways/what-if/?days=10&french=14&inner_mm=3"),
        ("what-if-empty", "ways/what-if/"),
        ("flow", "flow/"),
        ("flow-thawed", "flow/?handled=yes&frozen=yes"),
        ("flow-test", "flow/test/"),
        ("feeding", "intake/"),
        ("feeding-silent", "intake/2026-11-24/"),
        ("day", "day/"),
        ("plan", "plan/"),
    ]


def test_the_feeding_screens_have_no_barrier_and_fit_the_phone(
    phone: Phone, quarry: Household, evening: datetime, shots: Path | None
) -> None:
    """Each with all that it holds open."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    with no_barrier(page, shots) as look_at:
        for name, path in every_screen(page, quarry, evening):
            page.goto(f"/{quarry.animal_id}/{path}")
            look_at(f"feeding-{name}", opened=True)


@pytest.mark.hazard("H19")
def test_no_way_of_feeding_is_called_good(phone: Phone, quarry: Household, evening: datetime) -> None:
    """The screens propose; what suits the animal is the vet's to say."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    for name, path in every_screen(page, quarry, evening):
        page.goto(f"/{quarry.animal_id}/{path}")
        words = set(page.locator("body").inner_text().lower().replace(".", " ").replace(",", " ").split())
        assert not {"fine", "great", "safe", "perfect", "ideal", "optimal", "best"} & words, name
