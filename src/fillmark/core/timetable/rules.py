"""The rules of a regimen one by one: in plain words, whose they are, left out, and eased."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from fillmark.core.timetable.clock import DAY_MINUTES, Window, write_clock, write_duration
from fillmark.core.timetable.regimen import (
    MEAL,
    AnyFood,
    BeforeMeal,
    Duty,
    EmptyStomach,
    Kind,
    Meals,
    Regimen,
    WithMeal,
)

MORE_MEALS = 4
"""Without the rule "at most so many meals", so many more are considered."""


class Whose(StrEnum):
    """Whose word a rule is. All but the household's own are the vet's to change."""

    VET = "the vet"
    OPEN = "ours where the order leaves it open: ask the vet"
    PLAN = "the care plan"
    HOUSEHOLD = "the household"


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule of a regimen.

    Attributes:
        id: Stable within the regimen ("gap:A").
        words: The rule as a person would say it.
        whose: Who may change it.
    """

    id: str
    words: str
    whose: Whose

    def __str__(self) -> str:
        return self.words


@dataclass(frozen=True, slots=True)
class Easing:
    """One rule made milder: what would be done, and the regimen that follows."""

    rule: Rule
    words: str
    regimen: Regimen


def list_rules(regimen: Regimen) -> tuple[Rule, ...]:
    """Every rule that can be broken, in the order of the regimen. How often a duty is due is taken as given.

    Source:
        arithmetic only
    """
    tasks = {f"{part}:{duty.name}" for duty in regimen.duties if duty.kind is Kind.TASK for part in _OF_A_DUTY}
    return tuple(
        replace(rule, whose=Whose.OPEN)
        if rule.id in regimen.stand_ins
        else replace(rule, whose=Whose.PLAN)
        if rule.id in tasks
        else rule
        for rule in _rules(regimen)
    )


_OF_A_DUTY = ("gap", "window", "food")


def _rules(regimen: Regimen) -> Iterator[Rule]:
    vet, household = Whose.VET, Whose.HOUSEHOLD
    for duty in regimen.duties:
        if duty.times is not None and duty.times > 1 and (duty.shortest_gap_minutes or duty.longest_gap_minutes):
            yield Rule(f"gap:{duty.name}", _gap_words(duty), vet)
        if duty.window is not None:
            yield Rule(f"window:{duty.name}", f"{duty.name} from {duty.window}", vet)
        if duty.times is not None and duty.food != AnyFood():
            yield Rule(f"food:{duty.name}", _food_words(duty), vet)
    for pair in regimen.apart:
        words = f"{write_duration(pair.minutes)} between {pair.first} and {pair.second}"
        yield Rule(f"apart:{pair.first}:{pair.second}", words, vet)
    meals = regimen.meals
    if meals is not None:
        if meals.shortest_gap_minutes:
            yield Rule("meals:gap", f"{write_duration(meals.shortest_gap_minutes)} from meal to meal", vet)
        if meals.longest_gap_minutes is not None:
            yield Rule("meals:longest", f"no more than {write_duration(meals.longest_gap_minutes)} between meals", vet)
        if meals.window is not None:
            yield Rule("meals:window", f"meals from {meals.window}", vet)
        if not meals.may_be_at_night and regimen.night is not None:
            yield Rule("meals:night", f"no meal at night, {regimen.night}", vet)
        if meals.fewest:
            yield Rule("meals:fewest", f"at least {meals.fewest} {_meals(meals.fewest)}", vet)
        yield Rule("meals:most", f"at most {meals.most} {_meals(meals.most)}", vet)
        if meals.upright_minutes:
            yield Rule("meals:upright", f"nothing else for {write_duration(meals.upright_minutes)} after a meal", vet)
    if regimen.water_gap_minutes is not None:
        yield Rule("water", f"water through the tube at least every {write_duration(regimen.water_gap_minutes)}", vet)
    for number, window in enumerate(regimen.quiet):
        yield Rule(f"quiet:{number}", f"no session from {window}", household)
    for number, wish in enumerate(regimen.insisted):
        words = (
            f"a {wish.what} at {write_clock(wish.clock)}"
            if wish.what in (None, MEAL)
            else f"{wish.what} at {write_clock(wish.clock)}"
        )
        yield Rule(f"insisted:{number}", words.replace("a None", "a session"), household)
    if regimen.most_sessions is not None:
        yield Rule("sessions:most", f"at most {regimen.most_sessions} sessions", household)


def _meals(count: int) -> str:
    return "meal" if count == 1 else "meals"


def _gap_words(duty: Duty) -> str:
    shortest, longest = duty.shortest_gap_minutes, duty.longest_gap_minutes
    if longest is None:
        return f"{duty.name} {duty.times} times a day, at least {write_duration(shortest)} apart"
    middle = (shortest + longest) // 2
    if shortest == longest:
        return f"{duty.name} every {write_duration(middle)} exactly"
    return f"{duty.name} every {write_duration(middle)}, at most {write_duration(longest - middle)} early or late"


def _food_words(duty: Duty) -> str:
    match duty.food:
        case WithMeal():
            return f"{duty.name} with a meal"
        case BeforeMeal():
            return f"{duty.name} {duty.food}"
        case EmptyStomach(after_minutes=after, before_minutes=before):
            return (
                f"{duty.name} on an empty stomach: {write_duration(after)} after a meal and "
                f"{write_duration(before)} before the next"
            )
    return f"{duty.name} with or without food"


def without_rules(regimen: Regimen, *, dropped: frozenset[str]) -> Regimen:
    """The regimen with some rules left out.

    Args:
        regimen: The rules.
        dropped: The ids of those to leave out.
    Source:
        arithmetic only
    """
    duties = []
    for duty in regimen.duties:
        if f"gap:{duty.name}" in dropped:
            duty = replace(duty, shortest_gap_minutes=0, longest_gap_minutes=None)
        if f"window:{duty.name}" in dropped:
            duty = replace(duty, window=None)
        if f"food:{duty.name}" in dropped:
            duty = replace(duty, food=AnyFood())
        duties.append(duty)
    meals = regimen.meals
    if meals is not None:
        most = meals.most + MORE_MEALS if "meals:most" in dropped else meals.most
        meals = replace(
            meals,
            shortest_gap_minutes=0 if "meals:gap" in dropped else meals.shortest_gap_minutes,
            longest_gap_minutes=None if "meals:longest" in dropped else meals.longest_gap_minutes,
            window=None if "meals:window" in dropped else meals.window,
            may_be_at_night="meals:night" in dropped or meals.may_be_at_night,
            fewest=0 if "meals:fewest" in dropped else meals.fewest,
            most=min(24, most),
            upright_minutes=0 if "meals:upright" in dropped else meals.upright_minutes,
        )
    return replace(
        regimen,
        duties=tuple(duties),
        meals=meals,
        apart=tuple(pair for pair in regimen.apart if f"apart:{pair.first}:{pair.second}" not in dropped),
        water_gap_minutes=None if "water" in dropped else regimen.water_gap_minutes,
        quiet=tuple(window for number, window in enumerate(regimen.quiet) if f"quiet:{number}" not in dropped),
        insisted=tuple(wish for number, wish in enumerate(regimen.insisted) if f"insisted:{number}" not in dropped),
        most_sessions=None if "sessions:most" in dropped else regimen.most_sessions,
    )


def parts_of(rule: Rule) -> tuple[Rule, ...]:
    """What of a rule is eased by itself: how far apart two doses may be, and how close; any other rule is one part.

    Args:
        rule: One of the rules of a regimen.
    Source:
        arithmetic only
    """
    kind, _, name = rule.id.partition(":")
    return tuple(replace(rule, id=f"{part}:{name}") for part in ("longest", "shortest")) if kind == "gap" else (rule,)


def ease_rule(regimen: Regimen, *, rule: Rule) -> tuple[Easing, ...]:
    """Milder forms of a rule, each milder than the one before; the last is the mildest that is offered.

    Nothing brings two doses closer together than half of what was ordered, or than the vet's own gap.

    Args:
        regimen: The rules.
        rule: The one to ease: a part of it, where `parts_of` gives more than one.
    Source:
        arithmetic only
    """
    return tuple(Easing(rule, words, eased) for words, eased in _easings(regimen, rule.id))


_STEPS = (30, 60, 90, 120, 180, 240)


def _easings(regimen: Regimen, rule_id: str) -> Iterator[tuple[str, Regimen]]:
    kind, _, name = rule_id.partition(":")
    dropped = without_rules(regimen, dropped=frozenset({rule_id}))
    if kind in ("longest", "shortest"):
        yield from _gap_easings(regimen, name, part=kind)
    elif kind == "window":
        duty = regimen.duty(name)
        for window in _wider(duty.window):
            yield f"{name} from {window}", regimen.with_duty(replace(duty, window=window))
        yield f"{name} at any time of day", dropped
    elif kind == "food":
        yield from _food_easings(regimen, name)
        yield f"{name} with or without food", dropped
    elif kind == "apart":
        first, second = name.split(":")
        yield from _apart_easings(regimen, first, second)
        yield f"{first} and {second} together", dropped
    elif kind == "quiet":
        yield from _quiet_easings(regimen, int(name))
        yield f"a session from {regimen.quiet[int(name)]}", dropped
    elif kind == "insisted":
        wish = regimen.insisted[int(name)]
        yield f"no fixed {wish.what or 'session'} at {write_clock(wish.clock)}", dropped
    elif kind == "sessions" and regimen.most_sessions is not None:
        for most in range(regimen.most_sessions + 1, regimen.most_sessions + 7):
            yield f"{most} sessions", replace(regimen, most_sessions=most)
        yield "as many sessions as it takes", dropped
    elif kind == "water" and regimen.water_gap_minutes is not None:
        for step in _STEPS:
            longer = regimen.water_gap_minutes + step
            yield f"water at least every {write_duration(longer)}", replace(regimen, water_gap_minutes=longer)
        yield "no rule for water in the idle tube", dropped
    elif kind == "meals" and regimen.meals is not None:
        yield from _meal_easings(regimen, regimen.meals, name, dropped)


def _gap_easings(regimen: Regimen, name: str, *, part: str) -> Iterator[tuple[str, Regimen]]:
    duty = regimen.duty(name)
    longest = duty.longest_gap_minutes
    if part == "shortest":
        for shortest in _closer(duty.shortest_gap_minutes, floor=duty.floor_minutes):
            words = f"{name} down to {write_duration(shortest)} from one to the next"
            yield words, regimen.with_duty(replace(duty, shortest_gap_minutes=shortest))
    elif longest is not None:
        for step in _STEPS:
            words = f"{name} up to {write_duration(longest + step)} from one to the next"
            yield words, regimen.with_duty(replace(duty, longest_gap_minutes=longest + step))
        words = f"{name} {duty.times} times a day, however long from one to the next"
        yield words, regimen.with_duty(replace(duty, longest_gap_minutes=None))


def _closer(shortest: int, *, floor: int) -> Iterator[int]:
    """Ever shorter gaps, down to the floor [minutes]."""
    yield from (shortest - step for step in _STEPS if shortest - step > floor)
    if floor < shortest:
        yield floor


def _food_easings(regimen: Regimen, name: str) -> Iterator[tuple[str, Regimen]]:
    duty = regimen.duty(name)
    if isinstance(duty.food, EmptyStomach):
        for share in (0.75, 0.5, 0.25):
            food = EmptyStomach(
                after_minutes=max(1, int(duty.food.after_minutes * share)),
                before_minutes=max(1, int(duty.food.before_minutes * share)),
            )
            eased = replace(duty, food=food)
            yield _food_words(eased), regimen.with_duty(eased)
    if isinstance(duty.food, BeforeMeal) and duty.food.most_minutes < DAY_MINUTES:
        for step in (30, 60):
            eased = replace(duty, food=replace(duty.food, most_minutes=duty.food.most_minutes + step))
            yield _food_words(eased), regimen.with_duty(eased)


def _apart_easings(regimen: Regimen, first: str, second: str) -> Iterator[tuple[str, Regimen]]:
    pair = next(pair for pair in regimen.apart if (pair.first, pair.second) == (first, second))
    for step in _STEPS:
        if pair.minutes > step:
            eased = replace(pair, minutes=pair.minutes - step)
            pairs = tuple(eased if other == pair else other for other in regimen.apart)
            words = f"{write_duration(eased.minutes)} between {first} and {second} instead"
            yield words, replace(regimen, apart=pairs)


def _quiet_easings(regimen: Regimen, place: int) -> Iterator[tuple[str, Regimen]]:
    window = regimen.quiet[place]
    length = (window.until_clock - window.from_clock) % DAY_MINUTES or DAY_MINUTES
    for step in _STEPS:
        if length > 2 * step:
            shorter = Window((window.from_clock + step) % DAY_MINUTES, (window.until_clock - step) % DAY_MINUTES)
            quiet = tuple(shorter if number == place else w for number, w in enumerate(regimen.quiet))
            yield f"no session from {shorter} only", replace(regimen, quiet=quiet)


def _meal_easings(regimen: Regimen, meals: Meals, name: str, dropped: Regimen) -> Iterator[tuple[str, Regimen]]:
    if name == "gap":
        for shortest in _closer(meals.shortest_gap_minutes, floor=meals.floor_minutes):
            eased = replace(meals, shortest_gap_minutes=shortest)
            yield f"{write_duration(shortest)} from meal to meal", replace(regimen, meals=eased)
    elif name == "longest" and meals.longest_gap_minutes is not None:
        for step in _STEPS:
            eased = replace(meals, longest_gap_minutes=meals.longest_gap_minutes + step)
            yield (
                f"up to {write_duration(meals.longest_gap_minutes + step)} between meals",
                replace(regimen, meals=eased),
            )
        yield "any time between meals", dropped
    elif name == "window":
        for window in _wider(meals.window):
            yield f"meals from {window}", replace(regimen, meals=replace(meals, window=window))
        yield "meals at any time of day", dropped
    elif name == "night":
        yield "a meal at night", dropped
    elif name == "fewest":
        for fewest in range(meals.fewest - 1, 0, -1):
            yield f"{fewest} {_meals(fewest)} a day", replace(regimen, meals=replace(meals, fewest=fewest))
        yield "a day without a meal", dropped
    elif name == "most":
        for more in range(1, MORE_MEALS + 1):
            most = min(24, meals.most + more)
            yield f"{most} meals a day", replace(regimen, meals=replace(meals, most=most))
    elif name == "upright":
        half = meals.upright_minutes // 2
        if half:
            words = f"{write_duration(half)} upright after a meal"
            yield words, replace(regimen, meals=replace(meals, upright_minutes=half))
        yield "no upright time after a meal", dropped


def _wider(window: Window | None) -> Iterator[Window]:
    if window is None:
        return
    length = (window.until_clock - window.from_clock) % DAY_MINUTES or DAY_MINUTES
    for step in _STEPS:
        if length + 2 * step < DAY_MINUTES:
            yield Window((window.from_clock - step) % DAY_MINUTES, (window.until_clock + step) % DAY_MINUTES)
