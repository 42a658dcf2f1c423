"""A journey into another time zone: the day moved a little each day."""

import itertools
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from fillmark.core.timetable.clock import DAY_MINUTES, instant_at, write_duration
from fillmark.core.timetable.day import Timetable
from fillmark.core.timetable.regimen import MEAL, BeforeMeal, EmptyStomach, Regimen
from fillmark.core.values.errors import BadPlan


@dataclass(frozen=True, kw_only=True, slots=True)
class Trip:
    """The way from one time zone's usual day to another's, a little each session.

    Attributes:
        days: For each day from the first, the instants of the usual sessions, in their order.
        usual_on: The first day that is lived wholly at the usual clock times of the new zone.
    """

    days: tuple[tuple[datetime, ...], ...]
    usual_on: date
    because: str


def shift_for_trip(
    *,
    regimen: Regimen,
    timetable: Timetable,
    from_zone: ZoneInfo,
    to_zone: ZoneInfo,
    first_day: date,
    most_days: int = 60,
) -> Trip:
    """Move the whole day to another zone's clock as fast as the gaps allow, sessions kept whole and in order.

    Windows and quiet hours of the clock are not held on the way; they hold again once the usual times are reached.

    Args:
        regimen: The rules.
        timetable: The usual day.
        from_zone: The zone whose clock was kept until the day before.
        to_zone: The zone whose clock is to be kept.
        first_day: The first day on which times may move.
        most_days: How many days the way may take.
    Raises:
        BadPlan: the gaps leave no room to move, or the way takes longer.
    Source:
        arithmetic only
    """
    clocks = [session.clock for session in timetable.sessions]
    old = instant_at(day=first_day, clock=0, zone=from_zone)
    new = instant_at(day=first_day, clock=0, zone=to_zone)
    shift = round((new - old).total_seconds() / 60)
    shift = (shift + DAY_MINUTES // 2) % DAY_MINUTES - DAY_MINUTES // 2
    if not clocks:
        return Trip(days=(), usual_on=first_day, because="There is no session to move.")
    for days in range(1, most_days + 1):
        offsets = _largest_offsets(regimen, timetable, abs(shift), later=shift >= 0, days=days)
        last = offsets[-len(clocks) :]
        if all(offset == abs(shift) for offset in last):
            break
    else:
        raise BadPlan(
            field="trip",
            got=f"a shift of {write_duration(abs(shift))}",
            allowed=f"what the gaps allow within {most_days} days",
            remedy="Ask the vet for a wider tolerance, or keep the old clock during the trip.",
        )
    sign = 1 if shift >= 0 else -1
    per_day = len(clocks)
    instants = tuple(
        tuple(
            old + timedelta(minutes=day * DAY_MINUTES + clocks[place] + sign * offsets[day * per_day + place])
            for place in range(per_day)
        )
        for day in range(days)
    )
    moved_all = [
        day for day in range(days) if all(o == abs(shift) for o in offsets[day * per_day : (day + 1) * per_day])
    ]
    usual_on = first_day + timedelta(days=moved_all[0])
    way = "later" if shift >= 0 else "earlier"
    return Trip(
        days=instants,
        usual_on=usual_on,
        because=f"{write_duration(abs(shift))} {way}, at the usual times of the new zone from {usual_on.isoformat()}",
    )


def _largest_offsets(regimen: Regimen, timetable: Timetable, shift: int, *, later: bool, days: int) -> list[int]:
    """The furthest each session can be moved towards the shift [minutes].

    All bounds are on differences of two times, so the furthest solution exists and lowering offsets until every bound
    holds finds it. The day before stays where it was.
    """
    clocks = [session.clock for session in timetable.sessions]
    count = len(clocks)
    base = [(place // count - 1) * DAY_MINUTES + clocks[place % count] for place in range((days + 1) * count)]
    grid = regimen.grid_minutes
    offsets = [0] * count + [shift // grid * grid if shift % grid else shift] * (days * count)
    bounds = _session_bounds(regimen, timetable, base)
    sign = 1 if later else -1
    is_changing = True
    while is_changing:
        is_changing = False
        for earlier, after, least, most in bounds:
            gap = base[after] - base[earlier]
            # gap + sign * (offset[after] - offset[earlier]) must stay within least and most
            room_up, room_down = most - gap, gap - least
            ahead, behind = (room_up, room_down) if sign > 0 else (room_down, room_up)
            if offsets[after] > offsets[earlier] + ahead:
                offsets[after] = (offsets[earlier] + ahead) // grid * grid
                is_changing = True
            if offsets[earlier] > offsets[after] + behind:
                offsets[earlier] = (offsets[after] + behind) // grid * grid
                is_changing = True
    return offsets[count:]


def _session_bounds(regimen: Regimen, timetable: Timetable, base: list[int]) -> list[tuple[int, int, int, int]]:
    """Least and most minutes between pairs of sessions, by place."""
    sessions = timetable.sessions
    count, never = len(sessions), 10**6
    bounds: list[tuple[int, int, int, int]] = []
    holders = {
        name: [place for place in range(len(base)) if sessions[place % count].holds(name)]
        for name in [MEAL, *(duty.name for duty in regimen.duties)]
    }

    def chain(places: list[int], shortest: int, longest: int | None) -> None:
        for one, other in itertools.pairwise(places):
            bounds.append((one, other, max(shortest, 1), never if longest is None else longest))

    def keep(ahead_of: str, behind: str, minutes: int) -> None:
        for one in holders[ahead_of]:
            for other in holders[behind]:
                if 0 < base[other] - base[one] <= DAY_MINUTES:
                    bounds.append((one, other, minutes, never))

    chain(list(range(len(base))), regimen.grid_minutes, regimen.water_gap_minutes)
    for duty in regimen.duties:
        chain(holders[duty.name], duty.shortest_gap_minutes, duty.longest_gap_minutes)
        match duty.food:
            case EmptyStomach(after_minutes=after, before_minutes=before):
                keep(duty.name, MEAL, before)
                keep(MEAL, duty.name, after)
            case BeforeMeal(least_minutes=least, most_minutes=most):
                for one in holders[duty.name]:
                    following = [other for other in holders[MEAL] if base[other] > base[one]]
                    if following:
                        bounds.append((one, following[0], least, most))
            case _:
                pass
    for pair in regimen.apart:
        keep(pair.first, pair.second, pair.minutes)
        keep(pair.second, pair.first, pair.minutes)
    if regimen.meals is not None:
        chain(holders[MEAL], regimen.meals.shortest_gap_minutes, regimen.meals.longest_gap_minutes)
        for place in holders[MEAL]:
            if place + 1 < len(base):
                bounds.append((place, place + 1, regimen.meals.upright_minutes, never))
    return bounds
