"""When do sessions come that were given another time on the day itself?"""

from collections.abc import Iterable
from dataclasses import replace

from fillmark.core.day.sessions import build_session
from fillmark.core.day.values import PlannedSession
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.day_entries import DayReplanned, ReplannedSession
from fillmark.core.record.entries import KeptEntry


def newest_times(entries: Iterable[KeptEntry]) -> dict[str, ReplannedSession]:
    """By session, the newest word about when it comes; sessions that keep their planned time have none.

    Source:
        the record
    """
    found: dict[str, ReplannedSession] = {}
    for one in counting_entries(entries):
        if isinstance(one.entry.payload, DayReplanned):
            found.update((session.session, session) for session in one.entry.payload.sessions)
    return found


def with_new_time(session: PlannedSession, *, plan: CarePlan, new: ReplannedSession | None) -> PlannedSession:
    """The session as it is to come now; its identity stays.

    Args:
        session: As the plan has it.
        plan: The plan it stands in.
        new: The newest word about it.
    Source:
        the vet's orders
    """
    if new is None:
        return session
    at = new.at.astimezone(session.at.tzinfo)
    meal_ml = session.meal_ml if new.meal_ml is None else new.meal_ml
    medicines = tuple(dose for dose in session.medicines if dose.medicine.id not in new.without)
    if meal_ml == session.meal_ml and medicines == session.medicines:
        return replace(session, at=at, clock=at.time())
    return build_session(
        plan,
        key=session.key,
        at=at,
        clock=at.time(),
        meal_ml=meal_ml,
        medicines=medicines,
        tasks=session.tasks,
        is_flush_due=bool(session.idle_flush_ml),
    )
