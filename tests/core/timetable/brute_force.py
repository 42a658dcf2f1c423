"""Every day on a coarse grid, tried one by one: slow, plain, and nothing shared with the solver but the values."""

from collections.abc import Iterator
from functools import cache
from itertools import combinations

from fillmark.core.timetable.check import check_day, measure
from fillmark.core.timetable.day import Aim, Session, Timetable
from fillmark.core.timetable.regimen import MEAL, BeforeMeal, EmptyStomach, Regimen, WithMeal

DAY = 24 * 60
AIMS = (Aim.SESSIONS, Aim.NIGHT, Aim.PEOPLE, Aim.MEALS, Aim.MOVED, Aim.EVEN)


def best_by_trying(regimen: Regimen) -> tuple[int, ...] | None:
    """The best values of all aims in order, or None when no day holds the rules."""
    best: tuple[int, ...] | None = None
    most = [10**6]
    for timetable in _days(regimen, most):
        if check_day(regimen=regimen, timetable=timetable):
            continue
        values = tuple(measure(regimen=regimen, timetable=timetable, aim=aim) for aim in AIMS)
        if best is None or values < best:
            best = values
            most[0] = best[0]
    return best


def _days(regimen: Regimen, most: list[int]) -> Iterator[Timetable]:
    clocks = range(0, DAY, regimen.grid_minutes)
    meals = regimen.meals
    assert meals is not None
    for count in range(meals.fewest, meals.most + 1):
        for meal_clocks in combinations(clocks, count):
            if not _gaps_hold(meal_clocks, meals.shortest_gap_minutes, meals.longest_gap_minutes):
                continue
            if meals.window and not all(map(meals.window.holds, meal_clocks)):
                continue
            yield from _with_duties(regimen, {MEAL: meal_clocks}, 0, most)


@cache
def _spaced(grid: int, times: int, shortest: int, longest: int | None) -> tuple[tuple[int, ...], ...]:
    """Every choice of so many clock times whose gaps hold."""
    chosen = combinations(range(0, DAY, grid), times)
    return tuple(clocks for clocks in chosen if _gaps_hold(clocks, shortest, longest))


def _gaps_hold(clocks: tuple[int, ...], shortest: int, longest: int | None) -> bool:
    following = [*clocks[1:], *(clock + DAY for clock in clocks[:1])]
    gaps = [later - earlier for earlier, later in zip(clocks, following, strict=True)]
    return all(shortest <= gap and (longest is None or gap <= longest) for gap in gaps)


def _with_duties(
    regimen: Regimen, placed: dict[str, tuple[int, ...]], number: int, most: list[int]
) -> Iterator[Timetable]:
    used = {clock for clocks in placed.values() for clock in clocks}
    if len(used) > most[0]:
        return
    if number == len(regimen.duties):
        yield Timetable(
            sessions=tuple(
                Session(
                    clock=clock,
                    has_meal=clock in placed[MEAL],
                    duties=tuple(duty.name for duty in regimen.duties if clock in placed[duty.name]),
                )
                for clock in sorted(used)
            )
        )
        return
    duty = regimen.duties[number]
    fitting = {clock for clock in range(0, DAY, regimen.grid_minutes) if _fits(regimen, placed, duty, clock)}
    for clocks in _spaced(regimen.grid_minutes, duty.times or 0, duty.shortest_gap_minutes, duty.longest_gap_minutes):
        if fitting.issuperset(clocks):
            yield from _with_duties(regimen, {**placed, duty.name: clocks}, number + 1, most)


def _fits(regimen: Regimen, placed: dict[str, tuple[int, ...]], duty, clock: int) -> bool:
    to_meals = [(meal - clock) % DAY for meal in placed[MEAL]]
    for pair in regimen.apart:
        if duty.name in (pair.first, pair.second):
            other = pair.second if duty.name == pair.first else pair.first
            if any(min((clock - c) % DAY, (c - clock) % DAY) < pair.minutes for c in placed.get(other, ())):
                return False
    match duty.food:
        case WithMeal():
            return 0 in to_meals
        case BeforeMeal():
            return any(duty.food.least_minutes <= gap <= duty.food.most_minutes for gap in to_meals)
        case EmptyStomach():
            return all(duty.food.before_minutes <= gap <= DAY - duty.food.after_minutes for gap in to_meals)
    return duty.window is None or duty.window.holds(clock)
