"""Red is where the hand stops: at most one red mark on a screen, and no page colors anything else with it."""

import re
from pathlib import Path
from typing import Any

import pytest
from django.urls import NoReverseMatch, reverse

from tests.journeys.household import Household
from tests.web.test_drawings import _contrast
from tests.web.test_screens import a_phone
from tests.web.test_who_sees import PAGES, written  # noqa: F401

CSS = sorted(Path("src/fillmark/web").rglob("*.css"))


def screens(html: str) -> list[str]:
    """Each screen by itself: a walk's page holds all of its own, and shows one."""
    page = re.sub(r"<template.*?</template>", "", html, flags=re.S)
    parts = re.split(r'(?=<div class="screen|<article class="call-card|<div data-session=)', page)
    return parts if len(parts) > 1 else [page]


def test_no_screen_has_two_red_marks(quarry: Household, written: dict[str, str]) -> None:  # noqa: F811
    """Of several amounts one is red, the others wait in ink: on every page of the app, and some have one."""
    phone, many, found = a_phone(quarry), [], 0
    for name, kwargs, _whom in PAGES:
        values: dict[str, Any] = {k: written.get(v, v) for k, v in kwargs.items() if not k.startswith("?")}
        for also in ({"animal_id": quarry.animal_id}, {}):
            try:
                path = reverse(name, kwargs=values | also)
                break
            except NoReverseMatch:
                continue
        answer = phone.get(path)
        if answer.status_code != 200 or not answer["Content-Type"].startswith("text/html"):
            continue
        counts = [one.count('<line class="mark"') for one in screens(answer.content.decode())]
        found += max(counts)
        many += [f"{path}: {count} red marks on one screen" for count in counts if count > 1]
    assert many == []
    assert found >= 3


def test_red_is_the_mark_and_trouble_and_nothing_else() -> None:
    """Every rule of every style sheet that colors with the red of the mark."""
    red = {
        re.sub(r"\s+", " ", rule).strip()
        for sheet in CSS
        for rule, body in re.findall(r"([^{}]+)\{([^{}]*)\}", re.sub(r"/\*.*?\*/", "", sheet.read_text(), flags=re.S))
        if "var(--mark)" in body
    }
    assert red == {".syringe .mark", ".syringe .mark-head", ".call-card .not"}


@pytest.mark.parametrize("night", [False, True], ids=["day", "night"])
def test_what_can_be_pressed_has_an_edge_that_can_be_seen(night: bool) -> None:
    """3:1 on paper and on card (WCAG 2.2, 1.4.11); buttons, fields and name tags have that edge."""
    css = "".join(Path(f"src/fillmark/web/shared/{name}.css").read_text() for name in ("base", "pages"))
    roots = re.findall(r":root \{(.*?)\}", css, re.S)
    colors = dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", roots[1 if night else 0]))
    assert min(_contrast(colors["edge"], colors[ground]) for ground in ("paper", "card")) >= 3
    for what in (r"button, \.button", r"\.places \.tag", r"\.in-place a"):
        assert re.search(rf"(?m)^{what} \{{[^}}]*var\(--edge\)", css), what
