"""The doses, meals, tasks and flushes of a care plan as duties of the timetable."""

from collections.abc import Iterator
from datetime import date, time
from itertools import pairwise
from math import ceil
from zoneinfo import ZoneInfo

from fillmark.core.day.due import due_medicines
from fillmark.core.day.plan_day import plan_day as plan_care_day
from fillmark.core.day.values import DueMedicine
from fillmark.core.doses.counted_hours import give_or_take
from fillmark.core.doses.giving import window_minutes
from fillmark.core.orders.dosing_days import is_in_course
from fillmark.core.orders.medicine import Medicine, interval_hours, order_on
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.tasks import Task
from fillmark.core.timetable import (
    DAY_MINUTES,
    AnyFood,
    Apart,
    BeforeMeal,
    Duty,
    EmptyStomach,
    Food,
    Kind,
    Meals,
    Window,
    WithMeal,
    write_clock,
    write_duration,
)
from fillmark.core.today.chosen_hours import GRID_MINUTES, minutes_of
from fillmark.core.values.errors import NotStated
from fillmark.core.values.explain import Explained
from fillmark.published import Printed
from fillmark.published.timetable_choices import (
    AFTER_MEAL_EMPTY_MINUTES,
    BEFORE_MEAL_REACH_MINUTES,
    DOSE_GAP_FRACTION,
    MEAL_GAP_FRACTION,
)

IDLE_FLUSH = "Flush of the idle tube"
"""The name under which the flushes of an idle tube stand in the day's times."""


def task_duty(task: Task) -> Duty:
    """A task of the plan as a duty of the day."""
    if task.with_each_meal:
        return Duty(name=task.name, kind=Kind.TASK, times=None, food=WithMeal(), skill=task.name)
    minutes = ceil(task.food_minutes or 0) or 1
    food: Food = AnyFood()
    if task.food == "before":
        food = BeforeMeal(least_minutes=minutes, most_minutes=DAY_MINUTES)
    elif task.food == "after":
        food = EmptyStomach(after_minutes=minutes, before_minutes=1)
    times = len(task.clocks)
    gap = min([round(DOSE_GAP_FRACTION.value * DAY_MINUTES / times), *_gaps(task.clocks)]) if times > 1 else 0
    return Duty(name=task.name, kind=Kind.TASK, times=times, shortest_gap_minutes=gap, food=food, skill=task.name)


def flush_duty(plan: CarePlan, figures: list[Printed]) -> tuple[Duty, ...]:
    """The idle tube's flushes, evenly through the day; the same session may hold something else.

    Args:
        plan: The care plan.
        figures: Printed numbers used; added to.
    """
    idle, clocks = plan.orders.idle_flush, plan.timetable.flushes
    if idle is None or not clocks:
        return ()
    if idle.times_per_day == 1:
        return (Duty(name=IDLE_FLUSH, kind=Kind.TASK, times=1),)
    figures.append(DOSE_GAP_FRACTION)
    gap = min([round(DOSE_GAP_FRACTION.value * DAY_MINUTES / idle.times_per_day), *_gaps(clocks)])
    return (Duty(name=IDLE_FLUSH, kind=Kind.TASK, times=idle.times_per_day, shortest_gap_minutes=gap),)


def names_of(plan: CarePlan) -> dict[str, str]:
    """What each medicine is called in a timetable, by its id: its name, with its strength where two share it."""
    names = [medicine.name for medicine in plan.medicines]
    names += [task.name for task in plan.tasks]
    return {
        # a colon parts the names inside the id of a rule
        medicine.id: (
            medicine.name if names.count(medicine.name) == 1 else f"{medicine.name} {medicine.strength}"
        ).replace(":", " ")
        for medicine in plan.medicines
    }


def timed_medicines(plan: CarePlan, *, on: date) -> tuple[Medicine, ...]:
    """The medicines that have a time of day, those of a course still to come too, in the rhythm they have then.

    Args:
        plan: The care plan.
        on: The household's day.
    """
    return tuple(
        order_on(medicine, on=max(on, medicine.start_on or on))
        for medicine in plan.medicines
        if medicine.when_needed is None
        and medicine.first_dose is None
        and is_in_course(medicine, on=max(on, medicine.start_on or on))
    )


def counted_on(plan: CarePlan, *, on: date) -> Iterator[tuple[str, time, DueMedicine]]:
    """The doses of a day whose hours are counted from a first one: what each is called, and where it stands.

    Args:
        plan: The care plan.
        on: The household's day.
    """
    found = [(clock, due) for clock, dues in due_medicines(plan, on=on).items() for due in dues if due.due_at]
    names = names_of(plan)
    for clock, due in found:
        same = [other for _, other in found if other.medicine.id == due.medicine.id]
        number = f", dose {same.index(due) + 1} of {len(same)}" if len(same) > 1 else ""
        yield f"{names[due.medicine.id]}{number}", clock, due


def counted_duties(plan: CarePlan, on: date, cautions: list[str]) -> Iterator[Duty]:
    """Each of these doses as a duty that no wish can move: a session within reach takes it along.

    Args:
        plan: The care plan.
        on: The household's day.
        cautions: What to say about it; added to.
    """
    zone, grid = ZoneInfo(plan.household.time_zone), GRID_MINUTES[-1]
    for name, _, due in counted_on(plan, on=on):
        assert due.due_at is not None  # noqa: S101
        own = minutes_of(due.due_at.astimezone(zone).time())
        reach = max(int(give_or_take(due.medicine).total_seconds() // 60), grid)
        cautions.append(
            f"{name} is counted from its first dose: {write_clock(own)} on this day, other times on other days. What "
            "is shown here holds for this day."
        )
        window = Window((own - reach) % DAY_MINUTES, (own + reach) % DAY_MINUTES)
        yield Duty(name=name, times=1, window=window)


def stand_ins(plan: CarePlan, *, on: date) -> frozenset[str]:
    """The rules of a day, by their id, of which the orders leave something open: how far apart, how early or how late.

    Args:
        plan: The care plan.
        on: The household's day.
    """
    names = names_of(plan)
    found = {"meals:gap"} if plan.orders.meal_gap_hours is None else set()
    for medicine in timed_medicines(plan, on=on):
        name, food = names[medicine.id], medicine.food
        if medicine.times_per_day is None or medicine.min_gap_hours is None:
            found.add(f"gap:{name}")
        if food.relation == "before" or (food.relation == "empty stomach" and food.after_minutes is None):
            found.add(f"food:{name}")
    found |= {f"window:{name}" for name, _, _ in counted_on(plan, on=on)}
    if plan.orders.idle_flush is not None:
        found.add(f"gap:{IDLE_FLUSH}")
    return frozenset(found)


def _gaps(clocks: tuple[time, ...]) -> list[int]:
    """From each time to the next, the last to the first of the next day [minutes]."""
    minutes = sorted(map(minutes_of, clocks))
    return [later - earlier for earlier, later in pairwise([*minutes, minutes[0] + DAY_MINUTES])] if minutes else []


def shortest_meal_gap(plan: CarePlan) -> Explained[int]:
    """Least time from one meal to the next: the vet's, or what stands in for it [minutes]. 0 for a single meal.

    Without the vet's word it is half of an even distance, or the shortest that the plan's times keep.

    Source:
        the vet's order; timetable.meal_gap where it states none
    """
    clocks, hours = plan.timetable.meals, plan.orders.meal_gap_hours
    count = len(clocks) or plan.orders.meals_per_day or 0
    if hours is not None:
        minutes = round(hours * 60)
        return Explained(value=minutes, because=f"the vet ordered {write_duration(minutes)} or more from meal to meal")
    if count < 2:
        return Explained(value=0, because="one meal a day has no other to keep away from")
    even = DAY_MINUTES / count
    shortest = min([round(MEAL_GAP_FRACTION.value * even), *_gaps(clocks)])
    return Explained(
        value=shortest,
        because=f"{count} meals: the shorter of {MEAL_GAP_FRACTION.value:.0%} of {write_duration(round(even))} and "
        f"what the plan keeps, {write_duration(shortest)}",
        figures=(MEAL_GAP_FRACTION,),
        cautions=(
            f"The vet stated no shortest time from meal to meal: {write_duration(shortest)} is used. Ask the vet.",
        ),
    )


def meals_rule(plan: CarePlan, on: date, cautions: list[str], figures: list[Printed]) -> Meals:
    """How many meals, how long each takes, and how far apart they lie.

    Args:
        plan: The care plan.
        on: The household's day.
        cautions: What to say about it; added to.
        figures: Printed numbers used; added to.
    """
    orders, clocks = plan.orders, plan.timetable.meals
    count = len(clocks) or orders.meals_per_day
    if not count:
        raise NotStated(
            field="orders.meals_per_day",
            got="A plan that does not state the number of meals",
            allowed="the vet's number of meals a day",
            remedy="Ask: How many meals a day?",
        )
    shortest = shortest_meal_gap(plan)
    figures.extend(shortest.figures)
    cautions.extend(shortest.cautions)
    upright = orders.upright_minutes or 0.0
    if upright and orders.pace_ml_per_minute:
        # The animal is held upright from the last fill on, so the time to push the meal comes first. Medicines are left
        # out: where their present times clash, another day is just what is sought.
        feeding = plan_care_day(plan.model_copy(update={"medicines": ()}), on=on)
        upright += max(feeding.meals.value) / orders.pace_ml_per_minute
    return Meals(fewest=count, most=count, shortest_gap_minutes=shortest.value, upright_minutes=ceil(upright))


def medicine_duty(medicine: Medicine, name: str, plan: CarePlan, cautions: list[str], figures: list[Printed]) -> Duty:
    """One order as a duty of the day: how often, how far apart, and what it asks of food.

    Args:
        medicine: The order.
        name: What the duty is called.
        plan: The care plan.
        cautions: What to say about it; added to.
        figures: Printed numbers used; added to.
    """
    if medicine.with_each_meal:
        return Duty(name=name, times=None, food=WithMeal())
    food = food_rule(medicine, name, plan.timetable.meals, cautions, figures)
    hours = interval_hours(medicine) or 24.0
    times = len(medicine.clocks) or medicine.times_per_day or max(1, round(24 / hours))
    if times == 1:
        return Duty(name=name, times=1, food=food)
    vets_gap = round((medicine.min_gap_hours or 0.0) * 60)
    even = DAY_MINUTES // times
    if medicine.times_per_day is not None:
        kept = min([round(DOSE_GAP_FRACTION.value * even), *_gaps(medicine.clocks)])
        if not vets_gap:
            figures.append(DOSE_GAP_FRACTION)
            cautions.append(
                f"{name} is ordered {times} times a day, without how far apart: at least {write_duration(kept)} is "
                "used. Ask the vet."
            )
        return Duty(name=name, times=times, shortest_gap_minutes=vets_gap or kept, food=food)
    window, figure = window_minutes(interval_hours=hours, is_time_critical=medicine.time_critical)
    figures.append(figure)
    shortest, longest = round(hours * 60 - window), round(hours * 60 + window)
    if not shortest * times <= DAY_MINUTES <= longest * times:
        # an interval that does not fill 24 hours, such as every 10: the times kept today show how it is lived
        kept_today = _gaps(medicine.clocks)
        shortest, longest = min(even, shortest, *kept_today), max(even + 1, longest, *kept_today)
        cautions.append(
            f"{name} is ordered every {write_duration(round(hours * 60))}, which does not fill 24 hours: "
            f"{write_duration(shortest)} to {write_duration(longest)} is used, as today. Ask the vet."
        )
    return Duty(
        name=name,
        times=times,
        shortest_gap_minutes=max(shortest, vets_gap),
        longest_gap_minutes=longest,
        food=food,
    )


def food_rule(
    medicine: Medicine, name: str, meals: tuple[time, ...], cautions: list[str], figures: list[Printed]
) -> Food:
    """What one order asks of the time around food.

    Args:
        medicine: The order.
        name: What the duty is called.
        meals: The plan's meal times.
        cautions: What to say about it; added to.
        figures: Printed numbers used; added to.
    """
    least = max(1, ceil(medicine.food.minutes or 0.0))
    match medicine.food.relation:
        case "with":
            return WithMeal()
        case "before":
            figures.append(BEFORE_MEAL_REACH_MINUTES)
            alone = without_meal_after(medicine, meals)
            if not alone:
                return BeforeMeal(least_minutes=least, most_minutes=least + round(BEFORE_MEAL_REACH_MINUTES.value))
            clocks = " and ".join(f"{clock:%H:%M}" for clock in alone)
            cautions.append(
                f"{name} is ordered before food, and no meal follows soon after {clocks}: only the "
                f"{write_duration(least)} before the next meal are kept. Ask the vet whether a meal must follow."
            )
            return BeforeMeal(least_minutes=least, most_minutes=DAY_MINUTES)
        case "empty stomach":
            after = medicine.food.after_minutes
            if after is None:
                after = AFTER_MEAL_EMPTY_MINUTES.value
                figures.append(AFTER_MEAL_EMPTY_MINUTES)
                cautions.append(
                    f"{name} is ordered on an empty stomach, without how long after food: "
                    f"{write_duration(round(after))} is used. Ask the vet."
                )
            return EmptyStomach(after_minutes=max(1, ceil(after)), before_minutes=least)
        case _:
            return AnyFood()


def without_meal_after(medicine: Medicine, meals: tuple[time, ...]) -> list[time]:
    """The times of a medicine ordered before food that no meal follows soon enough to be its meal.

    Args:
        medicine: The order.
        meals: The plan's meal times.
    Source:
        timetable.before_meal_reach
    """
    if medicine.food.relation != "before":
        return []
    reach = max(1, ceil(medicine.food.minutes or 0.0)) + round(BEFORE_MEAL_REACH_MINUTES.value)
    return [
        clock
        for clock in medicine.clocks
        if not any((minutes_of(meal) - minutes_of(clock)) % DAY_MINUTES <= reach for meal in meals)
    ]


def apart_rules(medicines: tuple[Medicine, ...], names: dict[str, str]) -> tuple[Apart, ...]:
    """Each pair once, with the longer time where both orders name one.

    Args:
        medicines: Those with a time of day.
        names: What each medicine is called, by its id.
    """
    timed = {medicine.id for medicine in medicines}
    minutes: dict[tuple[str, str], int] = {}
    for medicine in medicines:
        for apart in medicine.apart_from:
            if apart.medicine in timed:
                first, second = sorted((names[medicine.id], names[apart.medicine]))
                minutes[first, second] = max(minutes.get((first, second), 0), ceil(apart.hours * 60))
    return tuple(Apart(first, second, least) for (first, second), least in minutes.items())
