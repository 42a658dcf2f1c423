"""The rest of today as two measuring lines: the times as they were, and the times as they would be."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from fillmark.web.drawings.day_line import Shape, draw_shape

_LEFT, _WIDTH = 14.0, 292.0
_OLD_Y, _NEW_Y = 30.0, 104.0
_NO_MEAL_SCALE = 0.62


@dataclass(frozen=True, kw_only=True, slots=True)
class Pair:
    """One session on both lines; None where it is skipped."""

    old_at: datetime
    new_at: datetime | None
    has_meal: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class TwoLines:
    """What is left of a day, from one instant until another."""

    from_at: datetime
    until_at: datetime
    zone: ZoneInfo
    pairs: Sequence[Pair]

    def x(self, at: datetime) -> float:
        """Where an instant stands across the drawing."""
        share = (at - self.from_at) / (self.until_at - self.from_at)
        return _LEFT + _WIDTH * min(max(share, 0.0), 1.0)

    def hours(self) -> Iterator[datetime]:
        """Every full hour between the ends."""
        local = self.from_at.astimezone(self.zone)
        at = self.from_at + timedelta(minutes=-local.minute % 60, seconds=-local.second)
        while at <= self.until_at:
            if at >= self.from_at:
                yield at
            at += timedelta(hours=1)


def draw_two_lines(lines: TwoLines, *, spoken: str) -> SafeString:
    """The drawing; a list beside it says the same in words, so that it only needs a name."""
    hours = list(lines.hours())
    every = max(1, -(-len(hours) // 6))
    ticks = format_html_join(
        "",
        '<line class="hour" x1="{}" x2="{}" y1="{}" y2="{}"/>',
        ((x, x, y - 6, y) for hour in hours for x in [f"{lines.x(hour):.1f}"] for y in (_OLD_Y, _NEW_Y)),
    )
    numbers = format_html_join(
        "",
        '<text x="{}" y="{}">{}</text>',
        (
            (f"{lines.x(hour):.1f}", _NEW_Y + 34, hour.astimezone(lines.zone).hour)
            for place, hour in enumerate(hours)
            if place % every == 0
        ),
    )
    ways = format_html_join(
        "",
        '<line class="{}" x1="{}" x2="{}" y1="{}" y2="{}"/>',
        (
            (
                "stays" if pair.new_at == pair.old_at else "moved",
                f"{lines.x(pair.old_at):.1f}",
                f"{lines.x(pair.new_at):.1f}",
                _OLD_Y + 10,
                _NEW_Y - 10,
            )
            for pair in lines.pairs
            if pair.new_at is not None
        ),
    )
    return format_html(
        '<svg class="two-lines" role="img" aria-label="{}" viewBox="0 0 320 146">'
        '<line class="rim" x1="{left}" x2="{right}" y1="{old}" y2="{old}"/>'
        '<line class="rim" x1="{left}" x2="{right}" y1="{new}" y2="{new}"/>{}{}{}{}{}</svg>',
        spoken,
        ticks,
        numbers,
        ways,
        _rings(lines, _OLD_Y, is_new=False),
        _rings(lines, _NEW_Y, is_new=True),
        left=_LEFT,
        right=_LEFT + _WIDTH,
        old=_OLD_Y,
        new=_NEW_Y,
    )


def _rings(lines: TwoLines, y: float, *, is_new: bool) -> SafeString:
    def drawn() -> Iterator[tuple[str, float, float, SafeString]]:
        for pair in lines.pairs:
            at = pair.new_at if is_new else pair.old_at
            if at is None:
                continue
            is_gone = pair.new_at is None
            yield (
                f"{lines.x(at):.1f}",
                y,
                1 if pair.has_meal else _NO_MEAL_SCALE,
                draw_shape(Shape.SKIPPED if is_gone else Shape.DUE),
            )

    return format_html_join("", '<g transform="translate({} {}) scale({})">{}</g>', drawn())
