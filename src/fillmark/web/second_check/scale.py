"""The lines of a syringe and their numbers, with no mark and nothing in it: to read by, not to copy from."""

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from fillmark.core.syringe import Syringe, scale_lines

_TOP, _LEFT, _RIGHT = 14.0, 10.0, 74.0
_LENGTH_PX = {"long": 26.0, "middle": 19.0, "short": 12.0}
_CLOSEST_PX = 2.6
_TALLEST_PX = 300.0


def draw_scale(syringe: Syringe) -> SafeString:
    """The empty scale of a syringe, tip downward."""
    lines = scale_lines(syringe)
    height = min(max(150.0, _CLOSEST_PX * (len(lines) - 1)), _TALLEST_PX)
    bottom = _TOP + height
    drawn = format_html_join(
        "",
        '<line class="line{}" x1="{}" x2="{}" y1="{}" y2="{}"/>',
        (
            (
                " line-long" if line.length == "long" else "",
                f"{_RIGHT - _LENGTH_PX[line.length]:g}",
                f"{_RIGHT:g}",
                y,
                y,
            )
            for line in lines
            for y in [f"{bottom - height * line.height_fraction:.2f}"]
        ),
    )
    numbers = format_html_join(
        "",
        '<text x="{}" y="{}">{}</text>',
        (
            (f"{_RIGHT + 7:g}", f"{bottom - height * line.height_fraction + 5:.2f}", line.label)
            for line in lines
            if line.label and line.ml
        ),
    )
    middle = (_LEFT + _RIGHT) / 2
    return format_html(
        '<svg class="syringe" role="img" aria-label="The scale of the {name}" width="112" height="{tall}" '
        'viewBox="0 0 112 {tall}">{lines}{numbers}<path class="barrel" d="{barrel}"/></svg>',
        name=syringe.name,
        tall=f"{bottom + 30:g}",
        lines=drawn,
        numbers=numbers,
        barrel=f"M{_LEFT:g} 4V{bottom:g}C{_LEFT:g} {bottom + 14:g} {middle - 9:g} {bottom + 8:g} {middle - 8:g} "
        f"{bottom + 16:g}V{bottom + 28:g}h16V{bottom + 16:g}C{middle + 9:g} {bottom + 8:g} {_RIGHT:g} "
        f"{bottom + 14:g} {_RIGHT:g} {bottom:g}V4",
    )
