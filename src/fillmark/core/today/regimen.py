"""A care plan as a regimen of the timetable: what is due, what must be apart, who is there."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from math import ceil

from fillmark.core.doses.giving import shortest_gap
from fillmark.core.orders.medicine import Medicine, order_on
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.household import WEEKDAYS
from fillmark.core.plan.tasks import Task
from fillmark.core.timetable import (
    DAY_MINUTES,
    MEAL,
    Attendant,
    Available,
    BeforeMeal,
    Duty,
    Regimen,
    Session,
    Timetable,
    UsualTimes,
    Window,
    WithMeal,
)
from fillmark.core.today.chosen_hours import GRID_MINUTES, Wishes, insisted_rules, minutes_of
from fillmark.core.today.duties import (
    IDLE_FLUSH,
    apart_rules,
    counted_duties,
    counted_on,
    flush_duty,
    food_rule,
    meals_rule,
    medicine_duty,
    names_of,
    stand_ins,
    task_duty,
    timed_medicines,
)
from fillmark.core.values.explain import Explained
from fillmark.published import Printed


def regimen_of(plan: CarePlan, *, wishes: Wishes, on: date) -> Explained[Regimen]:
    """The rules of a day by the plan's orders and the household's wishes.

    Where an order leaves a time open, a figure stands in and a caution says so. Medicines that are given only when
    needed have no time of their own, and a course that is over takes no session.

    Args:
        plan: The plan.
        wishes: What the household chooses.
        on: The first day it is meant for.
    Raises:
        NotStated: the number of meals is not known.
        BadPlan: a wish cannot be meant, or names something the plan does not have.
        FillmarkError: the day cannot be worked out of the plan.
    Source:
        the vet's orders; timetable.*, medicine.window_*
    """
    names = names_of(plan)
    medicines = timed_medicines(plan, on=on)
    cautions: list[str] = []
    figures: list[Printed] = []
    meals = meals_rule(plan, on, cautions, figures)
    duties = tuple(medicine_duty(medicine, names[medicine.id], plan, cautions, figures) for medicine in medicines)
    duties += tuple(counted_duties(plan, on, cautions))
    duties += tuple(task_duty(task) for task in _daily_tasks(plan))
    duties += flush_duty(plan, figures)
    usual = [UsualTimes(tuple(map(minutes_of, plan.timetable.meals)), MEAL)] if plan.timetable.meals else []
    usual += [
        UsualTimes(tuple(map(minutes_of, medicine.clocks)), names[medicine.id])
        for medicine in medicines
        if medicine.clocks
    ]
    usual += [UsualTimes(tuple(map(minutes_of, task.clocks)), task.name) for task in _daily_tasks(plan) if task.clocks]
    if plan.timetable.flushes and plan.orders.idle_flush is not None:
        usual.append(UsualTimes(tuple(map(minutes_of, plan.timetable.flushes)), IDLE_FLUSH))
    insisted = insisted_rules(wishes, names)
    regimen = Regimen(
        meals=meals,
        duties=duties,
        apart=apart_rules(medicines, names),
        night=wishes.night,
        quiet=(wishes.quiet,) if wishes.quiet is not None else (),
        insisted=insisted,
        people=people_of(plan),
        usual=tuple(usual),
        grid_minutes=_grid([clock for wish in usual for clock in wish.clocks] + [wish.clock for wish in insisted]),
        stand_ins=stand_ins(plan, on=on),
    )
    return Explained(
        value=regimen,
        because=f"{meals.fewest} meals and {len(duties)} medicines and tasks, each by the plan",
        figures=tuple({figure.id: figure for figure in figures}.values()),
        cautions=tuple(cautions),
    )


def rules_of_the_rest(
    plan: CarePlan, *, medicines: Sequence[Medicine], tasks: Sequence[Task] = (), on: date
) -> Explained[Regimen]:
    """The rules that what is still to come today must keep: gaps, food, what is kept apart, time upright.

    How late or early one dose may come is not among them: it belongs to its own planned time.

    Args:
        plan: The plan in force.
        medicines: Every medicine that plays a part.
        tasks: Every task that does.
        on: The day.
    Raises:
        NotStated: the number of meals is not known.
    Source:
        the vet's orders; timetable.*, medicine.window_*
    """
    names = names_of(plan)
    cautions: list[str] = []
    figures: list[Printed] = []
    meals = meals_rule(plan, on, cautions, figures)
    duties = []
    for medicine in medicines:
        if medicine.with_each_meal:
            duties.append(Duty(name=names[medicine.id], times=None, food=WithMeal()))
            continue
        food = food_rule(medicine, names[medicine.id], plan.timetable.meals, cautions, figures)
        if isinstance(food, BeforeMeal):
            # how long before its meal is a choice of the day's times; today only the vet's own minutes hold
            food = BeforeMeal(least_minutes=food.least_minutes, most_minutes=DAY_MINUTES)
        gap = min(DAY_MINUTES, ceil(shortest_gap(order_on(medicine, on=on)).total_seconds() / 60))
        duties.append(Duty(name=names[medicine.id], times=1, shortest_gap_minutes=gap, food=food))
    for task in tasks:
        duty = task_duty(task)
        duties.append(duty if duty.times is None else replace(duty, times=1, shortest_gap_minutes=0))
    clocks = [*plan.timetable.meals, *plan.timetable.flushes]
    clocks += [clock for medicine in medicines for clock in medicine.clocks]
    clocks += [clock for task in tasks for clock in task.clocks]
    finest = GRID_MINUTES[-1]
    return Explained(
        value=Regimen(
            meals=meals,
            duties=tuple(duties),
            apart=apart_rules(tuple(medicines), names),
            grid_minutes=finest if all(minutes_of(clock) % finest == 0 for clock in clocks) else 1,
            stand_ins=stand_ins(plan, on=on),
        ),
        because=f"{len(duties)} medicines and the meals, each by the vet's order",
        figures=tuple({figure.id: figure for figure in figures}.values()),
        cautions=tuple(cautions),
    )


def people_of(plan: CarePlan) -> tuple[Attendant, ...]:
    """Who can come when, as the plan states it; who has not stated their hours plays no part."""
    found = []
    for person in plan.household.people:
        if person.there is None:
            continue
        hours = tuple(
            Available(WEEKDAYS.index(day), Window(minutes_of(presence.comes), minutes_of(presence.goes)))
            for presence in person.there
            for day in presence.days
        )
        skills = frozenset(task.name for task in plan.tasks if task.may is None or person.id in task.may)
        found.append(Attendant(name=person.name, skills=skills, available=hours))
    return tuple(found)


def _daily_tasks(plan: CarePlan) -> tuple[Task, ...]:
    """The tasks of every day; those of some weekdays keep their times."""
    return tuple(task for task in plan.tasks if len(set(task.days)) == len(WEEKDAYS))


def present_day(plan: CarePlan, *, on: date) -> Timetable:
    """The plan's own times as a timetable, in the order of the clock.

    Args:
        plan: The care plan.
        on: The household's day.
    Source:
        the plan
    """
    names = names_of(plan)
    meals = {minutes_of(clock) for clock in plan.timetable.meals}
    given: dict[int, list[str]] = {clock: [] for clock in meals}
    for medicine in timed_medicines(plan, on=on):
        clocks = plan.timetable.meals if medicine.with_each_meal else medicine.clocks
        for clock in clocks:
            given.setdefault(minutes_of(clock), []).append(names[medicine.id])
    for name, clock, _ in counted_on(plan, on=on):
        given.setdefault(minutes_of(clock), []).append(name)
    for task in _daily_tasks(plan):
        for clock in plan.timetable.meals if task.with_each_meal else task.clocks:
            given.setdefault(minutes_of(clock), []).append(task.name)
    if plan.orders.idle_flush is not None:
        for clock in plan.timetable.flushes:
            given.setdefault(minutes_of(clock), []).append(IDLE_FLUSH)
    return Timetable(
        sessions=tuple(
            Session(clock=clock, has_meal=clock in meals, duties=tuple(given[clock])) for clock in sorted(given)
        )
    )


def _grid(clocks: list[int]) -> int:
    coarse, finest = GRID_MINUTES
    return coarse if all(clock % coarse == 0 for clock in clocks) else finest
