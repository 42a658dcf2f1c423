"""How does the rest of today go on, after something came late, was missed, or while nobody is there?

A session keeps its identity and everything it holds; only when it comes changes, and what finds no time is skipped.
What has begun stands still. Nothing is given twice: what may have gone in counts as given until someone says otherwise.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import partial
from math import ceil
from zoneinfo import ZoneInfo

from fillmark.core.chart.givings import RecordedGiving
from fillmark.core.day.values import PlannedDose, PlannedSession
from fillmark.core.doses.giving import on_time_window, shortest_gap
from fillmark.core.orders.medicine import Medicine, order_on
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.sessions import SessionRecord, Standing
from fillmark.core.timetable import FLUSH, MEAL, Away, Movable, Regimen, place_rest
from fillmark.core.timetable.check import Event
from fillmark.core.timetable.rest import Rest
from fillmark.core.today.duties import names_of
from fillmark.core.today.new_times_cautions import TimesBeside, new_times_cautions
from fillmark.core.today.regimen import rules_of_the_rest
from fillmark.core.values.errors import BadPlan
from fillmark.core.values.explain import Explained
from fillmark.published.medicine import LATE_IS_FINE_HOURS
from fillmark.published.record_rules import STAYS_NEXT_MINUTES


@dataclass(frozen=True, kw_only=True, slots=True)
class TodaysSession:
    """One session of today.

    Attributes:
        ordered: As the plan has it.
        at: When it is to come by the newest word.
        record: What was recorded of it.
    """

    ordered: PlannedSession
    at: datetime
    record: SessionRecord

    @property
    def key(self) -> str:
        """The session's identity in the plan."""
        return self.ordered.key


@dataclass(frozen=True, kw_only=True, slots=True)
class NewTime:
    """A session still to come: when it was to come, and when now; None where all of it is skipped.

    Attributes:
        let_go: What of it is skipped: its name in words, and why.
    """

    ordered: PlannedSession
    old_at: datetime
    at: datetime | None
    let_go: tuple[tuple[str, str], ...]
    without: tuple[str, ...]

    @property
    def key(self) -> str:
        """The session's identity in the plan."""
        return self.ordered.key

    @property
    def has_meal(self) -> bool:
        """Whether it still holds a meal."""
        return self.at is not None and bool(self.ordered.meal_ml) and MEAL not in (what for what, _ in self.let_go)

    @property
    def is_changed(self) -> bool:
        """Whether it comes at another time than it was to, or without something."""
        return self.at != self.old_at or bool(self.let_go)


@dataclass(frozen=True, kw_only=True, slots=True)
class NewTimes:
    """The rest of today.

    Attributes:
        times: Every session still to come, in its planned order.
        ask: Sessions past their time of which nobody knows whether they were given.
        is_proven: Whether nothing that keeps the rules lets less go and moves less.
        cautions: What the new times would do to the doses, in words.
    """

    times: tuple[NewTime, ...]
    ask: tuple[str, ...]
    is_proven: bool
    cautions: tuple[str, ...] = ()


def session_minutes(session: PlannedSession) -> int:
    """How long a person is needed for it at least: waits, fills at their pace, time upright [minutes].

    Source:
        the vet's orders
    """
    return ceil(sum(step.minutes or 0.0 for step in session.steps))


def latest_at(medicine: Medicine, *, planned_at: datetime, next_at: datetime | None) -> datetime:
    """Until when a dose may still be given: by the vet's word or print, and never too close to the next one.

    Args:
        medicine: The order.
        planned_at: Its planned time.
        next_at: The planned time of the next dose of it; none where that is not known.
    Source:
        the vet's order; medicine.late_acceptable, medicine.window_*
    """
    stated = medicine.late_window_minutes
    late = timedelta(hours=LATE_IS_FINE_HOURS.value) if stated is None else timedelta(minutes=stated)
    latest = planned_at + max(late, on_time_window(medicine))
    if next_at is None:
        return latest
    # where the vet allows to be late, the next dose may wait inside its window
    give = timedelta(0) if stated is None else on_time_window(medicine)
    return min(latest, next_at + give - shortest_gap(medicine))


def is_to_come(session: TodaysSession, *, of: Sequence[TodaysSession], now: datetime) -> bool:
    """Whether a session is still offered: nothing is recorded of it nor of one after it, and it is not long past.

    Args:
        session: The one in question.
        of: All of today's sessions.
        now: The present instant.
    Source:
        record.stays_next_minutes
    """
    if session.record.standing is not Standing.NO_ENTRY or now - session.at > timedelta(
        minutes=STAYS_NEXT_MINUTES.value
    ):
        return False
    return session.at > now or not any(
        other.at > session.at and other.record.standing is not Standing.NO_ENTRY for other in of
    )


def propose_times(
    plan: CarePlan,
    *,
    today: Sequence[TodaysSession],
    around: Sequence[TodaysSession],
    givings: Sequence[RecordedGiving],
    now: datetime,
    on: date,
    ends_at: datetime,
    away: Away | None = None,
    again: Collection[str] = (),
) -> Explained[NewTimes]:
    """The rest of today, moved as little as the rules allow. It is a proposal: nothing is recorded.

    Args:
        plan: The plan in force.
        today: Every planned session of today.
        around: Those of yesterday and tomorrow.
        givings: The doses of these days, whatever became of them.
        now: The present instant.
        on: The household's day.
        ends_at: Its end.
        away: When nobody can come.
        again: Sessions past their time that someone says were not given, and that may be given late.
    Raises:
        BadPlan: a session of `again` is not one that anybody asks about.
        FillmarkError: the rules cannot be worked out of the plan.
    Source:
        the vet's orders; record.stays_next_minutes, medicine.late_acceptable, medicine.window_*
    """
    unknown = _unknown_sessions(today, again=again, now=now)
    coming = [one for one in today if one.key in again or is_to_come(one, of=today, now=now)]
    everything = [*around, *today]
    medicines = {dose.medicine.id: dose.medicine for one in everything for dose in one.ordered.medicines}
    tasks = {task.id: task for one in everything for task in one.ordered.tasks}
    rules = rules_of_the_rest(plan, medicines=tuple(medicines.values()), tasks=tuple(tasks.values()), on=on)
    names = names_of(plan)
    movable = [
        item for one in coming for item in _movable(one, of=everything, names=names, now=now, on=on, ends_at=ends_at)
    ]
    zone = ZoneInfo(plan.household.time_zone)
    given = list(_given(everything, coming=coming, givings=givings, names=names, rules=rules.value, now=now))
    after = [Event(what, one.at) for one in around if one.at >= ends_at for what in _holds(one.ordered, names)]
    place = partial(place_rest, regimen=rules.value, zone=zone, now=now, ends_at=ends_at)
    rest = place(given=given, movable=movable, after=after, away=_with_the_longest(away, coming))
    beside = TimesBeside(stands=[*given, *after], movable=movable, rest=rest)
    cautions = new_times_cautions(tuple(medicines.values()), beside, names=names, on=on, zone=zone)
    found = NewTimes(
        times=_new_times(coming, rest=rest, names=names),
        ask=tuple(key for key in unknown if key not in again),
        is_proven=rest.is_proven,
        cautions=tuple(cautions),
    )
    return _explained(found, rules=rules)


def _explained(found: NewTimes, *, rules: Explained[Regimen]) -> Explained[NewTimes]:
    moved = sum(one.is_changed for one in found.times)
    return Explained(
        value=found,
        because=f"{len(found.times)} sessions still to come, {moved} of them otherwise than they were to be",
        figures=(STAYS_NEXT_MINUTES, LATE_IS_FINE_HOURS),
        parts=(rules,),
    )


def _unknown_sessions(today: Sequence[TodaysSession], *, again: Collection[str], now: datetime) -> list[str]:
    unknown = [one.key for one in today if _is_unknown(one, of=today, now=now)]
    if not set(again) <= set(unknown):
        raise BadPlan(
            field="again",
            got="A session that someone has recorded meanwhile, or that is still to come",
            allowed="a session past its time without an entry",
            remedy="Look at the day again.",
        )
    return unknown


def _with_the_longest(away: Away | None, coming: Sequence[TodaysSession]) -> Away | None:
    """Nobody begins what they could not end before they leave."""
    if away is None or not coming:
        return away
    needed = max(session_minutes(one.ordered) for one in coming)
    return Away(away.from_at - timedelta(minutes=needed), away.until_at)


def _new_times(coming: Sequence[TodaysSession], *, rest: Rest, names: Mapping[str, str]) -> tuple[NewTime, ...]:
    """Each session with its new time, and what of it is skipped."""
    ids = {name: medicine for medicine, name in names.items()}
    times = []
    for one in coming:
        gone = [left for left in rest.let_go if left.session == one.key]
        times.append(
            NewTime(
                ordered=one.ordered,
                old_at=one.at,
                at=rest.at.get(one.key),
                let_go=tuple((left.what, left.because) for left in gone),
                without=tuple(ids[left.what] for left in gone if left.what in ids),
            )
        )
    return tuple(times)


def _is_unknown(session: TodaysSession, *, of: Sequence[TodaysSession], now: datetime) -> bool:
    return (
        session.record.standing is Standing.NO_ENTRY and session.at <= now and not is_to_come(session, of=of, now=now)
    )


_IN_HAND = (Standing.IN_HAND, Standing.PAUSED)
_SILENT = (Standing.NO_ENTRY, Standing.NOT_KNOWN)


def _holds(session: PlannedSession, names: Mapping[str, str]) -> Iterator[str]:
    yield from (names[dose.medicine.id] for dose in session.medicines if dose.medicine.id in names)
    yield from (task.name for task in session.tasks)
    if session.idle_flush_ml:
        yield FLUSH
    if session.meal_ml:
        yield MEAL


def _movable(
    one: TodaysSession,
    *,
    of: Sequence[TodaysSession],
    names: Mapping[str, str],
    now: datetime,
    on: date,
    ends_at: datetime,
) -> Iterator[Movable]:
    for dose in one.ordered.medicines:
        earliest, latest = now, ends_at
        if not dose.medicine.with_each_meal:
            order, planned_at = order_on(dose.medicine, on=on), dose.due_at or one.ordered.at
            window_from = planned_at - on_time_window(order)
            late = latest_at(order, planned_at=planned_at, next_at=_next_dose_at(dose, after=planned_at, of=of))
            # where its session stands by the plan, it may be given in any case
            earliest, latest = min(window_from, one.ordered.at), max(late, one.ordered.at)
        yield Movable(
            what=names[dose.medicine.id], session=one.key, usual_at=one.at, earliest_at=earliest, latest_at=latest
        )
    for what in (*(task.name for task in one.ordered.tasks), *((FLUSH,) if one.ordered.idle_flush_ml else ())):
        yield Movable(what=what, session=one.key, usual_at=one.at, earliest_at=now, latest_at=ends_at)
    if one.ordered.meal_ml:
        yield Movable(what=MEAL, session=one.key, usual_at=one.at, earliest_at=now, latest_at=ends_at)


def _next_dose_at(dose: PlannedDose, *, after: datetime, of: Sequence[TodaysSession]) -> datetime | None:
    planned = (
        other.due_at or one.ordered.at
        for one in of
        for other in one.ordered.medicines
        if other.medicine.id == dose.medicine.id
    )
    return min((at for at in planned if at > after), default=None)


def _given(
    sessions: Sequence[TodaysSession],
    *,
    coming: Sequence[TodaysSession],
    givings: Sequence[RecordedGiving],
    names: Mapping[str, str],
    rules: Regimen,
    now: datetime,
) -> Iterator[Event]:
    """What went in, or may have: what nobody knows counts as given, at its planned time."""
    known = {duty.name for duty in rules.duties}
    still = {one.key for one in coming}
    for giving in givings:
        if giving.may_have_gone_in and names.get(giving.medicine_id) in known:
            yield Event(names[giving.medicine_id], giving.at, is_given=True)
    for one in sessions:
        if one.key in still or one.at > now:
            continue
        told = {dose.medicine for dose in one.record.doses}
        is_in_hand = one.record.standing in _IN_HAND
        if is_in_hand or one.record.standing in _SILENT:
            for dose in one.ordered.medicines:
                if dose.medicine.id not in told:
                    yield Event(names[dose.medicine.id], now if is_in_hand else one.at, is_given=True)
        fed_at = _fed_at(one, now=now)
        if fed_at is not None:
            yield Event(MEAL, fed_at, is_given=True)


def _fed_at(one: TodaysSession, *, now: datetime) -> datetime | None:
    """When blend last went in, or may have; the distance to the next meal counts from here."""
    record = one.record
    if record.standing in _IN_HAND:
        return now if one.ordered.meal_ml else None
    last_at = record.fills[-1].at if record.fills else record.last_at
    if record.standing in _SILENT:
        return (last_at or one.at) if one.ordered.meal_ml else None
    return last_at if record.blend is not None and record.blend.high_ml > 0 else None
