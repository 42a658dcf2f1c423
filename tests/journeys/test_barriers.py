"""What the other journeys trust: each kind of barrier is found, and a screen without one passes."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page

from tests.journeys.barriers import no_barrier

SCREEN = """<!doctype html><html lang="en"><title>Screen</title><style>
* {{ margin: 0 }} body {{ background: #fff; color: #000; font: 16px sans-serif }}
@media (prefers-color-scheme: dark) {{ body {{ background: #000; color: #fff }} {dark} }}
{style}</style><main><h1>Screen</h1>{body}</main></html>"""


@pytest.fixture
def look_at(phone: Callable[..., Page]) -> Callable[..., None]:
    page = phone()

    def look(body: str = "<p>Words</p>", *, style: str = "", dark: str = "", opened: bool = False) -> None:
        page.set_content(SCREEN.format(body=body, style=style, dark=dark))
        with no_barrier(page, None) as look_at:
            look_at("screen", opened=opened)

    return look


BIG = '<button class="big" style="height: 70px">Start</button>'
LOW = '<button style="height: 40px; width: 60px">Undo</button>'
FOUND = {
    "no name": ({"body": '<button style="height: 50px; width: 50px"></button>'}, "at 360 px: button-name"),
    "a low target": ({"body": LOW}, "at 360 px: a target 40 px high, not 44"),
    "a low big button": ({"body": BIG}, "at 360 px: a target 70 px high, not 72"),
    "6:1 by day": ({"style": "p { color: #5f5f5f }"}, "at 360 px: color-contrast-enhanced"),
    "6:1 by night": ({"dark": "p { color: #8c8c8c }"}, "at 360 px, by night: color-contrast-enhanced"),
    "too wide for a narrow phone": ({"body": '<div style="width: 330px">Words</div>'}, "330 px wide at 320 px"),
    "too wide at 200 %": ({"body": '<div style="width: 200px">Words</div>'}, "200 px wide at 180 px"),
    "too wide in large letters": ({"body": '<div style="width: 12rem">Words</div>'}, "432 px wide at 360 px"),
    "too wide for a desk": (
        {"style": "@media (min-width: 62rem) { p { width: 1300px } }"},
        "1300 px wide at 1280 px",
    ),
    "under a summary": ({"body": f"<details><summary>More</summary>{LOW}</details>", "opened": True}, "40 px high"),
}


@pytest.mark.parametrize("name", FOUND)
def test_a_barrier_is_found(look_at: Callable[..., None], name: str) -> None:
    """One screen with one barrier."""
    screen, told = FOUND[name]
    with pytest.raises(AssertionError, match=rf"(?m)^screen: .*{told}"):
        look_at(**screen)


def test_a_screen_without_a_barrier_passes(look_at: Callable[..., None]) -> None:
    """And what is not open is not measured."""
    look_at()
    look_at(f'<details><summary style="padding: 15px">More</summary>{LOW}</details>')


def test_an_error_to_the_browser_is_told_unless_it_is_meant(phone: Callable[..., Page]) -> None:
    """An answer of 400 is one that a journey may mean to get."""
    page = phone()
    with pytest.raises(AssertionError, match=r"told by the browser: .*404"), no_barrier(page, None):
        page.goto("/no-such-page/")
    with no_barrier(page, None, refused="404"):
        page.goto("/no-such-page/")
