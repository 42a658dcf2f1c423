"""The drawings are to scale, the colors can be read, and no page carries code or style inside it."""

import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest
from django.template.loader import render_to_string
from django.test import Client
from hypothesis import given
from hypothesis import strategies as st

from fillmark.core.tube.syringe import Syringe
from fillmark.services.household import AnimalName
from fillmark.web.drawings.day_line import DayLine, OnLine, Shape, draw_day_line
from fillmark.web.drawings.emblem import COLORS, Emblem, choose_emblems, draw_emblem
from fillmark.web.drawings.syringe import draw_syringe
from fillmark.web.drawings.views import design, palettes

WEB = Path("src/fillmark/web")
SIXTY = Syringe(id="feeding", size_ml=60, step_ml=1, numbered_every_ml=10, tip="enteral")
THREE = Syringe(id="small", size_ml=3, step_ml=0.1, numbered_every_ml=0.5, tip="low-dose enteral")
ONE = Syringe(id="tiny", size_ml=1, step_ml=0.01, numbered_every_ml=0.1, tip="low-dose enteral")


def _lines_y(svg: str) -> list[float]:
    return [float(y) for y in re.findall(r'<line class="line[^"]*"[^>]*y1="([\d.]+)"', svg)]


def _mark_y(svg: str) -> float:
    found = re.search(r'<line class="mark"[^>]*y1="([\d.]+)"', svg)
    assert found
    return float(found[1])


@pytest.mark.hazard("H6")
@pytest.mark.parametrize("syringe", [SIXTY, THREE, ONE], ids=["60 mL", "3 mL", "1 mL"])
@given(data=st.data())
def test_the_mark_lies_on_the_line_of_its_volume(syringe: Syringe, data: st.DataObject) -> None:
    """Whatever line of the syringe is meant, the mark is drawn on that very line of the scale."""
    count = round(syringe.size_ml / syringe.step_ml)
    index = data.draw(st.integers(1, count))
    svg = draw_syringe(syringe=syringe, ml=float(index * Decimal(str(syringe.step_ml))), is_large=True)
    lines = _lines_y(svg)

    assert len(lines) == count + 1
    assert abs(_mark_y(svg) - lines[index]) <= 0.02


@pytest.mark.hazard("H6")
@pytest.mark.parametrize("is_large", [True, False], ids=["large", "small"])
def test_a_screen_reader_hears_the_syringe_and_its_mark(is_large: bool) -> None:
    """The drawing has the words of what it shows."""
    assert 'aria-label="3 mL syringe, filled to the mark at 1.8 mL"' in draw_syringe(
        syringe=THREE, ml=1.8, is_large=is_large
    )


def test_neighboring_lines_can_be_told_apart() -> None:
    """Even a hundred lines keep more than 2.5 px between them."""
    lines = _lines_y(draw_syringe(syringe=ONE, ml=0.44, is_large=True))

    assert min(before - after for before, after in pairwise(lines)) > 2.5


@pytest.mark.parametrize(
    ("day", "hours"),
    [((2026, 3, 29), 23), ((2026, 11, 25), 24), ((2026, 10, 25), 25)],
    ids=["spring forward", "an ordinary day", "fall back"],
)
def test_the_day_line_has_the_hours_of_its_day(day: tuple[int, int, int], hours: int) -> None:
    """Where the clock changes, the line has 23 or 25 hours, and noon stands where its instant stands."""
    zone = ZoneInfo("Europe/Dublin")
    starts_at = datetime(*day, 0, tzinfo=zone).astimezone(UTC)
    ends_at = (datetime(*day, 0, tzinfo=zone) + timedelta(days=1)).astimezone(UTC)
    line = DayLine(starts_at=starts_at, ends_at=ends_at, now=starts_at, zone=zone, sessions=[])
    noon = datetime(*day, 12, tzinfo=zone).astimezone(UTC)

    assert sum(is_hour for _, is_hour in line.hours()) == hours + 1
    assert line.percent(noon) == pytest.approx(2 + 96 * ((noon - starts_at) / timedelta(hours=hours)))


def test_every_state_of_a_session_has_its_own_shape() -> None:
    """No two states differ by color alone."""
    starts_at = datetime(2026, 11, 25, 4, tzinfo=UTC)
    drawn = set()
    for shape in Shape:
        session = OnLine(at=starts_at, shape=shape, clock="04:00")
        ends_at = starts_at + timedelta(days=1)
        line = DayLine(starts_at=starts_at, ends_at=ends_at, now=starts_at, zone=ZoneInfo("UTC"), sessions=[session])
        found = re.search(r'<svg x="33".*?</svg>', draw_day_line(line))
        assert found
        # "No entry" is the dashed ring; what else tells two rings apart must be a sign inside them.
        drawn.add((re.sub(r'class="[^"]*"', "", found[0]), shape is Shape.SILENT))

    assert len(drawn) == len(Shape)


@pytest.mark.hazard("H17")
def test_animals_of_one_household_have_shapes_of_their_own() -> None:
    """Six animals, six shapes, even when their names are alike; of five colors each one is used."""
    names = ["Ann", "Nan", "Ann", "A", "B", "C"]
    emblems = choose_emblems(_animal(number, name) for number, name in enumerate(names)).values()

    assert len({emblem.shape for emblem in emblems}) == 6
    assert {emblem.color for emblem in emblems} == set(COLORS)


@pytest.mark.hazard("H17")
def test_what_a_lead_chose_stays_and_the_others_keep_clear_of_it() -> None:
    """A chosen shape and color are the animal's own; another one whose name would get them takes the next."""
    chosen, other = _animal(1, "Ann", shape=4, color="blue"), _animal(2, "Nan")
    by_name = choose_emblems([other])[other.id]
    chosen = replace(chosen, shape=by_name.shape, color=by_name.color)
    emblems = choose_emblems([other, chosen])

    assert (emblems[chosen.id].shape, emblems[chosen.id].color) == (by_name.shape, by_name.color)
    assert emblems[other.id].shape != by_name.shape
    assert emblems[other.id].color != by_name.color


@pytest.mark.hazard("H17")
def test_a_photo_stands_inside_the_shape_with_the_letter() -> None:
    """The photo is cut to the animal's own shape, edged in its own color, and its letter stays in sight."""
    drawn = draw_emblem(Emblem(name="sorrel", shape=1, color="violet", photo_id=UUID(int=7), photo_href="/p/"))

    assert 'class="emblem own-violet"' in drawn
    assert f'<clipPath id="cut-{UUID(int=7)}"><path d="M24 3L45 24L24 45L3 24Z"/></clipPath>' in drawn
    assert '<image href="/p/"' in drawn
    assert ">S</text>" in drawn


def _animal(number: int, name: str, **look: Any) -> AnimalName:
    return AnimalName(id=UUID(int=number), household_id=UUID(int=0), name=name, **look)


def _luminance(color: str) -> float:
    channels = [int(color[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _contrast(one: str, other: str) -> float:
    """Contrast ratio of WCAG 2.2 (definition "contrast ratio", with its relative luminance)."""
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("night", [False, True], ids=["day", "night"])
def test_all_text_has_a_contrast_of_7(night: bool) -> None:
    """Every color of text on every ground it stands on, as WCAG 2.2 asks for its strictest level (1.4.6)."""
    css = (WEB / "shared/base.css").read_text()
    roots = re.findall(r":root \{(.*?)\}", css, re.S)
    colors = dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", roots[0]))
    if night:
        colors |= dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", roots[1]))
    texts = ("ink", "quiet", "trouble", "look-again")
    pairs = [(text, ground) for text in texts for ground in ("paper", "card")]
    pairs += [("ink", "look-again-soft"), ("quiet", "look-again-soft"), ("look-again", "look-again-soft")]
    pairs += [("big-ink", "big"), ("quiet", "flow-soft")]

    low = {pair for pair in pairs if _contrast(colors[pair[0]], colors[pair[1]]) < 7}
    assert low == set()


def test_the_design_page_shows_every_part_by_day_and_by_night(rf) -> None:
    """All of it on one page for those who build it: each shape, syringe, emblem and state, twice."""
    page = design(rf.get("/design/")).content.decode()

    assert page.count('class="scheme by-day"') == page.count('class="scheme by-night"') == 1
    assert all(page.count(f"</svg> {shape}</li>") == 2 for shape in Shape)
    assert page.count('class="syringe"') == 2 * 8
    for color in COLORS:
        assert page.count(f'class="emblem own-{color}"') >= 2
    for state in ("card-next", "card-look-again", "card-trouble", "label-strong", "unsent", "call-card", "vet-words"):
        assert page.count(state) >= 2, state
    for words in (
        "Feeding is locked.",
        "No signal.",
        "No entry yet",
        "This cannot be done as it is",
        "disabled",
        "<s>",
    ):
        assert page.count(words) >= 2, words


def test_the_palettes_of_the_design_page_are_those_of_the_screens(rf) -> None:
    """They are read out of the style sheet: no color stands twice."""
    css = (WEB / "shared/base.css").read_text()
    shown = palettes(rf.get("/design/palettes.css")).content.decode()
    by_night = shown.split(".by-night {")[1].split("}")[0]
    night = dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", re.findall(r":root \{(.*?)\}", css, re.S)[1]))

    # What stands last counts, as in the style sheet itself.
    assert dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", by_night)) | night == dict(
        re.findall(r"--([\w-]+): (#[0-9a-f]{6})", by_night)
    )
    assert len(night) > 10
    for color in COLORS:
        assert f".by-day .own-{color}" in shown
        assert f".by-night .own-{color}" in shown


@pytest.mark.parametrize("night", [False, True], ids=["day", "night"])
def test_the_letter_of_an_animal_can_be_read_on_its_own_color(night: bool) -> None:
    """Ink on each soft color 7:1; the edge of the shape 3:1 on paper and card (WCAG 2.2, 1.4.6 and 1.4.11)."""
    css = (WEB / "shared/base.css").read_text()
    roots = re.findall(r":root \{(.*?)\}", css, re.S)
    colors = dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", roots[1 if night else 0]))
    own = re.findall(r"\.own-(\w+), [^{]*\{ --own: (#[0-9a-f]{6}); --own-soft: (#[0-9a-f]{6}); \}", css)
    assert len(own) == 2 * len(COLORS)
    for name, edge, soft in own[len(COLORS) :] if night else own[: len(COLORS)]:
        assert _contrast(colors["ink"], soft) >= 7, name
        assert min(_contrast(edge, colors["paper"]), _contrast(edge, colors["card"])) >= 3, name


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("404.html", "There is no such page"),
        ("500.html", "Look at the record before you press again."),
        ("403_csrf.html", "Nothing was written."),
    ],
)
def test_pages_of_failure_say_what_to_do(name: str, words: str) -> None:
    """In the look, with a way on, and never a bare message of a server."""
    page = render_to_string(name)

    assert words in page
    assert '<a class="button big" href="/">To the first screen</a>' in page


def test_an_address_that_is_not_there_and_an_old_form_are_answered_in_words(db) -> None:
    """By the server itself, outside of debugging."""
    client = Client(enforce_csrf_checks=True)
    missing = client.get("/nowhere/")
    assert (missing.status_code, "There is no such page" in missing.content.decode()) == (404, True)
    old = client.post("/sign-in/", {"username": "noor", "password": "x"})
    assert (old.status_code, "This page was too old" in old.content.decode()) == (403, True)


def test_no_page_carries_code_or_style_inside_it() -> None:
    """The content policy refuses both, so that nothing slipped into a page can run."""
    for page in sorted(WEB.rglob("*.html")):
        text = page.read_text()
        assert not re.search(r"\sstyle=|<style|\son\w+=|<script(?![^>]*\ssrc=)", text), page
