"""May this be given now? One answer with its reason, from the order and from what was given.

Gaps are time that really went by, so that a changed clock can neither shorten nor double one. A dose is never made up
for by a larger one, and a dose whose outcome nobody knows counts as given.
"""

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from enum import StrEnum
from functools import lru_cache
from math import ceil
from zoneinfo import ZoneInfo

from fillmark.core.entries import Outcome, household_day
from fillmark.core.errors import BadEntry
from fillmark.core.medicine import (
    Medicine,
    counted_doses,
    hours_apart,
    is_dosing_day,
    is_in_course,
    nearest_counted,
    order_on,
    rhythms,
)
from fillmark.core.quantities import write_number
from fillmark.published import Printed
from fillmark.published.medicine import (
    LATE_IS_FINE_HOURS,
    ROLLING_DAY_HOURS,
    SAME_MEAL_MINUTES,
    WINDOW_DAILY_MINUTES,
    WINDOW_FREQUENT_BELOW_HOURS,
    WINDOW_FREQUENT_FRACTION,
    WINDOW_SEVERAL_MINUTES,
    WINDOW_TIME_CRITICAL_MINUTES,
)

NOT_TAKEN = frozenset({Outcome.HELD, Outcome.REFUSED, Outcome.MISSED})
"""Outcomes after which nothing went in. Every other one may have, and counts against the next dose."""


class Verdict(StrEnum):
    """Where a dose stands."""

    DUE = "due"
    EARLY = "early"
    LATE = "late"
    TOO_LATE = "too late"
    ALREADY_GIVEN = "already given"
    NOT_KNOWN = "last one not known"
    TOO_SOON = "too soon after the last"
    OVER_MAXIMUM = "over the day's maximum"
    KEEP_APART = "too close to another medicine"
    AFTER_FOOD = "too soon after food"
    NOT_STARTED = "not started yet"
    COURSE_ENDED = "course ended"
    HELD = "held"
    LOCKED = "locked: strength changed"
    PAST_USE = "past the bottle's last day"
    NOT_CHECKED = "second check missing"
    WHEN_NEEDED = "when needed"


class Answer(StrEnum):
    """What to do with it."""

    GIVE = "give"
    WAIT = "wait"
    ASK = "ask the vet"
    LEAVE_OUT = "leave out"


@dataclass(frozen=True, kw_only=True, slots=True)
class Giving:
    """What became of one dose, as the record has it.

    Attributes:
        at: When it happened, zone-aware.
        by: Who wrote it.
        planned_at: The planned time it answers, where there was one.
    """

    medicine_id: str
    at: datetime
    by: str
    outcome: Outcome
    planned_at: datetime | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Decision:
    """Whether one dose may be given at an instant.

    Attributes:
        because: The reason, as a sentence.
        free_at: From when on it may be given, where waiting helps.
        planned_at: The planned time this was judged against.
    """

    answer: Answer
    verdict: Verdict
    because: str
    free_at: datetime | None = None
    planned_at: datetime | None = None
    figures: tuple[Printed, ...] = ()

    @property
    def may_be_given(self) -> bool:
        return self.answer is Answer.GIVE


class History:
    """The givings of one animal, found by medicine and time without reading them all."""

    def __init__(self, givings: Iterable[Giving]) -> None:
        self._by_medicine: dict[str, list[Giving]] = {}
        for giving in givings:
            _check_aware(giving.at)
            if giving.outcome not in NOT_TAKEN:
                self._by_medicine.setdefault(giving.medicine_id, []).append(giving)
        self._times: dict[str, list[datetime]] = {}
        for medicine_id, taken in self._by_medicine.items():
            taken.sort(key=lambda giving: giving.at.astimezone(UTC))
            self._times[medicine_id] = [giving.at.astimezone(UTC) for giving in taken]

    def since(self, *, medicine_id: str, at: datetime) -> list[Giving]:
        """What may have gone in after an instant, oldest first; what is dated ahead of now is among it."""
        first = bisect_right(self._times.get(medicine_id, []), at.astimezone(UTC))
        return self._by_medicine.get(medicine_id, [])[first:]

    def last(self, *, medicine_id: str) -> Giving | None:
        """The newest dose that may have gone in."""
        taken = self._by_medicine.get(medicine_id)
        return taken[-1] if taken else None


def _check_aware(at: datetime) -> None:
    if at.tzinfo is None:
        raise BadEntry(
            field="at",
            got=f"The time {at:%Y-%m-%d %H:%M} without a zone",
            allowed="an instant with its time zone",
            remedy="Add the time zone of the household.",
        )


def interval_hours(medicine: Medicine) -> float | None:
    """How far apart two doses stand by the order [hours]; None when it has no interval."""
    if medicine.every_hours is not None:
        return medicine.every_hours
    if medicine.times_per_day is not None:
        return ROLLING_DAY_HOURS.value / medicine.times_per_day
    return None


def window_minutes(*, interval_hours: float, is_time_critical: bool) -> tuple[float, Printed]:
    """How far from its planned time a dose still counts as on time [minutes either way].

    Source:
        medicine.window_*
    """
    if is_time_critical:
        return WINDOW_TIME_CRITICAL_MINUTES.value, WINDOW_TIME_CRITICAL_MINUTES
    if interval_hours >= ROLLING_DAY_HOURS.value:
        return WINDOW_DAILY_MINUTES.value, WINDOW_DAILY_MINUTES
    if interval_hours < WINDOW_FREQUENT_BELOW_HOURS.value:
        return WINDOW_FREQUENT_FRACTION.value * interval_hours * 60, WINDOW_FREQUENT_FRACTION
    return WINDOW_SEVERAL_MINUTES.value, WINDOW_SEVERAL_MINUTES


def on_time(*, planned_at: datetime, given_at: datetime, interval_hours: float, is_time_critical: bool) -> str:
    """Whether a dose was "early", "on time" or "late".

    Source:
        medicine.window_*
    """
    off = (given_at.astimezone(UTC) - planned_at.astimezone(UTC)).total_seconds() / 60
    window, _ = window_minutes(interval_hours=interval_hours, is_time_critical=is_time_critical)
    return "early" if off < -window else "late" if off > window else "on time"


def shortest_gap(medicine: Medicine) -> timedelta:
    """The least time between two doses: the vet's where stated, else what two doses on time can have between them.

    Source:
        the vet's order; medicine.window_*
    """
    if medicine.when_needed is not None:
        return timedelta(hours=max(medicine.when_needed.min_gap_hours, medicine.min_gap_hours or 0.0))
    if medicine.min_gap_hours is not None:
        return timedelta(hours=medicine.min_gap_hours)
    hours = interval_hours(medicine)
    if hours is None:
        return timedelta(minutes=SAME_MEAL_MINUTES.value)
    window, _ = window_minutes(interval_hours=hours, is_time_critical=medicine.time_critical)
    return timedelta(hours=hours) - 2 * timedelta(minutes=window)


def gap_between(medicine: Medicine, *, earlier_on: date, later_on: date) -> timedelta:
    """The least time between two doses of these days: where the rhythm changes between them, the shorter gap.

    Source:
        the vet's order; medicine.window_*
    """
    return min(shortest_gap(order_on(medicine, on=day)) for day in (earlier_on, later_on))


MIDNIGHT = time(0)


def planned_times(medicine: Medicine, *, on: date, time_zone: str, day_starts: time = MIDNIGHT) -> tuple[datetime, ...]:
    """The instants of a day at which a medicine is planned, earliest first.

    A time that the clocks skip is moved on by what they skip; one that comes twice means the first. So a day of 23 or
    25 hours has exactly as many doses as any other. What is given less often than daily is planned from its first day
    on, and has no planned times while that day is not stated. An order whose hours are counted from its first dose has
    true hours between any two.

    Args:
        medicine: The order.
        on: The day.
        time_zone: The household's.
        day_starts: When the household's day begins; it may reach past midnight.
    """
    if medicine.first_dose is not None:
        zone = ZoneInfo(time_zone)
        from_at, until_at = (
            datetime.combine(day, day_starts, tzinfo=zone).astimezone(UTC) for day in (on, on + timedelta(days=1))
        )
        return counted_doses(medicine, from_at=from_at, until_at=until_at, time_zone=time_zone)
    if not is_dosing_day(medicine, on=on):
        return ()
    return _instants(order_on(medicine, on=on).clocks, on, time_zone, day_starts)


@lru_cache(maxsize=4096)  # asked for the same few days at every look at the screen
def _instants(clocks: tuple[time, ...], on: date, time_zone: str, day_starts: time) -> tuple[datetime, ...]:
    zone, after = ZoneInfo(time_zone), on + timedelta(days=1)
    walls = (datetime.combine(on if clock >= day_starts else after, clock, tzinfo=zone) for clock in clocks)
    return tuple(sorted(wall.astimezone(UTC) for wall in walls))


def answers(medicine: Medicine, giving: Giving, *, time_zone: str) -> datetime | None:
    """The planned time that a giving answers; of an order counted from its first dose, the one it is nearest to."""
    if medicine.first_dose is not None:
        return nearest_counted(medicine, at=giving.planned_at or giving.at, time_zone=time_zone)
    return giving.planned_at.astimezone(UTC) if giving.planned_at is not None else None


def may_give(
    medicine: Medicine,
    *,
    now: datetime,
    time_zone: str,
    history: History,
    planned_at: datetime | None = None,
    others: Sequence[Medicine] = (),
    last_meal_at: datetime | None = None,
    day_starts: time = MIDNIGHT,
) -> Decision:
    """Decide whether one dose of one medicine may be given at this instant.

    What forbids is looked at first, then what asks to wait, then the clock.

    Args:
        medicine: The order.
        now: This instant.
        time_zone: The household's.
        history: What was given, of all medicines.
        planned_at: The planned time meant; without it, the newest one that is open, or else the next.
        others: The other medicines of the plan, for the gaps to them.
        last_meal_at: When the last meal ended, for an empty stomach.
        day_starts: When the household's day begins: a course ends with the household's day.
    Raises:
        BadEntry: an instant came without its zone.
    Source:
        the vet's order; medicine.window_*, medicine.late_acceptable
    """
    _check_aware(now)
    moment = _Moment(now=now, zone=ZoneInfo(time_zone), day_starts=day_starts)
    # the rhythm of today decides, the whole order says what is planned on other days
    order = order_on(medicine, on=moment.today)
    if planned_at is None and _is_planned(order):
        planned_at = _open_time(medicine, moment, history=history)
    by_the_clock = _by_the_clock(medicine, order, moment, planned_at=planned_at, history=history)
    checks = (
        why_stopped(medicine, today=moment.today),
        _answered(medicine, moment, planned_at=planned_at, history=history),
        _after_last(medicine, moment, history=history),
        _maximum(order, now=now, history=history),
        _apart(medicine, now=now, others=others, history=history, zone=moment.zone),
        _empty_stomach(medicine, now=now, last_meal_at=last_meal_at),
        by_the_clock,
    )
    found = [check for check in checks if check is not None]
    decision = found[0]
    if decision.free_at is None:
        return decision
    # the first reason is told, but what it names is the time at which nothing stands in the way any more
    free_at = max(check.free_at for check in found if check.free_at is not None)
    because = f"{decision.because} Not before {_when(free_at, moment.zone, now=now)}."
    return replace(decision, free_at=free_at, because=because)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Moment:
    """This instant in the household's zone and day."""

    now: datetime
    zone: ZoneInfo
    day_starts: time

    @property
    def today(self) -> date:
        return self.day_of(self.now)

    def day_of(self, at: datetime) -> date:
        """The household's day of an instant."""
        return household_day(at=at, time_zone=self.zone.key, day_starts=self.day_starts)


def _when(at: datetime, zone: ZoneInfo, *, now: datetime) -> str:
    local, today = at.astimezone(zone), now.astimezone(zone).date()
    return f"{local:%H:%M}" if local.date() == today else f"{local:%H:%M} on {local:%Y-%m-%d}"


def why_stopped(medicine: Medicine, *, today: date) -> Decision | None:
    """Why an order is not in use on a day: on hold, not begun, or over; None while it is in use.

    Source:
        the vet's order
    """
    if medicine.held is not None:
        return Decision(
            answer=Answer.ASK, verdict=Verdict.HELD, because=f"{medicine.name} is on hold: {medicine.held.rstrip('.')}."
        )
    if medicine.start_on is not None and today < medicine.start_on:
        return Decision(
            answer=Answer.WAIT, verdict=Verdict.NOT_STARTED, because=f"{medicine.name} starts on {medicine.start_on}."
        )
    if medicine.stop_on is not None and today > medicine.stop_on:
        return Decision(
            answer=Answer.LEAVE_OUT,
            verdict=Verdict.COURSE_ENDED,
            because=f"The last day of {medicine.name} was {medicine.stop_on}.",
        )
    return None


def _told(giving: Giving, zone: ZoneInfo, *, now: datetime) -> str:
    """Who did what, when, as a sentence."""
    when = _when(giving.at, zone, now=now)
    if giving.outcome is Outcome.NOT_KNOWN:
        return f"Nobody knows whether the dose of {when} ({giving.by}) went in."
    if giving.outcome is Outcome.GIVEN:
        return f"{giving.by} gave it at {when}."
    return f"{giving.by} wrote at {when}: {giving.outcome.value}."


def _answered(medicine: Medicine, moment: _Moment, *, planned_at: datetime | None, history: History) -> Decision | None:
    """The planned dose has been dealt with."""
    if planned_at is None:
        return None
    zone = moment.zone
    for giving in history.since(medicine_id=medicine.id, at=planned_at - timedelta(hours=ROLLING_DAY_HOURS.value)):
        if answers(medicine, giving, time_zone=zone.key) != planned_at.astimezone(UTC):
            continue
        if giving.outcome is Outcome.GIVEN:
            return Decision(
                answer=Answer.LEAVE_OUT,
                verdict=Verdict.ALREADY_GIVEN,
                because=f"{_told(giving, zone, now=planned_at)} Never give it twice.",
                planned_at=planned_at,
            )
        return Decision(
            answer=Answer.ASK,
            verdict=Verdict.NOT_KNOWN if giving.outcome is Outcome.NOT_KNOWN else Verdict.ALREADY_GIVEN,
            because=f"{_told(giving, zone, now=planned_at)} Ask the vet before giving any more of it.",
            planned_at=planned_at,
        )
    return None


def _after_last(medicine: Medicine, moment: _Moment, *, history: History) -> Decision | None:
    last = history.last(medicine_id=medicine.id)
    if last is None:
        return None
    gap = gap_between(medicine, earlier_on=moment.day_of(last.at), later_on=moment.today)
    free_at = last.at.astimezone(UTC) + gap
    if moment.now.astimezone(UTC) >= free_at:
        return None
    hours = write_number(gap.total_seconds() / 3600)
    not_known = last.outcome is Outcome.NOT_KNOWN
    return Decision(
        answer=Answer.ASK if not_known else Answer.WAIT,
        verdict=Verdict.NOT_KNOWN if not_known else Verdict.TOO_SOON,
        because=f"{_told(last, moment.zone, now=moment.now)} At least {hours} hours lie between two doses.",
        free_at=free_at,
    )


def day_maximum(medicine: Medicine) -> tuple[int, timedelta] | None:
    """The most doses by the order, and the span of real time in which they are counted; None without such a word.

    Source:
        the vet's order; medicine.rolling_day, medicine.window_*
    """
    gate = medicine.when_needed
    stated = (medicine.max_per_day, gate.max_per_day if gate else None)
    most = min((number for number in stated if number is not None), default=None)
    if most is None:
        return None
    day = timedelta(hours=ROLLING_DAY_HOURS.value)
    hours = interval_hours(medicine)
    if hours is not None:
        # doses on time may come a little early every day; that is no larger dose
        window, _ = window_minutes(interval_hours=hours, is_time_critical=medicine.time_critical)
        day -= 2 * timedelta(minutes=window)
    return most, day


def _maximum(medicine: Medicine, *, now: datetime, history: History) -> Decision | None:
    limit = day_maximum(medicine)
    if limit is None:
        return None
    most, day = limit
    taken = history.since(medicine_id=medicine.id, at=now - day)
    if len(taken) < most:
        return None
    free_at = taken[len(taken) - most].at.astimezone(UTC) + day
    return Decision(
        answer=Answer.WAIT,
        verdict=Verdict.OVER_MAXIMUM,
        because=f"{medicine.name}: {len(taken)} in 24 hours, and {most} is the most.",
        free_at=free_at,
        figures=(ROLLING_DAY_HOURS,),
    )


def _apart(
    medicine: Medicine, *, now: datetime, others: Sequence[Medicine], history: History, zone: ZoneInfo
) -> Decision | None:
    waits = [
        (last.at.astimezone(UTC) + timedelta(hours=hours), other, last, hours)
        for other in others
        if (hours := hours_apart(medicine, other)) and (last := history.last(medicine_id=other.id))
    ]
    if not waits:
        return None
    free_at, other, last, hours = max(waits, key=lambda wait: wait[0])
    if now.astimezone(UTC) >= free_at:
        return None
    return Decision(
        answer=Answer.WAIT,
        verdict=Verdict.KEEP_APART,
        because=f"{other.name} was given at {_when(last.at, zone, now=now)}; {write_number(hours)} hours belong "
        "between them.",
        free_at=free_at,
    )


def _empty_stomach(medicine: Medicine, *, now: datetime, last_meal_at: datetime | None) -> Decision | None:
    minutes = medicine.food.after_minutes
    if medicine.food.relation != "empty stomach" or minutes is None or last_meal_at is None:
        return None
    free_at = last_meal_at.astimezone(UTC) + timedelta(minutes=minutes)
    if now.astimezone(UTC) >= free_at:
        return None
    return Decision(
        answer=Answer.WAIT,
        verdict=Verdict.AFTER_FOOD,
        because=f"{medicine.name} needs an empty stomach, {write_number(minutes)} minutes after food.",
        free_at=free_at,
    )


def _around(medicine: Medicine, moment: _Moment) -> list[datetime]:
    """The planned times before and after this instant, of the course's own days; at least one each where there is."""
    hours = max(interval_hours(order) or 0.0 for order in rhythms(medicine))
    reach = ceil(hours / ROLLING_DAY_HOURS.value) if hours > ROLLING_DAY_HOURS.value else 1
    days = (moment.today + timedelta(days=offset) for offset in range(-reach, reach + 1))
    return [
        at
        for day in days
        if is_in_course(medicine, on=day)
        for at in planned_times(medicine, on=day, time_zone=moment.zone.key, day_starts=moment.day_starts)
    ]


def _open_time(medicine: Medicine, moment: _Moment, *, history: History) -> datetime | None:
    """The newest planned time that has come and was not answered; else the next."""
    times, now = _around(medicine, moment), moment.now
    if not times:
        return None
    window = on_time_window(order_on(medicine, on=moment.today))
    recent = history.since(medicine_id=medicine.id, at=times[0] - timedelta(hours=ROLLING_DAY_HOURS.value))
    answered = {answers(medicine, giving, time_zone=moment.zone.key) or _nearest(times, giving.at) for giving in recent}
    has_come = [at for at in times if at - window <= now]
    if has_come and has_come[-1] not in answered:
        return has_come[-1]
    return next((at for at in times if at - window > now and at not in answered), None)


def _nearest(times: Sequence[datetime], at: datetime) -> datetime:
    return min(times, key=lambda planned: abs(planned - at.astimezone(UTC)))


def on_time_window(medicine: Medicine) -> timedelta:
    """How far from its planned time a dose of this order still counts as on time, either way.

    Source:
        medicine.window_*
    """
    hours = interval_hours(medicine)
    if hours is None:
        return timedelta(minutes=WINDOW_SEVERAL_MINUTES.value)
    return timedelta(minutes=window_minutes(interval_hours=hours, is_time_critical=medicine.time_critical)[0])


def _by_the_clock(
    medicine: Medicine, order: Medicine, moment: _Moment, *, planned_at: datetime | None, history: History
) -> Decision:
    now = moment.now
    hours = interval_hours(order)
    last = history.last(medicine_id=medicine.id)
    if planned_at is None and hours is not None and last is not None:
        planned_at = last.at.astimezone(UTC) + timedelta(hours=hours)
    if medicine.when_needed is not None:
        return Decision(
            answer=Answer.GIVE, verdict=Verdict.WHEN_NEEDED, because=f"Only for: {medicine.when_needed.reason}"
        )
    if planned_at is None:
        return Decision(answer=Answer.GIVE, verdict=Verdict.DUE, because=f"{medicine.name} is due.")
    off = now.astimezone(UTC) - planned_at.astimezone(UTC)
    window = on_time_window(order)
    when = _when(planned_at, moment.zone, now=now)
    if off < -window:
        return Decision(
            answer=Answer.WAIT,
            verdict=Verdict.EARLY,
            because=f"It is planned for {when}.",
            free_at=planned_at.astimezone(UTC) - window,
            planned_at=planned_at,
        )
    if off <= window:
        return Decision(
            answer=Answer.GIVE, verdict=Verdict.DUE, because=f"It is planned for {when}.", planned_at=planned_at
        )
    return _late(medicine, order, moment, planned_at=planned_at, off=off)


def _late(medicine: Medicine, order: Medicine, moment: _Moment, *, planned_at: datetime, off: timedelta) -> Decision:
    """After its window: by the vet's word where there is one; never so that two doses come close."""
    now, zone = moment.now, moment.zone
    late = f"It was planned for {_when(planned_at, zone, now=now)}"
    words = f" The vet said: {medicine.missed_dose_words}" if medicine.missed_dose_words else ""
    following = _next_time(medicine, order, moment, planned_at=planned_at)
    allowed = medicine.late_window_minutes
    # where the vet allows to be late, the next dose may have to wait inside its window; it is never lost
    latest_next = following and following + (on_time_window(order) if allowed is not None else timedelta(0))
    too_close = latest_next is not None and now.astimezone(UTC) + shortest_gap(order) > latest_next
    if too_close or (allowed is not None and off > timedelta(minutes=allowed)):
        next_one = f" The next is due at {_when(following, zone, now=now)}." if following else ""
        return Decision(
            answer=Answer.LEAVE_OUT if too_close or words else Answer.ASK,
            verdict=Verdict.TOO_LATE,
            because=f"{late}, too long ago.{next_one} Leave this one out, write it down, and never give two at once."
            f"{words}",
            planned_at=planned_at,
        )
    moves = ""
    if medicine.first_dose is not None and following is not None:  # only the vet moves what is counted
        moves = f", and whether the next one keeps its time, {_when(following, zone, now=now)}"
    if allowed is not None or off <= timedelta(hours=LATE_IS_FINE_HOURS.value):
        return Decision(
            answer=Answer.GIVE,
            verdict=Verdict.LATE,
            because=f"{late}. Give it now and {_after_a_late_one(medicine, order, moment, following)}.{words}",
            planned_at=planned_at,
            figures=() if allowed is not None else (LATE_IS_FINE_HOURS,),
        )
    return Decision(
        answer=Answer.ASK,
        verdict=Verdict.LATE,
        because=f"{late}, more than {write_number(LATE_IS_FINE_HOURS.value)} hours ago. Ask the vet whether to give "
        f"it{moves}; never give two at once.{words}",
        planned_at=planned_at,
        figures=(LATE_IS_FINE_HOURS,),
    )


def _after_a_late_one(medicine: Medicine, order: Medicine, moment: _Moment, following: datetime | None) -> str:
    """What becomes of the next dose: it keeps its time; where hours are counted, only the vet moves what follows."""
    if not _is_planned(order):
        return "count the next one from now"
    if medicine.first_dose is None or following is None:
        return "keep the next time"
    keeps = f"keep the next time, {_when(following, moment.zone, now=moment.now)}"
    return keeps if medicine.missed_dose_words else f"{keeps}; ask the vet whether the doses after it move too"


def _is_planned(order: Medicine) -> bool:
    """Whether its times are known ahead; all else counts from the last dose."""
    hours = interval_hours(order)
    is_daily = hours is None or hours <= ROLLING_DAY_HOURS.value
    return order.first_dose is not None or (bool(order.clocks) and (is_daily or order.start_on is not None))


def _next_time(medicine: Medicine, order: Medicine, moment: _Moment, *, planned_at: datetime) -> datetime | None:
    """The planned time after one; none for what counts from the last dose, since that moves with it."""
    if not _is_planned(order):
        return None
    return next((at for at in _around(medicine, moment) if at > planned_at.astimezone(UTC)), None)
