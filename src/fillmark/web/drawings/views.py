"""The page that shows every part of the look, for those who build it. Its animals and numbers are invented."""

import re
from datetime import date, datetime, timedelta
from decimal import Decimal
from importlib.resources import files
from uuid import UUID
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.templatetags.static import static

from fillmark.core.calls.calls import CallTo
from fillmark.core.calls.cards import call_cards
from fillmark.core.tube.mark import find_mark
from fillmark.core.tube.syringe import Syringe
from fillmark.core.values.errors import NotAllowed
from fillmark.core.values.quantities import Volume
from fillmark.core.values.trouble import Trouble
from fillmark.web.drawings.day_line import DayLine, OnLine, Shape
from fillmark.web.drawings.emblem import COLORS, SHAPES, Emblem

_SYRINGES = (
    (Syringe(id="s60", size_ml=60, step_ml=1, numbered_every_ml=10, tip="enteral"), "47"),
    (Syringe(id="s10", size_ml=10, step_ml=0.2, numbered_every_ml=1, tip="enteral"), "3.4"),
    (Syringe(id="s3", size_ml=3, step_ml=0.1, numbered_every_ml=0.5, tip="low-dose enteral"), "1.8"),
    (Syringe(id="s1", size_ml=1, step_ml=0.01, numbered_every_ml=0.1, tip="low-dose enteral"), "0.44"),
)
_TODAY = date(2026, 11, 26)


def _day_line() -> DayLine:
    zone = ZoneInfo("UTC")
    starts_at = datetime(2026, 11, 26, 4, tzinfo=zone)
    return DayLine(
        starts_at=starts_at,
        ends_at=starts_at + timedelta(days=1),
        now=starts_at + timedelta(hours=15, minutes=42),
        zone=zone,
        sessions=[
            OnLine(at=starts_at + timedelta(hours=2 + 3 * place), shape=shape, clock=f"{6 + 3 * place}:00")
            for place, shape in enumerate(Shape)
        ],
    )


def design(request: HttpRequest) -> HttpResponse:
    """Every part with its states, by day and by night beside each other."""
    cards = {card.trouble: card for card in call_cards(plan=None, on=_TODAY)}
    context = {
        "line": _day_line(),
        "day_href": "#main",
        "schemes": (("day", "By day"), ("night", "By night")),
        "marks": [find_mark(volume=Volume(Decimal(ml)), syringes=[syringe]).value for syringe, ml in _SYRINGES],
        "shapes": list(Shape),
        "emblems": [
            Emblem(name="Juniper", shape=place, color=COLORS[place % len(COLORS)]) for place in range(len(SHAPES))
        ],
        "photos": [
            Emblem(
                name=name,
                shape=shape,
                color=COLORS[shape],
                photo_id=UUID(int=shape),
                photo_href=static("shared/mark.svg"),
            )
            for shape, name in enumerate(("Juniper", "Sorrel", "Bramble"))
        ],
        "cards": [cards[Trouble.COLLAPSE], cards[Trouble.CLOG]],
        "calls": [
            CallTo(who=who, phone=phone, when=when, answers=answers, hours=(), is_poison_line=False)
            for who, phone, when, answers in (
                ("Night clinic", "+353 1 555 0177", "nights and weekends", True),
                ("Practice", "+353 1 555 0134", "weekdays 8:30 to 18:30", False),
            )
        ],
        "error": NotAllowed(
            field="by",
            got="Ilse (sitter) asking to change the plan",
            allowed="a lead",
            remedy="Ask a lead of this household.",
        ),
    }
    return render(request, "drawings/design.html", context)


def palettes(request: HttpRequest) -> HttpResponse:  # noqa: ARG001
    """Both palettes as classes, read out of base.css, so that one page shows both and no color stands twice."""
    css = files("fillmark.web").joinpath("shared/base.css").read_text(encoding="utf-8")
    day, night = re.findall(r":root \{([^}]*)\}", css)[:2]
    own = re.findall(r"(\.own-\w+), \.who[^{]*\{([^}]*)\}", css)
    rules = [f".by-day {{{day} color-scheme: light}}", f".by-night {{{day} {night} color-scheme: dark}}"]
    for place, (name, colors) in enumerate(own):
        scheme = "day" if place < len(own) // 2 else "night"
        rules.append(f".by-{scheme} {name}, .by-{scheme} .who:has(> {name}) {{{colors}}}")
    return HttpResponse("\n".join(rules), content_type="text/css")
