"""Doses that were given, and what an answer about one says."""

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from enum import StrEnum
from functools import lru_cache
from zoneinfo import ZoneInfo

from fillmark.core.orders.dosing_days import counted_doses, is_dosing_day, nearest_counted
from fillmark.core.orders.medicine import Medicine, interval_hours, order_on
from fillmark.core.record.medicine_entries import Outcome
from fillmark.core.values.errors import BadEntry
from fillmark.core.values.words import say_date
from fillmark.published import Printed
from fillmark.published.medicine import (
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
    ANOTHER_DOSE = "another dose than ordered"
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
        """Whether nothing recorded or ordered speaks against it."""
        return self.answer is Answer.GIVE


class History:
    """The givings of one animal, found by medicine and time without reading them all."""

    def __init__(self, givings: Iterable[Giving]) -> None:
        self._by_medicine: dict[str, list[Giving]] = {}
        for giving in givings:
            check_aware(giving.at)
            if giving.outcome not in NOT_TAKEN:
                self._by_medicine.setdefault(giving.medicine_id, []).append(giving)
        self._times: dict[str, list[datetime]] = {}
        for medicine_id, taken in self._by_medicine.items():
            taken.sort(key=lambda giving: giving.at.astimezone(UTC))
            self._times[medicine_id] = [giving.at.astimezone(UTC) for giving in taken]

    def since(self, *, medicine_id: str, at: datetime) -> list[Giving]:
        """What may have gone in after an instant, oldest first; what is dated ahead of now is among it.

        Args:
            medicine_id: The order's id in the plan.
            at: The instant.
        """
        first = bisect_right(self._times.get(medicine_id, []), at.astimezone(UTC))
        return self._by_medicine.get(medicine_id, [])[first:]

    def last(self, *, medicine_id: str) -> Giving | None:
        """The newest dose that may have gone in."""
        taken = self._by_medicine.get(medicine_id)
        return taken[-1] if taken else None


def check_aware(at: datetime) -> None:
    """Refuse an instant without a time zone."""
    if at.tzinfo is None:
        raise BadEntry(
            field="at",
            got=f"The time {at:%H:%M} on {say_date(at)} without a zone",
            allowed="an instant with its time zone",
            remedy="Add the time zone of the household.",
        )


def window_minutes(*, interval_hours: float, is_time_critical: bool) -> tuple[float, Printed]:
    """How far from its planned time a dose still counts as on time [minutes either way].

    Args:
        interval_hours: From one dose to the next [hours].
        is_time_critical: Whether the order says so.
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


def longest_gap(medicine: Medicine) -> timedelta | None:
    """The most time between a dose and the next one on time, or late by the vet's word; None without an interval.

    Source:
        the vet's order; medicine.window_*
    """
    hours = interval_hours(medicine)
    if hours is None:
        return None
    late = timedelta(minutes=medicine.late_window_minutes or 0.0)
    return timedelta(hours=hours) + max(late, on_time_window(medicine))


def gap_between(medicine: Medicine, *, earlier_on: date, later_on: date) -> timedelta:
    """The least time between two doses of these days: where the rhythm changes between them, the shorter gap.

    Args:
        medicine: The order.
        earlier_on: Day of the earlier dose.
        later_on: Day of the later dose.
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
    """The planned time that a giving answers; of an order counted from its first dose, the one it is nearest to.

    Args:
        medicine: The order.
        giving: What went in.
        time_zone: The household's time zone, an IANA name.
    """
    if medicine.first_dose is not None:
        return nearest_counted(medicine, at=giving.planned_at or giving.at, time_zone=time_zone)
    return giving.planned_at.astimezone(UTC) if giving.planned_at is not None else None


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


def on_time_window(medicine: Medicine) -> timedelta:
    """How far from its planned time a dose of this order still counts as on time, either way.

    Source:
        medicine.window_*
    """
    hours = interval_hours(medicine)
    if hours is None:
        return timedelta(minutes=WINDOW_SEVERAL_MINUTES.value)
    return timedelta(minutes=window_minutes(interval_hours=hours, is_time_critical=medicine.time_critical)[0])
