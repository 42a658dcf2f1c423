"""The day as a 24-hour dial: the measuring line bent into a ring, with the start of the household's day at the top."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, pi, sin

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from fillmark.core.timetable import DAY_MINUTES, Session, Window
from fillmark.core.today.wishes import Move
from fillmark.web.drawings.day_line import Shape, draw_shape

_CENTER = 150.0
_RING, _TICKS_END, _NUMBERS, _MOVES = 112.0, 128.0, 140.0, 92.0
_NO_MEAL_SCALE = 0.62
"""A session without a meal is a smaller ring."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Dial:
    """What one dial shows: its sessions and, on a new day, from where each of them moved."""

    sessions: Sequence[Session]
    day_starts_clock: int
    night: Window
    moves: Sequence[Move] = ()

    def turn(self, clock: int) -> float:
        """How far round from the top a clock time stands [fraction of a turn]."""
        return ((clock - self.day_starts_clock) % DAY_MINUTES) / DAY_MINUTES


def _place(turn: float, radius: float) -> tuple[str, str]:
    angle = 2 * pi * turn
    return f"{_CENTER + radius * sin(angle):.2f}", f"{_CENTER - radius * cos(angle):.2f}"


def _arc(start: float, end: float, radius: float) -> str:
    """A piece of a circle, clockwise from one turn to another."""
    (x1, y1), (x2, y2) = _place(start, radius), _place(end, radius)
    is_long = int((end - start) % 1 > 0.5)
    return f"M{x1} {y1}A{radius:g} {radius:g} 0 {is_long} 1 {x2} {y2}"


def draw_dial(dial: Dial, *, spoken: str) -> SafeString:
    """The dial; a list beside it says the same in words, so that it only needs a name."""
    ticks = format_html_join(
        "",
        '<line class="tick{}" x1="{}" y1="{}" x2="{}" y2="{}"/>',
        (
            (" hour" if half % 2 == 0 else "", *_place(half / 48, 118.0 if half % 2 == 0 else 123.0), *outer)
            for half in range(48)
            for outer in [_place(half / 48, _TICKS_END)]
        ),
    )
    numbers = format_html_join(
        "",
        '<text x="{}" y="{}" dy="5">{}</text>',
        ((*_place(hour / 24, _NUMBERS), (dial.day_starts_clock // 60 + hour) % 24) for hour in range(0, 24, 3)),
    )
    moves = format_html_join(
        "",
        '<path class="moved" d="{}"/><circle class="moved-from" cx="{}" cy="{}" r="3"/>',
        (
            (_arc(*ends, _MOVES), *_place(dial.turn(move.old_clock), _MOVES))
            for move in dial.moves
            for ends in [_shorter_way(dial.turn(move.old_clock), dial.turn(move.new_clock))]
        ),
    )
    sessions = format_html_join(
        "",
        '<g transform="translate({} {}) scale({})">{}</g>',
        (
            (*_place(dial.turn(session.clock), _RING), 1 if session.has_meal else _NO_MEAL_SCALE, draw_shape(Shape.DUE))
            for session in dial.sessions
        ),
    )
    return format_html(
        '<svg class="dial" role="img" aria-label="{spoken}" viewBox="0 0 300 300">'
        '<path class="night" d="{night}"/><circle class="rim" cx="150" cy="150" r="{rim}"/>'
        '{ticks}{numbers}{moves}{sessions}<text class="count" x="150" y="150">{count}</text>'
        '<text x="150" y="174">{words}</text></svg>',
        spoken=spoken,
        night=_arc(dial.turn(dial.night.from_clock), dial.turn(dial.night.until_clock), _RING),
        rim=f"{_TICKS_END:g}",
        ticks=ticks,
        numbers=numbers,
        moves=moves,
        sessions=sessions,
        count=len(dial.sessions),
        words="session" if len(dial.sessions) == 1 else "sessions",
    )


def _shorter_way(one: float, other: float) -> tuple[float, float]:
    """The two ends of a move, such that clockwise from the first is the shorter way round."""
    return (one, other) if (other - one) % 1 <= 0.5 else (other, one)
