"""What to ask before a plan comes into force, and where two versions meet."""

from datetime import UTC, date, datetime, time, timedelta

import pytest

from fillmark.core.changes.take_in import (
    Clock,
    Disagreement,
    disagreements,
    in_household,
    other_syringes,
    say_changeover,
)
from fillmark.core.day.plan_day import plan_day
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.values.errors import BadPlan
from tests.core.plan.test_words import a_plan

DAY = date(2026, 11, 25)
HOME = Clock(name="Quarry Lane", time_zone="Europe/Dublin", day_starts=time(4))
WEIGHT = '{ on = 2026-11-18, kg = 17.4, scale = "clinic floor scale" },'


@pytest.mark.hazard("H26")
def test_what_the_household_part_says_otherwise_is_told():
    """Each beside the household's own; nothing where both say the same."""
    people = {"Noor": "lead", "Sam": "helper", "Ilse": "helper"}
    assert disagreements(a_plan(), home=HOME, people=people) == ()

    other = Clock(name="Our home", time_zone="UTC", day_starts=time(5))
    assert disagreements(a_plan(), home=other, people={"Lead": "lead"}) == (
        Disagreement(what="Name of the household", plan="Quarry Lane", home="Our home"),
        Disagreement(what="Time zone", plan="Europe/Dublin", home="UTC"),
        Disagreement(what="Start of the day", plan="04:00", home="05:00"),
        Disagreement(what="People", plan="Ilse (helper), Noor (lead), Sam (helper)", home="Lead (lead)"),
    )


@pytest.mark.hazard("H26")
def test_a_plan_is_put_by_the_households_clock():
    """Only name, zone and start of the day change; where the meals no longer stand in order, it is refused."""
    other = Clock(name="Our home", time_zone="America/Denver", day_starts=time(5))
    held = in_household(a_plan(), home=other)

    assert (held.household.name, held.household.time_zone, held.household.day_starts) == (
        "Our home",
        "America/Denver",
        time(5),
    )
    assert held.household.people == a_plan().household.people
    assert held.model_copy(update={"household": a_plan().household}) == a_plan()
    with pytest.raises(BadPlan, match="Meal times that are out of order"):
        in_household(a_plan(), home=Clock(name="x", time_zone="UTC", day_starts=time(12)))


@pytest.mark.hazard("H6")
def test_other_syringes_than_the_other_plans_name_are_told():
    """Marks are drawn for what the household owns."""
    assert other_syringes(a_plan(), known=[]) == ()
    assert other_syringes(a_plan(), known=[a_plan()]) == ()
    assert other_syringes(a_plan(), known=[a_plan(name="sorrel")]) == (
        "Only in this file: 10 mL syringe, a line every 0.2 mL, enteral tip",
    )
    assert other_syringes(a_plan(name="sorrel"), known=[a_plan()]) == (
        "Not in this file: 10 mL syringe, a line every 0.2 mL, enteral tip",
    )


def changeover(new: CarePlan, *, at: datetime) -> tuple[str, ...]:
    def sessions(plan: CarePlan):
        return [one for on in (DAY, DAY + timedelta(days=1)) for one in plan_day(plan, on=on).sessions]

    return say_changeover(new, old=sessions(a_plan()), new=sessions(new), at=at)


@pytest.mark.hazard("H1")
def test_a_change_in_the_middle_of_a_day_tells_what_comes_too_close():
    """Omeprazole at 18:30 by the old version and at 20:30 by the new one, from 19:00 on; the next day is clear."""
    new = a_plan(('clocks = ["06:30", "18:30"]', 'clocks = ["08:30", "20:30"]'))
    evening = datetime(2026, 11, 25, 19, tzinfo=UTC)

    assert changeover(new, at=evening) == (
        "Omeprazole at 20:30 by this version comes 2 hours after the one at 18:30 by the version before. "
        "Ask the vet how to change over.",
    )
    assert changeover(new, at=datetime(2026, 11, 26, 4, tzinfo=UTC)) == ()
    assert changeover(a_plan(), at=evening) == ()


@pytest.mark.hazard("H11")
def test_meals_that_come_too_close_at_the_change_are_told():
    """Fed at 15:00 by the old version, 16:00 by the new one; the vet wants 3 hours."""
    meals = 'meals = ["07:00", "11:30", "15:00", "20:00"]'
    new = a_plan((meals, 'meals = ["08:00", "12:00", "16:00", "20:00"]'))

    assert changeover(new, at=datetime(2026, 11, 25, 15, 30, tzinfo=UTC)) == (
        "The meal at 16:00 by this version comes 1 hour after the one at 15:00 by the version before. "
        "Ask the vet how to change over.",
    )
