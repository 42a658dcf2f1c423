"""What is asked and said about an order, where a person meets it: on the page of `fillmark plan`."""

import json

import pytest

from fillmark.cli.main import main
from fillmark.examples import example_plan

DOG, CAT = (example_plan(name).decode() for name in ("juniper", "sorrel"))
SECOND = DOG[DOG.index('[[medicines]]\nid = "omeprazole"') : DOG.index("[[tasks]]")]
ONLY = CAT[CAT.index("[[medicines]]") : CAT.index("[[tasks]]")]
DEFAULTS = {
    "id": '"drug"',
    "form": '"liquid"',
    "strength": '"10 mg/mL"',
    "route": '"tube"',
    "every_hours": "12",
    "clocks": '["07:00", "19:00"]',
    "food": '{ relation = "any" }',
    "crush": '"not allowed"',
}


def dog(**order):
    """Juniper, 17.4 kg, four meals a day, with this order in the place of her omeprazole."""
    return DOG.replace(SECOND, _order(order))


def cat(**order):
    """Sorrel, 4.1 kg, five meals a day, with this order in the place of his ondansetron."""
    return CAT.replace(ONLY, _order(order))


def _order(changed):
    values = {**DEFAULTS, **changed}
    lines = [f"{key} = {value}" for key, value in values.items() if value is not None]
    return "\n".join(["[[medicines]]", *lines, "", ""])


@pytest.fixture
def page(tmp_path, capsys):
    """The page of a plan on one line, and the exit code."""

    def show(text):
        path = tmp_path / "plan.toml"
        path.write_text(text, encoding="utf-8")
        code = main(["plan", str(path), "--on", "2026-11-25"])
        out, err = capsys.readouterr()
        return code, " ".join((out + err).split())

    return show


def part(shown, title):
    """One part of the page: what stands under its title; all that is asked in whichever way is one part."""
    asked = ("NEEDS A WORD OF THE VET", "IS THIS MEANT?", "ASK THE VET")
    if title in asked:
        title = next(one for one in asked if one in shown)
    _, _, rest = shown.partition(title)
    return rest.partition("SAID ABOUT THE ORDERS")[0].partition("Worked out from the vet's orders")[0]


@pytest.mark.hazard("H4")
def test_a_medicine_that_is_not_in_print_says_that_nothing_was_checked(page):
    """For each such medicine; a name that print knows otherwise is looked up by what it stands for."""
    for name in ("Enalaprilat", "Methylprednisolone", "Furosemyde", "Amoxicillin and sulbactam"):
        _, shown = page(dog(name=f'"{name}"', dose='"80 mg"'))
        words = " as this mix" if " and " in name else ""
        assert f"{name} is not in print here{words}: nothing was checked about its dose." in part(shown, "SAID ABOUT")

    _, shown = page(dog(name='"Frusemide"', dose='"5 mg"'))
    assert "Frusemide, 5 mg: outside what print says" in part(shown, "ASK THE VET")
    _, shown = page(dog(name='"Furosemide oral"', dose='"40 mg"'))
    assert "is not in print" not in shown


@pytest.mark.hazard("H4")
def test_words_of_a_name_that_say_nothing_here_are_named(page):
    """So that nobody takes the lookup for more than it is."""
    _, shown = page(dog(name='"Furosemide forte"', dose='"40 mg"'))

    said = 'Furosemide forte was looked up as furosemide; "forte" in its name means nothing here.'
    assert said in part(shown, "SAID ABOUT THE ORDERS")


@pytest.mark.hazard("H21")
def test_a_salt_is_not_judged_by_the_range_of_its_base(page):
    """25 mg/kg of the benzoate is print for a cat; the same mg counted as metronidazole are outside it."""
    order = {"name": '"Metronidazole benzoate"', "dose": '"102.5 mg"', "strength": '"50 mg/mL"'}
    _, shown = page(cat(**order))
    assert "outside what print says" not in shown
    assert "print" in part(page(cat(**order, counts_as='"metronidazole"'))[1], "ASK THE VET")
    assert "25 against 10 to 15 mg/kg per dose" in page(cat(**order, counts_as='"metronidazole"'))[1]


@pytest.mark.hazard("H21")
def test_the_handler_is_warned_by_any_name(page):
    """Cyclosporin, mycophenolic acid."""
    for name in ("Cyclosporin", "Mycophenolic acid"):
        _, shown = page(dog(name=f'"{name}"', dose='"100 mg"', strength='"100 mg/mL"'))
        assert f"{name} can harm the people who handle it: gloves" in part(shown, "ASK THE VET")


def test_what_is_said_has_its_weight_for_machines(tmp_path, capsys):
    """Beside the place in the plan."""
    path = tmp_path / "plan.toml"
    path.write_text(dog(name='"Enalaprilat"', dose='"5 mg"'), encoding="utf-8")
    assert main(["plan", str(path), "--on", "2026-11-25", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)["ask"]

    assert {"said"} == {one["weight"] for one in found if one["field"] == "medicines[2].name"}
    assert {"to ask the vet"} == {one["weight"] for one in found if one["field"] == "medicines[1].form"}
