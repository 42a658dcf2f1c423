"""A meal as a row of this household's syringes, each filled to its mark."""

from collections.abc import Sequence

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from fillmark.core.tube.syringe import Mark, height_fraction
from fillmark.core.values.quantities import write_number

_WIDE, _TALL, _TOP, _BOTTOM = 30.0, 62.0, 5.0, 48.0


def draw_fills(marks: Sequence[Mark]) -> SafeString:
    """The fills of one meal side by side, to one scale, without numbers."""
    drawn = format_html_join(
        "",
        '<g transform="translate({} 0)"><rect class="liquid" x="7" y="{}" width="16" height="{}"/>'
        '<path class="barrel" d="M3 3H27M7 3V48l5 5V60h6V53l5 -5V3"/>'
        '<line class="mark-waits" x1="2" x2="23" y1="{}" y2="{}"/></g>',
        (
            (f"{place * _WIDE:g}", f"{level:.1f}", f"{_BOTTOM - level:.1f}", f"{level:.1f}", f"{level:.1f}")
            for place, mark in enumerate(marks)
            for share in [height_fraction(syringe=mark.syringe, ml=float(mark.drawn.ml))]
            for level in [_BOTTOM - (_BOTTOM - _TOP) * share]
        ),
    )
    wide = f"{_WIDE * max(1, len(marks)):g}"
    return format_html(
        '<svg class="syringe fills" role="img" aria-label="{}" width="{}" height="{}" viewBox="0 0 {} {}">{}</svg>',
        say_fills(marks),
        wide,
        f"{_TALL:g}",
        wide,
        f"{_TALL:g}",
        drawn,
    )


def say_fills(marks: Sequence[Mark]) -> str:
    """The fills in words: "3 × 60 + 30 mL"."""
    counted: dict[str, int] = {}
    for mark in marks:
        ml = write_number(mark.drawn.ml)
        counted[ml] = counted.get(ml, 0) + 1
    parts = [f"{times} × {ml}" if times > 1 else ml for ml, times in counted.items()]
    return f"{' + '.join(parts) or '0'} mL"
