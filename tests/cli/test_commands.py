"""The command line, as a person and as a machine use it."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from fillmark.cli.main import main
from fillmark.examples import example_plan
from fillmark.published import all_figures


@pytest.fixture
def juniper(tmp_path: Path) -> Path:
    path = tmp_path / "juniper.toml"
    path.write_bytes(example_plan("juniper"))
    return path


def test_the_page_says_the_day(juniper, capsys):
    """Energy, blend, meals, marks, water, sessions, steps and whom to call stand on one page."""
    assert main(["plan", str(juniper), "--on", "2026-11-25"]) == 0
    page = capsys.readouterr().out
    for words in (
        "Juniper, dog · Wednesday 25 November 2026 · 17.4 kg (38.4 lb)",
        "Energy goal           895 kcal",
        "This blend            1.07 kcal/mL",
        "210 + 210 + 210 + 210 = 840 mL",
        "60 + 60 + 60 + 30 mL blend",
        "Metoclopramide 5.2 mL",
        "nothing by mouth",
        "Night clinic: +353 1 555 0177",
    ):
        assert words in page
    assert max(len(line) for line in page.splitlines()) <= 120


def test_why_shows_the_working_and_its_sources(juniper, capsys):
    """Each number opens to its sum and to where its figures come from."""
    assert main(["plan", str(juniper), "--on", "2026-11-25", "--why"]) == 0
    page = capsys.readouterr().out
    assert "70 × 17.4 kg^0.75 = 596 kcal/day" in page
    assert "596 kcal/day × 1.5 = 895 kcal/day" in page
    assert "energy.resting_factor: Small Animal Clinical Nutrition" in page
    assert "Metoclopramide: 0.3 mg/kg × 17.4 kg = 5.22 mg" in page


@pytest.mark.hazard("H14")
def test_the_day_says_to_stir_and_test_the_food_before_it_is_drawn(juniper, capsys):
    """In the steps of a session, before the first fill; and never how long in a microwave."""
    assert main(["plan", str(juniper), "--on", "2026-11-25"]) == 0
    page = capsys.readouterr().out
    assert page.index("Stir the food, and test it on your wrist") < page.index("Give fill 1 of 4")
    assert "icrowave" not in page


@pytest.mark.hazard("H7")
def test_the_day_warns_of_a_tip_that_displaces_part_of_a_tiny_dose(tmp_path, capsys):
    """0.6 mL in a syringe with a standard enteral tip; a low-dose tip at hand is taken, without a word."""
    warned = "A standard enteral tip can push in about 0.148 mL more, or less, than the line shows"
    tiny = example_plan("juniper").decode().replace('strength = "2 mg/mL"', 'strength = "20 mg/mL"')
    path = tmp_path / "plan.toml"
    for text, is_warned in ((tiny, False), (tiny.replace('"low-dose enteral"', '"enteral"'), True)):
        path.write_text(text, encoding="utf-8")
        main(["plan", str(path), "--on", "2026-11-25"])
        assert (warned in " ".join(capsys.readouterr().out.split())) is is_warned


def test_json_is_whole(juniper, capsys):
    """A machine gets the same numbers, with working and figure ids."""
    assert main(["plan", str(juniper), "--on", "2026-11-25", "--json"]) == 0
    day = json.loads(capsys.readouterr().out)["day"]
    assert round(day["energy"]["value"]) == 895
    assert day["energy"]["working"][0].startswith("70 × 17.4 kg^0.75")
    assert set(day["energy"]["figures"]) >= {"energy.resting_factor", "energy.resting_power"}
    assert [session["clock"] for session in day["sessions"]][:2] == ["06:30", "07:00"]
    assert [mark["drawn"] for mark in day["sessions"][1]["fills"]] == ["60 mL", "60 mL", "60 mL", "30 mL"]


@pytest.mark.hazard("H32")
def test_a_missing_answer_exits_with_3_and_the_list(tmp_path, capsys):
    """Nothing is guessed: the questions are printed, the blocking ones first."""
    path = tmp_path / "plan.toml"
    path.write_bytes(
        example_plan("juniper").replace(b"energy = { factor = 1.5 }\n", b"").replace(b"cap_ml_per_kg = 20\n", b"")
    )
    assert main(["plan", str(path), "--on", "2026-11-25"]) == 3
    out, err = capsys.readouterr()
    assert "orders.energy" in err
    assert out.index("How much energy a day") < out.index("What is the most one session may hold")
    assert "(needed first)" in out


def test_questions_that_do_not_block_are_printed_with_the_day(tmp_path, capsys):
    """The cat's plan leaves five things open; the day is computed all the same."""
    path = tmp_path / "sorrel.toml"
    path.write_bytes(example_plan("sorrel"))
    assert main(["plan", str(path), "--on", "2026-11-25"]) == 0
    page = capsys.readouterr().out
    assert "ASK THE VET" in page
    assert "How fast may a meal go in, in mL/min?" in page


def test_figures_lists_every_number_with_its_source(capsys):
    """Every figure in use stands there once, with source and basis."""
    assert main(["figures"]) == 0
    page = capsys.readouterr().out
    assert main(["figures", "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)
    assert [row["id"] for row in rows] == [figure.id for figure in all_figures()]
    assert all(row["id"] in page and row["source"] and row["basis"] for row in rows)
    assert {row["basis"] for row in rows} <= {
        "published",
        "common practice, no source",
        "from memory",
        "our own choice",
    }


@pytest.mark.parametrize("encoding", ["utf-8", "ascii", "latin-1"])
def test_a_terminal_of_another_encoding_gets_the_page(juniper, encoding):
    """The page never dies on a sign the terminal lacks."""
    result = subprocess.run(
        [sys.executable, "-m", "fillmark.cli.main", "plan", str(juniper), "--why"],
        capture_output=True,
        env={"PYTHONIOENCODING": encoding, "PATH": ""},
        check=True,
    )
    assert b"Energy goal" in result.stdout
    assert result.stderr == b""


def test_the_plan_command_never_loads_the_app(juniper):
    """Django and the solver stay out of a cold start."""
    code = (
        "import sys; from fillmark.cli.main import main; "
        f"main(['plan', {str(juniper)!r}, '--on', '2026-11-25']); "
        "assert not {'django', 'ortools', 'numpy'} & set(sys.modules), 'loaded too much'"
    )
    subprocess.run([sys.executable, "-c", code], check=True, capture_output=True)
