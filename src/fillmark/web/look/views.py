"""The page that shows every part of the look, for those who build it. Its animals and numbers are invented."""

from datetime import datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from fillmark.core.quantities import Volume
from fillmark.core.syringe import Syringe, find_mark
from fillmark.web.look.day_line import DayLine, OnLine, Shape

_SYRINGES = (
    (Syringe(id="s60", size_ml=60, step_ml=1, numbered_every_ml=10, tip="enteral"), "47"),
    (Syringe(id="s10", size_ml=10, step_ml=0.2, numbered_every_ml=1, tip="enteral"), "3.4"),
    (Syringe(id="s3", size_ml=3, step_ml=0.1, numbered_every_ml=0.5, tip="low-dose enteral"), "1.8"),
    (Syringe(id="s1", size_ml=1, step_ml=0.01, numbered_every_ml=0.1, tip="low-dose enteral"), "0.44"),
)


def design(request: HttpRequest) -> HttpResponse:
    """Every part, once."""
    zone = ZoneInfo("UTC")
    starts_at = datetime(2026, 11, 26, 4, tzinfo=zone)
    sessions = [
        OnLine(at=starts_at + timedelta(hours=2 + 3 * place), shape=shape, clock=f"{6 + 3 * place}:00")
        for place, shape in enumerate(Shape)
    ]
    line = DayLine(
        starts_at=starts_at,
        ends_at=starts_at + timedelta(days=1),
        now=starts_at + timedelta(hours=15, minutes=42),
        zone=zone,
        sessions=sessions,
    )
    marks = [find_mark(volume=Volume(Decimal(ml)), syringes=[syringe]).value for syringe, ml in _SYRINGES]
    context = {"line": line, "day_href": "#main", "marks": marks, "shapes": list(Shape), "emblems": range(6)}
    return render(request, "fillmark/design.html", context)
