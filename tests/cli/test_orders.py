"""What is asked and said about an order, where a person meets it: on the page of `fillmark plan`."""

import json
import re
from contextlib import redirect_stderr, redirect_stdout
from functools import partial
from io import StringIO

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


def show(folder, text):
    """The page of a plan on one line, and the exit code."""
    path = folder / "plan.toml"
    path.write_text(text, encoding="utf-8")
    with redirect_stdout(StringIO()) as out, redirect_stderr(out):
        code = main(["plan", str(path), "--on", "2026-11-25"])
    return code, " ".join(out.getvalue().split())


@pytest.fixture
def page(tmp_path):
    """What shows the page of a plan."""
    return partial(show, tmp_path)


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


def steps(*lines):
    """A taper, as its order has it."""
    return "[" + ", ".join(f"{{ {line} }}" for line in lines) + "]"


PREDNISOLONE = {"name": '"Prednisolone"', "dose": '"17.4 mg"', "strength": '"3 mg/mL"', "start_on": "2026-11-20"}


@pytest.mark.hazard("H4")
def test_a_step_of_a_taper_is_held_against_print_like_an_order(page):
    """Its dose, and its dose with a rhythm of its own; the step is named."""
    lines = ("from_on = 2026-12-01, dose = '30 mg'", "from_on = 2026-12-08, dose = '12 mg'")
    _, shown = page(dog(**PREDNISOLONE, steps=steps(*lines)))
    asked = part(shown, "ASK THE VET")
    assert "Prednisolone, step 1, 30 mg: outside what print says, 3.45 against 0.25 to 2.2 mg/kg per day" in asked
    assert "Prednisolone, step 2" not in asked
    assert "Prednisolone, 17.4 mg" not in asked

    lines = ("from_on = 2026-12-01, dose = '17.4 mg', every_hours = 6, clocks = ['01:00', '07:00', '13:00', '19:00']",)
    _, shown = page(dog(**PREDNISOLONE, steps=steps(*lines)))
    asked = part(shown, "ASK THE VET")
    assert "Prednisolone, step 1, 17.4 mg: outside what print says, 4 against 0.25 to 2.2 mg/kg per day" in asked
    assert "Prednisolone, step 1: 4 doses a day, when print gives it every 12 to 48 hours" in asked


@pytest.mark.hazard("H4")
def test_a_medicine_with_each_meal_is_counted_by_the_meals_of_the_plan(page):
    """Four meals of 3 mg/kg are the most of a day, and more is over it; two doses a day are not."""
    order = {"name": '"Furosemide"', "with_each_meal": "true", "every_hours": None, "clocks": None}
    _, shown = page(dog(**order, dose='"60 mg"'))
    assert "Furosemide: 13.8 mg/kg per day, when print names 12 as the most" in part(shown, "ASK THE VET")
    _, shown = page(dog(**order, dose='"50 mg"'))
    assert "as the most" not in shown


@pytest.mark.hazard("H4")
def test_the_times_in_the_plan_are_counted_and_not_the_hours(page):
    """Every 10 hours with eight times of day is eight doses; and it is no rhythm of a day."""
    order = {"name": '"Furosemide"', "dose": '"34.8 mg"', "every_hours": "10"}
    for clocks, most, times in (
        (8, "16 mg/kg per day", "8 times a day"),
        (5, None, "5 times a day"),
        (1, None, "once a day"),
    ):
        hours = ", ".join(f'"{hour:02}:00"' for hour in range(0, 24, 24 // clocks)[:clocks])
        asked = part(page(dog(**order, clocks=f"[{hours}]"))[1], "ASK THE VET")
        assert f"Furosemide: every 10 hours is 2.4 doses a day, and its times give it {times}." in asked
        assert (f"Furosemide: {most}, when print names 12 as the most" in asked) is bool(most)


@pytest.mark.hazard("H4")
def test_times_that_stand_closer_than_the_order_are_asked_about(page):
    """Every 12 hours at 8:00 and 16:00 is not every 12 hours; what the vet said of the gap goes before."""
    order = {"name": '"Omeprazole"', "dose": '"12 mg"'}
    shown = part(page(dog(**order, clocks='["08:00", "16:00"]'))[1], "ASK THE VET")
    assert "Omeprazole: two of its times stand 8 hours apart, when it is ordered every 12 hours." in shown
    for fine in ({"clocks": '["08:00", "17:00"]'}, {"clocks": '["08:00", "16:00"]', "min_gap_hours": "8"}):
        assert "of its times stand" not in page(dog(**{**order, **fine}))[1]
    late = {"clocks": '["08:00", "17:00"]', "min_gap_hours": "10"}
    assert "of its times stand 9 hours apart" in page(dog(**order, **late))[1]


@pytest.mark.hazard("H4")
def test_a_dose_that_fits_does_not_hide_a_day_that_does_not(page):
    """0.3 mg/kg fits one dose of print; six of them fit no day of it."""
    order = {"name": '"Metoclopramide hydrochloride"', "dose": '"5.2 mg"', "strength": '"1 mg/mL"', "every_hours": "4"}
    times = '["02:00", "06:00", "10:00", "14:00", "18:00", "22:00"]'
    asked = part(page(dog(**order, clocks=times))[1], "ASK THE VET")

    assert "Metoclopramide hydrochloride, 5.2 mg: outside what print says, 1.79 against 0.5 to 1 mg/kg per day" in asked
    assert "against 0.2 to 0.5 mg/kg per dose" not in asked
    assert "6 doses a day, when print gives it every 6 to 12 hours" in asked


@pytest.mark.hazard("H4")
def test_print_that_is_ten_times_apart_is_shown_whole(page):
    """And asked about where the same dose with the point moved would be print too."""
    order = {"name": '"Famotidine"', "strength": '"8 mg/mL"'}
    asked = part(page(dog(**order, dose='"17.4 mg"'))[1], "ASK THE VET")
    assert "Famotidine, 17.4 mg: print has 0.1 to 0.2 mg/kg per dose" in asked
    assert "0.5 to 1 mg/kg per dose" in asked
    assert "so a point that moved would not be seen here. Read the point in the order once more" in asked
    _, shown = page(dog(**order, dose='"10 mg"'))
    assert "Famotidine, 10 mg: print has" in part(shown, "SAID ABOUT THE ORDERS")
    assert "a point that moved would not" not in shown


def test_a_medicine_that_print_gives_to_dogs_only_says_so_for_a_cat(page):
    """Nothing was checked, and that is said."""
    _, shown = page(cat(name='"Gabapentin"', dose='"20 mg"', strength='"50 mg/mL"'))

    assert "Gabapentin: print has no range for a cat here, only for a dog" in part(shown, "SAID ABOUT THE ORDERS")


@pytest.mark.hazard("H21")
def test_azathioprine_for_a_cat_needs_a_word_of_the_vet(page):
    """With the reason that print has."""
    _, shown = page(cat(name='"Azathioprine"', dose='"1 mg"', strength='"10 mg/mL"'))

    asked = part(shown, "ASK THE VET")
    assert "A report tells of a cat that azathioprine poisoned" in asked
    assert "Ask the vet before giving it. [not-for-this-species: drug]" in asked.partition("IS THIS MEANT?")[0]
    assert "A report tells" not in page(dog(name='"Azathioprine"', dose='"17.4 mg"'))[1]


@pytest.mark.hazard("H6")
def test_what_is_really_given_is_held_against_the_most(page):
    """20 mg are 4.88 mg/kg; the tablet that comes nearest is 5.54."""
    order = {
        "name": '"Enrofloxacin"',
        "form": '"tablet"',
        "crush": '"allowed"',
        "every_hours": "24",
        "clocks": '["07:00"]',
        "dose": '"20.5 mg"',
    }
    asked = part(page(cat(**order, strength='"22 mg/tablet"'))[1], "ASK THE VET")
    said = "Enrofloxacin as it is given, 22 mg: 5.37 mg/kg per day, when print names 5 as the most"
    assert said in asked
    assert "as the most" not in page(cat(**order, strength='"20.5 mg/tablet"'))[1]


@pytest.mark.hazard("H4")
@pytest.mark.hazard("H5")
@pytest.mark.parametrize(
    ("dose", "said"),
    [
        ("0.9 mg/kg/day", "Divide it by the doses of a day and write that: in 2 doses a day, 0.45 mg/kg for each."),
        ("90 mg per day", "in 2 doses a day, 45 mg for each."),
        ("2 mg/lb", "Multiply it by 2.205: 2 mg/lb is 4.41 mg/kg. Ask the vet to read it back, with the weight in kg."),
        ("0.5 mg per lb", "0.5 mg/lb is 1.1 mg/kg."),
        ("10 U", 'Write "units": "U" is misread.'),
    ],
)
def test_a_dose_that_can_only_be_a_slip_is_refused_with_the_way_out(page, dose, said):
    """What to write, worked out."""
    code, shown = page(dog(name='"Furosemide"', dose=f'"{dose}"'))

    assert code == 2
    assert f'medicines[2].dose: "{dose}"' in shown
    assert said in shown


@pytest.mark.hazard("H3")
def test_a_dose_of_very_many_tablets_or_of_very_much_liquid_is_asked_about(page):
    """A hundred tablets; 50 mL for a cat of 4.1 kg."""
    tablets = {"form": '"tablet"', "crush": '"allowed"', "strength": '"0.5 mg/tablet"'}
    asked = part(page(dog(name='"Spironolactone"', dose='"50 mg"', **tablets))[1], "ASK THE VET")
    assert "Spironolactone: one dose is 100 of them. Read the dose and the label again" in asked
    large = 'id = "medicine-3"\nsize_ml = 50\nstep_ml = 1\nnumbered_every_ml = 10\ntip = "low-dose enteral"\ncount = 2'
    small = CAT[CAT.index('id = "medicine-3"') : CAT.index("\n\n[[medicines]]")]
    plan = cat(name='"Sucralfate"', dose='"500 mg"').replace(small, large)
    assert "Sucralfate: one dose is 50 mL, for 4.1 kg. Read the dose and the label again" in page(plan)[1]
    plan = cat(name='"Sucralfate"', dose='"500 mg"', strength='"100 mg/mL"').replace(small, large)
    assert "one dose is" not in page(plan)[1]


@pytest.mark.hazard("H3")
def test_a_strength_of_print_with_the_point_moved_is_asked_about(page):
    """Another strength that a pharmacy may make is not."""
    order = {"name": '"Furosemide"', "dose": '"34.8 mg"'}
    asked = part(page(dog(**order, strength='"100 mg/mL"'))[1], "ASK THE VET")
    assert "Furosemide: 100 mg/mL is ten times as strong as the 10 mg/mL in print" in asked
    assert "is ten times weaker than the 10 mg/mL" in page(dog(**{**order, "dose": '"9 mg"'}, strength='"1 mg/mL"'))[1]
    for strength in ("10 mg/mL", "20 mg/mL"):
        assert "in print (" not in page(dog(**order, strength=f'"{strength}"'))[1]


@pytest.mark.hazard("H5")
def test_a_dose_on_the_end_of_print_is_not_pushed_out_by_a_rounded_weight(page):
    """20 mg for 44 lb is 1 mg/kg; 19.96 kg makes 1.002 of it. A tenth more is outside."""
    plan = dog(name='"Omeprazole"', dose='"20 mg"').replace("dose_for_weight_kg = 17.4", "dose_for_weight_kg = 19.96")
    pounds = re.sub(r"(?s)weights = \[\n.*?\n\]", "weights = [{ on = 2026-11-18, kg = 19.96 }]", plan)
    assert "outside what print says" not in page(pounds)[1]
    assert "Omeprazole, 22 mg: outside what print says" in page(pounds.replace('"20 mg"', '"22 mg"'))[1]


@pytest.mark.hazard("H22")
def test_an_order_that_leaves_food_out_is_asked_or_said(page):
    """Asked where print has something to say; where not, that nobody said anything."""
    _, shown = page(dog(name='"Sucralfate"', dose='"500 mg"', strength='"100 mg/mL"', food=None))
    assert "Sucralfate: Print gives it on an empty stomach" in part(shown, "ASK THE VET")
    assert "The order says nothing about food. Ask the vet." in shown
    _, shown = page(dog(name='"Furosemide"', dose='"34.8 mg"', food=None))
    assert "The order of Furosemide says nothing about food" in part(shown, "SAID ABOUT THE ORDERS")
    assert "nothing about food" not in page(dog(name='"Furosemide"', dose='"34.8 mg"'))[1]


@pytest.mark.hazard("H6")
def test_what_rounds_a_dose_up_is_said_with_its_size(page):
    """35 mg of 10 mg/mL in a 10 mL syringe is 3.6 mL; what rounds down is not said here."""
    _, shown = page(dog(name='"Furosemide"', dose='"35.2 mg"'))
    assert "Furosemide: 35.2 mg is rounded up to 36 mg, 2.3% more than ordered." in part(shown, "SAID ABOUT THE ORDERS")
    assert "rounded up" not in page(dog(name='"Furosemide"', dose='"34.8 mg"', strength='"10.01 mg/mL"'))[1]


@pytest.mark.hazard("H3")
def test_doses_in_units_and_milliequivalents_are_drawn_and_never_turned_into_mg(page):
    """The same count on the order and on the label."""
    code, shown = page(dog(name='"Drops"', dose='"40 units"', strength='"20 units/mL"'))
    assert code == 0
    assert "Drops 2 mL" in shown
    assert "Drops 5 mL" in page(dog(name='"Drops"', dose='"10 mEq"', strength='"20 mEq/10 mL"'))[1]
    assert (
        "Drops 2.6 mL"
        in page(cat(name='"Drops"', dose='"0.5 mmol/kg"', dose_for_weight_kg="4.1", strength='"0.8 mmol/mL"'))[1]
    )
    for dose, strength in (("40 units", "10 mg/mL"), ("40 mg", "10 units/mL"), ("2 mEq", "2 mmol/mL")):
        code, shown = page(dog(name='"Drops"', dose=f'"{dose}"', strength=f'"{strength}"'))
        assert code == 2
        assert f"Drops, {dose}, from what holds {strength}" in shown
        assert "Never turn one into the other at home." in shown
