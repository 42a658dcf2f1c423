"""When the household sleeps and eats, and the day with the fewest trips beside the one it has."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, time

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.timetable import (
    DAY_MINUTES,
    MEAL,
    Clash,
    Holding,
    NoDay,
    Regimen,
    Timetable,
    check_day,
    explain_clash,
    plan_day,
    what_holds,
)
from fillmark.core.today.chosen_hours import Wishes
from fillmark.core.today.duties import IDLE_FLUSH, names_of
from fillmark.core.today.regimen import present_day, regimen_of
from fillmark.core.values.document import read_document
from fillmark.core.values.explain import Explained


@dataclass(frozen=True, kw_only=True, slots=True)
class Move:
    """A meal or medicine whose time changes [minutes after midnight]."""

    what: str
    old_clock: int
    new_clock: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Proposal:
    """The present day beside the one that suits the wishes.

    Attributes:
        wishes: What was wished for.
        regimen: The rules it was sought under, with what was assumed where the vet's order leaves a time open.
        old: The present day.
        old_faults: Which of the vet's rules the present day breaks.
        new: The best day, or that there is none.
        moves: What changes its time, in the order of the new day.
        holding: Why it takes this many sessions; none without a day.
        clash: Why there is no day, and ways out; none with a day, or where neither is proven.
    """

    wishes: Wishes
    regimen: Explained[Regimen]
    old: Timetable
    old_faults: tuple[str, ...]
    new: Timetable | NoDay
    moves: tuple[Move, ...] = ()
    holding: Holding | None = None
    clash: Clash | None = None


def propose_day(plan: CarePlan, *, wishes: Wishes, on: date) -> Proposal:
    """The best day for these wishes beside the present one; the same plan and wishes give the same day.

    Args:
        plan: The plan in force.
        wishes: What the household chooses.
        on: The first day that would be lived so.
    Raises:
        FillmarkError: as `regimen_of`.
    Source:
        the vet's orders and the household's wishes
    """
    explained = regimen_of(plan, wishes=wishes, on=on)
    regimen = explained.value
    old = present_day(plan, on=on)
    faults = check_day(regimen=replace(regimen, quiet=(), insisted=()), timetable=old)
    new = plan_day(regimen)
    if isinstance(new, NoDay):
        clash = explain_clash(regimen) if new.is_proven else None
        return Proposal(wishes=wishes, regimen=explained, old=old, old_faults=faults, new=new, clash=clash)
    return Proposal(
        wishes=wishes,
        regimen=explained,
        old=old,
        old_faults=faults,
        new=new,
        moves=tuple(_moves(plan, regimen, old, new)),
        holding=what_holds(regimen, timetable=new),
    )


def plan_with_times(plan: CarePlan, timetable: Timetable, *, on: date) -> CarePlan:
    """A copy of the plan with the times of a timetable; nothing else changes.

    Args:
        plan: The plan the timetable was made for.
        timetable: The new day.
        on: From which day on it holds: of a taper, the rhythm of that day gets the new times.
    Raises:
        FillmarkError: the plan does not hold with these times.
    Source:
        arithmetic only
    """
    values = plan.model_dump(mode="json", exclude_unset=True)

    def clocks_of(name: str) -> list[str]:
        return [f"{clock:%H:%M}" for clock in sorted(map(_time, timetable.clocks_of(name)), key=plan.since_day_start)]

    values["timetable"] = {**values.get("timetable", {}), "meals": clocks_of(MEAL)}
    names = names_of(plan)
    for medicine in values.get("medicines", ()):
        clocks = clocks_of(names[medicine["id"]])
        if clocks and not medicine.get("with_each_meal") and "first_dose" not in medicine:
            begun = [step for step in medicine.get("steps", ()) if step.get("clocks") and step["from_on"] <= str(on)]
            (begun[-1] if begun else medicine)["clocks"] = clocks
    for task in values.get("tasks", ()):
        clocks = clocks_of(task["name"])
        if clocks and not task.get("with_each_meal"):
            task["clocks"] = clocks
    if clocks_of(IDLE_FLUSH):
        values["timetable"]["flushes"] = clocks_of(IDLE_FLUSH)
    return read_document(CarePlan, values)


def _time(clock: int) -> time:
    return time(*divmod(clock, 60))


def _ordered(plan: CarePlan, timetable: Timetable, name: str) -> list[int]:
    """The times of a meal or medicine, in order from the start of the household's day."""
    return sorted(timetable.clocks_of(name), key=lambda clock: plan.since_day_start(_time(clock)))


def _moves(plan: CarePlan, regimen: Regimen, old: Timetable, new: Timetable) -> Iterator[Move]:
    found = []
    for name in (MEAL, *(duty.name for duty in regimen.duties if duty.times is not None)):
        before, after = _ordered(plan, old, name), _ordered(plan, new, name)
        turns = (before[turn:] + before[:turn] for turn in range(len(before)))
        # a dose that passes the start of the day is still the same dose: the turn that moves least pairs them
        nearest = min(turns, key=lambda turn: sum(map(_distance, turn, after)), default=[])
        found += [
            Move(what=name, old_clock=was, new_clock=will)
            for was, will in zip(nearest, after, strict=False)
            if was != will
        ]
    yield from sorted(found, key=lambda move: plan.since_day_start(_time(move.new_clock)))


def _distance(one: int, other: int) -> int:
    ahead = (one - other) % DAY_MINUTES
    return min(ahead, DAY_MINUTES - ahead)
