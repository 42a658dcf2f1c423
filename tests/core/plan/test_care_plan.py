"""The care plan document: read, written, and what is not stated."""

import json
import tomllib
from datetime import date
from pathlib import Path

import jsonschema
import pytest

from fillmark.core.day.plan_day import plan_day
from fillmark.core.day.questions import open_questions
from fillmark.core.plan.care_plan import CarePlan, ladder_fraction
from fillmark.core.plan.foods import LabelAnalysis
from fillmark.core.plan.reading import read_plan, write_plan
from fillmark.core.values.errors import FillmarkError, NotStated
from fillmark.examples import example_plan
from tests.support.builders import junipers_plan

EXAMPLES = ("juniper", "sorrel")
SCHEMA = json.loads(
    (Path(__file__).parents[3] / "docs" / "reference" / "care-plan.schema.json").read_text(encoding="utf-8")
)


def changed(old: str, new: str, *, name: str = "juniper") -> CarePlan:
    """An example plan with one text replaced."""
    text = example_plan(name).decode()
    assert old in text
    return read_plan(text.replace(old, new, 1).encode(), kind="toml")


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_plan_survives_being_written(name):
    """TOML in, JSON out and in again: the same plan, word for word."""
    plan = read_plan(example_plan(name), kind="toml")

    assert read_plan(write_plan(plan).encode(), kind="json") == plan
    assert write_plan(read_plan(write_plan(plan).encode(), kind="json")) == write_plan(plan)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_published_schema_takes_the_examples(name):
    """An independent validator accepts what we accept (JSON Schema 2020-12, the jsonschema library)."""
    values = tomllib.loads(example_plan(name).decode())
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    jsonschema.validate(_plain(values), SCHEMA)


def test_the_published_schema_refuses_what_we_refuse():
    """An unknown key, and an empty list of syringes, are refused by the independent validator too."""
    values = _plain(tomllib.loads(example_plan("juniper").decode()))
    for wrong in ({**values, "favorite": 1}, {**values, "syringes": []}):
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.validate(wrong, SCHEMA)


def _plain(value):
    """TOML's dates as the texts that JSON has."""
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_plain(item) for item in value]
    return value.isoformat() if hasattr(value, "isoformat") else value


def test_a_byte_order_mark_is_read_over():
    """Editors on some machines write one."""
    assert read_plan(b"\xef\xbb\xbf" + example_plan("juniper"), kind="toml").animal.name == "Juniper"


def test_a_plan_cannot_be_changed():
    """A version is immutable."""
    plan = junipers_plan()
    with pytest.raises(Exception, match="frozen"):
        plan.animal.name = "Other"


def test_left_out_and_not_stated_are_the_same():
    """An order that is left out is not stated; neither is guessed."""
    said = changed("cap_ml_per_kg = 20", 'cap_ml_per_kg = "not stated"')
    silent = changed("cap_ml_per_kg = 20\n", "")

    assert said.orders.cap_ml_per_kg is None
    assert open_questions(said) == open_questions(silent)
    assert [question.field for question in open_questions(said) if question.field.startswith("orders.")] == [
        "orders.cap_ml_per_kg"
    ]


@pytest.mark.hazard("H32")
@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        ("energy = { factor = 1.5 }\n", "", "orders.energy"),
        ("flush_before_ml = 10\n", "", "orders.flush_before_ml"),
        ("flush_after_ml = 20\n", "", "orders.flush_after_ml"),
        ("flush_between_ml = 5\n", "", "orders.flush_between_ml"),
        ("mark_at_skin_cm = 6.5\n", "", "animal.tube.mark_at_skin_cm"),
        ('clocks = ["06:30", "18:30"]\n', "", "medicines[2].clocks"),
        ("{ factor = 1.5 }", '{ factor = 1.5, weight = "target" }', "animal.target_weight_kg"),
    ],
)
def test_a_missing_answer_is_asked_and_never_guessed(old, new, field):
    """Without the vet's answer there is no day, only the question."""
    plan = changed(old, new)
    with pytest.raises(NotStated) as caught:
        plan_day(plan, on=date(2026, 11, 25))
    assert caught.value.field == field
    assert caught.value.exit_code == 3
    assert [question.field for question in open_questions(plan) if question.blocks] == [field]


@pytest.mark.hazard("H28")
def test_energy_and_volume_that_disagree_go_to_the_vet():
    """A discharge sheet with 4 × 150 mL for 895 kcal is read again, not averaged."""
    plan = changed("meals_per_day = 4", "meals_per_day = 4\nmeal_ml = 150")
    with pytest.raises(NotStated, match="4 meals of 150 mL, which hold 639 kcal of this blend"):
        plan_day(plan, on=date(2026, 11, 25))


@pytest.mark.hazard("H28")
def test_energy_and_volume_that_agree_use_the_vets_volume():
    """Within a twentieth, the vet's own volume stands."""
    day = plan_day(changed("meals_per_day = 4", "meals_per_day = 4\nmeal_ml = 205"), on=date(2026, 11, 25))
    assert day.meals.value == (205, 205, 205, 205)


@pytest.mark.hazard("H23")
def test_a_ladder_is_climbed_day_by_day():
    """The first day has the first rung, full feeding comes after the last, and nothing comes before the first."""
    plan = changed("meals_per_day = 4", "meals_per_day = 4\nladder = { starts_on = 2026-11-24, percent = [33, 66] }")
    fractions = [ladder_fraction(plan, on=date(2026, 11, day)) for day in (23, 24, 25, 26, 27)]
    assert fractions == [0.0, 0.33, 0.66, 1.0, 1.0]
    assert plan_day(plan, on=date(2026, 11, 25)).energy.value == pytest.approx(0.66 * 894.6, abs=0.5)


@pytest.mark.hazard("H5")
def test_a_weight_that_jumped_needs_a_second_weighing():
    """checked = true lets a surprising weight through, and only that."""
    with pytest.raises(FillmarkError, match="a change of 10% or less"):
        changed("kg = 17.4", "kg = 19.4")
    assert changed("kg = 17.4", "checked = true, kg = 19.4").animal.weight.weight_kg == 19.4


def test_pounds_are_read_as_pounds():
    """38.4 lb are 17.4 kg."""
    plan = changed("kg = 17.4", "lb = 38.4")
    assert plan.animal.weight.weight_kg == pytest.approx(17.418, abs=0.001)


def test_an_analysis_keeps_the_carbohydrate_it_prints_and_needs_its_ash_for_energy():
    """What is printed counts, not what is left over; without ash no energy is worked out."""
    stated = {"protein_percent": 10.0, "fat_percent": 6.0, "fiber_percent": 1.0, "moisture_percent": 74.0}

    printed = LabelAnalysis(**stated, ash_percent=2.0, carbohydrate_percent=6.5).printed
    assert (printed.ash_percent, printed.carbohydrate_percent) == (2.0, 6.5)
    with pytest.raises(NotStated, match="An analysis without ash"):
        _ = LabelAnalysis(**stated).printed
