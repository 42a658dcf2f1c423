"""Was a meal given by a version of the plan that was no longer in force? A phone that was away does not know better."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from fillmark.core.bedside.next_session import SessionView
from fillmark.core.bedside.side import Side
from fillmark.core.bedside.versions import StoredPlan
from fillmark.core.record.amounts import Amount
from fillmark.core.record.entries import session_day
from fillmark.core.values.errors import FillmarkError
from fillmark.published.record_rules import SAME_MEAL_ML


@dataclass(frozen=True, kw_only=True, slots=True)
class ByOlderPlan:
    """One meal that was given as an older version had it.

    Attributes:
        session: Which one.
        went_in: What went in [mL].
        planned_ml: What the version in force then wanted [mL]; none where it names no meal at that time.
        version: The older version, whose meal it was.
        in_force: The version that was in force.
    """

    session: str
    went_in: Amount
    planned_ml: float | None
    version: int
    in_force: int


def find_older_plan(side: Side, views: Iterable[SessionView]) -> tuple[ByOlderPlan, ...]:
    """The meals of these sessions that went in as an older version had them, and not as the one in force.

    Args:
        side: The animal's side, with the versions of these days.
        views: The sessions.
    Source:
        record.same_meal_ml
    """
    found = []
    for view in views:
        went_in = view.record.blend
        wanted_ml = view.planned.meal_ml if view.planned else None
        at = datetime.fromisoformat(view.session).replace(tzinfo=side.zone)
        in_force = side.plan_at(at)
        if went_in is None or in_force is None or (wanted_ml is not None and _is_same(went_in, wanted_ml)):
            continue
        older = sorted((one for one in side.versions if one.number < in_force.number), key=lambda one: -one.number)
        version = next((one for one in older if _is_same(went_in, _meal_ml(one, view.session, side=side))), None)
        if version is not None:
            found.append(
                ByOlderPlan(
                    session=view.session,
                    went_in=went_in,
                    planned_ml=wanted_ml,
                    version=version.number,
                    in_force=in_force.number,
                )
            )
    return tuple(found)


def _is_same(went_in: Amount, meal_ml: float | None) -> bool:
    near = SAME_MEAL_ML.value
    return bool(meal_ml) and meal_ml is not None and went_in.low_ml - near <= meal_ml <= went_in.high_ml + near


def _meal_ml(version: StoredPlan, session: str, *, side: Side) -> float | None:
    """What a version has for a session [mL]; none where it names none, or cannot be worked out."""
    try:
        day = version.day(session_day(session, day_starts=side.home.day_starts))
    except FillmarkError:
        return None
    return next((one.meal_ml for one in day.sessions if one.key == session), None)
