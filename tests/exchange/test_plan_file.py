"""A plan written as a file and read again."""

import pytest

from fillmark.core.plan.reading import read_plan, write_plan
from fillmark.examples import example_plan
from fillmark.exchange.plan_file import plan_as_toml
from tests.support.builders import junipers_plan

TAPER = """
[[medicines]]
id = "prednisolone"
name = "Prednisolone"
form = "tablet"
strength = "5 mg/tablet"
dose = "5 mg"
route = "tube"
every_hours = 24
clocks = ["08:00"]
crush = "allowed"
tablet_parts = 2
carrier_water_ml = 5
start_on = 2026-11-20
steps = [{ from_on = 2026-11-27, dose = "2.5 mg" }]
food = { relation = "empty stomach", minutes = 60, after_minutes = "not stated" }
missed_dose_words = "Give it when you see it, \\"not twice\\".\\nThen ring."
"""


@pytest.mark.hazard("H27")
@pytest.mark.parametrize("name", ["juniper", "sorrel"])
def test_a_plan_written_as_toml_reads_as_the_same_plan(name):
    """Also what is explicitly not stated, and a taper; written again it is the same text."""
    text = example_plan(name).decode()
    plan = read_plan(text.replace("\n[timetable]", f"{TAPER}\n[timetable]").encode(), kind="toml")
    written = plan_as_toml(plan, remarks=["Juniper's care plan, version 2."])
    again = read_plan(written.encode(), kind="toml")

    assert again == plan
    assert write_plan(again) == write_plan(plan)
    assert plan_as_toml(again, remarks=["Juniper's care plan, version 2."]) == written
    assert written.startswith('# Juniper\'s care plan, version 2.\nformat = "fillmark care plan 2"\n\n[household]\n')


def test_it_reads_like_the_examples():
    """A key on each line, days without quotes, one weighing on each line, each medicine under its own heading."""
    written = plan_as_toml(junipers_plan())

    for line in (
        "flush_before_ml = 10",
        "placed_on = 2026-06-12",
        'inner_diameter_mm = "not stated"',
        "[animal.tube]",
        "[[medicines]]",
        'clocks = ["06:30", "18:30"]',
        '    {on = 2026-11-18, kg = 17.4, scale = "clinic floor scale"},',
    ):
        assert line in written.splitlines()


def test_what_json_has_as_null_is_left_out():
    """TOML has no word for it."""
    text = write_plan(junipers_plan())
    plan = read_plan(text.replace('"kg": 17.4', '"lb": null,\n    "kg": 17.4').encode(), kind="json")

    assert read_plan(plan_as_toml(plan).encode(), kind="toml") == plan
