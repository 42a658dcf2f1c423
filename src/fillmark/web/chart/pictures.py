"""The chart's drawings: a week as columns of the day line's own marks, and a course as a line that steps."""

from collections.abc import Sequence
from datetime import date

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe

from fillmark.core.chart.chart import Cell, CellState, Chart, ChartRow, Course, Timing
from fillmark.core.record.outcomes import Became, read_outcomes
from fillmark.web.bedside.day_line import SHAPE_OF
from fillmark.web.drawings.day_line import Shape, draw_shape

_SHAPES = {
    CellState.STILL_TO_COME: Shape.DUE,
    CellState.DUE: Shape.DUE,
    CellState.NO_ENTRY: Shape.SILENT,
    CellState.RECORDED: Shape.RECORDED,
    CellState.ONCE_OR_TWICE: Shape.UNKNOWN,
    CellState.LEFT_OUT: Shape.SKIPPED,
    CellState.HELD: Shape.HELD,
}
"""How a dose shows: the same marks as its session's."""


def shape_of(cell: Cell) -> Shape:
    """How one dose shows: what was written of it decides, where something was."""
    counting = [entry for entry in cell.entries if entry.counts]
    if cell.state is not CellState.RECORDED or not counting:
        return _SHAPES[cell.state]
    became = read_outcomes([entry.outcome for entry in counting])
    is_late = became is Became.GIVEN and all(entry.timing is Timing.LATE for entry in counting)
    return Shape.LATE if is_late else SHAPE_OF[became]


_ROOMY_STEP, _TIGHT_STEP, _ROOMY_DOSES = 15.0, 9.0, 8
_WIDTH, _SHAPE_SIZE = 24.0, 22.0


def doses_of(chart: Chart, day: date) -> list[Cell | None]:
    """One place for each dose of a week, in the chart's order, so that the same dose stands at the same height."""
    return [line.on(day) for row in chart.rows for line in row.lines]


def draw_day(doses: Sequence[Cell | None]) -> SafeString:
    """One day of the week's picture; its link says in words what it shows."""
    step = _ROOMY_STEP if len(doses) <= _ROOMY_DOSES else _TIGHT_STEP
    marks = format_html_join(
        "",
        '<g transform="translate({} {}) scale({})">{}</g>',
        (
            (_WIDTH / 2, f"{step * (place + 0.5):g}", f"{step / _SHAPE_SIZE:.3f}", draw_shape(shape_of(dose)))
            for place, dose in enumerate(doses)
            if dose is not None
        ),
    )
    return format_html(
        '<svg class="week-day" aria-hidden="true" viewBox="0 0 {} {}" width="{}" height="{}">{}</svg>',
        *(f"{_WIDTH:g}", f"{max(step * len(doses), step):g}") * 2,
        marks,
    )


_DAY_WIDTH, _LINE_HEIGHT = 28.0, 26.0


def draw_course(course: Course, days: Sequence[date], *, today: date) -> SafeString:
    """A course over some days: filled as far as it has come, higher for a larger dose, with the mark at today."""
    pieces = []
    for place, day in enumerate(days):
        piece = course.on(day)
        if piece is None:
            continue
        height = 4 + (_LINE_HEIGHT - 10) * piece.share
        pieces.append(
            format_html(
                '<rect class="{}" x="{}" y="{}" width="{}" height="{}"/>',
                "course-gone" if day < today else "course-ahead",
                f"{_DAY_WIDTH * place:g}",
                f"{_LINE_HEIGHT - height:g}",
                f"{_DAY_WIDTH:g}",
                f"{height:g}",
            )
        )
        if piece.is_first or piece.is_last:
            at = _DAY_WIDTH * (place + piece.is_last)
            pieces.append(
                format_html(
                    '<line class="course-end" x1="{at}" x2="{at}" y1="2" y2="{low}"/>',
                    at=f"{at:g}",
                    low=f"{_LINE_HEIGHT:g}",
                )
            )
    now = (
        format_html(
            '<path class="course-now" d="M{at} 0V{low}M{left} 0H{right}"/>',
            at=f"{_DAY_WIDTH * (days.index(today) + 0.5):g}",
            left=f"{_DAY_WIDTH * (days.index(today) + 0.5) - 4:g}",
            right=f"{_DAY_WIDTH * (days.index(today) + 0.5) + 4:g}",
            low=f"{_LINE_HEIGHT:g}",
        )
        if today in days
        else mark_safe("")
    )
    return format_html(
        '<svg class="course" aria-hidden="true" viewBox="-2 0 {} {}">{}{}</svg>',
        f"{_DAY_WIDTH * len(days) + 4:g}",
        f"{_LINE_HEIGHT + 1:g}",
        mark_safe("".join(pieces)),  # noqa: S308 - each piece is escaped
        now,
    )


def draw_row_course(row: ChartRow, days: Sequence[date], *, today: date) -> SafeString:
    """The course of an order; nothing where it has none on these days."""
    if row.course is None or not any(row.course.on(day) for day in days):
        return mark_safe("")
    return draw_course(row.course, days, today=today)
