"""The published generator of regimens: realistic mixes, each settled by its seed alone."""

import random

from fillmark.core.timetable.clock import Window
from fillmark.core.timetable.regimen import (
    MEAL,
    AnyFood,
    Apart,
    Attendant,
    Available,
    BeforeMeal,
    Duty,
    EmptyStomach,
    Food,
    Insisted,
    Kind,
    Meals,
    Regimen,
    UsualTimes,
    WithMeal,
    every_hours,
)

NAMES = tuple("ABCDEFGHIJKLMN")


def random_regimen(seed: int, *, most_medicines: int = 14) -> Regimen:
    """One household's day: 1 to 14 medicines, 2 to 6 meals, and the rules between them.

    Intervals: every 12 hours most often, then 24, 8 and 6. Food: no matter for half of them; the rest on an empty
    stomach, with a meal or before one. One or two medicines must be kept apart from some others.
    """
    chance = random.Random(seed)
    fewest = chance.choice((2, 3, 3, 4, 4, 5, 6))
    gap = chance.choice((120, 180)) if fewest >= 5 else chance.choice((180, 240))
    meals = Meals(
        fewest=fewest,
        most=min(6, fewest + chance.choice((0, 0, 1, 2))),
        shortest_gap_minutes=gap,
        window=chance.choice((None, Window(6 * 60, 22 * 60), Window(7 * 60, 21 * 60))),
        upright_minutes=chance.choice((0, 10, 15, 20, 30)),
        may_be_at_night=chance.random() < 0.4,
        skill="feeding",
    )
    duties = tuple(_medicine(chance, name) for name in NAMES[: chance.randint(1, most_medicines)])
    tasks: tuple[Duty, ...] = ()
    if chance.random() < 0.3:
        tasks = (Duty(name="breathing count", kind=Kind.TASK, times=1, window=Window(20 * 60, 23 * 60)),)
    if chance.random() < 0.3:
        tasks += (Duty(name="weighing", kind=Kind.TASK, times=1, window=Window(6 * 60, 10 * 60)),)
    return Regimen(
        meals=meals,
        duties=duties + tasks,
        apart=_apart(chance, duties),
        water_gap_minutes=chance.choice((None, None, 8 * 60, 12 * 60)),
        night=Window(22 * 60 + 30, 6 * 60),
        quiet=(Window(1 * 60, 5 * 60),) if chance.random() < 0.15 else (),
        insisted=(Insisted(7 * 60, MEAL),) if chance.random() < 0.15 else (),
        people=_people(chance),
        usual=(UsualTimes((7 * 60, 13 * 60, 19 * 60, 22 * 60)),),
    )


def _medicine(chance: random.Random, name: str) -> Duty:
    food: Food | None = chance.choices(
        (
            None,
            EmptyStomach(after_minutes=120, before_minutes=60),
            WithMeal(),
            BeforeMeal(least_minutes=30, most_minutes=60),
        ),
        weights=(55, 15, 20, 10),
    )[0]
    hours = chance.choices((24, 12, 8, 6), weights=(30, 40, 20, 10))[0]
    if isinstance(food, WithMeal) and hours <= 8:
        food = None
    if chance.random() < 0.2 and hours in (8, 12):
        return Duty(name=name, times=24 // hours, shortest_gap_minutes=hours * 60 - 180, food=food or AnyFood())
    tolerance = {24: 0, 12: chance.choice((60, 120)), 8: 60, 6: chance.choice((60, 90))}[hours]
    window = Window(6 * 60, 11 * 60) if hours == 24 and chance.random() < 0.3 else None
    return every_hours(name, hours=hours, tolerance_minutes=tolerance, food=food, window=window)


def _apart(chance: random.Random, duties: tuple[Duty, ...]) -> tuple[Apart, ...]:
    pairs: dict[frozenset[str], Apart] = {}
    for binder in chance.sample(duties, min(len(duties), chance.choice((0, 1, 1, 2)))):
        for other in duties:
            if other.name != binder.name and chance.random() < 0.4:
                pairs[frozenset((binder.name, other.name))] = Apart(binder.name, other.name, chance.choice((60, 120)))
    return tuple(pairs.values())


def _people(chance: random.Random) -> tuple[Attendant, ...]:
    every_day = range(7)
    noor = Attendant(
        name="Noor",
        skills=frozenset({"feeding"}),
        available=tuple(Available(day, Window(5 * 60, 8 * 60)) for day in range(5))
        + tuple(Available(day, Window(17 * 60, 23 * 60 + 30)) for day in range(5))
        + tuple(Available(day, Window(7 * 60, 23 * 60 + 30)) for day in (5, 6)),
    )
    sam = Attendant(
        name="Sam",
        skills=frozenset({"feeding"}) if chance.random() < 0.5 else frozenset(),
        available=tuple(Available(day, Window(11 * 60, 19 * 60)) for day in every_day),
    )
    return chance.choice(((), (noor,), (noor, sam)))


def heavy_day() -> Regimen:
    """A day of 12 medicines (26 doses), 4 meals and 8 rules that keep medicines apart."""
    empty = EmptyStomach(after_minutes=120, before_minutes=60)
    return Regimen(
        meals=Meals(
            fewest=4,
            most=4,
            shortest_gap_minutes=180,
            window=Window(6 * 60, 22 * 60),
            upright_minutes=20,
        ),
        duties=(
            every_hours("A", hours=6, tolerance_minutes=60),
            every_hours("B", hours=8, tolerance_minutes=60, food=empty),
            every_hours("C", hours=8, tolerance_minutes=60),
            every_hours("D", hours=12, tolerance_minutes=60, food=WithMeal()),
            every_hours("E", hours=12, tolerance_minutes=60),
            every_hours("F", hours=12, tolerance_minutes=60, food=empty),
            every_hours("G", hours=12, tolerance_minutes=120, food=BeforeMeal(least_minutes=30, most_minutes=60)),
            every_hours("H", hours=12, tolerance_minutes=120),
            every_hours("I", hours=12, tolerance_minutes=60, food=WithMeal()),
            every_hours("J", hours=12, tolerance_minutes=60),
            every_hours("K", hours=24, tolerance_minutes=0, food=empty),
            every_hours("L", hours=24, tolerance_minutes=0, window=Window(18 * 60, 23 * 60)),
        ),
        apart=(
            Apart("B", "A", 60),
            Apart("B", "C", 120),
            Apart("B", "D", 120),
            Apart("B", "E", 120),
            Apart("F", "H", 120),
            Apart("F", "J", 60),
            Apart("C", "E", 60),
            Apart("K", "A", 60),
        ),
        night=Window(22 * 60 + 30, 6 * 60),
        usual=(UsualTimes((7 * 60, 12 * 60, 17 * 60, 22 * 60)),),
    )
