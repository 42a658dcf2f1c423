"""What to ask before a plan comes into force, and where two versions meet."""

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import pytest

from fillmark.core.changes.take_in import (
    Clock,
    Disagreement,
    check_agreement,
    disagreements,
    find_asks,
    find_day_slip,
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


def asked(new: CarePlan, *, old: CarePlan | None = None, animal_name: str | None = "Juniper") -> dict[str, str]:
    return {ask.code: ask.text for ask in find_asks(new, animal_name=animal_name, old=old)}


def test_the_same_plan_asks_nothing():
    """Taken in again unchanged, for the same animal."""
    assert asked(a_plan(), old=a_plan()) == {}
    assert asked(a_plan(name="sorrel"), animal_name="Sorrel") == {}


@pytest.mark.hazard("H17")
def test_another_name_or_species_is_asked_about():
    """Whole messages, word for word."""
    found = asked(a_plan(name="sorrel"), old=a_plan())

    assert found["other-name"] == (
        "This plan is about Sorrel, and you are taking it in for Juniper. Is it the right animal?"
    )
    assert found["other-species"] == (
        "This plan is for a cat, and the version before is for a dog. Is it the right animal?"
    )
    assert "other-name" not in asked(a_plan(('name = "Juniper"', 'name = "juniper"')), old=a_plan())


@pytest.mark.hazard("H17")
def test_a_new_animal_with_a_name_that_is_there_is_asked_about():
    """A changed plan may have been meant."""
    found = find_asks(a_plan(), animal_name=None, others=["Sorrel", "juniper"])

    assert [ask.code for ask in found] == ["same-name"]
    assert find_asks(a_plan(), animal_name=None, others=["Sorrel"]) == ()


@pytest.mark.hazard("H5")
def test_a_weight_that_jumps_against_the_version_before_is_asked_about_with_the_likely_slip():
    """38.4 kg after 17.4 kg: pounds read as kg; also when the file marks it as checked."""
    new = a_plan((WEIGHT, "{ on = 2026-11-24, kg = 38.4, checked = true },"))

    assert asked(new, old=a_plan())["weight-jump"] == (
        "The weight is 38.4 kg, and was 17.4 kg in the version before, 2.2 times as much: kg and lb may be swapped. "
        "Weigh again before anything is given by it."
    )


@pytest.mark.hazard("H5")
@pytest.mark.parametrize(("kg", "is_asked"), [(19.1, False), (19.2, True), (15.7, False), (15.6, True)])
def test_a_tenth_of_the_weight_is_the_bound(kg, is_asked):
    """17.4 kg ± 1.74 kg, as between two weighings of one plan (input.weight_jump_fraction, our own choice)."""
    new = a_plan((WEIGHT, f"{{ on = 2026-11-24, kg = {kg}, checked = true }},"))

    assert ("weight-jump" in asked(new, old=a_plan())) is is_asked


@pytest.mark.hazard("H28")
def test_a_plan_with_an_older_weight_may_be_an_old_file():
    """Its newest weighing is of before the one that the version in force has."""
    found = asked(a_plan((WEIGHT, "")), old=a_plan())

    assert found == {
        "older-weight": "The newest weighing in this plan is of 4 November 2026, and the version before has one of "
        "18 November 2026. Is this an old file?"
    }


@pytest.mark.hazard("H4")
@pytest.mark.parametrize(
    ("change", "code", "words"),
    [
        (('dose = "12 mg"', 'dose = "120 mg"'), "slip-from-last: omeprazole", "ten times as much"),
        (('dose = "12 mg"', 'dose = "1.2 mg"'), "slip-from-last: omeprazole", "ten times less"),
        (('strength = "2 mg/mL"', 'strength = "4 mg/mL"'), "strength-changed: omeprazole", "was 2 mg/mL and is now"),
    ],
    ids=["ten times", "a tenth", "another strength"],
)
def test_a_dose_or_strength_that_jumps_against_the_version_before_is_asked_about(change, code, words):
    """The medicine is found again in the version before."""
    assert words in asked(a_plan(change), old=a_plan())[code]


@pytest.mark.hazard("H4")
def test_a_medicine_that_has_another_id_is_found_again_by_its_name():
    """A file written anew may call it otherwise."""
    new = a_plan(('id = "omeprazole"', 'id = "stomach"'), ('dose = "12 mg"', 'dose = "120 mg"'))

    assert "slip-from-last: stomach" in asked(new, old=a_plan())


@pytest.mark.hazard("H5")
def test_an_energy_order_that_slipped_is_asked_about():
    """A tenth of the energy, and 2.2 times as much; an ordinary change is not."""
    old = plan_day(a_plan(), on=DAY)

    def slip(energy: str, *more: tuple[str, str]):
        return find_day_slip(plan_day(a_plan(("energy = { factor = 1.5 }", energy), *more), on=DAY), old)

    tenth = slip("energy = { kcal_per_day = 89.5 }")
    assert tenth is not None
    assert (
        tenth.text == "The day holds 90 kcal, and held 895 kcal, ten times less: a point may have moved. Ask the vet."
    )
    assert slip("energy = { factor = 1.4 }") is None


@pytest.mark.hazard("H28")
def test_energy_volume_and_meals_are_worked_out_once_more():
    """996 kcal in 935 mL (2 cans of 498 kcal on the label) × 840 mL = 895 kcal, against 70 × 17.4^0.75 × 1.5 = 895."""
    found = check_agreement(plan_day(a_plan(), on=DAY))

    assert found.value == pytest.approx(2 * 498 / 935 * 840 / (70 * 17.4**0.75 * 1.5) - 1)
    assert abs(found.value) < 0.001
    assert found.because == "1.07 kcal/mL × 840 mL in all meals = 895 kcal, with an energy goal of 895 kcal"
    assert found.cautions == ()


@pytest.mark.hazard("H28")
@pytest.mark.parametrize(("energy_kcal", "is_asked"), [(940.0, False), (945.0, True), (855.0, False), (850.0, True)])
def test_more_than_a_twentieth_apart_is_asked_about(energy_kcal, is_asked):
    """894.9 kcal in the meals; 5 % of the goal is the bound (input.plan_agreement_fraction, our own choice)."""
    day = plan_day(a_plan(), on=DAY)
    changed = replace(day, energy=replace(day.energy, value=energy_kcal))

    assert bool(check_agreement(changed).cautions) is is_asked


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
