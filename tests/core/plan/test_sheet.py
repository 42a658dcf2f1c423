"""A discharge sheet read into proposed answers, held against invented sheets whose truth was written down first.

The first run of each set that was put apart stands in docs/decisions/0022.
"""

import time
from decimal import Decimal

import pytest
from pint import UnitRegistry

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.questions import part_of
from fillmark.core.plan.sheet import MOST_CHARACTERS, SheetRead, read_sheet
from fillmark.core.plan.sheet_amounts import find_items, unit_called
from fillmark.core.plan.sheet_checks import INSTEAD, OF_EVERY_MEDICINE, OF_EVERY_SHEET
from fillmark.core.plan.sheet_found import field_at, read_days, spot_and_name
from fillmark.core.values.errors import BadPlan
from tests.support.sheets import FOLDER, Sheet, is_right, score, sheets

SETS = ("held_out", "second_held_out", "third_held_out", "fourth_held_out", "fifth_held_out", "tuned")
MOST_SECONDS_OF_NOTHING, LONG = 5.0, 10_000
LEAST_RIGHT, LEAST_PRECISE, MOST_SECONDS = 0.95, 0.98, 0.3


@pytest.mark.parametrize("name", SETS)
def test_stated_fields_are_read_and_the_others_are_asked(name: str) -> None:
    """Of every set: nothing without its words, nothing left out of the list to ask, doses and strengths above all."""
    found = score(sheets(name))

    assert found.share >= LEAST_RIGHT, found.missed
    assert found.precision >= LEAST_PRECISE, found.wrong
    assert found.not_asked == []
    assert found.without_words == []
    assert len(found.wrong) <= found.stated * 0.005, found.wrong


def test_there_are_sixty_sheets_and_each_is_read_in_time() -> None:
    """On this machine, without the grammar's own start."""
    every: list[Sheet] = [one for name in SETS for one in sheets(name)]
    read_sheet("Weight: 4 kg")
    read_sheet.cache_clear()
    slow = []
    for sheet in every:
        start = time.process_time()
        read_sheet(sheet.text)
        taken = time.process_time() - start
        slow += [f"{sheet.title}: {taken:.2f} s"] if taken > MOST_SECONDS else []

    assert len(every) >= 60
    assert slow == []


def test_every_key_that_is_read_or_asked_is_asked_on_a_page() -> None:
    """The reader has no keys of its own."""
    keys = [*OF_EVERY_SHEET, *(f"medicines[1].{name}" for name in OF_EVERY_MEDICINE)]
    keys += [one for names in INSTEAD.values() for one in names if one.startswith(("animal", "orders"))]
    keys += [one.key for sheet in sheets("tuned") for read in read_sheet(sheet.text) for one in read.answers]
    for key in keys:
        spot, name = spot_and_name(key)
        assert name in part_of(spot.page).model_fields
        assert field_at(key).label
    assert part_of(spot_and_name("animal.name")[0].page) is CarePlan.model_fields["animal"].annotation


def phrases(name: str) -> list[tuple[str, str, str]]:
    """Each line of a list of phrases: the key, the value and the text."""
    lines = (FOLDER / name).read_text(encoding="utf-8").splitlines()
    found = [line.partition(" | ") for line in lines if line and not line.startswith("#")]
    return [(told.partition(" = ")[0], told.partition(" = ")[2], text) for told, _, text in found]


@pytest.mark.parametrize(("name", "place"), [("phrases.txt", ""), ("phrases_of_medicines.txt", "medicines[1].")])
def test_one_thing_is_read_in_the_many_ways_in_which_it_is_said(name: str, place: str) -> None:
    """Common practice, no source: the words of clinics as their sheets have them."""
    wrong = []
    for key, wanted, text in phrases(name):
        read = read_sheet(text)[0]
        got = {one.key: one.value for one in read.answers}
        form = str(got.get(f"{place}form", "liquid"))
        if wanted == "?":
            is_so = f"{place}{key}" not in got and any(one.words for one in read.ask)
        else:
            wanted = wanted.strip("[]").replace(",", "") if wanted.startswith("[") else wanted
            is_so = f"{place}{key}" in got and is_right(key, wanted, got[f"{place}{key}"], form=form)
        wrong += [] if is_so else [f"{key} = {got.get(place + key)!r}, not {wanted}: {text}"]
    assert wrong == []


def test_a_long_text_of_nothing_is_read_in_time() -> None:
    """What is pasted by mistake does not hold the machine up."""
    for piece in (
        "tube at tube 5 cm ",
        "mg ",
        "1/2 ",
        "every 8 ",
        "a | b | 3 mg | ",
        "Omeprazole 2 mg/mL then 4 mg ",
        "5-",
    ):
        text = piece * (LONG // len(piece))
        start = time.process_time()
        read_sheet(text)
        assert time.process_time() - start < MOST_SECONDS_OF_NOTHING, piece


def found_in(text: str) -> dict[str, str]:
    return {one.key: str(one.value) for one in read_sheet(text)[0].answers}


def asked_of(read: SheetRead) -> dict[str, str]:
    return {one.key: one.why for one in read.ask}


UNITS = UnitRegistry()
SAME = {
    "kg": ("kg", "kgs", "kilo", "kilograms"),
    "lb": ("lb", "lbs", "pounds"),
    "oz": ("oz", "ounces"),
    "mg": ("mg", "milligrams"),
    "mcg": ("mcg", "µg", "ug", "micrograms"),
    "g": ("g", "gm", "grams"),
    "mL": ("mL", "ml", "cc", "milliliters", "millilitres"),
    "L": ("L", "litres"),
    "teaspoons": ("tsp", "teaspoon"),
    "tablespoons": ("tbsp", "tablespoons"),
    "cups": ("cup", "cups"),
    "cm": ("cm", "centimetres"),
    "mm": ("mm", "millimeters"),
    "in": ("in", "inches"),
    "hours": ("h", "hrs", "hours"),
    "minutes": ("min", "minutes"),
    "days": ("d", "days"),
    "weeks": ("wk", "weeks"),
    "kcal": ("kcal", "kilocalories"),
    "kJ": ("kJ", "kilojoules"),
}


def test_units_are_known_by_every_name_that_they_go_by() -> None:
    """pint has the same units under the names that it knows."""
    for ours, names in SAME.items():
        for name in names:
            (item,) = find_items(f"5 {name}")
            assert item.unit == ours, name
            assert unit_called(name) == ours or name in ("min", "minutes", "d", "in")
    pint_name = {"mcg": "microgram", "in": "inch", "lb": "pound", "oz": "ounce", "teaspoons": "teaspoon", "cups": "cup"}
    for ours in SAME:
        assert UNITS.parse_units(pint_name.get(ours, ours.removesuffix("s") if ours != "mcg" else ours))


@pytest.mark.parametrize(
    ("text", "number", "high"),
    [
        ("1½ tablets", "1.5", ""),
        ("1 1/2 tablets", "1.5", ""),
        ("1-1/2 tablets", "1.5", ""),
        ("half a tablet", "0.5", ""),
        ("one and a half tablets", "1.5", ""),
        ("a quarter of a tablet", "0.25", ""),
        ("three quarters of a tablet", "0.75", ""),
        ("forty-five tablets", "45", ""),
        ("2-3 tablets", "2", "3"),
        ("2 to 3 tablets", "2", "3"),
        ("½ – 1 tablet", "0.5", "1"),
        ("0,5 tablet", "0,5", ""),
        ("ii tabs", "2", ""),
    ],
)
def test_numbers_as_they_are_written(text: str, number: str, high: str) -> None:
    """Fractions, words, ranges, decimal commas."""
    (item,) = find_items(text)
    assert (item.number, item.high, item.kind) == (number, high, "piece")


@pytest.mark.parametrize(
    ("text", "hours", "times"),
    [
        ("q8h", "8", ""),
        ("q 8 hrs", "8", ""),
        ("every 8 hours", "8", ""),
        ("BID", "", "2"),
        ("b.i.d.", "", "2"),
        ("TID", "", "3"),
        ("QID", "", "4"),
        ("SID", "", "1"),
        ("EOD", "48", ""),
        ("every other day", "48", ""),
        ("once a week", "168", ""),
        ("twice daily", "", "2"),
        ("3x/day", "", "3"),
        ("3 times a day", "", "3"),
        ("in the morning", "", "1"),
        ("at bedtime", "", "1"),
        ("morning and night", "", "2"),
    ],
)
def test_how_often_in_the_words_of_the_trade(text: str, hours: str, times: str) -> None:
    """Abbreviations of prescriptions are read; the plan has words."""
    found = found_in(f"Omeprazole 2 mg/mL: 4 mg by tube {text}")
    assert found.get("medicines[1].every_hours", "") == hours
    assert found.get("medicines[1].times_per_day", "") == times


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("Omeprazole 2 mg/mL: 4 mg by tube every 8-12 hours", "medicines[1].every_hours"),
        ("Omeprazole 2 mg/mL: 4 mg by tube q.d.", "medicines[1].every_hours"),
        ("Omeprazole 2 mg/mL: 4-6 mg by tube every 8 hours", "medicines[1].dose"),
        ("Omeprazole 2 mg/mL: .4 mg by tube every 8 hours", "medicines[1].dose"),
        ("Omeprazole 2 mg/mL: 4.0 mg by tube every 8 hours", "medicines[1].dose"),
        ("Omeprazole 2 mg/mL: 3 mL (4 mg) by tube every 8 hours", "medicines[1].dose"),
        ("Omeprazole: 2 mL by tube every 8 hours", "medicines[1].dose"),
        ("Omeprazole 2 mg/mL: 12 mg/day by tube", "medicines[1].dose"),
        ("Omeprazole 2 mg/mL: 4 mg by tube twice daily every 8 hours", "medicines[1].every_hours"),
        ("Omeprazole 2 mg/mL: 4 mg by tube q8h before food", "medicines[1].food.minutes"),
        ("Patient: Ida, cat, 44 kg", "animal.weights[1].kg"),
        ("Patient: Ida, cat. Weight 4 kg. Weight 5 kg", "animal.weights[1].kg"),
        ("Patient: Ida, cat. Weight 4.4 kg (4.4 lb)", "animal.weights[1].kg"),
        ("E-tube 140 Fr", "animal.tube.french"),
        ("Recheck: 03/04/2026", "vet.recheck_on"),
        ("Feed 4 meals a day, every 4 hours", "orders.meals_per_day"),
    ],
)
def test_what_is_not_plain_is_asked_and_not_proposed(text: str, key: str) -> None:
    """A range, a slip, two ways to say a thing that do not agree, a day with two readings."""
    (read,) = read_sheet(text)
    assert key not in {one.key for one in read.answers}
    assert asked_of(read)[key] != "not stated"


def test_what_speaks_against_itself_is_told_with_both_words() -> None:
    """Energy, volume and meals more than 5 % apart."""
    (read,) = read_sheet("300 kcal/day. The blend holds 1 kcal/mL. 4 meals of 50 mL.")
    told = next(one for one in read.contradictions if one.key == "orders.energy.kcal_per_day")

    assert told.words == ("300 kcal/day", "4 meals", "meals of 50 mL", "1 kcal/mL")
    assert "200 kcal a day" in told.says
    assert "orders.energy.kcal_per_day" not in {one.key for one in read.answers}


def test_a_day_is_read_in_the_order_of_the_sheet() -> None:
    """Both orders stay open where nothing tells."""
    assert [str(one) for one in read_days("03/04/2026", order="")] == ["2026-04-03", "2026-03-04"]
    assert [str(one) for one in read_days("03/04/2026", order="month first")] == ["2026-03-04"]
    assert [str(one) for one in read_days("04/04/2026", order="")] == ["2026-04-04"]
    assert [str(one) for one in read_days("31/04/2026", order="")] == []
    assert [str(one) for one in read_days("24 Nov 26", order="")] == ["2026-11-24"]


def test_what_nothing_was_made_of_stays_in_sight() -> None:
    """A number that no answer took up, and a sentence that says no."""
    text = "Patient: Ida, cat, 4 kg. Her creatinine was 2.1. Feed 40 mL 5 times a day, but never on Sundays at all."
    (read,) = read_sheet(text)
    left = " | ".join(text[start:end] for start, end in read.not_understood)

    assert "creatinine was 2.1" in left
    assert "never on Sundays" in left
    assert "40 mL" not in left


def test_a_medicine_that_is_stopped_is_asked_and_not_ordered() -> None:
    """It must not come into the plan by being named."""
    (read,) = read_sheet("Discontinue famotidine 10 mg tablets.\nOmeprazole 2 mg/mL: 4 mg by tube every 24 hours")

    assert asked_of(read)["medicines"].startswith("The sheet takes this one away")
    assert found_in("Discontinue famotidine 10 mg tablets.") == {}
    assert [one.value for one in read.answers if one.key == "medicines[1].name"] == ["Omeprazole"]


def test_an_empty_text_and_a_book_are_refused() -> None:
    """With what to do."""
    for text in ("", " \n\t", "x" * (MOST_CHARACTERS + 1)):
        with pytest.raises(BadPlan, match="Copy the text"):
            read_sheet(text)
    assert Decimal(find_items("1,200 mg")[0].value) == 1200


def test_not_stated_is_said_only_where_nothing_was_found() -> None:
    """Words about it that were not understood stand beside the question."""
    (read,) = read_sheet("Patient: Ida, cat, 4 kg. Rinse the tube as shown.")
    asks = {one.key: one for one in read.ask}

    assert asks["orders.upright_minutes"].why == "not stated"
    assert asks["orders.flush_after_ml"].why == "Perhaps said in words that were not understood."
    assert asks["orders.flush_after_ml"].words == "Rinse the tube as shown."
