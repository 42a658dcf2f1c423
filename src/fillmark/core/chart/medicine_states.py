"""Each medicine as it stands now."""

from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from fillmark.core.chart.dose_questions import DoseQuestion, find_questions
from fillmark.core.chart.givings import OrdersInForce, RecordedGiving, read_givings
from fillmark.core.chart.objections import BesideDose, Objection, find_last_meal, find_objections, say_giving
from fillmark.core.day.due import due_medicines, instant_of
from fillmark.core.doses.bottle_in_use import Bottle, newest_bottles, strength_lock
from fillmark.core.doses.giving import Answer, Decision, History, Verdict, planned_times
from fillmark.core.doses.may_give import may_give
from fillmark.core.orders.course import CourseNotes, course_notes
from fillmark.core.orders.dosing_days import is_in_course
from fillmark.core.orders.medicine import Medicine, interval_hours, order_on
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.entries import KeptEntry, household_day
from fillmark.core.values.errors import BadPlan
from fillmark.core.values.quantities import Volume
from fillmark.published.medicine import GAP_LIMITS_HOURS, ROLLING_DAY_HOURS


@dataclass(frozen=True, kw_only=True, slots=True)
class MedicineState:
    """Where one medicine of the plan stands now: for the first screen, and for the step of the walk.

    Attributes:
        last: The newest dose of which something may have gone in.
        last_record: The newest record of any outcome, left-out ones too.
        today: Every record of the household's day that counts, in the order they happened.
        decision: Whether it may be given now.
        objections: What a press made now would have to be explained against.
        next_at: The next planned time to come; none for what is given when needed.
        next_notes: Where that dose stands in its course.
        questions: What a person must answer first.
        bottle: The bottle in use, where one was recorded.
        alarms: What was given, without a word, while the bottle in use had another strength.
    """

    medicine: Medicine
    last: RecordedGiving | None
    last_record: RecordedGiving | None
    today: tuple[RecordedGiving, ...]
    decision: Decision
    objections: tuple[Objection, ...]
    next_at: datetime | None
    next_notes: CourseNotes
    questions: tuple[DoseQuestion, ...]
    bottle: Bottle | None
    alarms: tuple[str, ...]

    @property
    def is_locked(self) -> bool:
        """Whether the strength of the bottle in use is not the plan's."""
        return self.decision.verdict is Verdict.LOCKED

    @property
    def despite(self) -> tuple[UUID, ...]:
        """What a dose given now with a reason has to name."""
        return tuple(dict.fromkeys(one.id for objection in self.objections for one in objection.givings))


def _alarms(
    mine: Sequence[RecordedGiving],
    counting: Sequence[KeptEntry],
    *,
    orders: OrdersInForce,
    zone: ZoneInfo,
    now: datetime,
) -> Iterator[str]:
    """Doses that were written down, without a word, while the bottle in use had another strength than the plan."""
    for one in mine:
        if not one.may_have_gone_in or one.payload.reason is not None:
            continue
        order = orders.find(medicine_id=one.medicine_id, at=one.at)
        bottle = newest_bottles(other for other in counting if other.entry.at <= one.at).get(one.medicine_id)
        locked = strength_lock(order, bottle=bottle) if order is not None else None
        if locked is not None:
            amount = f" ({Volume(one.payload.ml)})" if one.payload.ml is not None else ""
            told = f"{say_giving(one, zone, beside=now)}{amount}, when {locked}"
            yield f"{told}. If it came out of that bottle, call the vet now."


_BLOCKS = {
    Verdict.LOCKED: "Draw none of it until a lead has read the new label.",
    Verdict.PAST_USE: "Ask the vet or the pharmacy before giving any of it.",
}
"""What about the bottle keeps a medicine waiting, and what to do."""


def read_medicines(
    plan: CarePlan, *, orders: OrdersInForce, entries: Iterable[KeptEntry], now: datetime
) -> tuple[MedicineState, ...]:
    """Where each medicine of the plan stands, in the plan's order.

    Args:
        plan: The plan in force now.
        orders: The order that held when.
        entries: With everything that corrects them; as far back as `reach` says, and the bottles in use.
        now: The present instant.
    Raises:
        BadEntry: an instant came without its zone.
    Source:
        the vet's order; medicine.window_*, medicine.late_acceptable
    """
    counting = counting_entries(entries)
    zone_name, day_starts = plan.household.time_zone, plan.household.day_starts
    givings = read_givings(counting, time_zone=zone_name)
    history = History(one.giving for one in givings)
    bottles = newest_bottles(counting)
    today = household_day(at=now, time_zone=zone_name, day_starts=day_starts)
    questions = find_questions(counting, orders=orders, time_zone=zone_name)
    last_meal_at = find_last_meal(counting, at=now)

    states = []
    for medicine in plan.medicines:
        mine = [one for one in givings if one.medicine_id == medicine.id]
        taken = [one for one in mine if one.may_have_gone_in]
        bottle, others = bottles.get(medicine.id), [other for other in plan.medicines if other.id != medicine.id]
        decision = may_give(
            medicine,
            now=now,
            time_zone=zone_name,
            history=history,
            others=others,
            last_meal_at=last_meal_at,
            day_starts=day_starts,
        )
        beside = BesideDose(givings=givings, others=others, bottle=bottle, last_meal_at=last_meal_at)
        objections = find_objections(medicine, at=now, on=today, beside=beside, time_zone=zone_name)
        decision = _with_objections(decision, objections, name=medicine.name)
        next_at = _next_at(medicine, plan, now=now, mine=mine)
        states.append(
            MedicineState(
                medicine=medicine,
                last=taken[-1] if taken else None,
                last_record=mine[-1] if mine else None,
                today=tuple(one for one in mine if one.kept.day == today),
                decision=decision,
                objections=objections,
                next_at=next_at,
                next_notes=_notes_at(medicine, plan, next_at, mine=mine),
                questions=tuple(one for one in questions if one.medicine.id == medicine.id),
                bottle=bottle,
                alarms=tuple(_alarms(mine, counting, orders=orders, zone=ZoneInfo(zone_name), now=now)),
            )
        )
    return tuple(states)


def _with_objections(decision: Decision, objections: Sequence[Objection], *, name: str) -> Decision:
    """What the order says of the next dose, unless its bottle or its doses so far say to ask first."""
    blocked = next((one for one in objections if one.verdict in _BLOCKS), None)
    if blocked is None or decision.verdict in (Verdict.HELD, Verdict.COURSE_ENDED):
        return decision
    return Decision(
        answer=Answer.ASK,
        verdict=blocked.verdict,
        because=f"{name} waits: {blocked.because}. {_BLOCKS[blocked.verdict]}",
        planned_at=decision.planned_at,
    )


_DAYS_AHEAD = int(GAP_LIMITS_HOURS.high // ROLLING_DAY_HOURS.value) + 1


def _next_at(medicine: Medicine, plan: CarePlan, *, now: datetime, mine: Sequence[RecordedGiving]) -> datetime | None:
    """The next planned time after now that nothing has been recorded for."""
    if medicine.when_needed is not None or medicine.held is not None:
        return None
    household = plan.household
    today = household_day(at=now, time_zone=household.time_zone, day_starts=household.day_starts)
    answered = {one.giving.planned_at for one in mine}
    for offset in range(_DAYS_AHEAD):
        on = today + timedelta(days=offset)
        if medicine.stop_on is not None and on > medicine.stop_on:
            return None
        if is_in_course(medicine, on=on):
            for at in _session_times(medicine, plan, on=on):
                if at > now and at not in answered:
                    return at
    hours = interval_hours(order_on(medicine, on=today))
    taken = [one.at for one in mine if one.may_have_gone_in]
    return taken[-1] + timedelta(hours=hours) if taken and hours is not None else None


def _notes_at(
    medicine: Medicine, plan: CarePlan, at: datetime | None, *, mine: Sequence[RecordedGiving]
) -> CourseNotes:
    """What is to be said of the dose of an instant about its course."""
    if at is None:
        return CourseNotes()
    household = plan.household
    day = household_day(at=at, time_zone=household.time_zone, day_starts=household.day_starts)
    is_last = medicine.stop_on is not None and _next_at(medicine, plan, now=at, mine=mine) is None
    return course_notes(medicine, on=day, is_last_dose=is_last)


def _session_times(medicine: Medicine, plan: CarePlan, *, on: date) -> tuple[datetime, ...]:
    """When the sessions of a day are that have a dose of it."""
    household = plan.household
    if medicine.first_dose is not None:
        with suppress(BadPlan):  # then its own times are all there is to say
            return tuple(
                instant_of(plan, on=on, clock=clock).astimezone(UTC)
                for clock, due in due_medicines(plan, on=on).items()
                if any(one.medicine.id == medicine.id for one in due)
            )
    if medicine.with_each_meal:
        medicine = medicine.model_copy(update={"clocks": plan.timetable.meals})
    return planned_times(medicine, on=on, time_zone=household.time_zone, day_starts=household.day_starts)
