"""The four places at the foot of the page: on a phone, a narrow one, zoomed, on its side, and at a desk."""

from datetime import datetime
from pathlib import Path

from playwright.sync_api import Page, expect

from tests.journeys.barriers import DESK, PHONE, no_barrier
from tests.journeys.conftest import Phone
from tests.journeys.household import Household
from tests.journeys.test_one_meal import big

LOW, ZOOMED, ON_ITS_SIDE = {"width": 360, "height": 640}, {"width": 180, "height": 370}, {"width": 740, "height": 360}
PLACES = ("Now", "Record", "Food", "Plan")
_BOX = "(what) => document.querySelector(what).getBoundingClientRect().toJSON()"


def box(page: Page, what: str) -> dict[str, float]:
    """Where something stands in the window [px]."""
    found: dict[str, float] = page.evaluate(_BOX, what)
    return found


def picture(page: Page, shots: Path | None, name: str) -> None:
    """A picture at the size that the window has, where pictures are wanted."""
    for scheme in ("dark", "light") if shots else ():
        page.emulate_media(color_scheme=scheme)
        page.screenshot(path=shots / "places" / f"{name}-{scheme}.png")


def test_the_four_places_are_at_the_thumb_of_every_phone(
    phone: Phone, quarry: Household, evening: datetime, shots: Path | None
) -> None:
    """Each place by its long tick, without a barrier; what was given and the amount are in sight at once."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    with no_barrier(page, shots) as look_at:
        look_at("now", at_widths=(360, 320, 180))
        for place in PLACES[1:]:
            page.get_by_role("navigation", name="Places").get_by_role("link", name=place, exact=True).click()
            expect(page.get_by_role("navigation", name="Places").locator("[aria-current]")).to_have_text(place)
            look_at(f"place-{place.lower()}", at_widths=(360, 180))
        page.locator(".tag").click()
        expect(page.get_by_text("Noor is signed in on this device")).to_be_visible()
        look_at("people")
        page.get_by_role("link", name="Now", exact=True).click()
        look_at_every_size(page, shots)


def look_at_every_size(page: Page, shots: Path | None) -> None:
    """The first screen in each window that it must fit."""
    for name, size in (("low", LOW), ("phone", PHONE), ("narrow", {"width": 320, "height": 640})):
        page.set_viewport_size(size)
        picture(page, shots, name)
        links = [one.bounding_box() for one in page.locator(".places li a").all()]
        assert all(one and one["width"] >= 60 and one["height"] >= 56 for one in links), (name, links)
        assert box(page, ".places")["bottom"] <= size["height"]
        assert box(page, ".wrong")["top"] - box(page, "[data-go]")["bottom"] >= 8
    page.set_viewport_size(LOW)
    assert box(page, "#doses")["bottom"] <= box(page, ".thumb")["top"]
    page.set_viewport_size(ZOOMED)
    picture(page, shots, "zoomed")
    words, syringe, big = box(page, ".marks .strong"), box(page, ".marks svg"), box(page, "[data-go]")
    assert words["bottom"] <= syringe["top"] < syringe["bottom"] <= big["top"]
    assert big["bottom"] <= 2 * ZOOMED["height"]
    assert box(page, ".wrong")["bottom"] <= ZOOMED["height"]
    assert box(page, ".places")["top"] > big["bottom"]
    page.set_viewport_size(ON_ITS_SIDE)
    picture(page, shots, "on-its-side")
    assert box(page, ".thumb")["left"] > box(page, ".card-next")["right"]
    assert 264 <= box(page, ".thumb")["width"] <= 280
    assert box(page, ".wrong")["bottom"] <= box(page, ".places")["top"]
    page.set_viewport_size(DESK)
    picture(page, shots, "desk")
    assert box(page, ".wrong")["bottom"] <= box(page, ".places")["top"]
    page.set_viewport_size(PHONE)


def test_signing_out_asks_while_something_is_unsent(phone: Phone, quarry: Household, evening: datetime) -> None:
    """Nothing waits on a phone unsaid; and who is signed out reads what to do, and nothing of the household."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    page.route("**/entries", lambda route: route.abort())
    big(page, "Start 20:00")
    page.get_by_text("Step 1 of 14").wait_for()
    page.goto("/household/")
    page.get_by_role("button", name="Sign out", exact=True).click()
    asked = page.get_by_role("alert")
    expect(asked).to_contain_text("1 entry is on this phone and not sent yet")
    asked.get_by_role("button", name="Stay signed in").click()
    expect(page.get_by_text("Noor is signed in on this device")).to_be_visible()
    page.get_by_role("button", name="Sign out", exact=True).click()
    page.get_by_role("button", name="Sign out all the same").click()
    page.get_by_role("link", name="Something is wrong").click()
    page.get_by_role("link", name="Cough or gag in a feed").click()
    expect(page.get_by_role("heading", level=1).filter(visible=True)).not_to_have_text("What is wrong?")
    assert not any(name in page.content() for name in ("Juniper", "Noor", "Marsh", "Quarry"))
