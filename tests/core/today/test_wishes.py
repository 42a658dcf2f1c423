"""From a plan and wishes to a day, and back into a plan: the vet's orders stay, the household's times move."""

from dataclasses import replace
from datetime import date, time, timedelta
from itertools import pairwise
from typing import Any

import pytest

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import read_plan, write_plan
from fillmark.core.timetable import (
    MEAL,
    AnyFood,
    Apart,
    BeforeMeal,
    EmptyStomach,
    Insisted,
    NoDay,
    Timetable,
    UsualTimes,
    Window,
    WithMeal,
    check_day,
    list_rules,
)
from fillmark.core.timetable.rules import Whose
from fillmark.core.today.chosen_hours import Wishes
from fillmark.core.today.regimen import present_day, regimen_of
from fillmark.core.today.wishes import Move, Proposal, plan_with_times, propose_day
from fillmark.core.values.document import read_document
from fillmark.core.values.errors import BadPlan, FillmarkError
from fillmark.examples import example_plan

ON = date(2026, 11, 26)


def a_plan(name: str = "juniper", **changed: Any) -> CarePlan:
    """An example plan; `changed` replaces parts of its document."""
    values = read_plan(example_plan(name), kind="toml").model_dump(mode="json", exclude_unset=True)
    return read_document(CarePlan, {**values, **changed})


def a_medicine(**changed: Any) -> dict[str, Any]:
    """Omeprazole of the example, with other orders; an order of None is left out."""
    values = {
        "id": "omeprazole",
        "name": "Omeprazole",
        "form": "liquid",
        "strength": "2 mg/mL",
        "dose": "12 mg",
        "route": "tube",
        "every_hours": 12,
        "clocks": ["06:30", "18:30"],
    }
    return {key: value for key, value in {**values, **changed}.items() if value is not None}


def rules(plan: CarePlan, **wishes: Any):
    return regimen_of(plan, wishes=Wishes(**wishes), on=ON)


def propose(plan: CarePlan, **wishes: Any) -> Proposal:
    return propose_day(plan, wishes=Wishes(**wishes), on=ON)


@pytest.mark.parametrize("name", ["juniper", "sorrel"])
def test_the_present_day_of_an_example_is_already_the_best_one(name: str) -> None:
    """With no wish, nothing moves, and the independent check finds no fault in either day."""
    proposal = propose(a_plan(name))

    assert isinstance(proposal.new, Timetable)
    assert proposal.new.sessions == proposal.old.sessions
    assert proposal.new.is_proven
    assert (proposal.moves, proposal.old_faults) == ((), ())
    assert check_day(regimen=proposal.regimen.value, timetable=proposal.new) == ()


@pytest.mark.hazard("H22")
@pytest.mark.parametrize("name", ["juniper", "sorrel"])
@pytest.mark.parametrize(
    "wishes",
    [
        {"latest": time(22)},
        {"sleep_from": time(22), "sleep_until": time(7)},
        {"fixed_at": time(19), "fixed_what": "meal"},
        {"earliest": time(6, 45)},
    ],
    ids=["not after 22:00", "sleep 22:00 to 7:00", "a meal at 19:00", "not before 6:45"],
)
def test_a_day_made_for_a_wish_keeps_every_rule_and_becomes_a_plan(name: str, wishes: dict[str, Any]) -> None:
    """The independent check accepts it, and the plan written from it asks for exactly that day."""
    plan = a_plan(name)
    proposal = propose(plan, **wishes)
    assert isinstance(proposal.new, Timetable)
    changed = plan_with_times(plan, proposal.new, on=ON)

    assert check_day(regimen=proposal.regimen.value, timetable=proposal.new) == ()
    assert present_day(changed, on=ON).sessions == proposal.new.sessions
    assert read_plan(write_plan(changed).encode(), kind="json") == changed
    same = {"timetable": plan.timetable, "medicines": plan.medicines}
    assert changed.model_copy(update=same) == plan
    assert [one.model_copy(update={"clocks": ()}) for one in changed.medicines] == [
        one.model_copy(update={"clocks": ()}) for one in plan.medicines
    ]


def test_what_moves_is_paired_with_where_it_was() -> None:
    """Sleeping until 7:00 moves the morning by half an hour, and the last medicine to bedtime."""
    proposal = propose(a_plan(), sleep_from=time(22), sleep_until=time(7))

    assert proposal.moves == (
        Move(what="Metoclopramide", old_clock=390, new_clock=420),
        Move(what="Omeprazole", old_clock=390, new_clock=420),
        Move(what=MEAL, old_clock=420, new_clock=450),
        Move(what="Metoclopramide", old_clock=1350, new_clock=1320),
    )


def test_juniper_becomes_rules_by_her_vets_orders() -> None:
    """Four meals; upright 20 minutes after 210 mL at 20 mL/min; every 8 and 12 hours; before food."""
    regimen = rules(a_plan()).value

    assert regimen.meals is not None
    assert (regimen.meals.fewest, regimen.meals.most) == (4, 4)
    assert regimen.meals.shortest_gap_minutes == 180
    assert regimen.meals.upright_minutes == 31  # 20 + 210 / 20, rounded up
    metoclopramide, omeprazole = regimen.duties
    assert (metoclopramide.times, metoclopramide.shortest_gap_minutes, metoclopramide.longest_gap_minutes) == (
        3,
        420,
        540,
    )
    assert metoclopramide.food == BeforeMeal(least_minutes=30, most_minutes=1440)  # none follows 22:30
    assert omeprazole.food == BeforeMeal(least_minutes=30, most_minutes=90)
    assert UsualTimes((390, 1110), "Omeprazole") in regimen.usual
    assert regimen.night == Window(23 * 60, 6 * 60)
    assert regimen.grid_minutes == 15


def test_what_the_vet_left_open_is_said() -> None:
    """Each time that is not the vet's has its words and its figure."""
    plan = a_plan()
    orders = plan.orders.model_copy(update={"meal_gap_hours": None})
    explained = rules(plan.model_copy(update={"orders": orders}))

    assert explained.value.meals is not None
    assert explained.value.meals.shortest_gap_minutes == 180  # half of 6 hours
    assert explained.cautions == (
        "The vet stated no shortest time from meal to meal: 3 hours is used. Ask the vet.",
        "Metoclopramide is ordered before food, and no meal follows soon after 22:30: only the 30 minutes before the "
        "next meal are kept. Ask the vet whether a meal must follow.",
    )
    assert [figure.id for figure in explained.figures] == [
        "timetable.meal_gap",
        "timetable.before_meal_reach",
        "medicine.window_several",
    ]


@pytest.mark.parametrize(
    ("order", "times", "shortest", "longest"),
    [
        ({}, 2, 660, 780),
        ({"time_critical": True}, 2, 690, 750),
        ({"every_hours": 24, "clocks": ["06:30"]}, 1, 0, None),
        ({"every_hours": 48, "clocks": ["06:30"]}, 1, 0, None),
        ({"min_gap_hours": 11.5}, 2, 690, 780),
        ({"every_hours": None, "times_per_day": 2}, 2, 540, None),  # three quarters of 12 hours
        ({"every_hours": None, "times_per_day": 2, "clocks": ["08:00", "16:00"]}, 2, 480, None),  # kept today
        ({"every_hours": None, "times_per_day": 2, "min_gap_hours": 8}, 2, 480, None),
        ({"every_hours": 10, "clocks": ["08:00", "18:00"]}, 2, 540, 840),  # 10 and 14 hours apart today
    ],
    ids=lambda value: (
        ", ".join(f"{key} {one}" for key, one in value.items()) if isinstance(value, dict) else str(value)
    ),
)
def test_how_often_becomes_gaps(order: dict[str, Any], times: int, shortest: int, longest: int | None) -> None:
    """An interval with its printed tolerance; a number a day with the least between two; the vet's own gap first."""
    (duty,) = rules(a_plan(medicines=[a_medicine(**order)])).value.duties

    assert (duty.times, duty.shortest_gap_minutes, duty.longest_gap_minutes) == (times, shortest, longest)


@pytest.mark.hazard("H22")
@pytest.mark.parametrize(
    ("food", "rule"),
    [
        ({"relation": "any"}, AnyFood()),
        ({"relation": "with"}, WithMeal()),
        ({"relation": "before", "minutes": 30}, BeforeMeal(least_minutes=30, most_minutes=90)),
        ({"relation": "empty stomach", "minutes": 60}, EmptyStomach(after_minutes=120, before_minutes=60)),
        (
            {"relation": "empty stomach", "minutes": 45, "after_minutes": 180},
            EmptyStomach(after_minutes=180, before_minutes=45),
        ),
    ],
    ids=lambda value: value["relation"] if isinstance(value, dict) else "",
)
def test_food_becomes_its_rule(food: dict[str, Any], rule: object) -> None:
    """With the vet's minutes; two hours after food where the order does not say."""
    (duty,) = rules(a_plan(medicines=[a_medicine(food=food)])).value.duties

    assert duty.food == rule


def test_with_each_meal_and_when_needed() -> None:
    """The one goes with the meals, the other has no time; a course that is over takes no session, one to come does."""
    plan = a_plan(
        medicines=[
            a_medicine(id="enzyme", name="Enzyme", every_hours=None, clocks=[], with_each_meal=True),
            a_medicine(
                id="relief",
                name="Relief",
                every_hours=None,
                clocks=[],
                when_needed={"reason": "pain", "min_gap_hours": 8, "max_per_day": 3},
            ),
            a_medicine(id="over", name="Over", stop_on="2026-11-25"),
            a_medicine(id="later", name="Later", start_on="2026-12-05", stop_on="2026-12-10"),
        ]
    )

    assert [(duty.name, duty.times) for duty in rules(plan).value.duties] == [("Enzyme", None), ("Later", 2)]
    new = propose(plan, latest=time(19)).new
    assert isinstance(new, Timetable)
    changed = {medicine.id: medicine.clocks for medicine in plan_with_times(plan, new, on=ON).medicines}
    assert (changed["enzyme"], changed["relief"], changed["over"]) == ((), (), (time(6, 30), time(18, 30)))


@pytest.mark.hazard("H22")
def test_two_medicines_are_kept_apart_once_and_by_the_longer_time() -> None:
    """Both orders name the other; the longer time holds, and no time falls closer."""
    plan = a_plan(
        medicines=[
            a_medicine(apart_from=[{"medicine": "sucralfate", "hours": 1}]),
            a_medicine(id="sucralfate", name="Sucralfate", apart_from=[{"medicine": "omeprazole", "hours": 2}]),
        ]
    )
    proposal = propose(plan)

    assert proposal.regimen.value.apart == (Apart("Omeprazole", "Sucralfate", 120),)
    assert isinstance(proposal.new, Timetable)
    for one in proposal.new.clocks_of("Omeprazole"):
        assert all(abs(one - other) >= 120 for other in proposal.new.clocks_of("Sucralfate"))
    assert proposal.old_faults[0] == "Omeprazole at 6:30 and Sucralfate at 6:30 are closer than 2 hours."


def test_two_strengths_of_one_name_are_told_apart() -> None:
    """Their names in the timetable carry the strength, and each goes back to its own medicine."""
    plan = a_plan(medicines=[a_medicine(), a_medicine(id="second", strength="4 mg/mL", clocks=["08:00", "20:00"])])
    new = propose(plan, latest=time(19, 30)).new

    assert isinstance(new, Timetable)
    assert {name for session in new.sessions for name in session.duties} == {"Omeprazole 2 mg/mL", "Omeprazole 4 mg/mL"}
    assert present_day(plan_with_times(plan, new, on=ON), on=ON).sessions == new.sessions


def test_times_that_do_not_stand_on_quarters_stay_where_they_are() -> None:
    """The present day is always one of the days that are looked at."""
    plan = a_plan("sorrel", timetable={"meals": ["07:10", "11:00", "15:00", "19:00", "23:00"]}, medicines=[])

    assert rules(plan).value.grid_minutes == 5
    assert propose(plan).moves == ()


@pytest.mark.parametrize(
    ("wishes", "quiet"),
    [
        ({}, ()),
        ({"latest": time(22)}, (Window(1320, 360),)),
        ({"earliest": time(7)}, (Window(1380, 420),)),
        ({"earliest": time(7), "latest": time(22)}, (Window(1320, 420),)),
    ],
    ids=["none", "latest", "earliest", "both"],
)
def test_earliest_and_latest_are_hours_without_sessions(wishes: dict[str, Any], quiet: tuple[Window, ...]) -> None:
    """One of them alone reaches to the other end of sleep."""
    assert rules(a_plan(), **wishes).value.quiet == quiet


def test_a_fixed_time_is_insisted_on() -> None:
    """A session, a meal, or a medicine by its id."""
    for what, name in ((None, None), ("meal", MEAL), ("omeprazole", "Omeprazole")):
        assert rules(a_plan(), fixed_at=time(19), fixed_what=what).value.insisted == (Insisted(1140, name),)


@pytest.mark.parametrize(
    ("wishes", "words"),
    [
        (
            {"earliest": time(8), "latest": time(8)},
            "No session before 08:00 and none after 08:00. Allowed: a day with room for sessions. "
            "Choose an earliest time that comes before the latest.",
        ),
        (
            {"sleep_from": time(6), "sleep_until": time(6)},
            "Sleep from 06:00 until 06:00. Allowed: two different times. Enter when you go to bed and when you rise.",
        ),
        (
            {"fixed_at": time(7, 3)},
            "A session fixed at 07:03. Allowed: every 5th minute. Choose the nearest 5 minutes.",
        ),
        (
            {"fixed_at": time(7), "fixed_what": "maropitant"},
            '"maropitant" at a fixed time. Allowed: meal, metoclopramide, omeprazole. '
            "Choose a meal or a medicine of this plan.",
        ),
        (
            {"fixed_what": "omeprazole"},
            "A fixed time for Omeprazole, and no time. Allowed: a time of day. Enter the time, or choose any session.",
        ),
    ],
    ids=["no room", "no sleep", "off the grid", "unknown", "no time"],
)
def test_a_wish_that_cannot_be_meant_is_refused(wishes: dict[str, Any], words: str) -> None:
    """The whole message, word for word."""
    with pytest.raises(BadPlan) as refused:
        propose(a_plan(), **wishes)

    assert str(refused.value) == words


def test_an_impossible_wish_is_explained_with_ways_out_that_work() -> None:
    """Every named rule is needed for the clash, and each way out is a day that the check accepts."""
    proposal = propose(a_plan(), earliest=time(9), latest=time(21))

    assert proposal.new == NoDay(True)
    assert proposal.clash is not None
    assert [rule.words for rule in proposal.clash.rules] == [
        "Metoclopramide every 8 hours, at most 1 hour early or late",
        "no session from 21:00 to 9:00",
    ]
    assert len(proposal.clash.ways_out) == 2
    for way in proposal.clash.ways_out:
        assert check_day(regimen=way.regimen, timetable=way.timetable) == ()


@pytest.mark.hazard("H1")
@pytest.mark.parametrize(("earliest", "latest"), [(9, 21), (9, 19), (10, 16), (11, 14)])
@pytest.mark.parametrize(("min_gap_hours", "least"), [(None, 4 * 60), (6, 6 * 60)])
def test_no_way_out_brings_doses_closer_than_half_of_what_was_ordered_or_the_vets_gap(
    earliest: int, latest: int, min_gap_hours: int | None, least: int
) -> None:
    """Metoclopramide every 8 hours inside a few hours of the day; each change of a way out is needed."""
    medicine = a_medicine(id="metoclopramide", name="Metoclopramide", every_hours=8, clocks=["06:30", "14:30", "22:30"])
    if min_gap_hours is not None:
        medicine["min_gap_hours"] = min_gap_hours
    proposal = propose(a_plan(medicines=[medicine]), earliest=time(earliest), latest=time(latest))

    assert proposal.clash is not None
    assert proposal.clash.ways_out
    for way in proposal.clash.ways_out:
        clocks = way.timetable.clocks_of("Metoclopramide")
        gaps = [later - one for one, later in pairwise([*clocks, clocks[0] + 24 * 60])]
        assert min(gaps) >= least, way.words


def test_what_holds_the_day_at_its_sessions_is_named() -> None:
    """Eight sessions for Juniper; without the 12 hours of omeprazole seven would do."""
    holding = propose(a_plan()).holding

    assert holding is not None
    assert holding.sessions == 8
    bought = {buy.rule.words: buy.sessions for buy in holding.buys}
    assert bought["Omeprazole every 12 hours, at most 1 hour early or late"] == 7


def test_times_that_the_plan_cannot_hold_are_refused() -> None:
    """A timetable with a meal too few never becomes a plan."""
    plan = a_plan()
    day = present_day(plan, on=ON)
    shorter = replace(day, sessions=tuple(session for session in day.sessions if session.clock != 1200))

    with pytest.raises(FillmarkError, match="3 meal times for 4 meals a day"):
        plan_with_times(plan, shorter, on=ON)


def test_tomorrow_asks_the_same_as_the_day_after() -> None:
    """The same plan and wishes give the same day."""
    first, second = (propose_day(a_plan(), wishes=Wishes(latest=time(22)), on=ON + timedelta(days=n)) for n in (0, 1))

    assert first.new == second.new


def test_a_dose_that_counts_hours_is_a_fixed_time_of_that_day() -> None:
    """Every 36 hours from the 25th at 6:30: on the 26th at 18:30, by two hours either way; its plan keeps no time."""
    counted = a_medicine(every_hours=36, clocks=None, first_dose="2026-11-25 06:30")
    plan = a_plan(medicines=[counted])
    found = rules(plan)
    (duty,) = found.value.duties

    assert (duty.name, duty.times, duty.window) == ("Omeprazole", 1, Window(16 * 60 + 30, 20 * 60 + 30))
    assert found.cautions[-1] == (
        "Omeprazole is counted from its first dose: 18:30 on this day, other times on other days. What is shown here "
        "holds for this day."
    )
    proposal = propose(plan)
    assert isinstance(proposal.new, Timetable)
    assert proposal.old.clocks_of("Omeprazole") == proposal.new.clocks_of("Omeprazole") == (20 * 60,)
    kept = plan_with_times(plan, proposal.new, on=ON).medicines[0]
    assert (kept.clocks, kept.first_dose) == ((), plan.medicines[0].first_dose)


def test_two_counted_doses_of_a_day_are_two_things_to_place() -> None:
    """Every 5 hours: each of the day's doses has its own window; on a day without one there is nothing to place."""
    plan = a_plan(medicines=[a_medicine(every_hours=5, clocks=None, first_dose="2026-11-26 06:30")])
    names = [duty.name for duty in rules(plan).value.duties]
    assert names == [f"Omeprazole, dose {number} of 5" for number in range(1, 6)]
    rare = a_plan(medicines=[a_medicine(every_hours=72, clocks=None, first_dose="2026-11-25 06:30")])
    assert rules(rare).value.duties == ()


def test_a_taper_is_placed_in_the_rhythm_of_the_day() -> None:
    """Once a day from the 26th on; new times go to that rhythm, the times of before stay as they were."""
    steps = [{"from_on": "2026-11-26", "dose": "6 mg", "every_hours": 24, "clocks": ["06:30"]}]
    plan = a_plan(medicines=[a_medicine(steps=steps)])
    (duty,) = rules(plan).value.duties
    assert duty.times == 1
    proposal = propose(plan, fixed_at=time(7), fixed_what="omeprazole")
    assert isinstance(proposal.new, Timetable)
    kept = plan_with_times(plan, proposal.new, on=ON).medicines[0]
    assert (kept.steps[0].clocks, kept.clocks) == ((time(7),), (time(6, 30), time(18, 30)))


def test_only_an_order_is_signed_with_the_vet_among_the_rules_of_a_day():
    """What stands in where an order leaves something open is signed as ours, a task as the plan's."""

    def signed(plan):
        return {rule.id: rule.whose for rule in list_rules(rules(plan).value)}

    orders = a_plan().model_dump(mode="json", exclude_unset=True)["orders"]
    ordered, left_open = signed(a_plan()), signed(a_plan(orders={**orders, "meal_gap_hours": "not stated"}))
    assert ordered["meals:gap"] is Whose.VET
    assert left_open["meals:gap"] is Whose.OPEN
    assert ordered["gap:Omeprazole"] is Whose.OPEN
    assert ordered["meals:fewest"] is Whose.VET

    exact = a_medicine(every_hours=None, times_per_day=2, min_gap_hours=10, food={"relation": "with"})
    assert signed(a_plan(medicines=[exact]))["gap:Omeprazole"] is Whose.VET
    assert signed(a_plan(medicines=[exact]))["food:Omeprazole"] is Whose.VET
    empty = {"relation": "empty stomach", "minutes": 30}
    assert signed(a_plan(medicines=[a_medicine(food=empty)]))["food:Omeprazole"] is Whose.OPEN
    assert signed(a_plan(medicines=[a_medicine(food={**empty, "after_minutes": 90})]))["food:Omeprazole"] is Whose.VET
    walk = {"id": "walk", "name": "Walk", "clocks": ["09:00", "17:00"], "food": "after", "food_minutes": 30}
    assert signed(a_plan(tasks=[walk]))["food:Walk"] is Whose.PLAN
