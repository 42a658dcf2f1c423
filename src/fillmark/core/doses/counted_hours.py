"""Into which session does a dose fall whose hours are counted from the first one ("every 36 hours")?

The order's own instants never move. A session within reach takes the dose along; else it makes a session of its own.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from fillmark.core.doses.giving import on_time_window, shortest_gap
from fillmark.core.orders.medicine import Medicine, hours_apart
from fillmark.core.values.errors import BadPlan
from fillmark.core.values.quantities import write_number
from fillmark.core.values.words import say_date

Sessions = Mapping[datetime, Sequence[Medicine]]
"""The medicines of each session of a day, by its instant."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Place:
    """When one dose is given.

    Attributes:
        at: The instant of its session, to the minute.
        caution: What a person must be told where that is further from the order's own time than the order allows.
    """

    at: datetime
    caution: str | None = None


def give_or_take(medicine: Medicine) -> timedelta:
    """How far from its own time such a dose may join a session, either way.

    Two neighbors that both move keep the least time between two doses; and no session is near two of them.

    Source:
        the vet's order; medicine.window_*
    """
    apart = timedelta(hours=medicine.every_hours or 0)
    return max(timedelta(0), min(on_time_window(medicine), (apart - shortest_gap(medicine)) / 2, apart / 4))


def place_dose(
    medicine: Medicine,
    *,
    due_at: datetime,
    sessions: Sessions,
    meals: Collection[datetime],
    from_at: datetime,
    until_at: datetime,
    zone: ZoneInfo,
) -> Place:
    """The session of one dose.

    Args:
        medicine: The order.
        due_at: The order's own time for it.
        sessions: What else is planned on this day.
        meals: Which of these have a meal.
        from_at: When the household's day begins.
        until_at: When it ends.
        zone: The household's; a time that the clock shows twice names no session.
    Raises:
        BadPlan: another medicine that it must be kept apart from leaves no time for it.
    Source:
        the vet's order; medicine.window_*
    """
    due_at = due_at.astimezone(UTC).replace(second=0, microsecond=0)
    reach = give_or_take(medicine)
    wants_food = medicine.food.relation != "any"
    near = [at for at in sessions if abs(at - due_at) <= reach and _keeps_apart(medicine, at, sessions)]
    if near:
        return Place(at=min(near, key=lambda at: (wants_food and at not in meals, abs(at - due_at), at)))
    farthest = timedelta(hours=medicine.every_hours or 0) / 2
    free = [
        at
        for at in (due_at, *_beside(medicine, due_at, sessions, zone))
        if from_at <= at < until_at
        and abs(at - due_at) < farthest
        and not at.astimezone(zone).fold
        and _keeps_apart(medicine, at, sessions)
    ]
    if not free:
        raise _no_place(medicine, due_at, sessions, zone)
    at = min(free, key=lambda at: (abs(at - due_at), at))
    return Place(at=at, caution=_caution(medicine, due_at, at, sessions, zone) if abs(at - due_at) > reach else None)


def _others(medicine: Medicine, sessions: Sessions) -> Iterator[tuple[datetime, Medicine, timedelta]]:
    """What must be kept apart from it on this day, and by how much."""
    for at, medicines in sessions.items():
        for other in medicines:
            if hours := hours_apart(medicine, other):
                yield at, other, timedelta(hours=hours)


def _keeps_apart(medicine: Medicine, at: datetime, sessions: Sessions) -> bool:
    return all(abs(at - other_at) >= gap for other_at, _, gap in _others(medicine, sessions))


def _beside(medicine: Medicine, due_at: datetime, sessions: Sessions, zone: ZoneInfo) -> Iterator[datetime]:
    """The first times that are free again: at the ends of each gap, and where the clock shows a time once."""
    for other_at, _, gap in _others(medicine, sessions):
        yield from (other_at - gap, other_at + gap)
    at = due_at
    while at.astimezone(zone).fold:
        at += timedelta(minutes=1)
    yield at


def _caution(medicine: Medicine, due_at: datetime, at: datetime, sessions: Sessions, zone: ZoneInfo) -> str:
    close = [(other, gap) for other_at, other, gap in _others(medicine, sessions) if abs(due_at - other_at) < gap]
    why = " and ".join(
        f"{write_number(gap.total_seconds() / 3600)} hours belong between it and {name}"
        for name, gap in {other.name: gap for other, gap in close}.items()
    )
    return (
        f"{medicine.name} is due at {due_at.astimezone(zone):%H:%M} by its order and stands at "
        f"{at.astimezone(zone):%H:%M}: {why or 'the clock shows that time twice'}. Ask the vet."
    )


def _no_place(medicine: Medicine, due_at: datetime, sessions: Sessions, zone: ZoneInfo) -> BadPlan:
    local = due_at.astimezone(zone)
    names = " and ".join(dict.fromkeys(other.name for _, other, _ in _others(medicine, sessions)))
    return BadPlan(
        field="medicines",
        got=f"{medicine.name}, due at {local:%H:%M} on {say_date(local)}, too close to {names} all day",
        allowed="the hours that must lie between them",
        remedy="Ask the vet how to give both on that day.",
    )
