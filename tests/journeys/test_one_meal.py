"""One meal on a phone, from signing in to the day's record, with everything that gets in between."""

import re
from contextlib import suppress
from datetime import datetime

import pytest
from playwright.sync_api import Error, Locator, Page, expect

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import read_plan
from fillmark.examples import example_plan
from tests.journeys.conftest import Phone, wait_until_sent
from tests.journeys.household import Household, quarry_lane

ONCE_IT_TAKES_PRESSES = """(button) => new Promise((told) => {
  new MutationObserver(() => button.disabled || told()).observe(button, { attributeFilter: ["disabled"] });
  setTimeout(told, button.disabled ? 10000 : 0);
})"""
"""What is new on a screen takes no press for a moment; a click alone would look again only every half second."""


def big(page: Page, words: str) -> None:
    """Press the one big button, which must say this, and wait for what comes after it."""
    page.wait_for_load_state()  # without its style sheet, every screen of the page would be in sight
    button = page.locator(".big:visible")
    expect(button).to_have_text(words)
    screen = button.evaluate("button => button.closest('.screen')?.id")
    with suppress(Error):  # another page comes meanwhile: the click waits for its button
        if button.is_disabled():
            button.evaluate(ONCE_IT_TAKES_PRESSES)
    button.click()
    # nobody here waits for the minutes of a push: the phone asks whether it is over
    early = page.locator(".asked-early:visible button", has_text="It is over all the same")
    if early.count():
        early.click()
    if screen:
        expect(page.locator(f"#{screen}.screen-shown")).to_have_count(0)


def seen(page: Page, words: str | re.Pattern[str], *, exact: bool = False) -> Locator:
    """These words where they can be seen; other screens of the session hold them too."""
    return page.get_by_text(words, exact=exact).filter(visible=True)


def to_the_first_fill(page: Page) -> None:
    big(page, "Start 20:00")
    expect(seen(page, "Step 1 of 14")).to_be_visible()
    big(page, "Yes")  # has read that nothing goes in by mouth
    big(page, "Yes")  # has looked at the animal
    expect(page.get_by_role("heading", level=1)).to_contain_text("6.5 cm at the skin")
    for _ in range(3):  # the mark, the skin, and the first flush that went in without a cough
        big(page, "Yes")
    big(page, "It is lukewarm")


@pytest.mark.hazard("H10")
@pytest.mark.hazard("H6")
def test_a_meal_is_walked_paused_and_taken_up_again_at_fill_3(
    phone: Phone, quarry: Household, evening: datetime
) -> None:
    """The phone locks at fill 3; another phone goes on from there, and the record holds each fill once."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    expect(seen(page, re.compile("Next, in 1[78] minutes"))).to_be_visible()
    expect(seen(page, "3 × 60 + 30 mL")).to_be_visible()
    to_the_first_fill(page)
    expect(page.get_by_role("heading", level=1)).to_have_text("Fill 1 of 4")
    expect(page.get_by_role("img", name="60 mL syringe, filled to the mark at 60 mL")).to_be_visible()
    expect(seen(page, "0 of 210 mL in")).to_be_visible()
    big(page, "It is in")
    expect(seen(page, "60 of 210 mL in")).to_be_visible()
    big(page, "It is in")
    expect(page.get_by_role("heading", level=1)).to_have_text("Fill 3 of 4")
    page.get_by_role("button", name="Pause").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Paused")

    page.reload()
    expect(page.get_by_role("heading", level=1)).to_have_text("Paused")
    other = phone(link=quarry.link(quarry.sam, now=evening))
    expect(seen(other, "Paused by Noor", exact=False).first).to_be_visible()
    big(other, "Go to 20:00")
    big(other, "Go on")
    expect(other.get_by_role("heading", level=1)).to_have_text("Fill 3 of 4")
    other.get_by_role("link", name="Less went in").filter(visible=True).click()
    other.get_by_role("button", name="20 mL", exact=True).click()
    expect(other.get_by_role("heading", level=1)).to_have_text("Fill 4 of 4")
    expect(seen(other, "160 of 210 mL in")).to_be_visible()
    big(other, "It is in")
    other.get_by_role("link", name="Came back").filter(visible=True).click()
    other.get_by_role("button", name="I don't know how much").click()
    expect(other.get_by_role("heading", level=1).filter(visible=True)).to_have_text("Food came back up")
    other.get_by_role("button", name="Nothing more comes, it breathes calmly: go on").filter(visible=True).click()
    big(other, "It is in")  # the last flush
    big(other, "It is closed")
    big(other, "The time is over")
    big(other, "It is clean")
    expect(seen(other, "190 of 210 mL in", exact=True)).to_be_visible()
    big(other, "Nothing seen. End 20:00")
    expect(seen(other, "by Sam · 190 of 210 mL in · some came back, how much is not known")).to_be_visible()

    page.goto("/")
    page.get_by_role("link", name="Record", exact=True).click()
    expect(seen(page, "Fill 3: 40 mL in", exact=True)).to_be_visible()
    expect(seen(page, "Some came back, how much is not known", exact=True)).to_be_visible()
    fills = [entry.payload for entry in quarry.entries(now=evening) if entry.kind == "fill_given"]
    tonight = [(one.fill, one.ml) for one in fills if one.session.endswith("20:00")]
    assert tonight == [(1, 60), (2, 60), (3, 40), (4, 30)]


def with_both_medicines_at_the_meal() -> CarePlan:
    """Juniper's plan with her two medicines given with the evening meal."""
    text = example_plan("juniper").decode()
    text = text.replace('clocks = ["06:30", "14:30", "22:30"]', 'clocks = ["04:30", "12:30", "20:00"]')
    text = text.replace('clocks = ["06:30", "18:30"]', 'clocks = ["08:00", "20:00"]')
    text = text.replace('food = { relation = "before", minutes = 30 }', 'food = { relation = "with" }')
    return read_plan(text.encode(), kind="toml")


@pytest.mark.hazard("H10")
def test_four_fills_and_two_medicines_take_one_tap_a_step_and_no_typing(
    phone: Phone, transactional_db: None, evening: datetime
) -> None:
    """One tap to start, one for each of 14 steps, one to end; closed at fill 3, it goes on at fill 3."""
    quarry = quarry_lane(now=evening, plan=with_both_medicines_at_the_meal())
    page = phone(link=quarry.link(quarry.noor, now=evening))
    expect(page.get_by_role("button", name="Start 20:00")).to_be_enabled()
    taps = 0
    while page.locator(".big:visible").inner_text() != "What is next":
        button = page.locator(".big:visible")
        expect(button).to_be_enabled()
        big(page, button.inner_text())
        taps += 1
        page.wait_for_load_state()
        expect(page.get_by_role("heading", level=1).or_(page.locator("h1.strong")).first).to_be_visible()
        if taps == 1:
            expect(seen(page, "Step 1 of 18")).to_be_visible()
        if page.get_by_role("heading", level=1).inner_text() == "Fill 3 of 4":
            context = page.context
            page.close()
            page = context.new_page()
            page.goto(f"/{quarry.animal_id}/2026-11-25T20:00/")
            expect(page.get_by_role("heading", level=1)).to_have_text("Fill 3 of 4")
    assert taps == 1 + 18 + 1
    page.reload()
    expect(page.get_by_role("heading", level=1)).to_have_text("20:00 is recorded")
    kinds = [entry.kind for entry in quarry.entries(now=evening) if entry.session == "2026-11-25T20:00"]
    assert kinds.count("fill_given") == 4
    assert kinds.count("medicine_given") == 2


@pytest.mark.hazard("H1")
@pytest.mark.parametrize("scripts", [True, False], ids=["with JavaScript", "without"])
def test_ten_rapid_taps_are_one_entry(phone: Phone, quarry: Household, evening: datetime, scripts: bool) -> None:
    """A wet finger that lands ten times starts one session."""
    page = phone(link=quarry.link(quarry.noor, now=evening), scripts=scripts, lands_twice=True)
    expect(page.locator(".big:visible")).to_be_enabled()
    page.wait_for_timeout(700)
    box = page.locator(".big:visible").bounding_box()
    assert box
    for _ in range(10):
        page.mouse.click(box["x"] + box["width"] / 2, box["y"] + 30)
    expect(seen(page, "Step 1 of 14")).to_be_visible()

    started = [entry for entry in quarry.entries(now=evening) if entry.session == "2026-11-25T20:00"]
    assert [entry.kind for entry in started] == ["session_started"]


@pytest.mark.hazard("H1")
def test_one_person_holds_a_session_and_hands_it_over_by_a_tap(
    phone: Phone, quarry: Household, evening: datetime
) -> None:
    """The second phone sees who has it and takes over; what the first presses then is asked about, not written."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    to_the_first_fill(page)
    other = phone(link=quarry.link(quarry.sam, now=evening))
    big(other, "Go to 20:00")
    expect(other.get_by_role("heading", level=1)).to_have_text("Noor has it in hand")
    # Noor's phone has no signal for a moment: it shows fill 1 still.
    page.evaluate("() => { globalThis.fetch = () => new Promise(() => {}); }")
    big(other, "Take over 20:00")
    expect(other.get_by_role("heading", level=1)).to_have_text("Fill 1 of 4")
    big(other, "It is in")
    expect(other.get_by_role("heading", level=1)).to_have_text("Fill 2 of 4")

    page.reload()
    expect(page.get_by_role("heading", level=1)).to_have_text("Sam has it in hand")
    fills = [entry for entry in quarry.entries(now=evening) if entry.kind == "fill_given" and "20:00" in entry.session]
    assert len(fills) == 1


@pytest.mark.hazard("H1")
def test_a_press_that_another_phone_was_faster_with_is_asked(
    phone: Phone, quarry: Household, evening: datetime
) -> None:
    """Two tabs of one phone show fill 1; the second press is not written as another fill without a question."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    to_the_first_fill(page)
    second = phone(link=quarry.link(quarry.noor, now=evening))
    big(second, "Go to 20:00")
    expect(second.get_by_role("heading", level=1)).to_have_text("Fill 1 of 4")
    big(page, "It is in")
    expect(page.get_by_role("heading", level=1)).to_have_text("Fill 2 of 4")
    expect(seen(page, "60 of 210 mL in")).to_be_visible()
    big(second, "It is in")
    expect(second.get_by_role("alert")).to_contain_text("Not written down: Fill 1: 60 mL in")
    expect(second.get_by_role("heading", level=1)).to_have_text("Fill 2 of 4")

    second.get_by_role("button", name="It happened a second time: write it down").click()
    expect(second.get_by_role("alert")).to_have_count(0)
    second.goto("/")
    expect(seen(second, "Two entries of fill 1 of the meal.")).to_be_visible()


def test_the_last_press_can_be_taken_back_and_both_stay_in_sight(
    phone: Phone, quarry: Household, evening: datetime
) -> None:
    """Undo writes a correction; the walk goes back one step and the record shows both."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    to_the_first_fill(page)
    big(page, "It is in")
    page.get_by_role("button", name="Undo: Fill 1: 60 mL in").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Fill 1 of 4")

    wait_until_sent(page)
    page.goto(f"/{quarry.animal_id}/day/")
    expect(page.locator("s", has_text="Fill 1: 60 mL in")).to_be_visible()
    expect(seen(page, "Taken back: Pressed by mistake", exact=True)).to_be_visible()


@pytest.mark.hazard("H31")
@pytest.mark.hazard("H17")
def test_the_call_card_and_the_animal_are_on_every_screen(phone: Phone, quarry: Household, evening: datetime) -> None:
    """One tap to whom to call, above the ruler and in a flow at the foot, and the animal's name and shape."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    places = set()
    for path in (
        "/",
        f"/{quarry.animal_id}/day/",
        f"/{quarry.animal_id}/plan/",
        f"/{quarry.animal_id}/2026-11-25T20:00/",
    ):
        page.goto(path)
        wrong = page.locator("a.wrong:visible")
        expect(wrong).to_be_visible()
        box = wrong.bounding_box()
        assert box
        places.add((page.locator(".places").count(), round(box["x"]), round(box["y"])))
        expect(page.locator(".who .emblem")).to_be_visible()
        expect(page.locator(".who")).to_contain_text("Juniper")
    assert {has_ruler for has_ruler, _, _ in places} == {0, 1}
    assert len(places) == 2
