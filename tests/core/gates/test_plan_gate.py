"""What the gate of a plan finds, word for word."""

from dataclasses import replace
from datetime import date

import pytest

from fillmark.core.day.plan_day import plan_day
from fillmark.core.gates.about_a_change import check_agreement
from fillmark.core.gates.plan_gate import check_plan
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.values.finding import Weight
from tests.core.plan.test_words import a_plan

DAY = date(2026, 11, 25)
WEIGHT = '{ on = 2026-11-18, kg = 17.4, scale = "clinic floor scale" },'


def asked(new: CarePlan, *, old: CarePlan | None = None, animal_name: str | None = "Juniper") -> dict[str, str]:
    found = check_plan(new, on=DAY, animal_name=animal_name, old=old)
    return {one.key: one.text for one in (*found.of(Weight.NEEDS_VET), *found.of(Weight.ASKED))}


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
    found = check_plan(a_plan(), on=DAY, others=["Sorrel", "juniper"])

    assert [one.code for one in found.of(Weight.ASKED)] == ["same-name"]
    assert check_plan(a_plan(), on=DAY, others=["Sorrel"]).of(Weight.ASKED) == ()


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
        (
            ('form = "liquid"\nstrength = "2 mg/mL"', 'form = "drops"\nstrength = "2 mg/mL"'),
            "form-changed: omeprazole",
            "was liquid and is now drops",
        ),
        (
            ('strength = "2 mg/mL"', 'strength = "2 mg/mL"\ncounts_as = "magnesium"'),
            "salt-changed: omeprazole",
            "counted something not stated and now count magnesium",
        ),
    ],
    ids=["ten times", "a tenth", "another strength", "another form", "another salt"],
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

    def slip(energy: str) -> str | None:
        return asked(a_plan(("energy = { factor = 1.5 }", energy)), old=a_plan()).get("energy-slip")

    tenth = slip("energy = { kcal_per_day = 89.5 }")
    assert tenth == "The day holds 90 kcal, and held 895 kcal, ten times less: a point may have moved. Ask the vet."
    assert slip("energy = { factor = 1.4 }") is None
    # 70 × (17.4 kg × 2.2046)^0.75 × 1.5
    pounds = slip("energy = { kcal_per_day = 1619 }")
    assert pounds == (
        "The day holds 1,619 kcal, and held 895 kcal, 1.8 times as much: lb may have been taken for kg in it. Ask the "
        "vet."
    )


@pytest.mark.hazard("H5")
@pytest.mark.hazard("H10")
@pytest.mark.parametrize(
    ("before", "after", "key", "words"),
    [
        (
            "cap_ml_per_kg = 20",
            "cap_ml_per_kg = 44",
            "order-slip: cap-ml-per-kg",
            "44, and was 20 in the version before",
        ),
        ("flush_between_ml = 5", "flush_between_ml = 0.5", "order-slip: flush-between-ml", "ten times less"),
        ("low = 50, high = 80", "low = 23, high = 36", "order-slip: water-ml-per-kg-per-day high", "2.2 times less"),
    ],
)
def test_an_amount_that_slipped_against_the_version_before_is_asked_about(before, after, key, words):
    """Each number of the vet's orders by itself."""
    assert words in asked(a_plan((before, after)), old=a_plan())[key]
    assert key not in asked(a_plan((before, after)))


@pytest.mark.hazard("H4")
def test_a_step_that_slipped_against_the_version_before_is_asked_about():
    """By its number: 6 mg was the step, and 60 mg is now, inside what a taper may go up by."""

    def with_step(dose: str) -> CarePlan:
        steps = f'start_on = 2026-11-20\nsteps = [{{ from_on = 2026-12-10, dose = "{dose}" }}]'
        return a_plan(('id = "omeprazole"', f'id = "omeprazole"\n{steps}'))

    found = asked(with_step("60 mg"), old=with_step("6 mg"))
    assert found["slip-from-last: omeprazole step 1"] == (
        "Omeprazole, step 1, was 6 mg and is now 60 mg, ten times as much: a point may have moved. Ask the vet before "
        "giving it."
    )


@pytest.mark.hazard("H16")
def test_more_by_mouth_than_before_is_asked_about():
    """Not where weaning says how much, and not where less is allowed."""
    eats = ('by_mouth = "nothing"', 'by_mouth = "food and water"')
    weans = ("energy = { factor = 1.5 }", "energy = { factor = 1.5 }\nweaning = { by_mouth_kcal_per_day = 100 }")

    assert asked(a_plan(eats), old=a_plan())["more-by-mouth"] == (
        "The version before allows nothing by mouth, and this plan food and water. Did the vet allow that?"
    )
    assert "more-by-mouth" not in asked(a_plan(eats, weans), old=a_plan())
    assert "more-by-mouth" not in asked(a_plan(), old=a_plan(eats))


@pytest.mark.hazard("H22")
def test_a_dose_before_food_that_loses_its_meal_is_put_to_the_vet():
    """Metoclopramide at 14:30 had the 15:00 meal; of meals at 7:00, 13:30 and 20:00 none follows within 90 minutes."""
    fewer = (("meals_per_day = 4", "meals_per_day = 3"), ('"11:30", "15:00", "20:00"', '"13:30", "20:00"'))

    assert asked(a_plan(*fewer), old=a_plan())["lost-its-meal: metoclopramide"] == (
        "Metoclopramide at 14:30 is ordered before food, and no meal follows within 1 hour 30 minutes with the meals "
        "of this plan. By the version before one did. Ask the vet whether a meal must follow."
    )
    assert "lost-its-meal: metoclopramide" not in asked(a_plan(*fewer), old=a_plan(*fewer))
    assert "lost-its-meal: metoclopramide" not in asked(a_plan(*fewer))


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


@pytest.mark.hazard("H4")
def test_a_dose_outside_print_is_asked_about_and_locks_nothing():
    """Ten times and more of what print says; the order as it is asks nothing."""
    found = asked(a_plan(('dose = "0.3 mg/kg"', 'dose = "5 mg/kg"')))

    assert "outside what print says" in found["outside-print: metoclopramide"]
    assert "outside-print: metoclopramide" not in asked(a_plan())


def test_a_dose_per_kg_without_its_weight_is_asked_for():
    """The order can be held against nothing until then."""
    found = asked(a_plan(("dose_for_weight_kg = 17.4\n", "")))

    assert found["not-stated: metoclopramide"] == (
        "Metoclopramide at 0.3 mg/kg, without the weight this was made for. "
        "Ask the vet which weight the dose was worked out for."
    )


@pytest.mark.hazard("H10")
def test_a_word_of_the_vet_covers_what_was_put_to_the_vet_and_no_more():
    """48.5 mL/kg at a cap of 20, with a word for 50; then with a word for 30."""
    whole_day = (
        ("meals_per_day = 4", "meals_per_day = 1"),
        ('["07:00", "11:30", "15:00", "20:00"]', '["07:00"]'),
        ("meal_gap_hours = 3", "meal_gap_hours = 24"),
    )

    def weight(up_to: float) -> Weight:
        said = f'answers = [{{ about = "over-cap", up_to = {up_to}, words = "One meal.", said_on = 2026-11-24 }}]'
        found = check_plan(a_plan(*whole_day, ("said_on = 2026-11-18", f"said_on = 2026-11-18\n{said}")), on=DAY)
        (over,) = [one for one in found.findings if one.code == "over-cap"]
        assert ('The vet, on 24 November 2026: "One meal."' in over.text) is (over.weight is Weight.SAID)
        return over.weight

    assert weight(60) is Weight.SAID
    assert weight(30) is Weight.NEEDS_VET


ENDS = '[ends]\nlast_on = 2026-11-{day}\nwhy = "smaller meals"\n\n[timetable]'


@pytest.mark.parametrize(
    ("day", "old", "said"),
    [
        (28, None, "Orders that end by themselves, without a plan that holds afterwards. Leave the end out."),
        (
            24,
            a_plan(),
            "Orders whose last day is 24 November 2026, which is over. Ask the vet until when they hold.",
        ),
    ],
)
def test_orders_that_end_by_themselves_end_after_they_begin_and_have_a_plan_to_go_back_to(
    day: int, old: CarePlan | None, said: str
):
    """Both are refused, word for word."""
    found = check_plan(a_plan(("[timetable]", ENDS.format(day=day))), on=DAY, old=old)

    assert [one.text for one in found.of(Weight.REFUSED)] == [said]
    later = check_plan(a_plan(("[timetable]", ENDS.format(day=25))), on=DAY, old=a_plan())
    assert later.of(Weight.REFUSED) == ()


FRENCH = ("french = 20", "french = 18")


@pytest.mark.hazard("H12")
@pytest.mark.parametrize(
    ("changes", "is_another"),
    [
        ([FRENCH], True),
        ([('kind = "gastrostomy"', 'kind = "esophagostomy"')], True),
        ([("placed_on = 2026-06-12", "placed_on = 2026-11-24")], True),
        ([("placed_on = 2026-06-12\n", "")], False),
        ([("balloon_ml = 15", "balloon_ml = 12")], False),
    ],
)
def test_what_makes_another_tube(changes: list[tuple[str, str]], is_another: bool) -> None:
    """Its kind, its size, the day it was placed; not what is only written otherwise."""
    found = check_plan(a_plan(*changes), on=DAY, old=a_plan())
    assert ("another-tube" in {one.code for one in found.findings}) is is_another


def test_orders_that_end_by_themselves_do_not_change_the_tube() -> None:
    """It would stay when they end."""
    ends = ("[timetable]", '[ends]\nlast_on = 2026-11-27\nwhy = "a week"\n\n[timetable]')
    new: CarePlan = a_plan(FRENCH, ends)
    found = check_plan(new, on=DAY, old=a_plan())
    assert [one.code for one in found.of(Weight.REFUSED)] == ["tube-that-ends"]
