"""A care plan that is taken in: by whose clock it is read, and what it says otherwise. Nothing here decides."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import time

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.tube.syringe import Syringe
from fillmark.core.values.document import read_document
from fillmark.core.values.quantities import write_number


@dataclass(frozen=True, kw_only=True, slots=True)
class Clock:
    """What a household's days are counted by, and what it is called."""

    name: str
    time_zone: str
    day_starts: time


@dataclass(frozen=True, kw_only=True, slots=True)
class Disagreement:
    """One thing that a plan's household part has otherwise than the household."""

    what: str
    plan: str
    home: str


def disagreements(plan: CarePlan, *, home: Clock, people: Mapping[str, str]) -> tuple[Disagreement, ...]:
    """Where a plan's household part and the household itself do not say the same.

    Args:
        plan: What was read.
        home: The household.
        people: The role of each of its caregivers, by name.
    Source:
        arithmetic only
    """
    part = plan.household
    both = [
        ("Name of the household", part.name, home.name),
        ("Time zone", part.time_zone, home.time_zone),
        ("Start of the day", f"{part.day_starts:%H:%M}", f"{home.day_starts:%H:%M}"),
        ("People", *(_say_people(who) for who in ({one.name: one.role for one in part.people}, people))),
    ]
    return tuple(Disagreement(what=what, plan=mine, home=theirs) for what, mine, theirs in both if mine != theirs)


def _say_people(people: Mapping[str, str]) -> str:
    return ", ".join(f"{name} ({people[name]})" for name in sorted(people))


def in_household(plan: CarePlan, *, home: Clock) -> CarePlan:
    """A copy of the plan that counts its days as the household does; nothing else changes.

    Args:
        plan: The plan taken in.
        home: The household's name, zone and start of the day.
    Raises:
        FillmarkError: the plan does not hold by this clock.
    Source:
        arithmetic only
    """
    values = plan.model_dump(mode="json", exclude_unset=True)
    values["household"] |= {"name": home.name, "time_zone": home.time_zone, "day_starts": f"{home.day_starts:%H:%M}"}
    return read_document(CarePlan, values)


def other_syringes(plan: CarePlan, *, known: Sequence[CarePlan]) -> tuple[str, ...]:
    """What plans in force name for syringes otherwise than this plan, in words; empty where all name the same.

    Args:
        plan: The plan taken in.
        known: The plans in force in this household.
    Source:
        arithmetic only
    """
    mine = {_say_syringe(syringe) for syringe in plan.syringes}
    theirs = {_say_syringe(syringe) for one in known for syringe in one.syringes}
    if not known:
        return ()
    return (
        *(f"Only in this file: {words}" for words in sorted(mine - theirs)),
        *(f"Not in this file: {words}" for words in sorted(theirs - mine)),
    )


def _say_syringe(syringe: Syringe) -> str:
    return f"{syringe.name}, a line every {write_number(syringe.step_ml)} mL, {syringe.tip} tip"
