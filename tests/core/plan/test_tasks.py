"""Tasks, flushes of an idle tube and weaning in a day, and who is there for it."""

from datetime import date, time

import pytest

from fillmark.core.day.plan_day import plan_day
from fillmark.core.day.steps import StepKind
from fillmark.core.day.values import PlannedSession
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import read_plan
from fillmark.core.today.chosen_hours import Wishes
from fillmark.core.today.duties import IDLE_FLUSH
from fillmark.core.today.regimen import people_of, present_day, regimen_of
from fillmark.core.today.who import who_comes, who_is_there
from fillmark.core.today.wishes import plan_with_times, propose_day
from fillmark.core.values.errors import NotStated
from fillmark.examples import example_plan

WEDNESDAY, FRIDAY = date(2026, 11, 25), date(2026, 11, 27)


def a_plan(name: str = "juniper", *changes: tuple[str, str]) -> CarePlan:
    text = example_plan(name).decode()
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return read_plan(text.encode(), kind="toml")


def session(plan: CarePlan, clock: str, *, on: date) -> PlannedSession:
    return next(one for one in plan_day(plan, on=on).sessions if f"{one.clock:%H:%M}" == clock)


def steps(found: PlannedSession) -> list[str]:
    return [step.id for step in found.steps]


IDLE = (
    ('by_mouth = "water"', 'by_mouth = "food and water"'),
    (
        'idle_flush = "not stated"',
        "idle_flush = { times_per_day = 4, ml = 8 }\nweaning = { by_mouth_kcal_per_day = 400 }",
    ),
    ("[timetable]", '[timetable]\nflushes = ["08:00", "13:00", "19:00", "23:00"]'),
)
"""Sorrel eats more than his goal by mouth."""


def test_a_task_is_a_step_of_the_session_at_its_time() -> None:
    """Before the meal comes before the tube is touched, after the meal comes after the time upright."""
    morning, evening = session(a_plan(), "07:00", on=FRIDAY), session(a_plan(), "20:00", on=FRIDAY)
    assert steps(morning)[:4] == ["wash-hands", "look", "task-weigh", "check-mark"]
    assert steps(evening)[-3:] == ["upright", "task-site", "wash-up"]
    task = morning.steps[2]
    assert (task.kind, task.title, task.minutes) == (StepKind.TASK, "Weigh her", 5)
    assert task.detail == "On the floor scale in the hall, before the meal. Write the weight down."
    assert morning.label == "07:00 meal and Weigh her"


def test_a_task_of_some_weekdays_stands_on_no_other_day() -> None:
    """Wednesday's sessions are as if the plan had no tasks."""
    assert not any(one.tasks for one in plan_day(a_plan(), on=WEDNESDAY).sessions)


def test_a_task_at_a_time_of_its_own_is_a_session_of_its_own() -> None:
    """Nothing goes through the tube, so the tube is not asked about."""
    walk = session(a_plan("juniper", ('clocks = ["07:00"]\ndays', 'clocks = ["09:30"]\ndays')), "09:30", on=FRIDAY)
    assert steps(walk) == ["wash-hands", "task-weigh", "wash-up"]
    assert (walk.flush_ml, walk.meal_ml, walk.label) == (0, 0, "09:30 Weigh her")


def test_a_task_with_each_meal_follows_the_meals() -> None:
    """It is in every session with a meal, and in no other."""
    plan = a_plan("juniper", ('clocks = ["20:00"]\ndays = ["fri"]', "with_each_meal = true"))
    day = plan_day(plan, on=WEDNESDAY)
    assert [bool(one.tasks) for one in day.sessions] == [bool(one.meal_ml) for one in day.sessions]


@pytest.mark.hazard("H36")
def test_an_idle_tube_is_flushed_so_many_times_a_day_as_sessions_of_their_own() -> None:
    """All food goes by mouth: four flushes stay in the day; one is the flush of a dose through the tube."""
    day = plan_day(a_plan("sorrel", *IDLE), on=WEDNESDAY)
    flushes = [one for one in day.sessions if one.idle_flush_ml]
    assert [f"{one.clock:%H:%M}" for one in flushes] == ["08:00", "13:00", "23:00"]
    assert all(steps(one) == ["wash-hands", "check-mark", "check-skin", "flush-idle", "wash-up"] for one in flushes)
    assert all((one.flush_ml, one.load.value.total_ml) == (8, 8) for one in flushes)
    nineteen = session(a_plan("sorrel", *IDLE), "19:00", on=WEDNESDAY)
    assert nineteen.flush_ml >= 8
    assert "flush-idle" not in steps(nineteen)
    assert day.energy.value == 0
    assert day.energy.cautions == ("The tube stands idle: flush it 4 times a day until the vet takes it out.",)


@pytest.mark.hazard("H36")
def test_without_a_stated_amount_an_idle_flush_is_the_one_after_a_meal() -> None:
    """Nothing is guessed: it is the vet's other number."""
    plan = a_plan("sorrel", IDLE[0], (IDLE[1][0], IDLE[1][1].replace(", ml = 8", "")), IDLE[2])
    assert session(plan, "08:00", on=WEDNESDAY).flush_ml == 6


@pytest.mark.hazard("H36")
def test_an_idle_flush_without_times_is_asked_about_first() -> None:
    """Else it would silently be left out."""
    with pytest.raises(NotStated, match="At what times does this household flush the idle tube"):
        plan_day(a_plan("sorrel", *IDLE[:2]), on=WEDNESDAY)


def test_the_tube_fills_up_what_is_not_eaten_from_sixty_percent_on() -> None:
    """Below that share the tube meals stay whole."""

    def tube_kcal(by_mouth: int) -> float:
        plan = a_plan(
            "sorrel", IDLE[0], ('idle_flush = "not stated"', f"weaning = {{ by_mouth_kcal_per_day = {by_mouth} }}")
        )
        return plan_day(plan, on=WEDNESDAY).energy.value

    goal = tube_kcal(0)
    assert tube_kcal(round(0.5 * goal)) == goal
    assert tube_kcal(round(0.7 * goal)) == pytest.approx(goal - round(0.7 * goal))


@pytest.mark.parametrize(
    ("clock", "day", "who"),
    [
        (time(6, 30), WEDNESDAY, ("Noor",)),
        (time(11, 30), WEDNESDAY, ("Sam",)),
        (time(11, 30), date(2026, 11, 28), ("Noor",)),
        (time(20), date(2026, 12, 19), ()),
    ],
)
def test_who_is_there_follows_the_hours_and_the_days_away(clock: time, day: date, who: tuple[str, ...]) -> None:
    """Noor by night and on weekends, Sam by day; in December Noor is away for four days."""
    found = session(a_plan(), f"{clock:%H:%M}", on=day)
    assert who_is_there(a_plan(), session=found) == who


def test_who_comes_is_said_for_the_week() -> None:
    """Days with the same people stand together, and nobody is said too."""
    plan = a_plan()
    assert who_comes(plan, clock=time(22, 30), minutes=0) == "Noor"
    assert who_comes(plan, clock=time(11, 30), minutes=30) == "Mon to Fri: Sam; Sat, Sun: Noor".replace(
        "Sat, Sun", "Sat to Sun"
    )
    assert who_comes(plan, clock=time(17, 45), minutes=30) == "Noor"
    assert who_comes(plan, clock=time(17, 45), minutes=10) == "Mon to Fri: Noor or Sam; Sat to Sun: Noor"
    unstated = a_plan("juniper", *_without_hours())
    assert who_comes(unstated, clock=time(11, 30), minutes=30) is None
    assert people_of(unstated) == ()


def _without_hours() -> list[tuple[str, str]]:
    text = example_plan("juniper").decode()
    noor = text[text.index(", there = [") : text.index(", away")]
    sam = text[text.index(", there = [", text.index("sam")) : text.index(' },\n    { id = "ilse"')]
    return [(noor, ""), (sam, "")]


def test_a_task_that_only_some_may_do_needs_one_of_them() -> None:
    """At noon Sam is there, but weighing is Noor's."""
    plan = a_plan()
    weigh = plan.tasks[0]
    assert who_comes(plan, clock=time(12), minutes=5, tasks=[weigh]) == "Mon to Fri: nobody; Sat to Sun: Noor"


def test_the_days_times_hold_tasks_flushes_and_people() -> None:
    """They are duties of the day beside the medicines, and accepting new times writes theirs too."""
    plan = a_plan("sorrel", *IDLE, ('days = ["sun"]\n', ""))
    regimen = regimen_of(plan, wishes=Wishes(), on=WEDNESDAY).value
    assert {"Change the neck wrap", IDLE_FLUSH} <= {duty.name for duty in regimen.duties}
    assert [person.name for person in regimen.people] == ["Noor", "Sam"]
    assert present_day(plan, on=WEDNESDAY).clocks_of(IDLE_FLUSH) == (480, 780, 1140, 1380)
    found = propose_day(plan, wishes=Wishes(latest=time(22)), on=WEDNESDAY)
    new = plan_with_times(plan, found.new, on=WEDNESDAY)
    assert len(new.timetable.flushes) == 4
    assert max(new.timetable.flushes) <= time(22)
