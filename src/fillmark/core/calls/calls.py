"""Whom to call now, and what to tell them."""

from dataclasses import dataclass
from datetime import datetime

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.vet import OpenHours, say_moment


@dataclass(frozen=True, kw_only=True, slots=True)
class CallTo:
    """One number; `answers` tells whether somebody is there now, where the plan states its `hours`.

    A poison line stands below the clinics: it is called about poisons alone.
    """

    who: str
    phone: str
    when: str
    answers: bool | None
    hours: tuple[OpenHours, ...]
    is_poison_line: bool


def whom_to_call(*, plan: CarePlan | None, local: datetime) -> tuple[CallTo, ...]:
    """The plan's numbers, those that answer at this local time first, then those whose hours nobody stated.

    Args:
        plan: The care plan in force, if there is one.
        local: Now, by the household's clock.
    """
    numbers = plan.vet.call if plan else ()
    calls = [
        CallTo(
            who=number.who,
            phone=number.phone,
            when=number.when,
            answers=number.answers(local),
            hours=number.hours,
            is_poison_line=number.is_poison_line,
        )
        for number in numbers
    ]
    return tuple(sorted(calls, key=lambda call: (call.is_poison_line, {True: 0, None: 1, False: 2}[call.answers])))


def who_is_silent(*, plan: CarePlan | None) -> str:
    """When in a week no number of the plan answers, or is known to answer, the night before all; empty where one does.

    Args:
        plan: The care plan in force, if there is one.
    """
    if plan is None:
        return ""
    if shut := plan.vet.silent_at():
        return f"No number of the plan answers {say_moment(shut)}."
    unsaid = plan.vet.silent_at(is_known=False)
    return f"The plan does not say who answers {say_moment(unsaid)}." if unsaid else ""
