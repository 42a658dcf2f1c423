"""What to ask before a plan comes into force, and where two versions meet."""

from datetime import date, time

import pytest

from fillmark.core.changes.take_in import (
    Clock,
    Disagreement,
    disagreements,
    in_household,
    other_syringes,
)
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
