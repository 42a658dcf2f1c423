"""Promises a caregiver can read; docs/reference/promises.md prints the docstrings."""

from datetime import date

import pytest

from fillmark.core.day.plan_day import plan_day
from fillmark.core.food.blend import MeasuredVolume, blend_energy, energy_given
from fillmark.core.plan.reading import read_plan
from fillmark.examples import example_plan

ON = date(2026, 11, 25)


def juniper(*changes: tuple[str, str]):
    text = example_plan("juniper").decode()
    for old, new in changes:
        text = text.replace(old, new, 1)
    return read_plan(text.encode(), kind="toml")


@pytest.mark.hazard("H8")
def test_three_mixes_of_one_can():
    """A can of 569 kcal in 383 mL with 100, 300 or 383 mL water: four 190 mL meals hold 895, 633 or 565 kcal."""
    held = []
    for water_ml in (100, 300, 383):
        per_ml = blend_energy(kcal=569, volume=MeasuredVolume(ml=383 + water_ml)).value
        held.append(round(energy_given(blend_ml=4 * 190, kcal_per_ml=per_ml).value))
    assert held == [895, 633, 565]


@pytest.mark.hazard("H3")
def test_a_stronger_bottle_halves_the_milliliters():
    """When the bottle is twice as strong, the mark is half as high: the mg stay what the vet ordered."""
    weak = plan_day(juniper(), on=ON).sessions[0].medicines[1]
    strong = plan_day(juniper(('strength = "2 mg/mL"', 'strength = "4 mg/mL"')), on=ON).sessions[0].medicines[1]
    assert (weak.amount, strong.amount) == ("6 mL", "3 mL")


@pytest.mark.hazard("H16")
def test_nothing_by_mouth_is_the_first_thing_said():
    """Where the plan says nothing by mouth, the first step of every session says so."""
    for session in plan_day(juniper(), on=ON).sessions:
        first = session.steps[0]
        assert "nothing by mouth" in f"{first.title} {first.detail} {first.ask or ''}".lower()


@pytest.mark.hazard("H10")
def test_the_pace_of_each_fill_follows_the_vets_order():
    """Each fill says how long it takes at the vet's mL/min, and no fill is faster."""
    for session in plan_day(juniper(), on=ON).sessions:
        for step in session.steps:
            if step.fill_number:
                assert step.minutes == pytest.approx((step.ml or 0) / 20)


def test_the_words_safe_and_fine_are_never_said():
    """The tool never calls anything safe or fine: the vet decides."""
    for name in ("juniper", "sorrel"):
        day = plan_day(read_plan(example_plan(name), kind="toml"), on=ON)
        said = [text for number in day.explained() for text in (*number.working(), *number.all_cautions())]
        said += [f"{step.title} {step.detail} {step.reason}" for session in day.sessions for step in session.steps]
        assert said
        assert not [text for text in said if {"safe", "fine"} & set(text.lower().replace(".", " ").split())]
