"""What keeps a person from using a screen, looked for by day and by night; a picture of each where one is wanted."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Protocol

from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Error, Page

PHONE, DESK = {"width": 360, "height": 740}, {"width": 1280, "height": 800}
NARROW = (320, 180)
"""The narrowest phone, and a phone of 360 px zoomed to 200 % [px]."""
SHOWN = ("now", "walk", "day", "plan", "calls")
"""The screens that the documentation shows; pictures of every other state go to a folder beside them."""

BY_DAY = {
    "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    "rules": {
        "color-contrast": {"enabled": False},  # 4.5:1, in the 7:1 of the next
        "color-contrast-enhanced": {"enabled": True},
        "target-size": {"enabled": True},
    },
    "resultTypes": ["violations"],
}
BY_NIGHT = {
    "runOnly": {"type": "rule", "values": ["color-contrast-enhanced", "link-in-text-block"]},
    "resultTypes": ["violations"],
}
"""The same page in other colors: only what colors decide can be different."""

_AXE = """async (options) => (await axe.run(options)).violations.flatMap(
  (one) => one.nodes.map((node) => `${one.id}: ${node.html.slice(0, 160)}`))"""
_TARGETS = """() => {
  const low = (what, least) => [...document.querySelectorAll(what)].flatMap((one) => {
    const { width, height } = one.getBoundingClientRect();
    const isSeen = width && height && one.checkVisibility({ visibilityProperty: true });
    return isSeen && height < least ? [`a target ${height} px high, not ${least}: ${one.outerHTML.slice(0, 160)}`] : [];
  });
  const pressed = ["a:not(.skip, .day-line)", "button", ".button", "summary", "input", "select"];
  return [...low(pressed.join(), 44), ...low(".big", 72)];
}"""
_WIDTH = "document.documentElement.scrollWidth"
_WIDTH_IN_LARGE_LETTERS = """() => {
  const page = document.documentElement;
  page.style.setProperty("font-size", "36px");
  const wide = page.scrollWidth;
  page.style.removeProperty("font-size");
  return wide;
}"""


class LookAt(Protocol):
    def __call__(self, name: str, *, opened: bool = False, at_widths: Sequence[int] = ...) -> None:
        """Look for barriers on the screen that the page shows now.

        Args:
            name: What the screen is called in what is found, and in its pictures.
            opened: Open all that can be opened first; a picture shows the screen as it was.
            at_widths: Where axe looks and targets are measured [px].
        """


@contextmanager
def no_barrier(page: Page, shots: Path | None, *, refused: str = "") -> Iterator[LookAt]:
    """Every screen looked at inside has no barrier, and nothing on the way to it was an error to the browser.

    By day axe finds nothing, contrast is 7:1, what is pressed is 44 px high and a big button 72, and nothing scrolls
    sideways: at 320 px, zoomed to 200 % (which leaves 180 px), with letters twice as large, and on a desk. By night
    the contrast is the same.

    Args:
        page: Where the screens are shown.
        shots: Where pictures go, if any are wanted.
        refused: The answer that the browser calls an error and the journey means to get, such as "400".
    """
    found: list[str] = []
    errors: list[str] = []
    page.on("console", lambda said: errors.append(said.text) if said.type == "error" else None)

    def look_at(name: str, *, opened: bool = False, at_widths: Sequence[int] = (360,)) -> None:
        take_picture(page, shots, name)
        if opened:
            page.locator("details").evaluate_all("all => all.forEach((one) => { one.open = true; })")
        found.extend(f"{name}: {one}" for one in _barriers(page, at_widths))

    yield look_at
    found += [f"told by the browser: {one}" for one in errors if not refused or refused not in one]
    assert not found, "\n".join(found)


def _barriers(page: Page, at_widths: Sequence[int]) -> list[str]:
    found: list[str] = []
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE_SCRIPT)
    for width in at_widths:
        page.set_viewport_size({**PHONE, "width": width})
        # So tall that the buttons at the thumb cover nothing that is measured.
        page.set_viewport_size({"width": width, "height": page.evaluate("document.documentElement.scrollHeight")})
        found += [f"at {width} px: {one}" for one in page.evaluate(_AXE, BY_DAY) + page.evaluate(_TARGETS)]
        page.emulate_media(color_scheme="dark")
        found += [f"at {width} px, by night: {one}" for one in page.evaluate(_AXE, BY_NIGHT)]
        page.emulate_media(color_scheme="light")
    page.set_viewport_size(PHONE)
    if (wide := page.evaluate(_WIDTH_IN_LARGE_LETTERS)) > PHONE["width"]:
        found.append(f"{wide} px wide at {PHONE['width']} px in large letters")
    for size in (*({**PHONE, "width": width} for width in NARROW), DESK):
        page.set_viewport_size(size)
        if (wide := page.evaluate(_WIDTH)) > size["width"]:
            found.append(f"{wide} px wide at {size['width']} px")
    page.set_viewport_size(PHONE)
    return found


def take_picture(page: Page, shots: Path | None, name: str) -> None:
    """Where pictures are wanted: the screen by day and by night, as a phone shows it, whole, and as a desk does."""
    if not shots:
        return
    for scheme in ("dark", "light"):
        page.emulate_media(color_scheme=scheme)
        _take(page, (shots if name in SHOWN else shots / "states") / f"{name}-{scheme}.png")
        _take(page, shots / "states" / f"{name}-whole-{scheme}.png", whole=True)
        page.set_viewport_size(DESK)
        _take(page, shots / "desk" / f"{name}-{scheme}.png")
        page.set_viewport_size(PHONE)


def _take(page: Page, path: Path, *, whole: bool = False) -> None:
    """One picture. A browser on a busy machine now and then cannot take one just after its window was resized."""
    for _ in range(3):
        try:
            page.screenshot(path=path, full_page=whole)
        except Error:
            page.wait_for_timeout(500)
        else:
            return
    page.screenshot(path=path, full_page=whole)
