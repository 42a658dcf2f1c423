"""The day with the fewest trips to the animal, then the best of those, each stage proven or said not to be."""

from dataclasses import dataclass, replace

from fillmark.core.timetable.bounds import Rider, fewest_by_reasoning, take_riders_off
from fillmark.core.timetable.check import check_day, measure
from fillmark.core.timetable.day import Aim, Stage, Timetable
from fillmark.core.timetable.free import find_any_day
from fillmark.core.timetable.model import SessionModel
from fillmark.core.timetable.regimen import MEAL, Meals, Regimen

EFFORT = 8.0
"""Deterministic time the solver may take for one number of sessions; about as many seconds on an ordinary machine."""
STAGE_EFFORT = 0.6
"""The same for each later stage: what is not proven by then is said to be unproven."""
AIMS = (Aim.NIGHT, Aim.PEOPLE, Aim.MEALS, Aim.MOVED, Aim.EVEN)


@dataclass(frozen=True, slots=True)
class NoDay:
    """No day holds every rule; or, when that is not proven, none was found in the time allowed."""

    is_proven: bool


def plan_day(regimen: Regimen, *, aims: tuple[Aim, ...] = AIMS, effort: float = EFFORT) -> Timetable | NoDay:
    """The best day: no rule broken, then fewest sessions, then each further aim in turn.

    The same regimen gives the same day.

    Args:
        regimen: The rules and wishes.
        aims: What is sought after the fewest sessions, in this order.
        effort: Deterministic time the solver may take for one number of sessions.
    Returns:
        A day that the independent check has passed, with what is proven about it; or that there is none.
    Source:
        the vet's orders and the household's wishes
    """
    found = _fewest_sessions(regimen, effort)
    if isinstance(found, NoDay):
        return found
    if aims and found.sessions:
        found = _improve(regimen, found, aims)
    return _checked(regimen, found)


def find_day(regimen: Regimen, *, effort: float = EFFORT) -> Timetable | NoDay:
    """Some day that breaks no rule, quickly: it may take more sessions than needed.

    Args:
        regimen: The rules.
        effort: Deterministic time the solver may take.
    Source:
        arithmetic only
    """
    if regimen.most_sessions is not None:
        return plan_day(regimen, aims=(), effort=effort)
    small, riders = take_riders_off(regimen)
    found = find_any_day(regimen=small, effort=effort)
    if isinstance(found, bool):
        return NoDay(not found)
    return _checked(regimen, _put_riders_back(regimen, found, riders))


def _checked(regimen: Regimen, timetable: Timetable) -> Timetable:
    """The timetable, if the independent check finds no fault in it."""
    faults = check_day(regimen=regimen, timetable=timetable)
    if faults:
        raise AssertionError(f"the timetable breaks a rule: {' '.join(faults)}")
    return timetable


def _put_riders_back(regimen: Regimen, timetable: Timetable, riders: tuple[Rider, ...]) -> Timetable:
    sessions = list(timetable.sessions)
    for rider in riders:
        places = [place for place, session in enumerate(sessions) if session.holds(rider.host)]
        step = 1 if rider.times is None else len(places) // rider.times
        chosen = places[::step] if rider.times is None else places[::step][: rider.times]
        for place in chosen:
            sessions[place] = replace(sessions[place], duties=(*sessions[place].duties, rider.name))
    order = [duty.name for duty in regimen.duties]
    return replace(
        timetable,
        sessions=tuple(replace(session, duties=tuple(sorted(session.duties, key=order.index))) for session in sessions),
    )


def _fewest_sessions(regimen: Regimen, effort: float) -> Timetable | NoDay:
    small, riders = take_riders_off(regimen)
    count = bound = fewest_by_reasoning(small)
    limit = regimen.most_sessions
    all_proven = True
    fallback: Timetable | None = None
    is_free_known = False
    while True:
        if limit is not None and count > limit:
            return NoDay(all_proven)
        if fallback is not None and count >= len(fallback.sessions):
            found: Timetable | None = fallback
        else:
            verdict, found, _, _ = SessionModel(small, count).solve(effort=effort)
            all_proven = all_proven and verdict != "unknown"
        if found is not None:
            stage = Stage(aim=Aim.SESSIONS, value=len(found.sessions), bound=bound)
            return replace(_put_riders_back(regimen, found, riders), stages=(stage,))
        if all_proven:
            bound = count + 1
        if not is_free_known:
            is_free_known = True
            free = find_any_day(regimen=small, effort=effort)
            if free is False:
                return NoDay(True)
            if isinstance(free, Timetable):
                fallback = free
        if fallback is None and count > _most_needed(small):
            return NoDay(False)
        count += 1


def _most_needed(regimen: Regimen) -> int:
    """More sessions than this no day needs."""
    water = 0 if regimen.water_gap_minutes is None else 2 * -(-24 * 60 // regimen.water_gap_minutes)
    meals = regimen.meals.most if regimen.meals else 0
    return sum(duty.times or 0 for duty in regimen.duties) + meals + water + len(regimen.insisted)


def _improve(regimen: Regimen, timetable: Timetable, aims: tuple[Aim, ...]) -> Timetable:
    """Hold what is reached and seek the next aim, beginning from the day at hand."""
    stages = list(timetable.stages)
    model = SessionModel(regimen, len(timetable.sessions))
    for aim in aims:
        if aim is Aim.EVEN and regimen.meals is not None:
            model = _with_settled_meals(regimen, regimen.meals, timetable, stages)
        now = measure(regimen=regimen, timetable=timetable, aim=aim)
        value = bound = now
        cost = model.aim_for(aim)
        if now:
            model.hint(timetable)
            verdict, better, reached, proven = model.solve(effort=STAGE_EFFORT, minimize=cost)
            bound = 0
            if better is not None and verdict in ("best", "found"):
                timetable = better
                value = measure(regimen=regimen, timetable=better, aim=aim)
                bound = value if verdict == "best" else min(max(proven, 0), value)
                if verdict == "best" and value != reached:
                    raise AssertionError(f"{aim.value}: the solver says {reached}, the check {value}")
        if not isinstance(cost, int):
            model.model.add(cost <= value)
        stages.append(Stage(aim=aim, value=value, bound=bound))
    return replace(timetable, stages=tuple(stages))


def _with_settled_meals(regimen: Regimen, meals: Meals, timetable: Timetable, stages: list[Stage]) -> SessionModel:
    """The model anew, with the number of meals settled and the stages so far held."""
    number = len(timetable.clocks_of(MEAL))
    model = SessionModel(replace(regimen, meals=replace(meals, fewest=number, most=number)), len(timetable.sessions))
    for stage in stages[1:]:
        cost = model.aim_for(stage.aim)
        if not isinstance(cost, int) and stage.aim is not Aim.MEALS:
            model.model.add(cost <= stage.value)
    return model
