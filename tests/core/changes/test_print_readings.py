"""What print says of energy, weight and food: side by side, none averaged, and when an animal needs the hospital."""

from datetime import date

import pytest

from fillmark.core.changes.print_readings import read_print
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import read_plan
from fillmark.examples import example_plan

TODAY = date(2026, 11, 25)


def juniper(*changes: tuple[str, str]) -> CarePlan:
    text = example_plan("juniper").decode()
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return read_plan(text.encode(), kind="toml")


def test_every_printed_form_of_energy_stands_beside_the_vets_goal():
    """Juniper, 17.4 kg: the vet's 895 kcal, and four forms from 552 to 1107 kcal, none averaged."""
    found = read_print(juniper(), on=TODAY)

    assert found.goal.value == pytest.approx(894.6, abs=0.5)
    assert list(found.forms) == ["resting", "resting, straight line", "dog of low activity", "active dog"]
    low, high = found.disagreement.value
    assert low == min(one.value for one in found.forms.values())
    assert high == max(one.value for one in found.forms.values())
    assert low < found.goal.value < high


def test_a_plan_without_an_energy_order_has_its_readings_all_the_same():
    """A volume alone: nothing to set beside print, and print is shown."""
    plan = juniper(("energy = { factor = 1.5 }", 'energy = "not stated"'))

    assert read_print(plan, on=TODAY).goal is None
    assert read_print(plan, on=TODAY).forms


def test_three_readings_of_a_condition_score_stand_side_by_side():
    """7 of 9 at 17.4 kg: 13.92, 12.18 and 14.5 kg as the ideal weight."""
    found = read_print(juniper(("{ score = 4, of = 9 }", "{ score = 7, of = 9 }")), on=TODAY)

    assert sorted(round(one.value, 2) for one in found.weights.values()) == [12.18, 13.92, 14.5]
    assert found.no_weights == ""


@pytest.mark.parametrize(
    ("condition", "words"),
    [
        ("{ score = 4, of = 9 }", "At 4 of 9 there is no excess to take away"),
        ("{ score = 2, of = 5 }", "print has readings for"),
        ('"not stated"', "No condition score is stated. Ask the vet"),
    ],
)
def test_where_print_has_no_reading_the_page_says_why(condition: str, words: str):
    """A thin animal, and one nobody scored."""
    found = read_print(juniper(("{ score = 4, of = 9 }", condition)), on=TODAY)

    assert found.weights == {}
    assert words in found.no_weights


@pytest.mark.hazard("H23")
def test_more_than_a_tenth_lost_within_two_months_needs_the_hospital():
    """20 kg five weeks ago and 17.4 kg now, each step checked: 13 % is not planned at home."""
    before = ('{ on = 2026-10-21, kg = 17.1, scale = "clinic floor scale" }', "{ on = 2026-10-14, kg = 20 }")
    between = (
        '{ on = 2026-11-04, kg = 17.2, scale = "clinic floor scale" }',
        "{ on = 2026-11-04, kg = 18.5, checked = true }",
    )
    found = read_print(juniper(before, between), on=TODAY)

    assert found.hospital is not None
    assert "13 %" in found.hospital.got
    assert read_print(juniper(), on=TODAY).hospital is None
    long_ago = (before[0], "{ on = 2026-07-14, kg = 20 }")
    assert read_print(juniper(long_ago, between), on=TODAY).hospital is None


def test_weighings_are_told_from_one_to_the_next_the_newest_first():
    """17.1, 17.2, 17.4 kg."""
    changes = read_print(juniper(), on=TODAY).changes

    assert [round(change.value, 2) for _, _, change in changes] == [1.16, 0.58]
    assert changes[0][1] == date(2026, 11, 18)


def test_a_food_is_read_by_its_label_and_by_each_method():
    """The stew: 121.5 kcal in 100 g by its label; protein 9.5 % as fed is 36.5 % of the dry matter."""
    (stew,) = read_print(juniper(), on=TODAY).foods

    assert list(stew.energies) == ["by its label", "modified Atwater", "NRC 2006", "as a natural food"]
    assert stew.energies["by its label"].value == pytest.approx(121.46, abs=0.01)
    assert len({round(one.value) for one in stew.energies.values()}) > 1
    assert next((name, fed, round(dry.value, 1)) for name, fed, dry in stew.parts) == ("protein", 9.5, 36.5)
    assert stew.trouble == ""


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ((", ash_percent = 2.2 }", " }"), "An analysis without ash"),
        (
            (
                'label = { energy = 498, unit = "kcal", per = "can" }',
                'label = { energy = 120, unit = "kcal", per = "cup" }',
            ),
            "cup",
        ),
    ],
)
def test_what_a_label_does_not_state_is_asked(change: tuple[str, str], words: str):
    """The rest of the page stands."""
    (stew,) = read_print(juniper(change), on=TODAY).foods

    assert words in stew.trouble
    assert stew.parts
