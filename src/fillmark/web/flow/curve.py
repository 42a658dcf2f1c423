"""What the household's tests let expect: water along the bottom, what is left in the syringe up the side."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from fillmark.core.tube.flow_tests import FlowPoint
from fillmark.core.values.quantities import write_number
from fillmark.published.flow import FLOW_TEST_SYRINGE_ML

_LEFT, _RIGHT, _TOP, _BOTTOM = 40.0, 350.0, 26.0, 214.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Dot:
    """One test on the picture: water in a can, and what was left [mL]."""

    water_ml: float
    left_ml: float
    has_passed: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Curve:
    """A picture of the tests. All water is that of one can, or of one batch of several foods [mL]."""

    points: Sequence[FlowPoint]
    ml_per_100_g: float  # turns water for 100 g into water for one can
    most_left_ml: float
    proposed_ml: float
    tests: Sequence[Dot]
    unit: str = "can"

    @property
    def widest_ml(self) -> float:
        return max(point.water_ml_per_100_g for point in self.points) * self.ml_per_100_g

    def x(self, water_ml: float) -> float:
        return _LEFT + (_RIGHT - _LEFT) * min(water_ml / (self.widest_ml or 1.0), 1.0)


def _y(left_ml: float) -> float:
    return _BOTTOM - (_BOTTOM - _TOP) * left_ml / FLOW_TEST_SYRINGE_ML.value


def _round_step(widest_ml: float) -> int:
    return next((step for step in (5, 10, 20, 25, 50, 100, 200) if widest_ml / step <= 4), 500)


def draw_curve(curve: Curve, *, spoken: str) -> SafeString:
    """The curve with the span of nine tests of ten, the limit, the water proposed and the tests themselves."""
    places = [(curve.x(point.water_ml_per_100_g * curve.ml_per_100_g), point) for point in curve.points]
    over = [f"{x:.1f} {_y(point.left_high_ml):.1f}" for x, point in places]
    under = [f"{x:.1f} {_y(point.left_low_ml):.1f}" for x, point in reversed(places)]
    middle = [f"{x:.1f} {_y(point.left_middle_ml):.1f}" for x, point in places]
    step = _round_step(curve.widest_ml)
    waters = range(0, int(curve.widest_ml) + 1, step)
    scale = format_html_join(
        "",
        '<text x="{}" y="242" text-anchor="middle">{}</text>',
        ((f"{curve.x(water):.1f}", water) for water in waters),
    ) + format_html_join(
        "", '<text x="33" y="{}" text-anchor="end">{}</text>', ((f"{_y(left) + 7:.1f}", left) for left in (0, 5, 10))
    )
    tests = format_html_join(
        "",
        '<circle class="test{}" cx="{}" cy="{}" r="5.5"/>',
        (
            ("" if test.has_passed else " test-failed", f"{curve.x(test.water_ml):.1f}", f"{_y(test.left_ml):.1f}")
            for test in curve.tests
        ),
    )
    proposed = f"{curve.x(curve.proposed_ml):.1f}"
    return format_html(
        '<svg class="curve" role="img" aria-label="{spoken}" viewBox="0 0 360 274">'
        '<path class="band" d="M{band}Z"/><path class="middle" d="M{middle}"/>'
        '<path class="axis" d="M40 26V214H350" fill="none"/>'
        '<line class="limit" x1="40" x2="350" y1="{limit}" y2="{limit}"/>'
        '<line class="proposed" x1="{at}" x2="{at}" y1="26" y2="214"/>'
        '<path class="proposed-head" transform="translate({at} 214)" d="M-7 10L0 0L7 10Z"/>'
        '{tests}{scale}<text x="350" y="268" text-anchor="end">mL water in a {unit}</text>'
        '<text x="8" y="16">mL left after 10 seconds</text></svg>',
        spoken=spoken,
        unit=curve.unit,
        band="L".join([*over, *under]),
        middle="L".join(middle),
        limit=f"{_y(curve.most_left_ml):.1f}",
        at=proposed,
        tests=tests,
        scale=scale,
    )


def say_curve(curve: Curve) -> str:
    """What the picture shows, for those who do not see it; the numbers stand beside it."""
    return (
        f"Curve of what is left in the syringe against water in a {curve.unit}, from {len(curve.tests)} tests. At most "
        f"{write_number(curve.most_left_ml)} mL may be left; {write_number(curve.proposed_ml, digits=3)} mL water is "
        "proposed."
    )
