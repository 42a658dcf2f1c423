"""A bottle drawn with what should be left in it, and the mark at that level."""

from decimal import Decimal

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from fillmark.core.doses.bottles import Stock

_TOP, _BOTTOM, _LEFT, _RIGHT = 34.0, 126.0, 16.0, 76.0
_QUARTERS = (0.25, 0.5, 0.75, 1.0)


def draw_bottle(stock: Stock) -> SafeString:
    """The bottle in use, filled to what is surely left; what may be left besides is drawn as a paler band."""
    held = stock.bottle.held

    def height(amount: Decimal) -> float:
        return _BOTTOM - (_BOTTOM - _TOP) * min(1.0, float(amount / held) if held else 0.0)

    low, high = height(stock.left.low), height(stock.left.high)
    ticks = format_html_join(
        "",
        '<line class="line" x1="{}" x2="{}" y1="{}" y2="{}"/>',
        (
            (f"{_RIGHT - 13:g}", f"{_RIGHT:g}", y, y)
            for quarter in _QUARTERS
            for y in [f"{_BOTTOM - (_BOTTOM - _TOP) * quarter:.2f}"]
        ),
    )
    return format_html(
        '<svg class="syringe bottle" role="img" aria-label="{spoken}" width="92" height="134" viewBox="0 0 92 134">'
        '<rect class="liquid" x="{left}" y="{low}" width="{wide}" height="{sure}"/>'
        '<rect class="perhaps" x="{left}" y="{high}" width="{wide}" height="{perhaps}"/>{ticks}'
        '<rect class="seal" x="30" y="3" width="32" height="11" rx="3"/>'
        '<path class="barrel" d="M35 14V20C35 26 {left} 25 {left} 34V122Q{left} 128 22 128H70Q{right} 128 {right} 122'
        'V34C{right} 25 57 26 57 20V14"/>'
        '<line class="mark-waits" x1="8" x2="{right}" y1="{high}" y2="{high}"/>'
        '<path class="mark-waits-head" d="M3 {head_top}L14 {high}L3 {head_bottom}Z"/></svg>',
        spoken=f"Bottle: {stock.left_words} of {stock.say(held)} should be left",
        left=f"{_LEFT:g}",
        right=f"{_RIGHT:g}",
        wide=f"{_RIGHT - _LEFT:g}",
        low=f"{low:.2f}",
        high=f"{high:.2f}",
        sure=f"{_BOTTOM - low:.2f}",
        perhaps=f"{low - high:.2f}",
        ticks=ticks,
        head_top=f"{high - 7:.2f}",
        head_bottom=f"{high + 7:.2f}",
    )
