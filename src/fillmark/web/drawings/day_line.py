"""The day line: the household's day as a measuring line, with its sessions and the mark of now.

Everything stands at a share of the height, so that the line fills any screen without being stretched.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from zoneinfo import ZoneInfo

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe

_MARGIN_PERCENT = 2.0


class Shape(StrEnum):
    """What a session looks like on the line; the shape tells, color only helps."""

    RECORDED = "recorded"
    LATE = "late"
    CAME_BACK = "came back up"
    DUE = "due"
    SILENT = "no entry"
    IN_HAND = "in hand"
    STOPPED = "stopped"
    SKIPPED = "left out"
    HELD = "held"
    UNKNOWN = "not known"


_CLASS = {
    Shape.SILENT: "silent",
    Shape.UNKNOWN: "silent",
    Shape.IN_HAND: "in-hand",
    Shape.LATE: "recorded",
    Shape.CAME_BACK: "came-back",
    Shape.SKIPPED: "not-given",
    Shape.HELD: "not-given",
}
_GLYPH = {
    Shape.RECORDED: "M-4.5 .3L-1.2 3.6L4.6 -3.4",
    Shape.LATE: "M0 -5V0L3.6 2.6",
    Shape.CAME_BACK: "M-8.5 0A8.5 8.5 0 0 0 8.5 0ZM0 4V-12M-3.4 -8.6L0 -12L3.4 -8.6",
    Shape.HELD: "M-2.6 -3.8V3.8M2.6 -3.8V3.8",
    Shape.IN_HAND: "M-3.6 0A3.6 3.6 0 1 0 3.6 0A3.6 3.6 0 1 0 -3.6 0Z",
    Shape.STOPPED: "M-3.4 -3.4L3.4 3.4M-3.4 3.4L3.4 -3.4",
    Shape.SKIPPED: "M-4 0H4",
    Shape.UNKNOWN: "M-2.4 -2A2.4 2.4 0 1 1 .6 .2L0 1.6M0 4.3V4.4",
}


@dataclass(frozen=True, kw_only=True, slots=True)
class OnLine:
    """One session on the line."""

    at: datetime
    shape: Shape
    clock: str
    session: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class DayLine:
    """One day of the household, from its start hour to the next."""

    starts_at: datetime
    ends_at: datetime
    now: datetime
    zone: ZoneInfo
    sessions: Sequence[OnLine]

    def percent(self, at: datetime) -> float:
        """Where an instant stands on the line [% of the height]."""
        share = (at - self.starts_at) / (self.ends_at - self.starts_at)
        return _MARGIN_PERCENT + (100 - 2 * _MARGIN_PERCENT) * min(max(share, 0.0), 1.0)

    def hours(self) -> Iterator[tuple[datetime, bool]]:
        """Every half hour of the day, with whether it is a whole one; 23, 24 or 25 hours as the day has them."""
        at = self.starts_at
        while at <= self.ends_at:
            yield at, at.astimezone(self.zone).minute == 0
            at += timedelta(minutes=30)

    def spoken(self) -> str:
        told = ", ".join(f"{session.clock} {session.shape}" for session in self.sessions) or "no sessions planned"
        return f"The day's record. {told}. Now {self.now.astimezone(self.zone):%H:%M}."


def draw_shape(shape: Shape) -> SafeString:
    """The sign of one session, around the point 0, 0."""
    name = _CLASS.get(shape, shape.value)
    ring = format_html('<circle class="shape shape-{}" r="8.5"/>', name)
    path = _GLYPH.get(shape)
    return ring + format_html('<path class="glyph glyph-{}" d="{}"/>', name, path) if path else ring


def draw_shapes() -> SafeString:
    """Every sign once, for a phone that draws the line anew without asking."""
    return format_html_join("", '<svg data-shape="{}">{}</svg>', ((shape.value, draw_shape(shape)) for shape in Shape))


def _draw_ticks(line: DayLine, *, are_hours: bool) -> SafeString:
    """The whole hours, long, or the half ones between them."""
    drawn = format_html_join(
        "",
        '<line x1="{}" x2="46" y1="{}%" y2="{}%"/>',
        (
            (36 if are_hours else 41, y, y)
            for at, is_hour in line.hours()
            if is_hour is are_hours
            for y in [f"{line.percent(at):.3f}".rstrip("0").rstrip(".")]
        ),
    )
    return format_html('<g class="tick{}">{}</g>', " hour" if are_hours else "", drawn)


def draw_day_line(line: DayLine) -> SafeString:
    """The line as a drawing of any height; its words are those of `DayLine.spoken`."""
    gone = line.percent(line.now) - _MARGIN_PERCENT if line.now > line.starts_at else 0.0
    ticks = _draw_ticks(line, are_hours=True) + _draw_ticks(line, are_hours=False)
    numbers = format_html_join(
        "",
        '<text x="2" y="{}%" dy="5">{}</text>',
        (
            (f"{line.percent(at):.3f}", at.astimezone(line.zone).hour)
            for place, (at, is_hour) in enumerate(line.hours())
            if is_hour and place % 6 == 0
        ),
    )
    sessions = format_html_join(
        "",
        '<svg x="33" y="{}%" overflow="visible" data-session="{}">{}</svg>',
        ((f"{line.percent(session.at):.3f}", session.session, draw_shape(session.shape)) for session in line.sessions),
    )
    is_today = line.starts_at <= line.now < line.ends_at
    now = (
        format_html(
            '<line class="now" x1="0" x2="20" y1="{y}%" y2="{y}%"/>'
            '<svg class="now-at" x="20" y="{y}%" overflow="visible"><path class="now-head" d="M0 -7L11 0L0 7Z"/></svg>',
            y=f"{line.percent(line.now):.3f}",
        )
        if is_today
        else mark_safe("")
    )
    return format_html(
        '<svg aria-hidden="true" data-from="{}" data-until="{}" data-margin="{}">'
        '<rect class="gone" x="34" width="12" y="{}%" height="{}%"/>{}{}{}{}</svg>',
        round(line.starts_at.timestamp() * 1000),
        round(line.ends_at.timestamp() * 1000),
        _MARGIN_PERCENT,
        _MARGIN_PERCENT,
        f"{gone:.3f}",
        ticks,
        numbers,
        sessions,
        now,
    )
