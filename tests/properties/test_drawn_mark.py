"""From the vet's order to the picture on the screen and back: what a person reads off it is the dose."""

import re
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fillmark.core.orders.dosing_days import ordered_dose
from fillmark.core.orders.drawing import draw
from fillmark.core.orders.medicine import Medicine, read_strength
from fillmark.core.tube.syringe import Syringe
from fillmark.core.values.errors import CannotDraw
from fillmark.core.values.quantities import write_number
from fillmark.web.drawings.syringe import draw_syringe
from tests.support.medicines import SHELVES, TEN, a_medicine

PX = 0.011
"""The drawing is written to a hundredth of a pixel."""


@st.composite
def orders(draw_from: st.DrawFn) -> Medicine:
    """A liquid through the tube or by mouth, ordered as a mass or as a mass per kg, from bottles of many strengths."""
    strength = draw_from(st.sampled_from(["1 mg/mL", "125 mg/5 mL", "1 %", "0.8 mg/mL", "62.5 mg/mL", "250 mcg/mL"]))
    mg = Decimal(draw_from(st.integers(1, 400_000))) / 1000
    per_kg = draw_from(st.booleans())
    return a_medicine(
        strength=strength,
        dose=f"{write_number(mg, digits=9).replace(',', '')} mg{'/kg' if per_kg else ''}",
        dose_for_weight_kg=draw_from(st.sampled_from([3.9, 4.1, 17.4, 31])) if per_kg else "not stated",
        route=draw_from(st.sampled_from(["tube", "mouth"])),
    )


def read_off(svg: str) -> float:
    """The volume at the mark [mL], from the numbers beside the scale and their heights alone."""
    numbers = [
        (float(y) - 5, float(label.replace(",", "")))
        for y, label in re.findall(r'<text x="[\d.]+" y="([\d.]+)">([\d.,]+)</text>', svg)
    ]
    lines = [float(y) for y in re.findall(r'<line class="line[^"]*"[^>]*y1="([\d.]+)"', svg)]
    (mark,) = re.findall(r'<line class="mark"[^>]*y1="([\d.]+)"', svg)
    zero_y = max(lines)
    top_y, top_ml = min(numbers)
    return (zero_y - float(mark)) / (zero_y - top_y) * top_ml


def check(order: Medicine) -> None:
    exact = ordered_dose(order, weight_kg=order.dose_for_weight_kg or 17.4).value / read_strength(order)
    for shelf in SHELVES:
        try:
            mark = draw(order, weight_kg=order.dose_for_weight_kg or 17.4, syringes=shelf).value
        except CannotDraw:
            assert all(_is_off(float(exact.ml), syringe) for syringe in shelf)
            continue
        svg = draw_syringe(syringe=mark.syringe, ml=float(mark.drawn.ml), is_large=True)
        reach_px = min(max(160.0, 2.6 * mark.syringe.size_ml / mark.syringe.step_ml), 420.0)
        blur_ml = 3 * PX / reach_px * mark.syringe.size_ml
        off_ml = abs(read_off(svg) - float(exact.ml))
        assert off_ml <= mark.syringe.step_ml / 2 + blur_ml
        assert off_ml <= 0.1 * float(exact.ml) + blur_ml
        assert abs(mark.error_fraction) <= 0.1


def _is_off(ml: float, syringe: Syringe) -> bool:
    """Whether no line of a syringe comes within a tenth of a volume."""
    nearest = round(ml / syringe.step_ml) * syringe.step_ml
    return ml > syringe.size_ml or abs(nearest / ml - 1) > 0.1 - 1e-9


@pytest.mark.hazard("H6")
@settings(max_examples=60)
@given(order=orders())
def test_the_dose_is_read_back_from_the_picture(order: Medicine) -> None:
    """Within half a line on six shelves; what is more than a tenth off is refused, never drawn."""
    check(order)


@pytest.mark.long
@pytest.mark.hazard("H6")
@settings(max_examples=500)
@given(order=orders())
def test_five_hundred_doses_are_read_back_from_the_picture(order: Medicine) -> None:
    """The same for 500 orders on six shelves."""
    check(order)


@pytest.mark.hazard("H6")
def test_a_mark_one_line_off_would_be_noticed() -> None:
    """The check itself can fail: a picture of the next line is not within half a line."""
    mark = draw(a_medicine(dose="5 mg"), weight_kg=10, syringes=(TEN,)).value
    svg = draw_syringe(syringe=TEN, ml=float(mark.drawn.ml) + TEN.step_ml, is_large=True)

    assert abs(read_off(svg) - 5) > TEN.step_ml / 2 + 0.05
