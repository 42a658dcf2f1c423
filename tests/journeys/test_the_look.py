"""Every screen by day and by night: pictures to look at, no barrier, nothing wider than the phone."""

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.journeys.conftest import Phone
from tests.journeys.household import Household
from tests.journeys.test_one_meal import big, to_the_first_fill

AXE = {
    "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    "rules": {"color-contrast-enhanced": {"enabled": True}, "target-size": {"enabled": True}},
    "resultTypes": ["violations"],
}


def every_screen(page: Page, quarry: Household) -> Iterator[str]:
    """Walk through the app; the page stands on each screen in turn, by its name."""
    yield "now"
    to_the_first_fill(page)
    yield "walk"
    page.get_by_text("Why this step").click()
    yield "walk-why"
    big(page, "It is in")
    for what in ("less/?step=fill-2", "back/", "out/?step=upright", "dose/?step=fill-2"):
        page.goto(f"/{quarry.animal_id}/2026-11-25T20:00/ask/{what}")
        yield f"ask-{what.partition('/')[0]}"
    page.goto(f"/{quarry.animal_id}/2026-11-25T20:00/")
    page.get_by_role("button", name="Pause").click()
    page.get_by_role("heading", name="Paused").wait_for()
    yield "paused"
    page.get_by_role("link", name="Something is wrong").click()
    yield "wrong"
    page.get_by_role("button", name="Coughing or gagging").click()
    page.get_by_role("heading", name="Stopped").wait_for()
    yield "stopped"
    page.goto("/")
    yield "now-after-a-stop"
    page.goto(f"/{quarry.animal_id}/day/")
    yield "day"
    page.goto(f"/{quarry.animal_id}/plan/")
    yield "plan"
    page.locator("summary").first.click()
    yield "plan-why"


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_screens_have_no_barrier_and_fit_the_phone(
    phone: Phone, quarry: Household, evening: datetime, shots: Path, scheme: str
) -> None:
    """axe finds nothing, contrast is 7:1, the big button is 72 px or more, and nothing scrolls sideways at 320 px."""
    page = phone(link=quarry.link(quarry.noor, now=evening), scheme=scheme)
    refused: list[str] = []
    page.on("console", lambda said: refused.append(said.text) if said.type == "error" else None)
    faults = []
    for name in every_screen(page, quarry):
        page.screenshot(path=shots / f"{name}-{scheme}.png")
        for found in Axe().run(page, options=AXE).response["violations"]:
            faults.append((name, found["id"], [node["html"][:120] for node in found["nodes"]]))
        for width, letters in ((320, "100%"), (360, "200%")):
            page.set_viewport_size({"width": width, "height": 740})
            page.evaluate(
                "size => document.documentElement.style.setProperty('font-size', size)",
                "" if letters == "100%" else "36px",
            )
            wide = page.evaluate("document.documentElement.scrollWidth")
            if wide > width:
                faults.append((name, f"{wide} px wide at {width} px and {letters} letters", []))
        page.evaluate("document.documentElement.style.removeProperty('font-size')")
        page.set_viewport_size({"width": 360, "height": 740})
        for box in (one.bounding_box() for one in page.locator(".big").all()):
            if not box or box["height"] < 72:
                faults.append((name, "a big button lower than 72 px", [str(box)]))
        for one in page.locator(
            "a:visible:not(.day-line):not(.skip), button:visible, summary:visible, input:visible"
        ).all():
            box = one.bounding_box()
            if box and box["height"] < 44:
                faults.append((name, f"a target {box['height']:.0f} px high", [one.inner_text()[:40]]))
    assert faults == []
    assert refused == []


@pytest.mark.hazard("H19")
def test_no_screen_calms(phone: Phone, quarry: Household, evening: datetime) -> None:
    """No screen says that all is well: the record holds facts, and silence."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    for _ in every_screen(page, quarry):
        words = page.locator("body").inner_text().lower().replace("!", " ").replace(".", " ").replace(",", " ").split()
        assert not {"fine", "great", "safe", "perfect", "healthy", "congratulations"} & set(words)
