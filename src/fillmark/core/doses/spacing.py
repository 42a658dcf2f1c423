"""What must lie between a dose and the other doses of it, food, or another medicine?"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Protocol, TypeVar

from fillmark.core.doses.giving import Giving, History, day_maximum, gap_between
from fillmark.core.orders.medicine import Medicine, hours_apart


class Taken(Protocol):
    """A dose of which something may have gone in."""

    @property
    def at(self) -> datetime:
        """When that was, zone-aware."""


TakenT = TypeVar("TakenT", bound=Taken)


def close_doses(
    medicine: Medicine, taken: Iterable[TakenT], *, at: datetime, on: date, day_of: Callable[[TakenT], date]
) -> list[tuple[TakenT, timedelta]]:
    """The doses of a medicine that one of an instant would come too close to, each with the gap that is asked for.

    Args:
        medicine: The order.
        taken: Its other doses of which something may have gone in.
        at: The instant.
        on: The household's day that the dose counts for.
        day_of: The same of each of the others.
    Source:
        the vet's order; medicine.window_*
    """
    instant = at.astimezone(UTC)
    gaps = [
        (one, gap_between(medicine, earlier_on=min(day, on), later_on=max(day, on)))
        for one in taken
        for day in [day_of(one)]
    ]
    return [(one, gap) for one, gap in gaps if abs(one.at.astimezone(UTC) - instant) < gap]


def over_maximum(
    order: Medicine, taken: Sequence[TakenT], *, at: datetime
) -> tuple[Sequence[TakenT], int, datetime] | None:
    """The most doses of a day that one of an instant would exceed; none where it would not.

    Args:
        order: The order with the rhythm of that day.
        taken: Its other doses of which something may have gone in, oldest first.
        at: The instant.
    Returns:
        The doses that one span of a day holds together with it, the most, and from when on this holds no more.
    Source:
        the vet's order; medicine.rolling_day, medicine.window_*
    """
    limit = day_maximum(order)
    if limit is None:
        return None
    (most, day), instant = limit, at.astimezone(UTC)
    times = [one.at.astimezone(UTC) for one in taken]
    ends = [instant, *(other for other in times if instant < other < instant + day)]
    days = [[one for one, other in zip(taken, times, strict=True) if end - day < other <= end] for end in ends]
    together = max(days, key=len)
    if len(together) < most:
        return None
    return together, most, together[len(together) - most].at.astimezone(UTC) + day


@dataclass(frozen=True, kw_only=True, slots=True)
class CloseOther:
    """Another medicine that was given too close to a dose; `free_at` is when that is over."""

    other: Medicine
    giving: Giving
    hours: float

    @property
    def free_at(self) -> datetime:
        """When enough time lies between them."""
        return self.giving.at.astimezone(UTC) + timedelta(hours=self.hours)


def close_others(
    medicine: Medicine, *, others: Iterable[Medicine], history: History, at: datetime
) -> tuple[CloseOther, ...]:
    """Each other medicine that must be kept apart from a dose of an instant and was given too close, its newest dose.

    Args:
        medicine: The order.
        others: The other medicines of the plan.
        history: What was given, of all medicines.
        at: The instant.
    Source:
        the vet's order
    """
    now, found = at.astimezone(UTC), []
    for other in others:
        hours = hours_apart(medicine, other)
        if not hours:
            continue
        gap = timedelta(hours=hours)
        near = [one for one in history.since(medicine_id=other.id, at=now - gap) if one.at.astimezone(UTC) < now + gap]
        if near:
            found.append(CloseOther(other=other, giving=near[-1], hours=hours))
    return tuple(found)


def stomach_empty_at(medicine: Medicine, *, last_meal_at: datetime | None) -> datetime | None:
    """From when on the stomach is empty enough for a dose that needs it so; none where the order asks for nothing.

    Args:
        medicine: The order.
        last_meal_at: When food last went in; none where none did.
    Source:
        the vet's order
    """
    minutes = medicine.food.after_minutes
    if medicine.food.relation != "empty stomach" or minutes is None or last_meal_at is None:
        return None
    return last_meal_at.astimezone(UTC) + timedelta(minutes=minutes)
