"""A care plan file with a fault gives exit code 2 and one message: what came, what is allowed, what to do."""

import json
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from fillmark.cli.main import main
from fillmark.examples import example_plan

GOOD = example_plan("juniper").decode()


def swap(old: str, new: str) -> bytes:
    """The good plan with one text in it replaced."""
    assert GOOD.count(old) >= 1, old
    return GOOD.replace(old, new, 1).encode()


FAULTS: dict[str, tuple[bytes, str]] = {
    # the wrong unit, and units swapped
    "weight in grams": (swap("kg = 17.4", "kg = 17400"), "17,400 kg"),
    "pounds read as kg": (swap("kg = 17.4", "kg = 38.4"), "looks like pounds"),
    "both units": (swap("kg = 17.4", "kg = 17.4, lb = 38.4"), "both kg and lb"),
    "neither unit": (swap("kg = 17.4, ", ""), "neither"),
    "a weight as text": (swap("kg = 17.4", 'kg = "17.4 kg"'), "without quotes and without a unit"),
    "half the weight": (swap("kg = 17.4", "kg = 8.7"), "a change of 10%"),
    "strength in mg alone": (swap('"1 mg/mL"', '"1 mg"'), "mg/mL"),
    "strength in a wrong unit": (swap('"1 mg/mL"', '"1 kg/mL"'), "mg, mcg, g"),
    "strength over a wrong unit": (swap('"1 mg/mL"', '"1 mg/cc"'), "mL"),
    "a dose in mL": (swap('"12 mg"', '"6 mL"'), "in a volume"),
    "a dose in micrograms by sign": (swap('"12 mg"', '"12000 µg"'), "mcg"),
    "a dose without a unit": (swap('"12 mg"', '"12"'), "without a unit"),
    "a dose as a number": (swap('"12 mg"', "12"), "unit"),
    "tube in mm": (swap("french = 20", "french = 0.66"), "3.5 to 40 Fr"),
    "energy per can in joule": (swap('unit = "kcal"', 'unit = "J"'), '"kcal"'),
    "a first dose without a time": (
        swap('clocks = ["06:30", "18:30"]', 'first_dose = "2026-11-25"'),
        "medicines[2].first_dose",
    ),
    "a first dose beside times of day": (
        swap('clocks = ["06:30", "18:30"]', 'clocks = ["06:30", "18:30"]\nfirst_dose = "2026-11-25 06:30"'),
        "first_dose with every_hours alone",
    ),
    "a step with times and no rhythm": (
        swap(
            'clocks = ["06:30", "18:30"]',
            'clocks = ["06:30", "18:30"]\nsteps = [{ from_on = 2026-12-01, dose = "6 mg", clocks = ["06:30"] }]',
        ),
        "medicines[2].steps[1].clocks",
    ),
    "a step whose rhythm its times cannot keep": (
        swap(
            'clocks = ["06:30", "18:30"]',
            'clocks = ["06:30", "18:30"]\nsteps = [{ from_on = 2026-12-01, dose = "6 mg", every_hours = 24 }]',
        ),
        "medicines[2].steps[1].clocks",
    ),
    "hours on a day that there is not": (
        swap('days = ["mon", "tue", "wed", "thu", "fri"], comes', 'days = ["monday"], comes'),
        '"mon"',
    ),
    "hours without an end": (swap(', goes = "18:00"', ""), "it is missing"),
    "away until before it begins": (
        swap("until_on = 2026-12-21", "until_on = 2026-12-01"),
        "Away from 18 December 2026 until 1 December 2026",
    ),
    "a task by a stranger": (swap('may = ["noor"]', 'may = ["nora"]'), "tasks[1].may"),
    "a task without a time": (
        swap('name = "Weigh her"\nclocks = ["07:00"]', 'name = "Weigh her"'),
        "with_each_meal, or with neither",
    ),
    "a task that is named like a medicine": (swap('name = "Weigh her"', 'name = "Omeprazole"'), "tasks"),
    "a task of five hours": (swap("minutes = 5\n", "minutes = 300\n"), "0 to 240 minutes"),
    "a task before lunch": (swap('food = "before"\nmay', 'food = "lunch"\nmay'), '"any", "before" or "after"'),
    "more flushes of an idle tube than hours": (
        swap("meals_per_day = 4", "meals_per_day = 4\nidle_flush = { times_per_day = 24 }"),
        "1 to 12 times a day",
    ),
    "times for flushes that nobody ordered": (
        swap(
            'meals = ["07:00", "11:30", "15:00", "20:00"]',
            'meals = ["07:00", "11:30", "15:00", "20:00"]\nflushes = ["08:00"]',
        ),
        "none are ordered",
    ),
    "weaning with nothing by mouth": (
        swap("meals_per_day = 4", "meals_per_day = 4\nweaning = { by_mouth_kcal_per_day = 500 }"),
        "orders.weaning",
    ),
    "a rule for missed meals that there is not": (
        swap("meals_per_day = 4", 'meals_per_day = 4\nmissed_meal = "double"'),
        '"let go" or "spread"',
    ),
    # zero, negative, not a number
    "zero weight": (swap("kg = 17.4", "kg = 0"), "0.5 to 100 kg"),
    "negative weight": (swap("kg = 17.4", "kg = -17.4"), "0.5 to 100 kg"),
    "weight NaN": (swap("kg = 17.4", "kg = nan"), "ordinary number"),
    "weight infinite": (swap("kg = 17.4", "kg = inf"), "ordinary number"),
    "zero meals": (swap("meals_per_day = 4", "meals_per_day = 0"), "meals"),
    "half a meal": (swap("meals_per_day = 4", "meals_per_day = 3.5"), "meals_per_day"),
    "a hundred meals": (swap("meals_per_day = 4", "meals_per_day = 100"), "meals"),
    "zero energy": (swap("factor = 1.5", "kcal_per_day = 0"), "more than 0"),
    "negative water": (swap("water_ml = 160", "water_ml = -160"), "mL"),
    "zero strength": (swap('"1 mg/mL"', '"0 mg/mL"'), "more than 0 mg/mL"),
    "negative dose": (swap('"12 mg"', '"-12 mg"'), "mg"),
    # writing that invites a tenfold slip
    "a dose with a lone point": (swap('"12 mg"', '".5 mg"'), "no zero before the point"),
    "a dose with a trailing zero": (swap('"12 mg"', '"5.0 mg"'), "nothing but zeros after the point"),
    "a dose with a lost point": (swap('"12 mg"', '"05 mg"'), "a zero in front"),
    "a dose with a comma that may be a point": (swap('"12 mg"', '"1,200 mg"'), "1200 or as 1.200"),
    "a number with a lone point": (swap("kg = 17.4", "kg = .5"), "no zero before the point"),
    "a tenfold factor": (swap("factor = 1.5", "factor = 15"), "factor"),
    # keys and choices
    "an unknown key": (swap("french = 20", "french = 20\nfrnech = 20"), "animal.tube.frnech"),
    "an unknown part": (swap("[timetable]", "[timetabel]"), "timetabel"),
    "an unknown species": (swap('species = "dog"', 'species = "ferret"'), "ferret"),
    "an unknown tube": (swap('kind = "gastrostomy"', 'kind = "stomach"'), "gastrostomy"),
    "a missing part": (GOOD[: GOOD.index("[vet]")].encode() + GOOD[GOOD.index("[orders]") :].encode(), "vet"),
    "an empty name": (swap('name = "Juniper"', 'name = ""'), "An empty text"),
    "a control character": (swap('name = "Juniper"', 'name = "Juni\\u0000per"'), "control characters"),
    "another format": (swap("care plan 2", "care plan 9"), "fillmark care plan 1"),
    "a key there twice": (swap("french = 20", "french = 20\nfrench = 20"), "line"),
    "an unknown zone": (swap("Europe/Dublin", "Europe/Dulbin"), "time zone"),
    "a zone that climbs out": (swap("Europe/Dublin", "../../etc/passwd"), "time zone"),
    "an unknown food in the blend": (swap('food = "stew"', 'food = "soup"'), "soup"),
    "two energy orders": (swap("factor = 1.5", "factor = 1.5, kcal_per_day = 900"), "exactly one"),
    "a score beyond its scale": (swap("score = 4, of = 9", "score = 6, of = 5"), "1 to 5"),
    # twice, and out of order
    "a medicine twice": (swap('id = "omeprazole"', 'id = "metoclopramide"'), "metoclopramide"),
    "a person twice": (swap('id = "sam"', 'id = "noor"'), "noor"),
    "a meal time twice": (swap('"11:30"', '"07:00"'), "twice"),
    "meal times out of order": (swap('"11:30"', '"21:30"'), "out of order"),
    "a time too many": (swap('"11:30", ', ""), "3 meal times for 4 meals"),
    "weighings out of order": (swap("2026-10-21", "2026-12-21"), "oldest first"),
    "a warning above the cap": (swap("warn_ml_per_kg = 17", "warn_ml_per_kg = 27"), "above the cap"),
    # dates and times that do not exist
    "a day that does not exist": (swap("2026-11-18", "2026-02-30"), "Allowed"),
    "a day as text that does not exist": (swap("2026-11-18", '"2026-02-30"'), "a day that exists"),
    "a time that does not exist": (swap('"11:30"', '"25:30"'), "23:59"),
    # the file itself
    "empty": (b"", "format"),
    "a text of 2 MB": (swap("Juniper", "J" * 2_000_000), "bytes"),
    "a long name": (swap("Juniper", "J" * 81), "80 or fewer"),
    "UTF-16": (GOOD.encode("utf-16"), "UTF-8"),
    "Latin-1": (swap("Juniper", "Jünïper").decode().encode("latin-1"), "UTF-8"),
    "not TOML": (b"Juniper eats four times a day\n", "not TOML"),
    "a weight as a part": (swap("kg = 17.4", "kg = { value = 17.4 }"), "plain number"),
}


def run(path: Path, capsys: pytest.CaptureFixture[str]) -> tuple[int, str, str]:
    code = main(["plan", str(path), "--on", "2026-11-25"])
    out, err = capsys.readouterr()
    return code, out, err


def check_told(code: int, out: str, err: str, fragment: str) -> None:
    assert code == 2, err or out
    assert out == ""
    assert err.startswith("fillmark: ")
    assert err.count("\n") == 1, err
    assert " Allowed: " in err
    assert "Traceback" not in err
    assert len(err) < 700, "a message, not a listing"
    assert fragment in err
    assert err.rstrip().endswith((".", ")")), "the last sentence says what to do"


@pytest.mark.hazard("H4")
@pytest.mark.hazard("H5")
@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_is_told_in_one_message(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Each fault stops the command with one message that says what came, what is allowed and what to do."""
    content, fragment = FAULTS[name]
    path = tmp_path / "plan.toml"
    path.write_bytes(content)

    check_told(*run(path, capsys), fragment)


def test_every_fault_of_a_file_is_told_at_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One line for each, of keys and values and of what does not fit together; none that only follows from another."""
    one_look = swap("[vet]", "[vett]").decode().replace("kg = 17.1", "kg = 1710")
    fits_nowhere = swap("meals_per_day = 4", "meals_per_day = 5").decode()
    fits_nowhere = fits_nowhere.replace("warn_ml_per_kg = 17", "warn_ml_per_kg = 21")
    fits_nowhere = fits_nowhere.replace('foods = [{ food = "stew"', 'foods = [{ food = "hash"')
    path = tmp_path / "plan.toml"
    for text, fields in (
        (one_look, ["animal.weights[1].kg", "vet", "vett"]),
        (fits_nowhere, ["blend.foods[1].food", "orders.warn_ml_per_kg", "timetable.meals"]),
    ):
        path.write_text(text, encoding="utf-8")
        code, out, err = run(path, capsys)

        assert (code, out) == (2, "")
        assert [line.removeprefix("fillmark: ").partition(":")[0] for line in err.splitlines()] == fields


@pytest.mark.parametrize("key", ["kg = 17.4", "ml = 935", "french = 20", "size_ml = 60", "factor = 1.5"])
def test_a_number_that_nothing_has_is_refused_in_words(
    key: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """1e70 where a weight, a volume or a size belongs."""
    path = tmp_path / "plan.toml"
    path.write_bytes(swap(key, f"{key.partition(' = ')[0]} = 1e70"))

    check_told(*run(path, capsys), "a number of 71 digits")


def as_json(change: Callable[[dict[str, Any]], None]) -> str:
    """The good plan as JSON with one change."""
    values = tomllib.loads(GOOD)
    change(values)
    return json.dumps(values, default=str)


JSON_FAULTS: dict[str, tuple[str, str]] = {
    "NaN": (as_json(lambda plan: plan["orders"]["energy"].update(factor=float("nan"))), '"NaN"'),
    "null": (as_json(lambda plan: plan["orders"].update(cap_ml_per_kg=None)), "not stated"),
    "a list": ("[1, 2]", "single value"),
    "cut off": (as_json(lambda plan: None)[:-40], "not JSON"),
    "a key twice": ('{"format": "fillmark care plan 1", "format": "fillmark care plan 1"}', "more than once"),
    "endless nesting": ("[" * 100_000, "nested"),
    "an endless number": ('{"format": ' + "9" * 5000 + "}", "number"),
    "a flag as a number": (as_json(lambda plan: plan["animal"]["weights"][2].update(kg=True)), "plain number"),
}


@pytest.mark.parametrize("name", JSON_FAULTS)
def test_a_fault_in_json_is_told_in_one_message(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """JSON plans are refused as clearly as TOML plans."""
    content, fragment = JSON_FAULTS[name]
    path = tmp_path / "plan.json"
    path.write_text(content, encoding="utf-8")

    check_told(*run(path, capsys), fragment)


def test_a_file_that_is_not_there(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A wrong path is told with the path."""
    check_told(*run(tmp_path / "plan.toml", capsys), "plan.toml")


def test_a_folder(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A folder is not a plan."""
    check_told(*run(tmp_path, capsys), "Allowed")


def test_another_kind_of_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Only TOML and JSON are read."""
    path = tmp_path / "plan.docx"
    path.write_bytes(b"x")
    check_told(*run(path, capsys), ".toml or .json")


def test_a_day_that_is_none(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """A wrong day on the command line is told like any other fault."""
    path = tmp_path / "plan.toml"
    path.write_text(GOOD, encoding="utf-8")
    code = main(["plan", str(path), "--on", "2026-02-30"])
    out, err = capsys.readouterr()
    check_told(code, out, err, "2026-02-30")
