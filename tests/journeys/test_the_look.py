"""Every screen of a session by day and by night, and what the app is to a phone: small, installed, by keyboard."""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from uuid import UUID

import pytest
import time_machine
from playwright.sync_api import Browser, Page, expect

from tests.journeys.barriers import no_barrier
from tests.journeys.conftest import CHROMIUM, Phone, until, wait_until_sent
from tests.journeys.household import Household, quarry_lane
from tests.journeys.test_one_meal import big, seen, to_the_first_fill


def every_screen(page: Page, quarry: Household) -> Iterator[str]:
    """Walk through the app; the page stands on each screen in turn, by its name."""
    yield "now"
    big(page, "Start 20:00")
    page.get_by_text("Step 1 of 14").wait_for()
    yield "walk-hands"
    page.get_by_role("button", name="Undo: Started 20:00").click()
    page.goto("/")
    to_the_first_fill(page)
    yield "walk"
    seen(page, "Why this step").click()
    yield "walk-why"
    big(page, "It is in")
    session = f"/{quarry.animal_id}/2026-11-25T20:00/"
    for what in ("less-fill-2", "back", "out-upright", "afterwards", "leave"):
        page.goto(f"{session}#{what}")
        page.locator(f"#{what} h1").wait_for()
        yield f"ask-{what.partition('-')[0]}"
    page.goto(session)
    page.get_by_role("button", name="Pause").click()
    page.get_by_role("heading", name="Paused").wait_for()
    yield "paused"
    page.get_by_role("link", name="Something is wrong").filter(visible=True).click()
    yield "calls"
    page.get_by_role("link", name="Cough or gag in a feed").click()
    yield "calls-cough"
    page.get_by_role("button", name="Write it down and lock feeding").filter(visible=True).click()
    page.get_by_text("Feeding is locked.").first.wait_for()
    page.goto(session)
    page.get_by_role("heading", name="Nothing through the tube").wait_for()
    yield "locked"
    page.goto("/")
    yield "now-locked"
    page.goto(f"/{quarry.animal_id}/day/")
    yield "day"
    page.goto(f"/{quarry.animal_id}/plan/")
    yield "plan"
    page.locator("summary").first.click()
    yield "plan-why"


def test_screens_have_no_barrier_and_fit_the_phone(
    phone: Phone, quarry: Household, evening: datetime, shots: Path | None
) -> None:
    """From the first screen through a session to a call card and the locked feeding."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    with no_barrier(page, shots) as look_at:
        for name in every_screen(page, quarry):
            look_at(name)


@pytest.mark.hazard("H19")
def test_no_screen_calms(phone: Phone, quarry: Household, evening: datetime) -> None:
    """No screen says that all is well: the record holds facts, and silence."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    for _ in every_screen(page, quarry):
        words = page.locator("body").inner_text().lower().replace("!", " ").replace(".", " ").replace(",", " ").split()
        assert not {"fine", "great", "safe", "perfect", "healthy", "congratulations"} & set(words)


@pytest.mark.hazard("H2")
@pytest.mark.hazard("H19")
def test_silence_and_an_overdue_medicine_are_said_plainly(
    phone: Phone, transactional_db: None, shots: Path | None
) -> None:
    """Twenty minutes late and nothing written all day: the screen says so, and asks about the session before."""
    afternoon = datetime(2026, 11, 25, 14, 50, tzinfo=UTC)
    with time_machine.travel(afternoon, tick=True):
        quarry = quarry_lane(now=afternoon, recorded=False)
        page = phone(link=quarry.link(quarry.noor, now=afternoon))
        with no_barrier(page, shots) as look_at:
            expect(page.get_by_text("Due 20 minutes ago, no entry")).to_be_visible()
            expect(seen(page, "No entry. Nobody wrote down whether it was given.")).to_be_visible()
            look_at("now-overdue")
            big(page, "Start 14:30")
            page.get_by_text("Step 1 of").wait_for()
            for _ in range(5):
                big(page, "Yes")
            expect(page.get_by_role("heading", level=1)).to_contain_text("Metoclopramide: 5.2 mL")
            expect(page.get_by_role("img", name="10 mL syringe, filled to the mark at 5.2 mL").first).to_be_visible()
            look_at("walk-medicine")
            page.goto(f"/{quarry.animal_id}/2026-11-25T11:30/")
            expect(seen(page, "Never give two meals at once to make up for one.", exact=False)).to_be_visible()
            look_at("silent")
            page.get_by_role("link", name="It was given").click()
            page.get_by_role("button", name="All as planned: 210 mL").click()
            expect(page.get_by_role("heading", level=1)).to_have_text("11:30 is recorded")
            wait_until_sent(page)
            page.goto(f"/{quarry.animal_id}/day/")
            expect(seen(page, "Meal 11:30, written down afterwards: 210 mL in", exact=True)).to_be_visible()
            look_at("day-silent")


def test_the_page_makes_ids_of_version_7(phone: Phone, quarry: Household, evening: datetime) -> None:
    """What the phone makes is a UUID of version 7 (RFC 9562, section 5.7; its example is Appendix A.6)."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    # Appendix A.6: 22 February 2022, 14:22:22 GMT-05:00, rand_a 0xCC3, rand_b 0x18C4DC0C0C07398F.
    chance = [0x0C, 0xC3, 0x18, 0xC4, 0xDC, 0x0C, 0x0C, 0x07, 0x39, 0x8F]
    made = page.evaluate(
        "([millis, chance]) => import('/static/phone/pressed.js')"
        ".then(made => made.entryId(millis, Uint8Array.from(chance)))",
        [0x017F22E279B0, chance],
    )

    assert made == "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
    assert UUID(made).version == 7


HAS_HEARD = "async () => Boolean(await (await import('/static/phone/store.js')).recall('seq'))"


def test_the_first_load_is_small_and_asks_nobody_else(
    phone: Phone, quarry: Household, evening: datetime, live_server
) -> None:
    """At most 120 kB for the first screen with all that belongs to it, all of it from this household's own server."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    expect(page.get_by_role("button", name="Start 20:00")).to_be_enabled()
    until(page, lambda: page.evaluate(HAS_HEARD), otherwise=lambda: "the phone has not heard the record")
    page.goto("about:blank")  # nothing of the page before is still on its way
    page.context.new_cdp_session(page).send("Network.setCacheDisabled", {"cacheDisabled": True})
    answers = []
    page.on("response", lambda answer: answers.append(answer))
    page.goto("/", wait_until="networkidle")
    wanted = {f"{live_server.url}/static/{name}" for name in ("shared/base.css", "now/now.js", "phone/record.js")}
    # a busy machine tells of its answers later than the page is drawn
    until(page, lambda: wanted <= {answer.url for answer in answers}, otherwise=lambda: f"{len(answers)} answers")
    sizes = {answer.url: len(answer.body()) for answer in answers if answer.status == 200}

    assert all(url.startswith(live_server.url) for url in sizes)
    assert wanted <= set(sizes)
    assert len(sizes) >= 3
    assert sum(sizes.values()) <= 120_000, "\n".join(f"{n} {u}" for u, n in sizes.items())


def test_the_app_can_be_installed(
    browser: Browser, quarry: Household, evening: datetime, live_server, tmp_path: Path
) -> None:
    """Chromium finds nothing that keeps it from standing on the home screen of a phone that is not a private window."""
    options = {"executable_path": CHROMIUM, "args": ["--no-sandbox", "--disable-gpu"], "base_url": live_server.url}
    context = browser.browser_type.launch_persistent_context(tmp_path, **options)
    page = context.pages[0]
    page.goto(quarry.link(quarry.noor, now=evening))
    page.get_by_role("button", name="Sign in").click()
    page.locator(".who").wait_for()
    session = context.new_cdp_session(page)

    assert session.send("Page.getInstallabilityErrors")["installabilityErrors"] == []
    manifest = page.evaluate("async () => (await fetch('/manifest.webmanifest')).json()")
    assert (manifest["start_url"], manifest["display"]) == ("/", "standalone")
    context.close()


@pytest.mark.parametrize("scripts", [True, False], ids=["with JavaScript", "without"])
def test_a_session_is_walked_with_the_keyboard_alone(
    phone: Phone, quarry: Household, evening: datetime, scripts: bool
) -> None:
    """Tab comes to everything in the order of the page, the focus can be seen, and Enter presses."""
    page = phone(link=quarry.link(quarry.noor, now=evening), scripts=scripts)
    moment = 150 if scripts else 700  # without scripts nothing tells that the next page is there

    def to(words: str) -> None:
        expect(page.locator("a, button").filter(has_text=words, visible=True).first).to_be_enabled()
        for _ in range(40):
            page.keyboard.press("Tab")
            here = page.locator(":focus")
            if here.count() and (here.inner_text() or here.get_attribute("aria-label") or "").strip() == words:
                assert here.evaluate("place => getComputedStyle(place).outlineStyle") != "none"
                page.wait_for_timeout(moment)
                page.keyboard.press("Enter")
                page.wait_for_timeout(moment)
                return
        raise AssertionError(f"Tab never came to {words}")

    page.wait_for_timeout(moment)
    to("Start 20:00")
    for words in (*["Yes"] * 5, "It is lukewarm", "It is in"):
        to(words)
    if scripts:  # nobody here waits for the minutes of a push
        to("It is over all the same")
    expect(page.get_by_role("heading", level=1)).to_have_text("Fill 2 of 4")
    to("Less went in")
    expect(page.get_by_role("heading", level=1)).to_have_text("How much is still in the syringe?")
    to("20 mL")
    expect(page.get_by_role("heading", level=1)).to_have_text("Fill 3 of 4")
    expect(seen(page, "100 of 210 mL in")).to_be_visible()
