"""Who is in the household, and what each of them may do."""

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from uuid import UUID

from fillmark.core.values.errors import NotAllowed
from fillmark.core.values.words import say_date, say_day
from fillmark.published.record_rules import PASS_DAYS


class Role(StrEnum):
    """What a person is to this household."""

    LEAD = "lead"
    HELPER = "helper"
    SITTER = "sitter"


class Capability(StrEnum):
    """Something a person may or may not do, as the words that follow "may"."""

    SEE_TODAY = "see today's sessions and the care sheet"
    SEE_RECORD = "see the whole record"
    RECORD_SESSION = "record a session"
    RECORD_ANYTHING = "record anything"
    CORRECT_OTHERS = "correct what another person wrote"
    PREPARE_PLAN = "prepare a change of the plan"
    CHANGE_PLAN = "change the plan"
    CLEAR_LOCK = "clear a lock on feeding"
    OVERRULE_BATCH = "give a batch that is too thick or past its last day"
    SETTLE = "settle what was set aside"
    INVITE = "invite people"
    CHANGE_HOUSEHOLD = "change the household's name and clock"


_SITTER = frozenset({Capability.SEE_TODAY, Capability.RECORD_SESSION})
_HELPER = _SITTER | {
    Capability.SEE_RECORD,
    Capability.RECORD_ANYTHING,
    Capability.CORRECT_OTHERS,
    Capability.PREPARE_PLAN,
}
CAPABILITIES = {Role.LEAD: frozenset(Capability), Role.HELPER: _HELPER, Role.SITTER: _SITTER}


@dataclass(frozen=True, kw_only=True, slots=True)
class Caregiver:
    """A person of the household. A sitter's pass holds from `from_on` to `until_on`, both days included."""

    id: UUID
    household_id: UUID
    name: str
    role: Role
    from_on: date | None = None
    until_on: date | None = None


def check_pass(caregiver: Caregiver, *, today: date) -> Caregiver:
    """The caregiver, if a sitter's pass has two days that a stay can have.

    Args:
        caregiver: Who is to be let in.
        today: The household's day.
    Raises:
        NotAllowed: a day is missing, the pass ends before it begins, or it lies too far away or holds too long.
    Source:
        household.pass_days
    """
    if caregiver.role is not Role.SITTER:
        return caregiver
    first, last, most = caregiver.from_on, caregiver.until_on, timedelta(days=PASS_DAYS.value)
    if first is None or last is None or last < first:
        raise NotAllowed(
            field="until_on",
            got=f"A sitter's pass from {say_date(first)} until {say_date(last)}",
            allowed="a first day, and a last day that is not before it",
            remedy="Enter the first and the last day of the stay.",
        )
    if last - first > most or abs(first - today) > most:
        raise NotAllowed(
            field="until_on",
            got=f"A sitter's pass from {say_date(first)} until {say_date(last)}",
            allowed=f"{PASS_DAYS.value:.0f} days at most, from a day within {PASS_DAYS.value:.0f} days of today",
            remedy="Check the years; make a new pass for a stay that is longer.",
        )
    return caregiver


def check_may(caregiver: Caregiver, *, what: Capability, on: date, days_late: int = 0) -> None:
    """Refuse what this person may not do on this day.

    Args:
        caregiver: Who wants to.
        what: What they want to do.
        on: The household's day on which they want to.
        days_late: Days after the end of a sitter's pass on which it still holds [days].
    Raises:
        NotAllowed: their role does not hold it, or their pass does not hold on this day.
    Source:
        arithmetic only
    """
    if what not in CAPABILITIES[caregiver.role]:
        able = " or ".join(role.value for role in Role if what in CAPABILITIES[role])
        raise NotAllowed(
            field="by",
            got=f"{caregiver.name} ({caregiver.role.value}) asking to {what.value}",
            allowed=f"a {able}",
            remedy="Ask a lead of this household.",
        )
    if caregiver.role is not Role.SITTER:
        return
    first, last = caregiver.from_on, caregiver.until_on
    if first is None or last is None:
        raise NotAllowed(
            field="by",
            got=f"{caregiver.name}'s pass, whose days cannot be read",
            allowed="a pass with a first and a last day",
            remedy="Ask a lead of this household for a new pass.",
        )
    if on < first or (on > last and (on - last).days > days_late):
        raise NotAllowed(
            field="by",
            got=f"{caregiver.name}'s pass on {say_day(on, has_weekday=True)}",
            allowed=f"{say_day(first, has_weekday=True)} to {say_day(last, has_weekday=True, has_year=True)}",
            remedy="Ask a lead of this household for a new pass.",
        )


def may(caregiver: Caregiver, *, what: Capability, on: date) -> bool:
    """Whether `check_may` lets this person: for showing or hiding a way in, never in place of the check.

    Args:
        caregiver: Who would do it.
        what: What they would do.
        on: The household's day.
    """
    try:
        check_may(caregiver, what=what, on=on)
    except NotAllowed:
        return False
    return True
