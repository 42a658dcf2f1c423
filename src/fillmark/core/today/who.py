"""Who is there for a session? From the hours people have stated, the days they are away, and what each may do."""

from collections.abc import Collection, Iterator, Sequence
from datetime import time

from fillmark.core.day.values import PlannedSession
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.household import WEEKDAYS
from fillmark.core.plan.tasks import Task
from fillmark.core.timetable import Attendant
from fillmark.core.today.new_times import session_minutes
from fillmark.core.today.regimen import people_of

_SHORT = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def who_is_there(plan: CarePlan, *, session: PlannedSession) -> tuple[str, ...] | None:
    """Who can come to a session of a day, from its start to its end; none where nobody's hours are stated.

    Args:
        plan: The plan in force.
        session: The session.
    Source:
        the plan
    """
    people = people_of(plan)
    if not people:
        return None
    on = session.at.date()
    away = {person.name for person in plan.household.people if person.is_away(on)}
    there = _there(
        people,
        weekday=on.weekday(),
        clock=session.clock,
        minutes=session_minutes(session),
        tasks=session.tasks,
    )
    return tuple(name for name in there if name not in away)


def who_comes(plan: CarePlan, *, clock: time, minutes: int, tasks: Sequence[Task] = ()) -> str | None:
    """Who can come to a session at a time of day through the week, in words; none where nobody's hours are stated.

    Args:
        plan: The plan in force.
        clock: The time of day.
        minutes: How long a person is needed [minutes].
        tasks: What is done in it that not everybody may do.
    Source:
        the plan
    """
    people = people_of(plan)
    if not people:
        return None
    by_day = [
        _there(people, weekday=weekday, clock=clock, minutes=minutes, tasks=tasks) for weekday in range(len(WEEKDAYS))
    ]
    found = list(dict.fromkeys(by_day))
    if len(found) == 1:
        return _names(found[0])
    return "; ".join(
        f"{_days([day for day, there in enumerate(by_day) if there == names])}: {_names(names)}" for names in found
    )


def _there(
    people: Sequence[Attendant], *, weekday: int, clock: time, minutes: int, tasks: Sequence[Task]
) -> tuple[str, ...]:
    needed = {task.name for task in tasks}
    at = clock.hour * 60 + clock.minute
    return tuple(
        person.name
        for person in people
        if needed <= person.skills and person.is_available(weekday=weekday, clock=at, minutes=minutes)
    )


def _names(names: Sequence[str]) -> str:
    return " or ".join(names) or "nobody"


def _days(days: Sequence[int]) -> str:
    """ "Mon to Fri", or "Mon, Wed"."""
    return ", ".join(_runs(days))


def say_days(days: Collection[str]) -> str:
    """The weekdays of a plan's key in words, in the order of the week: "Mon to Fri".

    Source:
        arithmetic only
    """
    return _days([place for place, day in enumerate(WEEKDAYS) if day in days])


def _runs(days: Sequence[int]) -> Iterator[str]:
    start = 0
    for place, day in enumerate(days):
        if place + 1 < len(days) and days[place + 1] == day + 1:
            continue
        first, last = days[start], day
        yield _SHORT[first] if first == last else f"{_SHORT[first]} to {_SHORT[last]}"
        start = place + 1
