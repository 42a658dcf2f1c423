"""Bars on a measuring line: how much of something, where its limits stand, and what is not known of it.

Everything stands at a share of the width, so that a bar fills any screen without being stretched. Words beside it say
the same: the drawing itself is only named.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe

_HEIGHT_PX = 26


class BarFill(StrEnum):
    """What a piece of a bar stands for; its pattern tells, color only helps."""

    IN = "in"
    BACK = "back"
    PERHAPS = "perhaps"
    TO_COME = "to-come"
    SILENT = "silent"
    SHORT = "short"


class BarLine(StrEnum):
    """What a line across a bar stands for."""

    GOAL = "goal"
    WARNING = "warning"
    MOST = "most"


@dataclass(frozen=True, kw_only=True, slots=True)
class Piece:
    """One piece of a bar, in the unit of the bar."""

    fill: BarFill
    start: float
    end: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Bar:
    """One bar: its pieces from the left, and lines across it, on a line that ends at `whole`."""

    whole: float
    pieces: Sequence[Piece]
    limits: Sequence[tuple[BarLine, float]] = ()


def draw_bar(bar: Bar, *, spoken: str = "") -> SafeString:
    """The bar as a drawing as wide as its place; without a name it is hidden from screen readers."""
    whole = bar.whole or 1.0

    def percent(value: float) -> float:
        return 100 * min(max(value / whole, 0.0), 1.0)

    pieces = format_html_join(
        "",
        '<rect class="piece piece-{}" x="{}%" y="3" width="{}%" height="20"/>',
        (
            (piece.fill.value, f"{percent(piece.start):.2f}", f"{percent(piece.end) - percent(piece.start):.2f}")
            for piece in bar.pieces
            if piece.end > piece.start
        ),
    )
    # drawn over a piece that is not known for certain, so that it shows without color
    hatches = format_html_join(
        "",
        '<svg x="{}%" y="3" width="{}%" height="20"><path class="hatch" d="{}"/></svg>',
        (
            (
                f"{percent(piece.start):.2f}",
                f"{percent(piece.end) - percent(piece.start):.2f}",
                "".join(f"M{x} 20L{x + 20} 0" for x in range(-20, 900, 9)),
            )
            for piece in bar.pieces
            if piece.fill is BarFill.PERHAPS and piece.end > piece.start
        ),
    )
    # each with the ground around it, so that it shows on a filled piece too
    limits = format_html_join(
        "",
        '<line class="halo" x1="{x}%" x2="{x}%" y1="0" y2="26"/>'
        '<line class="limit limit-{kind}" x1="{x}%" x2="{x}%" y1="0" y2="26"/>',
        ({"kind": kind.value, "x": f"{percent(at):.2f}"} for kind, at in bar.limits),
    )
    named = format_html('role="img" aria-label="{}"', spoken) if spoken else mark_safe('aria-hidden="true"')
    return format_html('<svg class="bar" {} height="{}">{}{}{}</svg>', named, _HEIGHT_PX, pieces, hatches, limits)
