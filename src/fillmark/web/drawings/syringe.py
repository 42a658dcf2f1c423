"""A syringe this household owns, drawn to scale with its true lines and the mark to fill to."""

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from fillmark.core.tube.syringe import Syringe, height_fraction, scale_lines
from fillmark.core.values.quantities import write_number

_LINE_PX = {"long": 26.0, "middle": 19.0, "short": 12.0}
_CLOSEST_PX = 2.6
"""Lines nearer to each other than this run together on a phone: the drawing is made taller before they do."""
_TALLEST_PX = 420.0
RED, WAITS, OLD = "mark", "mark-waits", "mark-old"
"""How a mark is drawn: in red at most once on a screen, else in ink; hollow and dashed where it holds no more."""


def draw_syringe(*, syringe: Syringe, ml: float, is_large: bool, mark: str = RED) -> SafeString:
    """The syringe filled to a mark: with all its lines and numbers when large, without numbers when small.

    Args:
        syringe: The syringe.
        ml: Where it is filled to [mL].
        is_large: Whether it is drawn large.
        mark: `RED` for the one amount that a screen is about, `WAITS` for another one, `OLD` for one that held before.
    """
    return _draw_large(syringe, ml, mark) if is_large else _draw_small(syringe, ml, mark)


def _spoken(syringe: Syringe, ml: float) -> str:
    return f"{syringe.name}, filled to the mark at {write_number(ml)} mL"


def _draw_lines(syringe: Syringe, *, right: float, bottom: float, height: float) -> tuple[SafeString, SafeString]:
    """The lines of a scale that ends at the right edge of the barrel, and the numbers beside it."""
    lines = scale_lines(syringe)
    drawn = format_html_join(
        "",
        '<line class="line{}" x1="{}" x2="{}" y1="{}" y2="{}"/>',
        (
            (" line-long" if line.length == "long" else "", f"{right - _LINE_PX[line.length]:g}", f"{right:g}", y, y)
            for line in lines
            for y in [f"{bottom - height * line.height_fraction:.2f}"]
        ),
    )
    numbers = format_html_join(
        "",
        '<text x="{}" y="{}">{}</text>',
        (
            (f"{right + 7:g}", f"{bottom - height * line.height_fraction + 5:.2f}", line.label)
            for line in lines
            if line.label and line.ml
        ),
    )
    return drawn, numbers


def _scale_px(syringe: Syringe) -> float:
    """How tall a scale is drawn."""
    return min(max(160.0, _CLOSEST_PX * (len(scale_lines(syringe)) - 1)), _TALLEST_PX)


def draw_scale(syringe: Syringe) -> SafeString:
    """The lines and numbers of a syringe with no mark and nothing in it: to read by, not to copy from."""
    top, left, right = 14.0, 10.0, 74.0
    height = _scale_px(syringe)
    bottom, middle = top + height, (left + right) / 2
    lines, numbers = _draw_lines(syringe, right=right, bottom=bottom, height=height)
    return format_html(
        '<svg class="syringe" role="img" aria-label="The scale of the {name}" width="112" height="{tall}" '
        'viewBox="0 0 112 {tall}">{lines}{numbers}<path class="barrel" d="{barrel}"/></svg>',
        name=syringe.name,
        tall=f"{bottom + 30:g}",
        lines=lines,
        numbers=numbers,
        barrel=f"M{left:g} 4V{bottom:g}C{left:g} {bottom + 14:g} {middle - 9:g} {bottom + 8:g} {middle - 8:g} "
        f"{bottom + 16:g}V{bottom + 28:g}h16V{bottom + 16:g}C{middle + 9:g} {bottom + 8:g} {right:g} {bottom + 14:g} "
        f"{right:g} {bottom:g}V4",
    )


def _draw_large(syringe: Syringe, ml: float, kind: str) -> SafeString:
    height = _scale_px(syringe)
    top, left, right = 36.0, 34.0, 98.0
    bottom = top + height
    mark = bottom - height * height_fraction(syringe=syringe, ml=ml)
    lines, numbers = _draw_lines(syringe, right=right, bottom=bottom, height=height)
    middle = (left + right) / 2
    return format_html(
        '<svg class="syringe" role="img" aria-label="{spoken}" width="134" height="{tall}" viewBox="0 0 134 {tall}">'
        '<rect class="rod" x="{rod}" y="12" width="14" height="{rod_height}"/>'
        '<rect class="seal" x="{flange}" y="6" width="48" height="8" rx="3"/>'
        '<rect class="liquid" x="{left}" y="{mark}" width="{wide}" height="{liquid}"/>'
        '<path class="liquid" d="{shoulder}"/>'
        '<rect class="seal" x="{seal_left}" y="{seal_top}" width="{seal_wide}" height="9"/>'
        "{lines}{numbers}"
        '<path class="barrel" d="{barrel}"/>'
        '<line class="{kind}" x1="14" x2="{right}" y1="{mark}" y2="{mark}"/>'
        '<path class="{kind}-head" d="M10 {head_top}L{head_x} {mark}L10 {head_bottom}Z"/>'
        "</svg>",
        spoken=_spoken(syringe, ml),
        kind=kind,
        tall=f"{bottom + 38:g}",
        rod=f"{middle - 7:g}",
        rod_height=f"{mark - 16:.2f}",
        flange=f"{middle - 24:g}",
        left=f"{left:g}",
        right=f"{right:g}",
        wide=f"{right - left:g}",
        mark=f"{mark:.2f}",
        liquid=f"{bottom - mark:.2f}",
        shoulder=f"M{left:g} {bottom:g}C{left:g} {bottom + 16:g} {middle - 9:g} {bottom + 10:g} {middle - 8:g} "
        f"{bottom + 20:g}h16C{middle + 9:g} {bottom + 10:g} {right:g} {bottom + 16:g} {right:g} {bottom:g}Z",
        seal_left=f"{left + 2:g}",
        seal_top=f"{mark - 9:.2f}",
        seal_wide=f"{right - left - 4:g}",
        lines=lines,
        numbers=numbers,
        barrel=f"M{left - 12:g} {top - 12:g}H{right + 12:g}M{left:g} {top - 12:g}V{bottom:g}C{left:g} {bottom + 16:g} "
        f"{middle - 9:g} {bottom + 10:g} {middle - 8:g} {bottom + 20:g}V{bottom + 35:g}h16V{bottom + 20:g}"
        f"C{middle + 9:g} {bottom + 10:g} {right:g} {bottom + 16:g} {right:g} {bottom:g}V{top - 12:g}",
        head_top=f"{mark - 11:.2f}",
        head_bottom=f"{mark + 11:.2f}",
        head_x=f"{left - 4:g}",
    )


def _draw_small(syringe: Syringe, ml: float, kind: str) -> SafeString:
    top, bottom, left, right = 8.0, 78.0, 22.0, 54.0
    height = bottom - top
    mark = bottom - height * height_fraction(syringe=syringe, ml=ml)
    numbered = [line for line in scale_lines(syringe) if line.length == "long" and line.ml]
    drawn = format_html_join(
        "",
        '<line class="line" x1="{}" x2="{}" y1="{}" y2="{}"/>',
        (
            (f"{right - 11:g}", f"{right:g}", y, y)
            for line in numbered
            for y in [f"{bottom - height * line.height_fraction:.2f}"]
        ),
    )
    return format_html(
        '<svg class="syringe" role="img" aria-label="{spoken}" width="70" height="102" viewBox="0 0 70 102">'
        '<rect class="liquid" x="{left}" y="{mark}" width="{wide}" height="{liquid}"/>{lines}'
        '<path class="barrel" d="M14 3H62M{left} 3V{bottom}l10 8V98h12V86l10 -8V3"/>'
        '<line class="{kind}" x1="8" x2="{right}" y1="{mark}" y2="{mark}"/>'
        '<path class="{kind}-head" d="M5 {head_top}L16 {mark}L5 {head_bottom}Z"/></svg>',
        spoken=_spoken(syringe, ml),
        kind=kind,
        left=f"{left:g}",
        right=f"{right:g}",
        wide=f"{right - left:g}",
        mark=f"{mark:.2f}",
        liquid=f"{bottom - mark:.2f}",
        bottom=f"{bottom:g}",
        lines=drawn,
        head_top=f"{mark - 7:.2f}",
        head_bottom=f"{mark + 7:.2f}",
    )
