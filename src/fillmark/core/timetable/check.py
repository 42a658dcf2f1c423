"""An independent look at a timetable, in plain arithmetic: it shares nothing with the solver but the values.

Every timetable that leaves this package has passed here.
"""

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from fillmark.core.timetable.clock import DAY_MINUTES, write_clock, write_duration
from fillmark.core.timetable.day import Aim, Session, Timetable, who_can_come
from fillmark.core.timetable.regimen import MEAL, BeforeMeal, Duty, EmptyStomach, Regimen, WithMeal


class Broken(StrEnum):
    """Which kind of rule a day breaks."""

    SHAPE = "shape"
    COUNT = "count"
    TOO_CLOSE = "too close"
    TOO_FAR = "too far apart"
    FOOD = "food"
    APART = "apart"
    UPRIGHT = "upright"
    HOURS = "hours"


@dataclass(frozen=True, slots=True)
class DayFault:
    """One rule that a day breaks: its kind, what it is about, and one sentence."""

    broken: Broken
    about: str
    text: str


def find_faults(*, regimen: Regimen, timetable: Timetable) -> tuple[DayFault, ...]:
    """What is wrong with a timetable; empty when it holds every rule.

    Args:
        regimen: The rules.
        timetable: The day, lived again and again.
    Source:
        arithmetic only
    """
    return tuple(dict.fromkeys(_faults(regimen, timetable)))


def check_day(*, regimen: Regimen, timetable: Timetable) -> tuple[str, ...]:
    """What is wrong with a timetable, one sentence each; empty when it holds every rule.

    Args:
        regimen: The rules.
        timetable: The day, lived again and again.
    Source:
        arithmetic only
    """
    return tuple(fault.text for fault in _faults(regimen, timetable))


def is_day(*, regimen: Regimen, timetable: Timetable) -> bool:
    """Whether a timetable holds every rule; ends at the first fault.

    Args:
        regimen: The rules.
        timetable: The day, lived again and again.
    Source:
        arithmetic only
    """
    return next(_faults(regimen, timetable), None) is None


def measure(*, regimen: Regimen, timetable: Timetable, aim: Aim) -> int:
    """What a timetable reaches for one aim: a count, or minutes.

    Args:
        regimen: What the day must hold.
        timetable: A day's sessions.
        aim: What is measured.
    Source:
        arithmetic only
    """
    sessions = timetable.sessions
    if aim is Aim.SESSIONS:
        return len(sessions)
    if aim is Aim.NIGHT:
        return sum(regimen.night is not None and regimen.night.is_inside(session.clock) for session in sessions)
    if aim is Aim.PEOPLE:
        if not regimen.people:
            return 0
        return sum(
            not who_can_come(regimen=regimen, session=session, weekday=weekday)
            for session in sessions
            for weekday in regimen.weekdays
        )
    if aim is Aim.MEALS:
        if regimen.meals is None:
            return 0
        own = [wish.clocks for wish in regimen.usual if wish.what == MEAL]
        wanted = sum(map(len, own)) if own else regimen.meals.fewest
        return abs(len(timetable.clocks_of(MEAL)) - wanted)
    names = [MEAL, *(duty.name for duty in regimen.duties if duty.times is not None)]
    if aim is Aim.MOVED:
        return sum(
            min((_around(clock, usual) for usual in regimen.usual_clocks(name)), default=0)
            for name in names
            for clock in timetable.clocks_of(name)
        )
    spread = 0
    for name in names:
        gaps = _gaps(timetable.clocks_of(name))
        spread += max(gaps) - min(gaps) if gaps else 0
    return spread


def _around(first: int, second: int) -> int:
    """How far two clock times are apart, the shorter way round the clock."""
    ahead = (first - second) % DAY_MINUTES
    return min(ahead, DAY_MINUTES - ahead)


def _gaps(clocks: tuple[int, ...]) -> list[int]:
    """From each time to the next, the last one to the first of the next day."""
    if not clocks:
        return []
    following = [*clocks[1:], clocks[0] + DAY_MINUTES]
    return [later - earlier for earlier, later in zip(clocks, following, strict=True)]


def _faults(regimen: Regimen, timetable: Timetable) -> Iterator[DayFault]:
    sessions = timetable.sessions
    clocks = [session.clock for session in sessions]
    if any(later <= earlier for earlier, later in itertools.pairwise(clocks)):
        yield DayFault(Broken.SHAPE, "", "Sessions are not in the order of the clock.")
        return
    for session in sessions:
        yield from _session_faults(regimen, session)
    for duty in regimen.duties:
        yield from _duty_faults(timetable, duty)
    yield from _meal_faults(regimen, timetable)
    for pair in regimen.apart:
        for first in timetable.clocks_of(pair.first):
            for second in timetable.clocks_of(pair.second):
                if _around(first, second) < pair.minutes:
                    yield DayFault(
                        Broken.APART,
                        pair.first,
                        f"{pair.first} at {write_clock(first)} and {pair.second} at {write_clock(second)} are closer "
                        f"than {write_duration(pair.minutes)}.",
                    )
    if regimen.water_gap_minutes is not None:
        if not clocks:
            yield DayFault(Broken.TOO_FAR, "", "No water goes through the tube.")
        elif max(_gaps(tuple(clocks))) > regimen.water_gap_minutes:
            yield DayFault(
                Broken.TOO_FAR,
                "",
                f"More than {write_duration(regimen.water_gap_minutes)} pass without water through the tube.",
            )
    for wish in regimen.insisted:
        if not any(
            session.clock == wish.clock and (wish.what is None or session.holds(wish.what)) for session in sessions
        ):
            yield DayFault(
                Broken.HOURS, wish.what or "", f"There is no {wish.what or 'session'} at {write_clock(wish.clock)}."
            )
    if regimen.most_sessions is not None and len(sessions) > regimen.most_sessions:
        yield DayFault(Broken.COUNT, "", f"There are {len(sessions)} sessions, more than {regimen.most_sessions}.")


def _session_faults(regimen: Regimen, session: Session) -> Iterator[DayFault]:
    at = write_clock(session.clock)
    if not 0 <= session.clock < DAY_MINUTES or session.clock % regimen.grid_minutes:
        yield DayFault(Broken.SHAPE, "", f"The session at {at} is not on a step of {regimen.grid_minutes} minutes.")
    if any(quiet.is_inside(session.clock) for quiet in regimen.quiet):
        yield DayFault(Broken.SHAPE, "", f"The session at {at} falls into hours without sessions.")
    if len(set(session.duties)) != len(session.duties):
        yield DayFault(Broken.SHAPE, "", f"The session at {at} holds something twice.")
    known = {duty.name for duty in regimen.duties}
    for name in session.duties:
        if name not in known:
            yield DayFault(Broken.SHAPE, "", f"The session at {at} holds {name}, which nobody ordered.")
    if session.has_meal and regimen.meals is None:
        yield DayFault(Broken.SHAPE, "", f"The session at {at} holds a meal, which nobody ordered.")


def _duty_faults(timetable: Timetable, duty: Duty) -> Iterator[DayFault]:
    clocks = timetable.clocks_of(duty.name)
    meals = timetable.clocks_of(MEAL)
    if duty.times is None:
        if clocks != meals:
            yield DayFault(Broken.FOOD, duty.name, f"{duty.name} is not with each meal.")
    elif len(clocks) != duty.times:
        yield DayFault(Broken.COUNT, duty.name, f"{duty.name} comes {len(clocks)} times, not {duty.times}.")
    for gap in _gaps(clocks):
        if gap < duty.shortest_gap_minutes:
            yield DayFault(
                Broken.TOO_CLOSE,
                duty.name,
                f"{duty.name} is given twice within {write_duration(duty.shortest_gap_minutes)}.",
            )
        if duty.longest_gap_minutes is not None and gap > duty.longest_gap_minutes:
            yield DayFault(
                Broken.TOO_FAR, duty.name, f"{duty.name} is more than {write_duration(duty.longest_gap_minutes)} apart."
            )
    for clock in clocks:
        if duty.window is not None and not duty.window.holds(clock):
            yield DayFault(Broken.HOURS, duty.name, f"{duty.name} at {write_clock(clock)} is outside {duty.window}.")
        to_meals = [(meal - clock) % DAY_MINUTES for meal in meals]
        match duty.food:
            case WithMeal() if 0 not in to_meals:
                yield DayFault(Broken.FOOD, duty.name, f"{duty.name} at {write_clock(clock)} is without a meal.")
            case BeforeMeal(least_minutes=least, most_minutes=most):
                if not to_meals or not least <= min(to_meals) <= most:
                    yield DayFault(Broken.FOOD, duty.name, f"{duty.name} at {write_clock(clock)} is not {duty.food}.")
            case EmptyStomach(after_minutes=after, before_minutes=before):
                if any(ahead < before or DAY_MINUTES - ahead < after for ahead in to_meals):
                    yield DayFault(Broken.FOOD, duty.name, f"{duty.name} at {write_clock(clock)} is too near a meal.")
            case _:
                pass


def _meal_faults(regimen: Regimen, timetable: Timetable) -> Iterator[DayFault]:
    meals = regimen.meals
    if meals is None:
        return
    clocks = timetable.clocks_of(MEAL)
    if not meals.fewest <= len(clocks) <= meals.most:
        yield DayFault(Broken.COUNT, MEAL, f"There are {len(clocks)} meals, not {meals.fewest} to {meals.most}.")
    for gap in _gaps(clocks):
        if gap < meals.shortest_gap_minutes:
            yield DayFault(
                Broken.TOO_CLOSE, MEAL, f"Two meals are closer than {write_duration(meals.shortest_gap_minutes)}."
            )
        if meals.longest_gap_minutes is not None and gap > meals.longest_gap_minutes:
            yield DayFault(
                Broken.TOO_FAR, MEAL, f"Two meals are more than {write_duration(meals.longest_gap_minutes)} apart."
            )
    for clock in clocks:
        if meals.window is not None and not meals.window.holds(clock):
            yield DayFault(Broken.HOURS, MEAL, f"The meal at {write_clock(clock)} is outside {meals.window}.")
        if not meals.may_be_at_night and regimen.night is not None and regimen.night.is_inside(clock):
            yield DayFault(Broken.HOURS, MEAL, f"The meal at {write_clock(clock)} is at night.")
        for session in timetable.sessions:
            if 0 < (session.clock - clock) % DAY_MINUTES < meals.upright_minutes:
                yield DayFault(
                    Broken.UPRIGHT,
                    "",
                    f"The session at {write_clock(session.clock)} falls into the upright time after a meal.",
                )


@dataclass(frozen=True, slots=True)
class Event:
    """Something given, or still to be given, at an instant."""

    what: str
    at: datetime
    is_given: bool = False


def check_events(*, regimen: Regimen, events: Sequence[Event], until: datetime) -> tuple[str, ...]:
    """What is wrong with a run of real time: too close, too near a meal, without its meal; empty when nothing is.

    Args:
        regimen: The rules.
        events: What was given before and what is planned after, in any order. A fault between two things that were
            both given is past mending and left out.
        until: Where the usual day begins again; what lies from there on is only looked at as a neighbor.
    Source:
        arithmetic only
    """
    return tuple(_event_faults(regimen, events, until))


def _event_faults(regimen: Regimen, events: Sequence[Event], until: datetime) -> Iterator[str]:
    def is_new(event: Event) -> bool:
        return not event.is_given and event.at < until

    def pairs(first: str, second: str) -> Iterator[tuple[datetime, datetime, float]]:
        for one in events:
            for other in events:
                if one.what == first and other.what == second and one is not other and (is_new(one) or is_new(other)):
                    yield one.at, other.at, (other.at - one.at).total_seconds() / 60

    meals = regimen.meals
    gaps = {duty.name: duty.shortest_gap_minutes for duty in regimen.duties}
    if meals is not None:
        gaps[MEAL] = meals.shortest_gap_minutes
    for name, shortest in gaps.items():
        for one, other, minutes in pairs(name, name):
            if 0 <= minutes < max(shortest, 1):
                yield f"{name} at {one:%H:%M} and {other:%H:%M} UTC is closer than {write_duration(shortest)}."
    for pair in regimen.apart:
        for one, other, minutes in pairs(pair.first, pair.second):
            if abs(minutes) < pair.minutes:
                yield f"{pair.first} at {one:%H:%M} and {pair.second} at {other:%H:%M} UTC are too close."
    for duty in regimen.duties:
        to_meals: dict[datetime, list[float]] = {
            event.at: [] for event in events if event.what == duty.name and is_new(event)
        }
        for at, _, minutes in pairs(duty.name, MEAL):
            if at in to_meals:
                to_meals[at].append(minutes)
        for at, found in to_meals.items():
            match duty.food:
                case WithMeal() if 0 not in found:
                    yield f"{duty.name} at {at:%H:%M} UTC is without a meal."
                case EmptyStomach(after_minutes=after, before_minutes=before):
                    if any(-after < minutes < before for minutes in found):
                        yield f"{duty.name} at {at:%H:%M} UTC is too near a meal."
                case BeforeMeal(least_minutes=least, most_minutes=most):
                    if not any(least <= minutes <= most for minutes in found) or any(0 <= m < least for m in found):
                        yield f"{duty.name} at {at:%H:%M} UTC is not {least} to {most} minutes before a meal."
                case _:
                    pass
    if meals is not None:
        for event in filter(is_new, events):
            since_meals = [(event.at - other.at).total_seconds() / 60 for other in events if other.what == MEAL]
            if any(0 < minutes < meals.upright_minutes for minutes in since_meals):
                yield f"{event.what} at {event.at:%H:%M} UTC falls into the upright time after a meal."
