"""Builders of small days, and of days spoiled on purpose."""

import random
from dataclasses import replace

from fillmark.core.timetable import (
    Apart,
    Attendant,
    Available,
    BeforeMeal,
    Duty,
    EmptyStomach,
    Meals,
    Regimen,
    Session,
    Timetable,
    UsualTimes,
    Window,
    WithMeal,
    every_hours,
)


def a_small_day(seed: int) -> Regimen:
    """At most 3 medicines on a grid of 1 hour, of every kind of rule."""
    chance = random.Random(seed)
    foods = (
        None,
        None,
        WithMeal(),
        EmptyStomach(after_minutes=120, before_minutes=60),
        BeforeMeal(least_minutes=60, most_minutes=120),
    )
    duties: list[Duty] = []
    for name in "ABC"[: chance.randint(1, 3)]:
        hours = chance.choice((24, 12, 12, 8))
        window = Window(6 * 60, 11 * 60) if hours == 24 and chance.random() < 0.3 else None
        food = chance.choice(foods) if window is None else None
        duties.append(
            every_hours(name, hours=hours, tolerance_minutes=0 if hours == 24 else 60, food=food, window=window)
        )
    names = [duty.name for duty in duties]
    pairs = [(one, other) for one in names for other in names if one < other and chance.random() < 0.4]
    fewest = chance.choice((1, 2, 2))
    people = (
        Attendant(
            name="Noor",
            skills=frozenset({"feeding"}),
            available=tuple(Available(day, Window(6 * 60, 9 * 60)) for day in range(5))
            + tuple(Available(day, Window(17 * 60, 23 * 60)) for day in range(7)),
        ),
        Attendant(name="Sam", available=tuple(Available(day, Window(11 * 60, 15 * 60)) for day in range(7))),
    )
    return Regimen(
        meals=Meals(
            fewest=fewest,
            most=min(2, fewest + chance.choice((0, 1))),
            shortest_gap_minutes=chance.choice((180, 240, 300)),
            window=chance.choice((Window(7 * 60, 20 * 60), Window(6 * 60, 22 * 60))),
            upright_minutes=chance.choice((0, 30, 60, 120)),
            skill="feeding",
        ),
        duties=tuple(duties),
        apart=tuple(Apart(one, other, chance.choice((60, 120))) for one, other in pairs),
        night=Window(22 * 60, 6 * 60),
        people=people if chance.random() < 0.5 else (),
        usual=(UsualTimes((7 * 60, 13 * 60, 19 * 60)),),
        grid_minutes=60,
    )


def spoil(timetable: Timetable, *, regimen: Regimen, seed: int) -> Timetable:
    """The same day with one thing done wrong: something left out, doubled, moved too near, or taken off the grid."""
    chance = random.Random(seed)
    sessions = list(timetable.sessions)
    place = chance.randrange(len(sessions))
    kind = chance.choice(("left out", "doubled", "off the grid", "out of order", "unknown"))
    session = sessions[place]
    if kind == "left out":
        named = [place for place, one in enumerate(sessions) if one.duties]
        place = chance.choice(named)
        sessions[place] = replace(sessions[place], duties=sessions[place].duties[1:])
    elif kind == "doubled":
        named = [one for one in sessions if one.duties]
        sessions[place] = replace(session, duties=(*session.duties, chance.choice(named).duties[0]))
    elif kind == "off the grid":
        sessions[place] = replace(session, clock=session.clock + chance.randint(1, regimen.grid_minutes - 1))
    elif kind == "out of order":
        sessions.append(Session(clock=sessions[0].clock, duties=sessions[0].duties))
    else:
        sessions[place] = replace(session, duties=(*session.duties, "nobody ordered this"))
    return replace(timetable, sessions=tuple(sessions))
