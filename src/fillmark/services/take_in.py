"""Taking in a care plan file: read it for this household, show it whole, and put in force what was shown."""

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from enum import StrEnum
from hashlib import sha256
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction

from fillmark.core.bedside.versions import Home, StoredPlan
from fillmark.core.changes.take_in import (
    Clock,
    Disagreement,
    disagreements,
    in_household,
    other_syringes,
)
from fillmark.core.day.plan_day import plan_day
from fillmark.core.day.values import DayPlan, PlannedSession
from fillmark.core.gates.about_a_change import check_agreement
from fillmark.core.gates.changeover import check_changeover
from fillmark.core.gates.plan_gate import PlanFindings, check_plan, hold_back, is_same_but_for_answers
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import write_plan
from fillmark.core.plan.words import Section, SectionChange, compare_plans, say_plan
from fillmark.core.record.entries import household_day
from fillmark.core.values.errors import BadPlan, FillmarkError
from fillmark.core.values.explain import Explained
from fillmark.core.values.finding import Finding, Weight
from fillmark.core.values.people import Capability
from fillmark.core.values.words import say_day
from fillmark.records import homes, plan_versions
from fillmark.records.homes import AnimalName
from fillmark.services import household, plans
from fillmark.services.plans import Confirmation


class By(StrEnum):
    """Whose name and clock a plan is read by, where the file and the household differ."""

    HOME = "household"
    FILE = "file"


class When(StrEnum):
    """From when on a plan may hold."""

    NOW = "now"
    SESSION = "session"
    DAY = "day"


@dataclass(frozen=True, kw_only=True, slots=True)
class Moment:
    """One instant from which on the plan may hold.

    Attributes:
        findings: Where it would come too close to, or too far from, what went in by the version before.
    """

    when: When
    at: datetime
    findings: tuple[Finding, ...] = ()

    @property
    def cautions(self) -> tuple[str, ...]:
        """The same in words."""
        return tuple(one.text for one in self.findings)


@dataclass(frozen=True, kw_only=True, slots=True)
class Reading:
    """What a care plan file comes to in this household. Nothing of it is in force.

    Attributes:
        plan: The plan as it would hold here.
        animal: For which animal; none where it makes a new one.
        base: The version it would follow; none for the first.
        day: What it asks of today.
        sections: Everything it states, in words and as the file has it.
        changes: What it has otherwise than `base`.
        found: What speaks against it.
        agreement: Energy × volume × meals, worked out once more against the energy goal.
        differs: Where its household part is not this household's.
        syringes: Where other plans of the household name other syringes.
        by: By whose clock it is read; none while that is not chosen and must be.
        may_take_clock: Whether this household may still take over the file's clock.
        moments: From when on it may hold.
        seen: What a person saw of it; putting it in force repeats it.
    """

    plan: CarePlan
    animal: AnimalName | None
    base: StoredPlan | None
    day: DayPlan
    sections: tuple[Section, ...]
    changes: tuple[SectionChange, ...]
    found: PlanFindings
    agreement: Explained[float]
    differs: tuple[Disagreement, ...]
    syringes: tuple[str, ...]
    by: By | None
    may_take_clock: bool
    moments: tuple[Moment, ...]
    seen: str

    @property
    def base_number(self) -> int:
        """The number of the version it would follow, 0 for none."""
        return self.base.number if self.base else 0


@dataclass(frozen=True, kw_only=True, slots=True)
class Accepted:
    """What a lead saw of a plan and accepts.

    Attributes:
        plan: What the file says, as it was shown.
        animal_id: For which animal; none makes a new one, with the plan's name for it.
        clock: By whose name and clock it was read.
        seen: `Reading.seen` of what the lead saw.
        base_number: `Reading.base_number` of what the lead saw.
        when: From when on it holds.
    """

    plan: CarePlan
    animal_id: UUID | None
    clock: By | None
    seen: str
    base_number: int
    when: When | None


def read_for(
    *, household_id: UUID, by: UUID, plan: CarePlan, animal_id: UUID | None, clock: By | None, now: datetime
) -> Reading:
    """What a plan comes to in this household. Nothing changes.

    Args:
        household_id: Whose.
        by: The lead who takes it in.
        plan: What the file says.
        animal_id: For which animal; none for a new one.
        clock: By whose name and clock to read it, where both differ.
        now: The present instant.
    Raises:
        NotAllowed: `by` may not change the plan, or the animal lives elsewhere.
        FillmarkError: no day can be worked out of it.
    """
    household.check_person(household_id=household_id, by=by, what=Capability.CHANGE_PLAN, now=now)
    home = homes.find_home(household_id=household_id)
    animal = homes.find_animal(household_id=household_id, animal_id=animal_id) if animal_id else None
    base = _newest(home, animal)
    mine = _clock_of(home)
    people = {one.name: one.role.value for one in homes.caregivers(household_id)}
    differs = disagreements(plan, home=mine, people=people)
    may_take = _may_take_clock(home, animal)
    is_another_clock = (plan.household.time_zone, plan.household.day_starts) != (home.time_zone, home.day_starts)
    chosen = clock if may_take else By.HOME
    if chosen is None and not is_another_clock:
        chosen = By.HOME
    held = in_household(plan, home=mine) if chosen is By.HOME else plan
    on = household_day(at=now, time_zone=held.household.time_zone, day_starts=held.household.day_starts)
    names = [one.name for one in homes.animals(household_id)]
    old = base.plan if base else None
    found = check_plan(held, on=on, old=old, animal_name=animal.name if animal else None, others=names)
    day = _day_of(found)
    moments = tuple(
        Moment(when=when, at=at, findings=_meeting(held, home, animal, at))
        for when, at in _instants(held, old, on=on, now=now).items()
    )
    reading = Reading(
        plan=held,
        animal=animal,
        base=base,
        day=day,
        sections=say_plan(held),
        changes=compare_plans(old, held) if old else (),
        found=found,
        agreement=check_agreement(day),
        differs=differs,
        syringes=other_syringes(held, known=_other_plans(home, animal, now)),
        by=chosen,
        may_take_clock=may_take,
        moments=moments,
        seen="",
    )
    return _sealed(reading)


@transaction.atomic
def put_in_force(confirmed: Confirmation, accepted: Accepted) -> StoredPlan:
    """Make a plan that was shown the animal's next version. Pressed twice, it is still one version.

    Args:
        confirmed: Who confirms it, and what the vet said about it.
        accepted: What was shown to them.
    Raises:
        NotAllowed: this person may not change the plan.
        NotStated: something looks wrong and nobody has said that it is meant.
        BadPlan: it is no longer what was seen, somebody was faster, or no vet stands behind it.
    """
    home, by = homes.find_home(household_id=confirmed.household_id, lock=True), confirmed.by
    kept = _kept_already(home, accepted, by=by)
    if kept is not None:
        return kept
    reading = read_for(
        household_id=home.id,
        by=by,
        plan=accepted.plan,
        animal_id=accepted.animal_id,
        clock=accepted.clock,
        now=confirmed.now,
    )
    _check_nobody_was_faster(reading, accepted.base_number)
    _check_seen(reading, accepted.seen)
    _check_clock_is_chosen(reading)
    hold_back(reading.found, meant=confirmed.meant, vet_words=confirmed.answers)
    moment = next((one for one in reading.moments if one.when is accepted.when), None)
    if moment is None:
        raise BadPlan(
            field="when",
            got="A plan without a time from which on it holds",
            allowed="one of the times that are shown",
            remedy="Choose from when on it holds.",
        )
    if reading.by is By.FILE:
        part = reading.plan.household
        homes.set_home(household_id=home.id, name=part.name, time_zone=part.time_zone, day_starts=part.day_starts)
    animal = reading.animal or homes.add_animal(household_id=home.id, name=reading.plan.animal.name)
    # these stood beside the time that was chosen
    confirmed = replace(confirmed, meant=confirmed.meant | {one.key for one in moment.findings})
    return plans.adopt_plan(confirmed, animal_id=animal.id, document=reading.plan, effective_from=moment.at)


def _clock_of(home: Home) -> Clock:
    return Clock(name=home.name, time_zone=home.time_zone, day_starts=home.day_starts)


def _newest(home: Home, animal: AnimalName | None) -> StoredPlan | None:
    found = plan_versions.plans_of(household_id=home.id, animal_id=animal.id) if animal else ()
    return found[-1] if found else None


def _may_take_clock(home: Home, animal: AnimalName | None) -> bool:
    """Whether nothing is counted by the household's clock yet that another clock would count otherwise."""
    others = [one for one in homes.animals(home.id) if animal is None or one.id != animal.id]
    return home.last_seq == 0 and not any(_newest(home, one) for one in others)


def _other_plans(home: Home, animal: AnimalName | None, now: datetime) -> tuple[CarePlan, ...]:
    """The plans in force of the household's other animals."""
    others = [one for one in homes.animals(home.id) if animal is None or one.id != animal.id]
    found = (plan_versions.plan_at(household_id=home.id, animal_id=one.id, at=now) for one in others)
    return tuple(stored.plan for stored in found if stored)


def _day_of(found: PlanFindings) -> DayPlan:
    """The day; where it cannot be worked out, what looks like a slip is told with the reason."""
    if found.day is not None and found.fault is None:
        return found.day
    error = found.fault
    assert error is not None  # noqa: S101 - a plan without a day has a fault
    also = " ".join(one.text for one in (*found.of(Weight.NEEDS_VET), *found.of(Weight.ASKED)))
    if not also:
        raise error
    raise type(error)(
        field=error.field, got=error.got, allowed=error.allowed, remedy=f"{error.remedy} Look at this first: {also}"
    )


def _day_or_none(plan: CarePlan, on: date) -> DayPlan | None:
    try:
        return plan_day(plan, on=on)
    except FillmarkError:
        return None


def _sessions(plan: CarePlan, days: list[date]) -> list[PlannedSession]:
    found = (_day_or_none(plan, on) for on in days)
    return [session for day in found if day for session in day.sessions]


def _meeting(plan: CarePlan, home: Home, animal: AnimalName | None, at: datetime) -> tuple[Finding, ...]:
    meeting = plans.changeover(home=home, animal_id=animal.id, from_at=at) if animal else None
    return tuple(check_changeover(plan, meeting)) if meeting else ()


def _instants(plan: CarePlan, old: CarePlan | None, *, on: date, now: datetime) -> dict[When, datetime]:
    """Now, the next session of a plan that has one before, and the start of the household's next day."""
    home = plan.household
    days = [on - timedelta(days=1), on, on + timedelta(days=1), on + timedelta(days=2)]
    new_sessions = _sessions(plan, days[1:])
    old_sessions = _sessions(old, days) if old else []
    following = [session.at for session in (*old_sessions, *new_sessions) if session.at > now]
    instants = {When.NOW: now}
    if old is not None and following:
        instants[When.SESSION] = min(following)
    instants[When.DAY] = datetime.combine(days[2], home.day_starts, tzinfo=ZoneInfo(home.time_zone))
    return instants


def _sealed(reading: Reading) -> Reading:
    """The reading with the seal over everything that a person was shown of it."""
    shown = [
        write_plan(reading.plan),
        str(reading.animal.id if reading.animal else "new"),
        str(reading.base_number),
        str(reading.by),
        str(reading.day.on),
        *(
            f"{one.label} {one.meal_ml} {one.flush_ml} {[dose.amount for dose in one.medicines]}"
            for one in reading.day.sessions
        ),
        *(f"{one.key} {one.text}" for one in reading.found.findings),
        *(f"{one.when} {one.at.timestamp()}" for one in reading.moments if one.when is not When.NOW),
    ]
    return replace(reading, seen=sha256("\n".join(shown).encode()).hexdigest())


def _kept_already(home: Home, accepted: Accepted, *, by: UUID) -> StoredPlan | None:
    """The version that the same press has made before, if it has."""
    plan = accepted.plan
    held = plan if accepted.clock is By.FILE else in_household(plan, home=_clock_of(home))
    for animal in homes.animals(home.id):
        if accepted.animal_id not in (None, animal.id):
            continue
        kept = plan_versions.plans_of(household_id=home.id, animal_id=animal.id)
        newest = next((one for one in kept if one.number == accepted.base_number + 1), None)
        if newest is not None and is_same_but_for_answers(newest.plan, held) and newest.confirmed_by == by:
            return newest
    return None


def _check_nobody_was_faster(reading: Reading, base_number: int) -> None:
    base = reading.base
    if base is None or base.number == base_number:
        return
    name = homes.find_caregiver(household_id=base.household_id, person_id=base.confirmed_by).name
    at = base.recorded_at.astimezone(ZoneInfo(reading.plan.household.time_zone))
    raise BadPlan(
        field="base",
        got=f"A plan that was compared with version {base_number}, when {name} put version {base.number} in force at "
        f"{at:%H:%M} on {say_day(at)}",
        allowed=f"a plan that was compared with version {base.number}",
        remedy=f"Speak with {name}. Look at what changes against version {base.number} below, then confirm it.",
    )


def _check_seen(reading: Reading, seen: str) -> None:
    if reading.seen != seen:
        raise BadPlan(
            field="seen",
            got="A plan that is no longer read as it was shown",
            allowed="the plan as it was shown",
            remedy="Look at it again below, then confirm it.",
        )


def _check_clock_is_chosen(reading: Reading) -> None:
    if reading.by is None:
        raise BadPlan(
            field="household",
            got="A plan by another clock than this household's",
            allowed="the file's time zone and start of the day, or the household's",
            remedy="Choose by which of them this household lives.",
        )
