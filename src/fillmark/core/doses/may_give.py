"""May this dose be given now?"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from functools import cached_property
from math import ceil
from zoneinfo import ZoneInfo

from fillmark.core.doses.dose_clock import DoseClock, dose_clock
from fillmark.core.doses.giving import (
    MIDNIGHT,
    Answer,
    Decision,
    Giving,
    History,
    Verdict,
    answers,
    check_aware,
    on_time_window,
    planned_times,
    shortest_gap,
)
from fillmark.core.doses.spacing import close_doses, close_others, over_maximum, stomach_empty_at
from fillmark.core.orders.dosing_days import is_in_course, rhythms
from fillmark.core.orders.medicine import Medicine, interval_hours, order_on
from fillmark.core.record.entries import household_day
from fillmark.core.record.medicine_entries import Outcome
from fillmark.core.values.quantities import write_number
from fillmark.core.values.words import say_day, say_time
from fillmark.published.medicine import (
    LATE_IS_FINE_HOURS,
    ROLLING_DAY_HOURS,
)


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
    check_aware(now)
    moment = _Moment(medicine=medicine, now=now, zone=ZoneInfo(time_zone), day_starts=day_starts)
    # the rhythm of today decides, the whole order says what is planned on other days
    order = order_on(medicine, on=moment.today)
    if planned_at is None and _is_planned(order):
        planned_at = _open_time(medicine, moment, history=history)
    by_the_clock = _by_the_clock(medicine, order, moment, planned_at=planned_at, history=history)
    checks = (
        why_stopped(medicine, today=moment.today),
        _answered(medicine, moment, planned_at=planned_at, history=history),
        _after_last(medicine, order, moment, history=history),
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
    because = f"{decision.because} Not before {say_time(free_at, moment.zone, beside=now)}."
    return replace(decision, free_at=free_at, because=because)


def find_dose_clock(medicine: Medicine, *, planned_at: datetime, time_zone: str, day_starts: time) -> DoseClock:
    """When a planned dose of a medicine is early, due, late and too late.

    Args:
        medicine: The order.
        planned_at: Its planned time, or the one that today's new times give it.
        time_zone: The household's.
        day_starts: When the household's day begins.
    Source:
        the vet's order; medicine.window_*, medicine.late_acceptable
    """
    moment = _Moment(medicine=medicine, now=planned_at, zone=ZoneInfo(time_zone), day_starts=day_starts)
    order = order_on(medicine, on=moment.today)
    following = _next_time(order, moment, planned_at=planned_at)
    return dose_clock(order, planned_at=planned_at, following=following)


@dataclass(frozen=True, kw_only=True)
class _Moment:
    """This instant in the household's zone and day, for one order; what is asked more than once is worked out once."""

    medicine: Medicine
    now: datetime
    zone: ZoneInfo
    day_starts: time

    @cached_property
    def today(self) -> date:
        return self.day_of(self.now)

    @cached_property
    def times(self) -> list[datetime]:
        """The planned times before and after, of the course's own days; at least one each where there is."""
        medicine = self.medicine
        hours = max(interval_hours(order) or 0.0 for order in rhythms(medicine))
        reach = ceil(hours / ROLLING_DAY_HOURS.value) if hours > ROLLING_DAY_HOURS.value else 1
        days = (self.today + timedelta(days=offset) for offset in range(-reach, reach + 1))
        return [
            at
            for day in days
            if is_in_course(medicine, on=day)
            for at in planned_times(medicine, on=day, time_zone=self.zone.key, day_starts=self.day_starts)
        ]

    def day_of(self, at: datetime) -> date:
        """The household's day of an instant."""
        return household_day(at=at, time_zone=self.zone.key, day_starts=self.day_starts)


def why_stopped(medicine: Medicine, *, today: date) -> Decision | None:
    """Why an order is not in use on a day: on hold, not begun, or over; None while it is in use.

    Args:
        medicine: The order.
        today: The household's day.
    Source:
        the vet's order
    """
    if medicine.held is not None:
        return Decision(
            answer=Answer.ASK, verdict=Verdict.HELD, because=f"{medicine.name} is on hold: {medicine.held.rstrip('.')}."
        )
    if medicine.start_on is not None and today < medicine.start_on:
        return Decision(
            answer=Answer.WAIT,
            verdict=Verdict.NOT_STARTED,
            because=f"{medicine.name} starts on {say_day(medicine.start_on)}.",
        )
    if medicine.stop_on is not None and today > medicine.stop_on:
        return Decision(
            answer=Answer.LEAVE_OUT,
            verdict=Verdict.COURSE_ENDED,
            because=f"The last day of {medicine.name} was {say_day(medicine.stop_on)}.",
        )
    return None


def _told(giving: Giving, zone: ZoneInfo, *, now: datetime) -> str:
    """Who did what, when, as a sentence."""
    when = say_time(giving.at, zone, beside=now)
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


def _after_last(medicine: Medicine, order: Medicine, moment: _Moment, *, history: History) -> Decision | None:
    reach = shortest_gap(order)
    taken = history.since(medicine_id=medicine.id, at=moment.now - reach)
    close = close_doses(medicine, taken, at=moment.now, on=moment.today, day_of=lambda one: moment.day_of(one.at))
    if not close:
        return None
    last, gap = close[-1]
    hours = write_number(gap.total_seconds() / 3600)
    not_known = last.outcome is Outcome.NOT_KNOWN
    return Decision(
        answer=Answer.ASK if not_known else Answer.WAIT,
        verdict=Verdict.NOT_KNOWN if not_known else Verdict.TOO_SOON,
        because=f"{_told(last, moment.zone, now=moment.now)} At least {hours} hours lie between two doses.",
        free_at=last.at.astimezone(UTC) + gap,
    )


def _maximum(medicine: Medicine, *, now: datetime, history: History) -> Decision | None:
    if medicine.max_per_day is None and medicine.when_needed is None:
        return None
    day = timedelta(hours=ROLLING_DAY_HOURS.value)
    found = over_maximum(medicine, history.since(medicine_id=medicine.id, at=now - day), at=now)
    if found is None:
        return None
    together, most, free_at = found
    return Decision(
        answer=Answer.WAIT,
        verdict=Verdict.OVER_MAXIMUM,
        because=f"{medicine.name}: {len(together)} in 24 hours, and {most} is the most.",
        free_at=free_at,
        figures=(ROLLING_DAY_HOURS,),
    )


def _apart(
    medicine: Medicine, *, now: datetime, others: Sequence[Medicine], history: History, zone: ZoneInfo
) -> Decision | None:
    close = close_others(medicine, others=others, history=history, at=now)
    if not close:
        return None
    last = max(close, key=lambda one: one.free_at)
    return Decision(
        answer=Answer.WAIT,
        verdict=Verdict.KEEP_APART,
        because=f"{last.other.name} was given at {say_time(last.giving.at, zone, beside=now)}; "
        f"{write_number(last.hours)} hours belong between them.",
        free_at=last.free_at,
    )


def _empty_stomach(medicine: Medicine, *, now: datetime, last_meal_at: datetime | None) -> Decision | None:
    free_at = stomach_empty_at(medicine, last_meal_at=last_meal_at)
    if free_at is None or now.astimezone(UTC) >= free_at:
        return None
    return Decision(
        answer=Answer.WAIT,
        verdict=Verdict.AFTER_FOOD,
        because=f"{medicine.name} needs an empty stomach, {write_number(medicine.food.after_minutes or 0)} minutes "
        "after food.",
        free_at=free_at,
    )


def _open_time(medicine: Medicine, moment: _Moment, *, history: History) -> datetime | None:
    """The newest planned time that has come and was not answered; else the next."""
    times, now = moment.times, moment.now
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
    clock = dose_clock(order, planned_at=planned_at, following=_next_time(order, moment, planned_at=planned_at))
    when = say_time(planned_at, moment.zone, beside=now)
    stands = clock.verdict(now)
    if stands is Verdict.EARLY:
        return Decision(
            answer=Answer.WAIT,
            verdict=stands,
            because=f"It is planned for {when}.",
            free_at=clock.early_until,
            planned_at=planned_at,
        )
    if stands is Verdict.DUE:
        return Decision(answer=Answer.GIVE, verdict=stands, because=f"It is planned for {when}.", planned_at=planned_at)
    return _late(medicine, order, moment, clock=clock, planned_at=planned_at)


def _late(medicine: Medicine, order: Medicine, moment: _Moment, *, clock: DoseClock, planned_at: datetime) -> Decision:
    """After its window: by the vet's word where there is one; never so that two doses come close."""
    now, zone = moment.now, moment.zone
    late = f"It was planned for {say_time(planned_at, zone, beside=now)}"
    words = f" The vet said: {medicine.missed_dose_words}" if medicine.missed_dose_words else ""
    following, allowed = clock.following, medicine.late_window_minutes
    if clock.verdict(now) is Verdict.TOO_LATE:
        next_one = f" The next is due at {say_time(following, zone, beside=now)}." if following else ""
        return Decision(
            answer=Answer.LEAVE_OUT if clock.is_too_close(now) or words else Answer.ASK,
            verdict=Verdict.TOO_LATE,
            because=f"{late}, too long ago.{next_one} Leave this one out, write it down, and never give two at once."
            f"{words}",
            planned_at=planned_at,
        )
    moves = ""
    if medicine.first_dose is not None and following is not None:  # only the vet moves what is counted
        moves = f", and whether the next one keeps its time, {say_time(following, zone, beside=now)}"
    if not clock.asks_vet(now):
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
    keeps = f"keep the next time, {say_time(following, moment.zone, beside=moment.now)}"
    return keeps if medicine.missed_dose_words else f"{keeps}; ask the vet whether the doses after it move too"


def _is_planned(order: Medicine) -> bool:
    """Whether its times are known ahead; all else counts from the last dose."""
    hours = interval_hours(order)
    is_daily = hours is None or hours <= ROLLING_DAY_HOURS.value
    return order.first_dose is not None or (bool(order.clocks) and (is_daily or order.start_on is not None))


def _next_time(order: Medicine, moment: _Moment, *, planned_at: datetime) -> datetime | None:
    """The planned time after one; none for what counts from the last dose, since that moves with it."""
    if not _is_planned(order):
        return None
    return next((at for at in moment.times if at > planned_at.astimezone(UTC)), None)
