"""Is it as much as was planned? A slip of the finger, or an old page, writes another amount."""

from fillmark.core.day.values import PlannedSession
from fillmark.core.record.fields import NOT_KNOWN
from fillmark.core.record.session_entries import FillGiven, MealEnded
from fillmark.core.values.quantities import write_number
from fillmark.published.record_rules import MEAL_TIMES_THE_PLAN


def more_than_planned(payload: FillGiven | MealEnded, planned: PlannedSession | None) -> str | None:
    """Why a fill, or a meal written down as one amount, is more than was planned; none where it is not.

    Args:
        payload: What the press would write.
        planned: Its session as it is to come; none where the plan has none of this name.
    Source:
        record.meal_times_the_plan
    """
    if planned is None or not planned.meal_ml:
        return None
    if isinstance(payload, FillGiven):
        return _more_than_the_mark(payload, planned)
    if payload.total_ml == NOT_KNOWN or not isinstance(payload.total_ml, float):
        return None
    if payload.total_ml <= planned.meal_ml * MEAL_TIMES_THE_PLAN.value:
        return None
    return f"the meal is {write_number(planned.meal_ml)} mL, and {write_number(payload.total_ml)} mL is written"


def _more_than_the_mark(payload: FillGiven, planned: PlannedSession) -> str | None:
    if payload.fill > len(planned.fills):
        return f"the meal has {len(planned.fills)} fills, and this is fill {payload.fill}"
    mark_ml = float(planned.fills[payload.fill - 1].drawn.ml)
    if payload.ml <= mark_ml:
        return None
    return f"fill {payload.fill} is drawn to {write_number(mark_ml)} mL, and {write_number(payload.ml)} mL is written"
