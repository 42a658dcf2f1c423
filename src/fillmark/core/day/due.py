"""Which medicines and tasks are due, and when."""

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from fillmark.core.day.values import DueMedicine
from fillmark.core.doses.counted_hours import place_dose
from fillmark.core.doses.giving import planned_times
from fillmark.core.orders.dosing_days import counted_doses, is_dosing_day, is_in_course
from fillmark.core.orders.medicine import Medicine, order_on
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.tasks import Task


def instant_of(plan: CarePlan, *, on: date, clock: time) -> datetime:
    """The instant of a local time of day within the household's day, also where a clock change makes it 23 or 25 hours.

    A time that the clock change skips falls on the change itself; of a time that comes twice, the first is meant. So
    the order of the day line is the order of the instants.

    Args:
        plan: The care plan.
        on: The household's day.
        clock: Local time of day.
    """
    zone = ZoneInfo(plan.household.time_zone)
    local_on = on if clock >= plan.household.day_starts else on + timedelta(days=1)
    wall = datetime.combine(local_on, clock, tzinfo=zone)
    instant = wall.astimezone(UTC)
    if instant.astimezone(zone).time() == clock:
        return instant.astimezone(zone)
    earliest = wall.replace(fold=1).astimezone(UTC)
    minutes = int((instant - earliest).total_seconds() // 60)
    changed = next(
        later
        for later in (earliest + timedelta(minutes=minute) for minute in range(minutes + 1))
        if later.astimezone(zone).utcoffset() != earliest.astimezone(zone).utcoffset()
    )
    return changed.astimezone(zone)


def due_medicines(plan: CarePlan, *, on: date) -> dict[time, tuple[DueMedicine, ...]]:
    """What is due at each time of day of a household day; a meal time may have no medicine.

    Times of day come first; then each dose whose hours are counted takes its place among them, in the plan's order.

    Args:
        plan: The care plan.
        on: The household's day.
    Raises:
        BadPlan: a dose finds no time on this day.
    Source:
        the vet's orders; medicine.window_*
    """
    due: dict[time, list[DueMedicine]] = {clock: [] for clock in plan.timetable.meals}
    ordered = [one for one in plan.medicines if one.when_needed is None and is_in_course(one, on=on)]
    for medicine in ordered:
        if is_dosing_day(medicine, on=on):
            for clock in plan.timetable.meals if medicine.with_each_meal else order_on(medicine, on=on).clocks:
                due.setdefault(clock, []).append(DueMedicine(medicine=medicine))
    zone = ZoneInfo(plan.household.time_zone)
    from_at, until_at = (
        datetime.combine(day, plan.household.day_starts, tzinfo=zone).astimezone(UTC)
        for day in (on, on + timedelta(days=1))
    )
    for medicine in ordered:
        for due_at in counted_doses(medicine, from_at=from_at, until_at=until_at, time_zone=zone.key):
            at_of = {clock: instant_of(plan, on=on, clock=clock).astimezone(UTC) for clock in due}
            place = place_dose(
                medicine,
                due_at=due_at,
                sessions={at: [one.medicine for one in due[clock]] for clock, at in at_of.items()},
                meals={at_of[clock] for clock in plan.timetable.meals},
                from_at=from_at,
                until_at=until_at,
                zone=zone,
            )
            found = DueMedicine(medicine=medicine, due_at=due_at, caution=place.caution)
            clocks = [clock for clock, at in at_of.items() if at == place.at] or [place.at.astimezone(zone).time()]
            due.setdefault(clocks[0], []).append(found)
    order = sorted(due, key=plan.since_day_start)
    last = {one.medicine.id: clock for clock in order for one in due[clock] if _ends_on(plan, one.medicine, on=on)}
    return {
        clock: tuple(replace(one, is_last=last.get(one.medicine.id) == clock) for one in due[clock]) for clock in order
    }


def _ends_on(plan: CarePlan, medicine: Medicine, *, on: date) -> bool:
    """Whether no dose of its course falls on a later day."""
    if medicine.stop_on is None:
        return False
    days = (on + timedelta(days=offset) for offset in range(1, (medicine.stop_on - on).days + 1))
    household = plan.household
    times = medicine.model_copy(update={"clocks": plan.timetable.meals}) if medicine.with_each_meal else medicine
    return not any(
        planned_times(times, on=day, time_zone=household.time_zone, day_starts=household.day_starts) for day in days
    )


def due_tasks(plan: CarePlan, *, on: date) -> dict[time, tuple[Task, ...]]:
    """The tasks of a household day by their time of day, in the plan's order; the weekday is the day's own.

    Args:
        plan: The care plan.
        on: The household's day.
    """
    found: dict[time, list[Task]] = {}
    for task in plan.tasks:
        if task.is_due(on):
            for clock in plan.timetable.meals if task.with_each_meal else task.clocks:
                found.setdefault(clock, []).append(task)
    return {clock: tuple(tasks) for clock, tasks in found.items()}
