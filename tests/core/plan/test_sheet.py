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

SETS = ("held_out", "second_held_out", "third_held_out", "fourth_held_out", "fifth_held_out", "sixth_held_out", "tuned")
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


MOSTS = (
    "No more than {}",
    "Not more than {}",
    "At most {}",
    "Max {}",
    "Maximum of {}",
    "Up to {}",
    "Not over {}",
    "Do not exceed {}",
)
MOSTS += (
    "Never give more than {}",
    "Please don't go over {}",
    "{} at most",
    "A meal must not exceed {}",
    "Do not give her more than {}",
)
MOSTS += ("Under no circumstances give over {}", "< {}", "Each time ≤ {}", "Don't let it be more than {}")


@pytest.mark.hazard("H28")
@pytest.mark.parametrize("words", MOSTS)
@pytest.mark.parametrize("behind", ["per meal", "per feed", "at once", "each feeding", "at any one feeding"])
def test_the_most_of_a_meal_is_asked_and_never_a_meal(words: str, behind: str) -> None:
    """Common practice, no source: the words of clinics for a most."""
    text = words.format(f"220 mL {behind}")
    read = read_sheet(f"Feed 4 times a day. {text}.")[0]

    assert "orders.meal_ml" not in {one.key for one in read.answers}
    assert any("220" in one.words for one in read.ask), asked_of(read)
    beside = found_in(f"Give 200 mL of food at each meal. {text}.")
    assert float(beside["orders.meal_ml"]) == 200


@pytest.mark.hazard("H28")
@pytest.mark.parametrize(
    ("text", "key", "is_order"),
    [
        ("Flush with at least 10 mL of water after each meal", "orders.flush_after_ml", False),
        ("Flush with up to 10 mL of water before each meal", "orders.flush_before_ml", False),
        ("Energy: at most 850 kcal per day", "orders.energy.kcal_per_day", False),
        ("At least 400 kcal per day", "orders.energy.kcal_per_day", False),
        ("Keep upright for up to 20 minutes after food", "orders.upright_minutes", False),
        ("Keep upright for at least 20 minutes after food", "orders.upright_minutes", True),
        ("Give water, at least 50 mL/kg/day", "orders.water_ml_per_kg_per_day.high", False),
        ("Give water, at least 50 mL/kg/day", "orders.water_ml_per_kg_per_day.low", True),
        ("Give water, no more than 60 mL/kg/day", "orders.water_ml_per_kg_per_day.low", False),
        ("Feed up to 6 times a day", "orders.meals_per_day", False),
        ("Tramadol 50 mg tablets: up to 1 tablet by tube every 8 hours", "medicines[1].dose", False),
        ("Tramadol 50 mg tablets: no more than 1 tablet by tube every 8 hours", "medicines[1].dose", False),
        ("Tramadol 50 mg tablets: 1 tablet by tube up to three times a day", "medicines[1].times_per_day", False),
        ("Tramadol 50 mg tablets: 1 tablet by tube every 8 hours, max 3 tablets a day", "medicines[1].dose", True),
    ],
)
def test_a_limit_is_an_order_only_where_the_key_means_that_limit(text: str, key: str, is_order: bool) -> None:
    """A least is an order of a wait, a most is one of a pace; any other is asked, with its words."""
    read = read_sheet(text)[0]

    assert (key in {one.key for one in read.answers}) is is_order
    if not is_order:
        asked = key.replace("times_per_day", "every_hours")
        assert any(one.key == asked and one.words for one in read.ask), asked_of(read)


@pytest.mark.parametrize(
    ("text", "times"),
    [
        ("Day 555 0142, nights 555 0199", [("555 0142", "Day"), ("555 0199", "nights")]),
        ("Tel 555 0120 (days), 555 0121 (nights)", [("555 0120", "days"), ("555 0121", "nights")]),
        ("ph day 555 0133 / night 555 0134", [("555 0133", "day"), ("555 0134", "night")]),
        ("After hours: 555 0101", [("555 0101", "After hours")]),
        ("Emergency: 555 0102", [("555 0102", "Emergency")]),
        ("Phone: 555 0100", [("555 0100", None)]),
        ("Telephone 555 0177, none at night", [("555 0177", None)]),
    ],
)
def test_each_number_keeps_its_own_time(text: str, times: list[tuple[str, str | None]]) -> None:
    """A night's number is never said to be the day's, nor the other way round."""
    found = found_in(f"Ash Vets Clinic\n{text}")
    for number, (phone, when) in enumerate(times, start=1):
        assert found[f"vet.call[{number}].phone"] == phone
        assert found.get(f"vet.call[{number}].when") == when
        assert found[f"vet.call[{number}].who"] == "Ash Vets Clinic"


def test_a_day_without_its_year_and_hours_of_two_readings_are_asked() -> None:
    """The likely day stands in the question, and nowhere else."""
    read = read_sheet("Ash Vets Clinic 25/11/2026\nRecheck on 9 December.\nFeed at 7, 10 and 12 o'clock.")[0]
    asked = asked_of(read)

    assert "is it 9 December 2026?" in asked["vet.recheck_on"]
    assert "of the morning or the evening?" in asked["timetable.meals"]
    assert not {"vet.recheck_on", "timetable.meals"} & {one.key for one in read.answers}


@pytest.mark.hazard("H28")
def test_a_line_that_gave_no_medicine_is_asked() -> None:
    """A strength, pieces or a prescription's shorthand that nothing was made of."""
    for line in ("We gave 25 mg twice daily before", "Keep on 2 tablets bid", "same as before, tid"):
        read = read_sheet(f"Patient: Fig, cat\n\nCall us.\n\n{line}\n")[0]
        told = [one.words for one in read.ask if one.key == "medicines"]
        assert told == [line], line


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
