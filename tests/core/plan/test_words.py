"""A plan in words, and what one says that another does not."""

import pytest

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import read_plan
from fillmark.core.plan.words import Changed, compare_plans, say_plan
from fillmark.core.values.wording import find_forbidden
from fillmark.examples import example_plan


def a_plan(*changes: tuple[str, str], name: str = "juniper") -> CarePlan:
    """An example plan with texts replaced."""
    text = example_plan(name).decode()
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    return read_plan(text.encode(), kind="toml")


def told(plan: CarePlan) -> dict[str, dict[str, tuple[str, str]]]:
    """Each section by its title: what each value says in words and in the document."""
    return {section.title: {line.name: (line.value, line.said) for line in section.lines} for section in say_plan(plan)}


@pytest.mark.hazard("H28")
def test_each_value_stands_beside_the_words_of_the_document():
    """With its unit, and with what nobody has said said as such."""
    plan = told(a_plan())

    assert plan["The vet's orders"]["Flush before"] == ("10 mL", "flush_before_ml = 10")
    assert plan["The vet's orders"]["Energy"] == ("factor 1.5", "energy = { factor = 1.5 }")
    assert plan["The vet's orders"]["Cap"] == ("20 mL/kg", "cap_ml_per_kg = 20")
    assert plan["The vet's orders"]["Pace"] == ("20 mL/min", "pace_ml_per_minute = 20")
    assert plan["The vet's orders"]["Water"][0] == "low 50 mL/kg a day; high 80 mL/kg a day"
    assert plan["The tube"]["Inner diameter"] == ("not stated", 'inner_diameter_mm = "not stated"')
    assert plan["The tube"]["Mark at skin"][0] == "6.5 cm"
    assert plan["The animal"]["Weighed: 18 November 2026"] == (
        "17.4 kg; scale clinic floor scale",
        'weights = [{ on = "2026-11-18", kg = 17.4, scale = "clinic floor scale" }]',
    )
    assert plan["The animal"]["Condition"][0] == "score 4; of 9"
    assert plan["The household"]["Person: ilse"][0] == "Ilse; role helper"
    assert plan["The household"]["Person: sam"][0] == "Sam; role helper; there mon, tue, wed, thu, fri 08:30 to 18:00"
    assert plan["Medicine: Omeprazole"]["Times"] == ("06:30, 18:30", 'clocks = ["06:30", "18:30"]')
    assert plan["Medicine: Omeprazole"]["Every"][0] == "12 hours"
    assert plan["Medicine: Omeprazole"]["Food"][0] == "before; 30 minutes"
    assert plan["The blend"]["Measured"][0] == "on 24 November 2026; 935 mL"
    assert plan["Food: Canned stew (invented)"]["Complete"] == ("yes", "complete = true")
    assert plan["The vet"]["Call: Night clinic"][0] == (
        "+353 1 555 0177; nights and weekends; hours mon, tue, wed, thu 18:30 to 08:30 / fri 18:30 to 00:00 / "
        "sat, sun 00:00 to 00:00 / mon 00:00 to 08:30"
    )
    assert plan["The timetable"]["Meals"][0] == "07:00, 11:30, 15:00, 20:00"


@pytest.mark.hazard("H28")
def test_only_what_was_read_into_a_value_stands_beside_it_a_second_time():
    """A text is its own source; a number got its unit from the key, a day was written out."""
    lines = {line.name: line for section in say_plan(a_plan()) if section.key == "orders" for line in section.lines}
    vet = {line.name: line for section in say_plan(a_plan()) if section.key == "vet" for line in section.lines}

    assert not lines["Flush before"].is_verbatim
    assert not vet["Said on"].is_verbatim
    assert vet["Words"].is_verbatim


@pytest.mark.hazard("H28")
@pytest.mark.parametrize("name", ["juniper", "sorrel"])
def test_nothing_that_the_document_holds_is_left_untold(name):
    """Every key of the document stands in some line, and no two lines share a place."""
    plan = a_plan(name=name)
    document = plan.model_dump(mode="json", exclude_unset=True)
    sections = say_plan(plan)
    said = "\n".join(line.said for section in sections for line in section.lines)

    def keys(part: object) -> set[str]:
        if isinstance(part, dict):
            return set(part) | {key for value in part.values() for key in keys(value)}
        return {key for value in part for key in keys(value)} if isinstance(part, list) else set()

    headings = {"format", "id", *document, "tube"}
    assert {key for key in keys(document) - headings if f"{key} = " not in said} == set()
    places = [(section.key, line.place) for section in sections for line in section.lines]
    assert len(places) == len(set(places))


@pytest.mark.hazard("H4")
@pytest.mark.parametrize("name", ["juniper", "sorrel"])
def test_no_value_is_told_in_a_form_that_is_misread(name):
    """No trailing zero, no lone point, a blank before each unit."""
    lines = [line for section in say_plan(a_plan(name=name)) for line in section.lines]

    assert [(line.name, line.value) for line in lines if list(find_forbidden(f"{line.name}: {line.value}"))] == []


def test_the_same_plan_is_no_change():
    """Nor is one whose lines stand in another order."""
    moved = "upright_minutes = 20\nwater_ml_per_kg_per_day = { low = 50, high = 80 }"
    other = "water_ml_per_kg_per_day = { low = 50, high = 80 }\nupright_minutes = 20"

    assert compare_plans(a_plan(), a_plan()) == ()
    assert compare_plans(a_plan(), a_plan((moved, other))) == ()


@pytest.mark.hazard("H28")
def test_only_what_differs_is_named_old_beside_new():
    """A dose, a flush that is no longer stated, and a weighing that came on."""
    new = a_plan(
        ('dose = "12 mg"', 'dose = "10 mg"'),
        ("flush_after_ml = 20\n", ""),
        ('{ on = 2026-11-18, kg = 17.4, scale = "clinic floor scale" },', "{ on = 2026-11-18, kg = 17.4 },"),
    )
    changes = {change.title: change for change in compare_plans(a_plan(), new)}

    assert set(changes) == {"The animal", "The vet's orders", "Medicine: Omeprazole"}
    assert changes["Medicine: Omeprazole"].changes == (Changed(name="Dose", old="12 mg", new="10 mg"),)
    assert changes["The vet's orders"].changes == (Changed(name="Flush after", old="20 mL", new=None),)
    assert changes["The animal"].changes == (
        Changed(name="Weighed: 18 November 2026", old="17.4 kg; scale clinic floor scale", new="17.4 kg"),
    )
    assert not any(change.is_new or change.is_gone for change in changes.values())


@pytest.mark.hazard("H28")
def test_a_medicine_that_goes_and_one_that_comes_are_said_as_such():
    """The same one is found again by its id, not by its place in the file."""
    text = example_plan("juniper").decode()
    start = text.index('[[medicines]]\nid = "metoclopramide"')
    end = text.index('[[medicines]]\nid = "omeprazole"')
    without = read_plan((text[:start] + text[end:]).encode(), kind="toml")

    gone = compare_plans(a_plan(), without)
    came = compare_plans(without, a_plan())

    assert [(one.title, one.is_gone, one.is_new) for one in gone] == [("Medicine: Metoclopramide", True, False)]
    assert [(one.title, one.is_gone, one.is_new) for one in came] == [("Medicine: Metoclopramide", False, True)]
    assert all(change.new is None for change in gone[0].changes)
    assert Changed(name="Dose", old=None, new="0.3 mg/kg") in came[0].changes
