"""Which day would suit this household? From a care plan and wishes to a timetable, and back into a plan.

A proposal changes nothing: it stands beside the present day until a lead accepts it with the vet's word.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, time
from itertools import pairwise
from math import ceil
from zoneinfo import ZoneInfo

from fillmark.core.counted_hours import give_or_take
from fillmark.core.day import DueMedicine, due_medicines
from fillmark.core.day import plan_day as plan_care_day
from fillmark.core.document import read_document
from fillmark.core.errors import BadPlan, NotStated
from fillmark.core.explain import Explained
from fillmark.core.giving import interval_hours, shortest_gap, window_minutes
from fillmark.core.medicine import Medicine, is_in_course, order_on
from fillmark.core.plan import WEEKDAYS, CarePlan, Task
from fillmark.core.timetable import (
    DAY_MINUTES,
    MEAL,
    AnyFood,
    Apart,
    Available,
    BeforeMeal,
    Clash,
    Duty,
    EmptyStomach,
    Food,
    Holding,
    Insisted,
    Kind,
    Meals,
    NoDay,
    Person,
    Regimen,
    Session,
    Timetable,
    Usual,
    Window,
    WithMeal,
    check_day,
    explain_clash,
    plan_day,
    what_holds,
    write_clock,
    write_duration,
)
from fillmark.published import Printed
from fillmark.published.timetable_choices import (
    AFTER_MEAL_EMPTY_MINUTES,
    BEFORE_MEAL_REACH_MINUTES,
    DOSE_GAP_FRACTION,
    MEAL_GAP_FRACTION,
)

GRID_MINUTES = (15, 5)
"""Times stand on quarters of an hour; where the present ones or a wish do not, on every fifth minute."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Wishes:
    """What a household may choose about its day; what the vet ordered is not among it.

    Attributes:
        sleep_from: When the household goes to bed.
        sleep_until: When it rises. A session in between is avoided where the vet's rules allow.
        earliest: No session before this. Alone, it holds from bedtime on.
        latest: No session after this. Alone, it holds until rising.
        fixed_at: A session at exactly this time.
        fixed_what: What that session must hold: the id of a medicine, "meal", or nothing in particular.
    """

    sleep_from: time = time(23)
    sleep_until: time = time(6)
    earliest: time | None = None
    latest: time | None = None
    fixed_at: time | None = None
    fixed_what: str | None = None

    @property
    def night(self) -> Window:
        """When the household sleeps."""
        if self.sleep_from == self.sleep_until:
            raise BadPlan(
                field="wishes.sleep_from",
                got=f"Sleep from {self.sleep_from:%H:%M} until {self.sleep_until:%H:%M}",
                allowed="two different times",
                remedy="Enter when you go to bed and when you rise.",
            )
        return Window(_minutes(self.sleep_from), _minutes(self.sleep_until))

    @property
    def quiet(self) -> Window | None:
        """The hours in which there is no session at all."""
        if self.earliest is None and self.latest is None:
            return None
        begins, ends = self.latest or self.sleep_from, self.earliest or self.sleep_until
        if begins == ends:
            raise BadPlan(
                field="wishes.earliest",
                got=f"No session before {ends:%H:%M} and none after {begins:%H:%M}",
                allowed="a day with room for sessions",
                remedy="Choose an earliest time that comes before the latest.",
            )
        return Window(_minutes(begins), _minutes(ends))


@dataclass(frozen=True, kw_only=True, slots=True)
class Move:
    """A meal or medicine whose time changes [minutes after midnight]."""

    what: str
    old_clock: int
    new_clock: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Proposal:
    """The present day beside the one that suits the wishes.

    Attributes:
        wishes: What was wished for.
        regimen: The rules it was sought under, with what was assumed where the vet's order leaves a time open.
        old: The present day.
        old_faults: Which of the vet's rules the present day breaks.
        new: The best day, or that there is none.
        moves: What changes its time, in the order of the new day.
        first_day: What comes too close or too far apart on the day of the change, in words.
        holding: Why it takes this many sessions; none without a day.
        clash: Why there is no day, and ways out; none with a day, or where neither is proven.
    """

    wishes: Wishes
    regimen: Explained[Regimen]
    old: Timetable
    old_faults: tuple[str, ...]
    new: Timetable | NoDay
    moves: tuple[Move, ...] = ()
    first_day: tuple[str, ...] = ()
    holding: Holding | None = None
    clash: Clash | None = None


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
    medicines = _timed(plan, on=on)
    cautions: list[str] = []
    figures: list[Printed] = []
    meals = _meals(plan, on, cautions, figures)
    duties = tuple(_duty(medicine, names[medicine.id], plan, cautions, figures) for medicine in medicines)
    duties += tuple(_counted(plan, on, cautions))
    duties += tuple(_task_duty(task) for task in _daily_tasks(plan))
    duties += _flush_duty(plan, figures)
    usual = [Usual(tuple(map(_minutes, plan.timetable.meals)), MEAL)] if plan.timetable.meals else []
    usual += [
        Usual(tuple(map(_minutes, medicine.clocks)), names[medicine.id]) for medicine in medicines if medicine.clocks
    ]
    usual += [Usual(tuple(map(_minutes, task.clocks)), task.name) for task in _daily_tasks(plan) if task.clocks]
    if plan.timetable.flushes and plan.orders.idle_flush is not None:
        usual.append(Usual(tuple(map(_minutes, plan.timetable.flushes)), IDLE_FLUSH))
    insisted = _fixed(wishes, names)
    regimen = Regimen(
        meals=meals,
        duties=duties,
        apart=_apart(medicines, names),
        night=wishes.night,
        quiet=(wishes.quiet,) if wishes.quiet is not None else (),
        insisted=insisted,
        people=people_of(plan),
        usual=tuple(usual),
        grid_minutes=_grid([clock for wish in usual for clock in wish.clocks] + [wish.clock for wish in insisted]),
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
    meals = _meals(plan, on, cautions, figures)
    duties = []
    for medicine in medicines:
        if medicine.with_each_meal:
            duties.append(Duty(name=names[medicine.id], times=None, food=WithMeal()))
            continue
        food = _food(medicine, names[medicine.id], plan.timetable.meals, cautions, figures)
        if isinstance(food, BeforeMeal):
            # how long before its meal is a choice of the day's times; today only the vet's own minutes hold
            food = BeforeMeal(least_minutes=food.least_minutes, most_minutes=DAY_MINUTES)
        gap = min(DAY_MINUTES, ceil(shortest_gap(order_on(medicine, on=on)).total_seconds() / 60))
        duties.append(Duty(name=names[medicine.id], times=1, shortest_gap_minutes=gap, food=food))
    for task in tasks:
        duty = _task_duty(task)
        duties.append(duty if duty.times is None else replace(duty, times=1, shortest_gap_minutes=0))
    clocks = [*plan.timetable.meals, *plan.timetable.flushes]
    clocks += [clock for medicine in medicines for clock in medicine.clocks]
    clocks += [clock for task in tasks for clock in task.clocks]
    finest = GRID_MINUTES[-1]
    return Explained(
        value=Regimen(
            meals=meals,
            duties=tuple(duties),
            apart=_apart(tuple(medicines), names),
            grid_minutes=finest if all(_minutes(clock) % finest == 0 for clock in clocks) else 1,
        ),
        because=f"{len(duties)} medicines and the meals, each by the vet's order",
        figures=tuple({figure.id: figure for figure in figures}.values()),
        cautions=tuple(cautions),
    )


def people_of(plan: CarePlan) -> tuple[Person, ...]:
    """Who can come when, as the plan states it; who has not stated their hours plays no part."""
    found = []
    for person in plan.household.people:
        if person.there is None:
            continue
        hours = tuple(
            Available(WEEKDAYS.index(day), Window(_minutes(presence.comes), _minutes(presence.goes)))
            for presence in person.there
            for day in presence.days
        )
        skills = frozenset(task.name for task in plan.tasks if task.may is None or person.id in task.may)
        found.append(Person(name=person.name, skills=skills, available=hours))
    return tuple(found)


IDLE_FLUSH = "Flush of the idle tube"
"""The name under which the flushes of an idle tube stand in the day's times."""


def _daily_tasks(plan: CarePlan) -> tuple[Task, ...]:
    """The tasks of every day; those of some weekdays keep their times."""
    return tuple(task for task in plan.tasks if len(set(task.days)) == len(WEEKDAYS))


def _task_duty(task: Task) -> Duty:
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


def _flush_duty(plan: CarePlan, figures: list[Printed]) -> tuple[Duty, ...]:
    """The idle tube's flushes, evenly through the day; the same session may hold something else."""
    idle, clocks = plan.orders.idle_flush, plan.timetable.flushes
    if idle is None or not clocks:
        return ()
    if idle.times_per_day == 1:
        return (Duty(name=IDLE_FLUSH, kind=Kind.TASK, times=1),)
    figures.append(DOSE_GAP_FRACTION)
    gap = min([round(DOSE_GAP_FRACTION.value * DAY_MINUTES / idle.times_per_day), *_gaps(clocks)])
    return (Duty(name=IDLE_FLUSH, kind=Kind.TASK, times=idle.times_per_day, shortest_gap_minutes=gap),)


def present_day(plan: CarePlan, *, on: date) -> Timetable:
    """The plan's own times as a timetable, in the order of the clock.

    Source:
        the plan
    """
    names = names_of(plan)
    meals = {_minutes(clock) for clock in plan.timetable.meals}
    given: dict[int, list[str]] = {clock: [] for clock in meals}
    for medicine in _timed(plan, on=on):
        clocks = plan.timetable.meals if medicine.with_each_meal else medicine.clocks
        for clock in clocks:
            given.setdefault(_minutes(clock), []).append(names[medicine.id])
    for name, clock, _ in _counted_doses(plan, on=on):
        given.setdefault(_minutes(clock), []).append(name)
    for task in _daily_tasks(plan):
        for clock in plan.timetable.meals if task.with_each_meal else task.clocks:
            given.setdefault(_minutes(clock), []).append(task.name)
    if plan.orders.idle_flush is not None:
        for clock in plan.timetable.flushes:
            given.setdefault(_minutes(clock), []).append(IDLE_FLUSH)
    return Timetable(
        sessions=tuple(
            Session(clock=clock, has_meal=clock in meals, duties=tuple(given[clock])) for clock in sorted(given)
        )
    )


def propose_day(plan: CarePlan, *, wishes: Wishes, on: date) -> Proposal:
    """The best day for these wishes beside the present one; the same plan and wishes give the same day.

    Args:
        plan: The plan in force.
        wishes: What the household chooses.
        on: The first day that would be lived so.
    Raises:
        FillmarkError: as `regimen_of`.
    Source:
        the vet's orders and the household's wishes
    """
    explained = regimen_of(plan, wishes=wishes, on=on)
    regimen = explained.value
    old = present_day(plan, on=on)
    faults = check_day(regimen=replace(regimen, quiet=(), insisted=()), timetable=old)
    new = plan_day(regimen)
    if isinstance(new, NoDay):
        clash = explain_clash(regimen) if new.is_proven else None
        return Proposal(wishes=wishes, regimen=explained, old=old, old_faults=faults, new=new, clash=clash)
    return Proposal(
        wishes=wishes,
        regimen=explained,
        old=old,
        old_faults=faults,
        new=new,
        moves=tuple(_moves(plan, regimen, old, new)),
        first_day=tuple(_first_day(plan, regimen, old, new, on)),
        holding=what_holds(regimen, timetable=new),
    )


def plan_with_times(plan: CarePlan, timetable: Timetable, *, on: date) -> CarePlan:
    """A copy of the plan with the times of a timetable; nothing else changes.

    Args:
        plan: The plan the timetable was made for.
        timetable: The new day.
        on: From which day on it holds: of a taper, the rhythm of that day gets the new times.
    Raises:
        FillmarkError: the plan does not hold with these times.
    Source:
        arithmetic only
    """
    values = plan.model_dump(mode="json", exclude_unset=True)

    def clocks_of(name: str) -> list[str]:
        return [f"{clock:%H:%M}" for clock in sorted(map(_time, timetable.clocks_of(name)), key=plan.since_day_start)]

    values["timetable"] = {**values.get("timetable", {}), "meals": clocks_of(MEAL)}
    names = names_of(plan)
    for medicine in values.get("medicines", ()):
        clocks = clocks_of(names[medicine["id"]])
        if clocks and not medicine.get("with_each_meal") and "first_dose" not in medicine:
            begun = [step for step in medicine.get("steps", ()) if step.get("clocks") and step["from_on"] <= str(on)]
            (begun[-1] if begun else medicine)["clocks"] = clocks
    for task in values.get("tasks", ()):
        clocks = clocks_of(task["name"])
        if clocks and not task.get("with_each_meal"):
            task["clocks"] = clocks
    if clocks_of(IDLE_FLUSH):
        values["timetable"]["flushes"] = clocks_of(IDLE_FLUSH)
    return read_document(CarePlan, values)


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


def _minutes(clock: time) -> int:
    return clock.hour * 60 + clock.minute


def _time(clock: int) -> time:
    return time(*divmod(clock, 60))


def _timed(plan: CarePlan, *, on: date) -> tuple[Medicine, ...]:
    """The medicines that have a time of day, those of a course still to come too, in the rhythm they have then."""
    return tuple(
        order_on(medicine, on=max(on, medicine.start_on or on))
        for medicine in plan.medicines
        if medicine.when_needed is None
        and medicine.first_dose is None
        and is_in_course(medicine, on=max(on, medicine.start_on or on))
    )


def _counted_doses(plan: CarePlan, *, on: date) -> Iterator[tuple[str, time, DueMedicine]]:
    """The doses of a day whose hours are counted from a first one: what each is called, and where it stands."""
    found = [(clock, due) for clock, dues in due_medicines(plan, on=on).items() for due in dues if due.due_at]
    names = names_of(plan)
    for clock, due in found:
        same = [other for _, other in found if other.medicine.id == due.medicine.id]
        number = f", dose {same.index(due) + 1} of {len(same)}" if len(same) > 1 else ""
        yield f"{names[due.medicine.id]}{number}", clock, due


def _counted(plan: CarePlan, on: date, cautions: list[str]) -> Iterator[Duty]:
    """Each of these doses as a duty that no wish can move: a session within reach takes it along."""
    zone, grid = ZoneInfo(plan.household.time_zone), GRID_MINUTES[-1]
    for name, _, due in _counted_doses(plan, on=on):
        assert due.due_at is not None  # noqa: S101
        own = _minutes(due.due_at.astimezone(zone).time())
        reach = max(int(give_or_take(due.medicine).total_seconds() // 60), grid)
        cautions.append(
            f"{name} is counted from its first dose: {write_clock(own)} on this day, other times on other days. What "
            "is shown here holds for this day."
        )
        window = Window((own - reach) % DAY_MINUTES, (own + reach) % DAY_MINUTES)
        yield Duty(name=name, times=1, window=window)


def _gaps(clocks: tuple[time, ...]) -> list[int]:
    """From each time to the next, the last to the first of the next day [minutes]."""
    minutes = sorted(map(_minutes, clocks))
    return [later - earlier for earlier, later in pairwise([*minutes, minutes[0] + DAY_MINUTES])] if minutes else []


def _grid(clocks: list[int]) -> int:
    coarse, finest = GRID_MINUTES
    return coarse if all(clock % coarse == 0 for clock in clocks) else finest


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


def _meals(plan: CarePlan, on: date, cautions: list[str], figures: list[Printed]) -> Meals:
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


def _duty(medicine: Medicine, name: str, plan: CarePlan, cautions: list[str], figures: list[Printed]) -> Duty:
    if medicine.with_each_meal:
        return Duty(name=name, times=None, food=WithMeal())
    food = _food(medicine, name, plan.timetable.meals, cautions, figures)
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


def _food(medicine: Medicine, name: str, meals: tuple[time, ...], cautions: list[str], figures: list[Printed]) -> Food:
    least = max(1, ceil(medicine.food.minutes or 0.0))
    match medicine.food.relation:
        case "with":
            return WithMeal()
        case "before":
            reach = least + round(BEFORE_MEAL_REACH_MINUTES.value)
            figures.append(BEFORE_MEAL_REACH_MINUTES)
            alone = [clock for clock in medicine.clocks if not _has_meal_within(clock, meals, reach)]
            if not alone:
                return BeforeMeal(least_minutes=least, most_minutes=reach)
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


def _has_meal_within(clock: time, meals: tuple[time, ...], minutes: int) -> bool:
    return any((_minutes(meal) - _minutes(clock)) % DAY_MINUTES <= minutes for meal in meals)


def _apart(medicines: tuple[Medicine, ...], names: dict[str, str]) -> tuple[Apart, ...]:
    """Each pair once, with the longer time where both orders name one."""
    timed = {medicine.id for medicine in medicines}
    minutes: dict[tuple[str, str], int] = {}
    for medicine in medicines:
        for apart in medicine.apart_from:
            if apart.medicine in timed:
                first, second = sorted((names[medicine.id], names[apart.medicine]))
                minutes[first, second] = max(minutes.get((first, second), 0), ceil(apart.hours * 60))
    return tuple(Apart(first, second, least) for (first, second), least in minutes.items())


def _fixed(wishes: Wishes, names: dict[str, str]) -> tuple[Insisted, ...]:
    at, what, finest = wishes.fixed_at, wishes.fixed_what, GRID_MINUTES[-1]
    if what is not None and what != MEAL and what not in names:
        raise BadPlan(
            field="wishes.fixed_what",
            got=f'"{what[:40]}" at a fixed time',
            allowed=f"{MEAL}, {', '.join(names)}",
            remedy="Choose a meal or a medicine of this plan.",
        )
    name = names.get(what, what) if what is not None else None
    if at is None:
        if name is None:
            return ()
        raise BadPlan(
            field="wishes.fixed_at",
            got=f"A fixed time for {'a meal' if name == MEAL else name}, and no time",
            allowed="a time of day",
            remedy="Enter the time, or choose any session.",
        )
    if _minutes(at) % finest:
        raise BadPlan(
            field="wishes.fixed_at",
            got=f"A session fixed at {at:%H:%M}",
            allowed=f"every {finest}th minute",
            remedy=f"Choose the nearest {finest} minutes.",
        )
    return (Insisted(_minutes(at), name),)


def _ordered(plan: CarePlan, timetable: Timetable, name: str) -> list[int]:
    """The times of a meal or medicine, in order from the start of the household's day."""
    return sorted(timetable.clocks_of(name), key=lambda clock: plan.since_day_start(_time(clock)))


def _moves(plan: CarePlan, regimen: Regimen, old: Timetable, new: Timetable) -> Iterator[Move]:
    found = []
    for name in (MEAL, *(duty.name for duty in regimen.duties if duty.times is not None)):
        before, after = _ordered(plan, old, name), _ordered(plan, new, name)
        turns = (before[turn:] + before[:turn] for turn in range(len(before)))
        # a dose that passes the start of the day is still the same dose: the turn that moves least pairs them
        nearest = min(turns, key=lambda turn: sum(map(_distance, turn, after)), default=[])
        found += [
            Move(what=name, old_clock=was, new_clock=will)
            for was, will in zip(nearest, after, strict=False)
            if was != will
        ]
    yield from sorted(found, key=lambda move: plan.since_day_start(_time(move.new_clock)))


def _distance(one: int, other: int) -> int:
    ahead = (one - other) % DAY_MINUTES
    return min(ahead, DAY_MINUTES - ahead)


def _first_day(plan: CarePlan, regimen: Regimen, old: Timetable, new: Timetable, on: date) -> Iterator[str]:
    """Where the last of the old day and the first of the new one do not stand as far apart as they must."""
    names = names_of(plan)
    bounds: list[tuple[str, int, int | None]] = []
    if regimen.meals is not None:
        bounds.append((MEAL, regimen.meals.shortest_gap_minutes, regimen.meals.longest_gap_minutes))
    for medicine in _timed(plan, on=on):
        if not medicine.with_each_meal and (interval_hours(medicine) or 0.0) <= 24:
            name = names[medicine.id]
            least = round(shortest_gap(medicine).total_seconds() / 60)
            bounds.append((name, least, regimen.duty(name).longest_gap_minutes))
    for name, shortest, longest in bounds:
        before, after = _ordered(plan, old, name), _ordered(plan, new, name)
        if not before or not after:
            continue
        last, first = _time(before[-1]), _time(after[0])
        gap = DAY_MINUTES - plan.since_day_start(last) + plan.since_day_start(first)
        wrong = f"less than {write_duration(shortest)}" if gap < shortest else ""
        if longest is not None and gap > longest:
            wrong = f"more than {write_duration(longest)}"
        if wrong:
            what = "The first meal" if name == MEAL else name
            yield (
                f"{what} at {first:%H:%M} would come {write_duration(gap)} after the last one of the old times at "
                f"{last:%H:%M}, {wrong}. Ask the vet how to change over."
            )
