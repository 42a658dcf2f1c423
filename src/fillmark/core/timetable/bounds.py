"""What reasoning alone settles: duties that may ride along with others, and sessions no day can do without."""

from dataclasses import dataclass, replace

from fillmark.core.timetable.clock import DAY_MINUTES, Window
from fillmark.core.timetable.regimen import MEAL, AnyFood, BeforeMeal, Duty, EmptyStomach, Food, Regimen, WithMeal


@dataclass(frozen=True, slots=True)
class Rider:
    """A duty that can always come at some of another's times: the first, and every so-manieth from there."""

    name: str
    host: str
    times: int | None
    """How often; None means every time of the host."""


@dataclass(frozen=True, slots=True)
class _Host:
    """What a duty might ride along with: another duty, or the meals."""

    name: str
    times: int
    is_fixed: bool
    shortest: int
    longest: int
    food: Food
    window: Window | None
    skill: str | None


def take_riders_off(regimen: Regimen) -> tuple[Regimen, tuple[Rider, ...]]:
    """A smaller regimen with the same fewest sessions, and what was left out of it, in the order to put it back.

    A duty is left out when another's rules are at least as strict as its own: wherever that one comes, it may come too.

    Source:
        arithmetic only
    """
    riders: list[Rider] = []
    while True:
        for duty in sorted(regimen.duties, key=lambda duty: (duty.times or 0, duty.name)):
            rider = _find_host(regimen, duty)
            if rider is not None:
                riders.append(rider)
                regimen = _without(regimen, duty.name)
                break
        else:
            return regimen, tuple(reversed(riders))


def fewest_by_reasoning(regimen: Regimen) -> int:
    """A number of sessions that no day of this regimen can go below.

    The heaviest set of meals and duties of which no two can ever share a session; and water often enough.

    Source:
        arithmetic only
    """
    weights = {duty.name: duty.times for duty in regimen.duties if duty.times is not None}
    if regimen.meals is not None:
        weights[MEAL] = regimen.meals.fewest
    names = sorted(weights, key=lambda name: (-weights[name], name))
    clashes = {
        name: {other for other in names if other != name and _never_share(regimen, name, other)} for name in names
    }

    def heaviest(candidates: list[str]) -> int:
        best = 0
        for place, name in enumerate(candidates):
            rest = [other for other in candidates[place + 1 :] if other in clashes[name]]
            best = max(best, weights[name] + heaviest(rest))
        return best

    water = 0 if regimen.water_gap_minutes is None else -(-DAY_MINUTES // regimen.water_gap_minutes)
    return max(heaviest(names), water, len({wish.clock for wish in regimen.insisted}), 0)


def _without(regimen: Regimen, name: str) -> Regimen:
    return replace(
        regimen,
        duties=tuple(other for other in regimen.duties if other.name != name),
        apart=tuple(pair for pair in regimen.apart if name not in (pair.first, pair.second)),
        usual=tuple(wish for wish in regimen.usual if wish.what != name),
    )


def _partners(regimen: Regimen, name: str) -> dict[str, int]:
    """What this must be kept apart from, and how far [minutes]."""
    partners: dict[str, int] = {}
    for pair in regimen.apart:
        if name in (pair.first, pair.second):
            other = pair.second if name == pair.first else pair.first
            partners[other] = max(partners.get(other, 0), pair.minutes)
    return partners


def _hosts(regimen: Regimen) -> list[_Host]:
    hosts = [
        _Host(
            duty.name,
            duty.times,
            True,
            duty.shortest_gap_minutes,
            DAY_MINUTES if duty.longest_gap_minutes is None else duty.longest_gap_minutes,
            duty.food,
            duty.window,
            duty.skill,
        )
        for duty in regimen.duties
        if duty.times is not None
    ]
    meals = regimen.meals
    if meals is not None and meals.fewest >= 1:
        longest = DAY_MINUTES if meals.longest_gap_minutes is None else meals.longest_gap_minutes
        is_fixed = meals.fewest == meals.most
        hosts.append(
            _Host(
                MEAL, meals.fewest, is_fixed, meals.shortest_gap_minutes, longest, WithMeal(), meals.window, meals.skill
            )
        )
    return hosts


def _find_host(regimen: Regimen, duty: Duty) -> Rider | None:
    if any(wish.what == duty.name for wish in regimen.insisted):
        return None
    own = _partners(regimen, duty.name)
    for host in _hosts(regimen):
        if host.name == duty.name or host.name in own:
            continue
        theirs = _partners(regimen, host.name)
        fits = (
            all(theirs.get(name, 0) >= minutes for name, minutes in own.items())
            and duty.skill in (None, host.skill)
            and _implies_food(host.food, duty.food)
            and _implies_window(host.window, duty.window)
            and _implies_gaps(host, duty)
        )
        if fits:
            return Rider(duty.name, host.name, duty.times)
    return None


def _implies_food(host: Food, duty: Food) -> bool:
    match duty, host:
        case AnyFood(), _:
            return True
        case EmptyStomach(), EmptyStomach():
            return host.after_minutes >= duty.after_minutes and host.before_minutes >= duty.before_minutes
        case BeforeMeal(), BeforeMeal():
            return host.least_minutes >= duty.least_minutes and host.most_minutes <= duty.most_minutes
    return duty == host


def _implies_window(host: Window | None, duty: Window | None) -> bool:
    return duty is None or (host is not None and all(duty.holds(clock) for clock in _minutes_of(host)))


def _minutes_of(window: Window) -> range:
    length = (window.until_clock - window.from_clock) % DAY_MINUTES or DAY_MINUTES
    return range(window.from_clock, window.from_clock + length + 1)


def _implies_gaps(host: _Host, duty: Duty) -> bool:
    if duty.times is None:
        return host.name == MEAL
    if duty.times > 1 and (not host.is_fixed or host.times % duty.times):
        return False
    if duty.times == 1:
        return duty.longest_gap_minutes is None or duty.longest_gap_minutes >= DAY_MINUTES
    step = host.times // duty.times
    rest = host.times - step
    shortest = max(step * host.shortest, DAY_MINUTES - rest * host.longest)
    longest = min(step * host.longest, DAY_MINUTES - rest * host.shortest)
    asked = DAY_MINUTES if duty.longest_gap_minutes is None else duty.longest_gap_minutes
    return shortest >= duty.shortest_gap_minutes and longest <= asked


def _never_share(regimen: Regimen, first: str, second: str) -> bool:
    if second in _partners(regimen, first):
        return True
    foods = [WithMeal() if name == MEAL else regimen.duty(name).food for name in (first, second)]
    off_meals = [isinstance(food, BeforeMeal | EmptyStomach) for food in foods]
    on_meals = [isinstance(food, WithMeal) for food in foods]
    if any(off_meals) and any(on_meals):
        return True
    windows = [
        regimen.meals.window
        if name == MEAL and regimen.meals
        else (None if name == MEAL else regimen.duty(name).window)
        for name in (first, second)
    ]
    one, other = windows
    return one is not None and other is not None and not any(other.holds(clock) for clock in _minutes_of(one))
