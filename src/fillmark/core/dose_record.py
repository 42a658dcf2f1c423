"""What does the record say of each medicine: was it given, may this one stand beside it, what must a person answer?

Two doses closer than the order allows are kept when a person says why, or when they arrive late from a phone without a
signal; nothing that happened is refused for good. What nobody has explained stays an open question.
"""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from enum import StrEnum
from uuid import UUID
from zoneinfo import ZoneInfo

from fillmark.core.course import CourseNotes, course_notes
from fillmark.core.day import due_medicines, instant_of
from fillmark.core.double_check import Checked, find_check
from fillmark.core.entries import FillGiven, KeptEntry, MealEnded, MedicineGiven, household_day
from fillmark.core.errors import BadPlan, NeedsReason
from fillmark.core.giving import (
    NOT_TAKEN,
    Answer,
    Decision,
    Giving,
    History,
    Verdict,
    day_maximum,
    gap_between,
    interval_hours,
    may_give,
    planned_times,
    shortest_gap,
    why_stopped,
)
from fillmark.core.ledger import Clash, are_told, counting_entries, find_told
from fillmark.core.medicine import Medicine, is_in_course, order_on, rhythms
from fillmark.core.plan import CarePlan
from fillmark.core.quantities import Volume, write_number
from fillmark.core.supplies import Bottle, drawn_dose, last_use, newest_bottles, strength_lock
from fillmark.published.medicine import GAP_LIMITS_HOURS, ROLLING_DAY_HOURS


@dataclass(frozen=True, kw_only=True, slots=True)
class RecordedGiving:
    """One record of a dose that counts, with what the questions about it need.

    Attributes:
        giving: The same for the rules of giving.
        planned_at: The planned time of its session.
    """

    kept: KeptEntry
    payload: MedicineGiven
    giving: Giving

    @property
    def id(self) -> UUID:
        return self.kept.entry.id

    @property
    def medicine_id(self) -> str:
        return self.payload.medicine

    @property
    def at(self) -> datetime:
        return self.kept.entry.at.astimezone(UTC)

    @property
    def may_have_gone_in(self) -> bool:
        """Whether anything of it may have gone in."""
        return self.payload.outcome not in NOT_TAKEN


class Orders:
    """Which order of a medicine held when, by the versions of the plan.

    Args:
        versions: From when on each version holds, oldest first.
    """

    def __init__(self, versions: Iterable[tuple[datetime, CarePlan]]) -> None:
        self._versions = [(from_at.astimezone(UTC), plan) for from_at, plan in versions]
        self._starts = [from_at for from_at, _ in self._versions]

    def plan_at(self, at: datetime) -> CarePlan | None:
        """The plan in force at an instant; before the first, the first."""
        return self._versions[self._place(at)][1] if self._versions else None

    def find(self, *, medicine_id: str, at: datetime) -> Medicine | None:
        """The order in force at an instant; where none was, the last one before it, or else the first after it."""
        place = self._place(at)
        nearest = (*reversed(self._versions[: place + 1]), *self._versions[place + 1 :])
        orders = (order for _, plan in nearest for order in plan.medicines)
        return next((order for order in orders if order.id == medicine_id), None)

    def _place(self, at: datetime) -> int:
        return max(0, bisect_right(self._starts, at.astimezone(UTC)) - 1)


def reach(medicines: Iterable[Medicine]) -> timedelta:
    """How far back a giving can still speak against the next one."""
    spans = [timedelta(hours=2 * ROLLING_DAY_HOURS.value)]
    for order in (one for medicine in medicines for one in rhythms(medicine)):
        spans.append(shortest_gap(order))
        spans += [timedelta(hours=apart.hours) for apart in order.apart_from]
        spans.append(timedelta(hours=2 * (interval_hours(order) or 0)))
    return min(max(spans), timedelta(hours=GAP_LIMITS_HOURS.high))


def read_givings(entries: Iterable[KeptEntry], *, time_zone: str) -> tuple[RecordedGiving, ...]:
    """The doses among entries that count, in the order they happened, whatever became of them."""
    zone = ZoneInfo(time_zone)
    found = []
    for one in entries:
        payload = one.entry.payload
        if isinstance(payload, MedicineGiven):
            giving = Giving(
                medicine_id=payload.medicine,
                at=one.entry.at,
                by=one.by_name,
                outcome=payload.outcome,
                planned_at=_planned_at(payload.session, zone),
            )
            found.append(RecordedGiving(kept=one, payload=payload, giving=giving))
    return tuple(sorted(found, key=lambda one: (one.at, one.id)))


def _planned_at(session: str | None, zone: ZoneInfo) -> datetime | None:
    return datetime.fromisoformat(session).replace(tzinfo=zone).astimezone(UTC) if session else None


class QuestionKind(StrEnum):
    """Why a person is asked about doses that were recorded."""

    TOO_CLOSE = "too close"
    OVER_MAXIMUM = "over the day's maximum"


@dataclass(frozen=True, kw_only=True, slots=True)
class DoseQuestion:
    """Doses that the order does not allow so close together, and that nobody has explained: did all of them happen?

    "No" is answered by withdrawing what did not happen; "yes" by a `both_given` that names them, with why.
    """

    kind: QuestionKind
    medicine: Medicine
    givings: tuple[RecordedGiving, ...]
    text: str

    @property
    def clash(self) -> Clash:
        """The same as the ledger's question."""
        return Clash(what=f"the medicine {self.medicine.id}", entry_ids=tuple(one.id for one in self.givings))


def find_questions(
    entries: Iterable[KeptEntry], *, orders: Orders, time_zone: str, medicine_id: str | None = None
) -> tuple[DoseQuestion, ...]:
    """Every open question about doses that stand too close, or are too many.

    Args:
        entries: Those that count, of one animal, in any order.
        orders: The order that held at each of them.
        time_zone: The household's.
        medicine_id: Only about this one.
    Source:
        the vet's order; medicine.window_*, medicine.rolling_day
    """
    counting = tuple(entries)
    told = find_told(counting)
    questions = []
    for medicine, taken in _taken_by_medicine(read_givings(counting, time_zone=time_zone)):
        if medicine_id not in (None, medicine):
            continue
        for place in range(1, len(taken)):
            order = orders.find(medicine_id=medicine, at=taken[place].at)
            pair = taken[place - 1 : place + 1]
            if order and _too_close(*pair, order=order) and not are_told((one.id for one in pair), told=told):
                questions.append(
                    DoseQuestion(
                        kind=QuestionKind.TOO_CLOSE,
                        medicine=order,
                        givings=tuple(pair),
                        text=_ask_pair(order, pair, ZoneInfo(time_zone)),
                    )
                )
        questions += _over_maximum(medicine, taken, orders=orders, told=told)
    return tuple(questions)


def _taken_by_medicine(givings: Iterable[RecordedGiving]) -> Iterable[tuple[str, list[RecordedGiving]]]:
    found: dict[str, list[RecordedGiving]] = defaultdict(list)
    for one in givings:
        if one.may_have_gone_in:
            found[one.medicine_id].append(one)
    return sorted(found.items())


def _too_close(earlier: RecordedGiving, later: RecordedGiving, *, order: Medicine) -> bool:
    return later.at - earlier.at < _gap(earlier, later, order=order)


def _gap(earlier: RecordedGiving, later: RecordedGiving, *, order: Medicine) -> timedelta:
    return gap_between(order, earlier_on=earlier.kept.day, later_on=later.kept.day)


def _over_maximum(
    medicine_id: str, taken: Sequence[RecordedGiving], *, orders: Orders, told: Sequence[frozenset[UUID]]
) -> list[DoseQuestion]:
    """One question for each stretch of doses that are too many together."""
    questions: list[DoseQuestion] = []
    for place, one in enumerate(taken):
        order = orders.find(medicine_id=medicine_id, at=one.at)
        limit = day_maximum(order_on(order, on=one.kept.day)) if order else None
        if order is None or limit is None:
            continue
        most, day = limit
        together = tuple(other for other in taken[: place + 1] if other.at > one.at - day)
        if len(together) <= most or are_told((other.id for other in together), told=told):
            continue
        if questions and questions[-1].givings[-1] in together:
            joined = dict.fromkeys((*(other.id for other in questions[-1].givings), *(other.id for other in together)))
            together = tuple(other for other in taken if other.id in joined)
            questions.pop()
        questions.append(
            DoseQuestion(
                kind=QuestionKind.OVER_MAXIMUM,
                medicine=order,
                givings=together,
                text=f"{order.name}: {len(together)} doses within a day or little more, when {most} in 24 hours is the "
                "most. Did all of them happen?",
            )
        )
    return questions


def _ask_pair(order: Medicine, pair: Sequence[RecordedGiving], zone: ZoneInfo) -> str:
    earlier, later = pair
    return (
        f"{order.name}: {_who_when(earlier, zone, beside=later.at)} and {_who_when(later, zone)} on "
        f"{later.at.astimezone(zone):%Y-%m-%d}, {_span(later.at - earlier.at)} apart, "
        f"when at least {_hours(_gap(earlier, later, order=order))} lie between two doses. Did both happen?"
    )


def _who_when(one: RecordedGiving, zone: ZoneInfo, *, beside: datetime | None = None) -> str:
    return f"{one.kept.by_name} at {_clock(one.at, zone, beside=beside)}"


def _hours(gap: timedelta) -> str:
    hours = gap.total_seconds() / 3600
    return f"{write_number(hours)} hour{'' if hours == 1 else 's'}"


def _span(span: timedelta) -> str:
    minutes = round(span.total_seconds() / 60)
    if minutes >= 60:
        return _hours(timedelta(minutes=minutes))
    return f"{minutes} minute{'' if minutes == 1 else 's'}"


@dataclass(frozen=True, kw_only=True, slots=True)
class Objection:
    """What speaks against giving a dose at an instant.

    Attributes:
        because: A clause that follows "when": "Noor gave it at 07:02 and 6 hours lie between two doses".
        givings: The doses it stands too close to.
        free_at: From when on this holds no more.
    """

    verdict: Verdict
    because: str
    givings: tuple[RecordedGiving, ...] = ()
    free_at: datetime | None = None


def find_objections(
    medicine: Medicine,
    *,
    at: datetime,
    on: date,
    givings: Sequence[RecordedGiving],
    time_zone: str,
    bottle: Bottle | None = None,
) -> tuple[Objection, ...]:
    """All that speaks against one dose at an instant: the order, the bottle, the doses before and after it.

    Args:
        medicine: The order in force at that instant.
        at: When the dose is, or was, given.
        on: The household's day it counts for.
        givings: The other doses that count, in the order they happened.
        time_zone: The household's.
        bottle: The bottle in use, if one was recorded.
    Source:
        the vet's order; medicine.window_*, medicine.rolling_day
    """
    zone, instant = ZoneInfo(time_zone), at.astimezone(UTC)
    found = []
    stopped = why_stopped(medicine, today=on)
    if stopped is not None:
        found.append(Objection(verdict=stopped.verdict, because=stopped.because.rstrip(".")))
    locked = strength_lock(medicine, bottle=bottle)
    if locked is not None:
        found.append(Objection(verdict=Verdict.LOCKED, because=locked))
    until = last_use(bottle, time_zone=time_zone) if bottle is not None else None
    if until is not None and at.astimezone(zone).date() > until.value:
        found.append(
            Objection(verdict=Verdict.PAST_USE, because=f"the last day of use of its bottle was {until.value}")
        )
    taken = [one for one in givings if one.medicine_id == medicine.id and one.may_have_gone_in]
    gaps = [
        (one, gap_between(medicine, earlier_on=min(one.kept.day, on), later_on=max(one.kept.day, on))) for one in taken
    ]
    close = [(one, gap) for one, gap in gaps if abs(one.at - instant) < gap]
    if close:
        told = " and ".join(_told(one, zone, beside=at) for one, _ in close)
        gap, free_at = max(gap for _, gap in close), max(one.at + gap for one, gap in close)
        found.append(
            Objection(
                verdict=Verdict.TOO_SOON,
                because=f"{told}, and at least {_hours(gap)} lie between two doses",
                givings=tuple(one for one, _ in close),
                free_at=free_at,
            )
        )
    limit = day_maximum(order_on(medicine, on=on))
    if limit is not None:
        most, day = limit
        together = _fullest_day(taken, instant=instant, day=day)
        if len(together) >= most:
            found.append(
                Objection(
                    verdict=Verdict.OVER_MAXIMUM,
                    because=f"{len(together)} are recorded within 24 hours, and {most} is the most",
                    givings=tuple(together),
                    free_at=together[len(together) - most].at + day,
                )
            )
    return tuple(found)


def _fullest_day(taken: Sequence[RecordedGiving], *, instant: datetime, day: timedelta) -> list[RecordedGiving]:
    """The most of these that one span of a day holds together with an instant."""
    ends = [instant, *(one.at for one in taken if instant < one.at < instant + day)]
    days = ([one for one in taken if end - day < one.at <= end] for end in ends)
    return max(days, key=len)


def _told(one: RecordedGiving, zone: ZoneInfo, *, beside: datetime) -> str:
    outcome = one.payload.outcome.value
    verb = "gave it" if outcome == "given" else f'wrote "{outcome}"'
    return f"{one.kept.by_name} {verb} at {_clock(one.at, zone, beside=beside)}"


def check_reason(
    candidate: KeptEntry,
    *,
    entries: Iterable[KeptEntry],
    orders: Orders,
    time_zone: str,
) -> None:
    """Refuse a press that would write a dose the record or the plan speaks against, without a typed reason.

    Args:
        candidate: What the press would write, as the record would keep it.
        entries: What the record holds, with all corrections; what is far from the candidate may be left out.
        orders: The order that held when.
        time_zone: The household's.
    Raises:
        NeedsReason: it speaks against it; who gave it when, and until when to wait.
    Source:
        the vet's order; medicine.window_*, medicine.rolling_day
    """
    payload = candidate.entry.payload
    if not isinstance(payload, MedicineGiven) or payload.outcome in NOT_TAKEN or payload.reason is not None:
        return
    medicine = orders.find(medicine_id=payload.medicine, at=candidate.entry.at)
    if medicine is None:
        return
    counting = counting_entries((*entries, candidate))
    givings = read_givings(counting, time_zone=time_zone)
    mine = next((one for one in givings if one.id == candidate.entry.id), None)
    if mine is None:  # something newer has already taken its place
        return
    others = [one for one in givings if one.id != mine.id]
    objections = [
        *find_objections(
            medicine,
            at=candidate.entry.at,
            on=candidate.day,
            givings=others,
            time_zone=time_zone,
            # a dose that is written down later came out of the bottle that was in use then
            bottle=newest_bottles(one for one in counting if one.entry.at <= candidate.entry.at).get(medicine.id),
        ),
        *_second_check_missing(medicine, mine, counting, orders=orders),
    ]
    if objections:
        raise _needs_reason(medicine, at=candidate.entry.at, objections=objections, zone=ZoneInfo(time_zone))


def _needs_reason(medicine: Medicine, *, at: datetime, objections: Sequence[Objection], zone: ZoneInfo) -> NeedsReason:
    free_at = max((one.free_at for one in objections if one.free_at is not None), default=None)
    may_wait = free_at is not None and all(one.free_at is not None for one in objections)
    return NeedsReason(
        field="reason",
        got=f"{medicine.name} at {_clock(at, zone)}, when {'; '.join(one.because for one in objections)}",
        allowed=f"not before {_clock(free_at, zone, beside=at)}, or with a typed reason"
        if free_at is not None and may_wait
        else "with a typed reason",
        remedy="If it has not gone in, let another person read the syringe first. If it has, write why nobody did."
        if all(one.verdict is Verdict.NOT_CHECKED for one in objections)
        else "If it has not gone in, do not give it. If it has, write why; ask the vet before giving any more of it.",
        despite=tuple(dict.fromkeys(one.id for objection in objections for one in objection.givings)),
        free_at=free_at if may_wait else None,
    )


def _clock(at: datetime, zone: ZoneInfo, *, beside: datetime | None = None) -> str:
    """A local time of day, with its date where that is another one than that of the time beside it."""
    local = at.astimezone(zone)
    is_same_day = beside is None or local.date() == beside.astimezone(zone).date()
    return f"{local:%H:%M}" if is_same_day else f"{local:%H:%M} on {local:%Y-%m-%d}"


def find_second_check(
    giving: RecordedGiving, *, medicine: Medicine, entries: Iterable[KeptEntry], plan: CarePlan | None
) -> Checked | None:
    """What a second person read for a recorded dose, if anyone did.

    Args:
        giving: The dose.
        medicine: The order in force when it was given.
        entries: Those that count.
        plan: The plan in force then, for the mark.
    Source:
        record.second_check_minutes
    """
    drawn = drawn_dose(medicine, plan, on=giving.kept.day) if plan is not None else None
    if drawn is None:
        return None
    return find_check(
        entries,
        medicine_id=medicine.id,
        session=giving.payload.session,
        at=giving.at,
        by=giving.kept.by,
        drawn=drawn,
    )


def _second_check_missing(
    medicine: Medicine, mine: RecordedGiving, counting: Sequence[KeptEntry], *, orders: Orders
) -> list[Objection]:
    if not medicine.second_check:
        return []
    checked = find_second_check(mine, medicine=medicine, entries=counting, plan=orders.plan_at(mine.at))
    if checked is not None and checked.agrees:
        return []
    because = (
        "the plan asks for a second person to read the syringe, and nobody else has"
        if checked is None
        else f"{checked.by_name} read {checked.read} as the second person, which is not the dose"
    )
    return [Objection(verdict=Verdict.NOT_CHECKED, because=because)]


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
    mine: Sequence[RecordedGiving], counting: Sequence[KeptEntry], *, orders: Orders, zone: ZoneInfo, now: datetime
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
            told = f"{_told(one, zone, beside=now)}{amount}, when {locked}"
            yield f"{told}. If it came out of that bottle, call the vet now."


_BLOCKS = {
    Verdict.LOCKED: "Draw none of it until a lead has read the new label.",
    Verdict.PAST_USE: "Ask the vet or the pharmacy before giving any of it.",
}
"""What about the bottle keeps a medicine waiting, and what to do."""


def read_medicines(
    plan: CarePlan, *, orders: Orders, entries: Iterable[KeptEntry], now: datetime
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
    last_meal_at = max(
        (one.entry.at for one in counting if isinstance(one.entry.payload, FillGiven | MealEnded)), default=None
    )
    states = []
    for medicine in plan.medicines:
        mine = [one for one in givings if one.medicine_id == medicine.id]
        taken = [one for one in mine if one.may_have_gone_in]
        bottle = bottles.get(medicine.id)
        decision = may_give(
            medicine,
            now=now,
            time_zone=zone_name,
            history=history,
            others=[other for other in plan.medicines if other.id != medicine.id],
            last_meal_at=last_meal_at,
            day_starts=day_starts,
        )
        objections = find_objections(medicine, at=now, on=today, givings=mine, time_zone=zone_name, bottle=bottle)
        blocked = next((one for one in objections if one.verdict in _BLOCKS), None)
        if blocked is not None and decision.verdict not in (Verdict.HELD, Verdict.COURSE_ENDED):
            decision = Decision(
                answer=Answer.ASK,
                verdict=blocked.verdict,
                because=f"{medicine.name} waits: {blocked.because}. {_BLOCKS[blocked.verdict]}",
                planned_at=decision.planned_at,
            )
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
