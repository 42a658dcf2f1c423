"""`fillmark take-in`: the same reading as on the page, on the command line."""

import os
import subprocess
import sys
from collections.abc import Callable
from io import StringIO
from pathlib import Path

import pytest

from fillmark.cli.main import main
from fillmark.examples import example_plan
from tests.support.processes import ROOT, Record

JUNIPER = example_plan("juniper").decode()
VET = ("--vet-words", "As on the sheet.", "--vet-said-on", "2026-11-18")
Adopt = Callable[..., tuple[int, str, str]]


@pytest.fixture
def take_in(db: None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Adopt:
    """Run it on a file with this text: exit code, what it printed, what it said about a fault."""
    monkeypatch.setenv("FILLMARK_HOME", str(tmp_path / "home"))
    monkeypatch.setenv("TZ", "UTC")

    def run(text: str, *words: str, answer: str = "") -> tuple[int, str, str]:
        path = tmp_path / "plan.toml"
        path.write_text(text, encoding="utf-8")
        monkeypatch.setattr("sys.stdin", StringIO(answer))
        code = main(["take-in", str(path), *words])
        return code, *capsys.readouterr()

    return run


def test_it_makes_the_home_that_it_needs(tmp_path: Path) -> None:
    """In a process of its own, on a machine that never served."""
    record, path = Record(tmp_path / "home"), tmp_path / "plan.toml"
    path.write_text(JUNIPER, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "fillmark.cli.main", "adopt", str(path), *VET, "--clock", "file", "--yes"],
        cwd=ROOT,
        env={**record.environment, "PYTHONPATH": os.pathsep.join(sys.path)},
        capture_output=True,
        text=True,
        timeout=300,
    )

    assert (done.returncode, done.stderr) == (0, "")
    assert "version 1 of Juniper's plan, confirmed by Lead." in done.stdout
    assert (tmp_path / "home" / "fillmark.sqlite3").exists()


@pytest.mark.hazard("H28")
@pytest.mark.hazard("H26")
def test_from_an_empty_home_to_version_2(take_in: Adopt) -> None:
    """By which clock is asked first; then the day is shown and confirmed; a changed file begins the next day."""
    code, out, err = take_in(JUNIPER, *VET)
    assert (code, out) == (2, "")
    assert "Time zone: Europe/Dublin in the file, UTC here" in err
    assert "Allowed: --clock file or --clock household" in err

    code, out, err = take_in(JUNIPER, *VET, "--clock", "file", answer="no\n")
    assert code == 2
    assert "Energy goal           895 kcal" in out
    assert "fillmark: A plan that was not confirmed." in err

    code, out, err = take_in(JUNIPER, *VET, "--clock", "file", answer="yes\n")
    assert (code, err) == (0, "")
    assert "version 1 of Juniper's plan, confirmed by Lead." in out
    assert "WHAT CHANGES" not in out

    code, out, err = take_in(JUNIPER.replace('dose = "12 mg"', 'dose = "10 mg"'), *VET, "--yes")
    assert (code, err) == (0, "")
    assert "WHAT CHANGES AGAINST VERSION 1\n  Medicine: Omeprazole\n    Dose: 12 mg → 10 mg\n" in out
    assert "04:00: version 2 of Juniper's plan" in out


@pytest.mark.hazard("H4")
def test_what_looks_like_a_slip_stops_it_with_the_list(take_in: Adopt) -> None:
    """Exit code 3 until it is said that it was asked; nothing is in force before."""
    take_in(JUNIPER, *VET, "--clock", "file", "--yes")
    tenth = JUNIPER.replace('dose = "12 mg"', 'dose = "1.2 mg"')

    code, out, err = take_in(tenth, *VET, "--yes")
    assert code == 3
    assert "Omeprazole was 12 mg and is now 1.2 mg, ten times less" in " ".join(
        out.partition("NEEDS A WORD OF THE VET")[2].split()
    )
    assert "needs a word of the vet first" in err

    said = ("--vet-answer", "slip-from-last: omeprazole=One point two, for a week.")
    assert "nobody has said that it is meant" in take_in(tenth, *VET, "--yes", *said)[2]
    assert take_in(tenth, *VET, "--yes", "--asked", *said)[0] == 0


@pytest.mark.hazard("H10")
def test_what_needs_a_word_of_the_vet_gets_it_with_its_key_or_at_the_terminal(take_in: Adopt) -> None:
    """Exit code 3 without it; --yes does not stand in for the vet."""
    heap = JUNIPER.replace('["07:00", "11:30", "15:00", "20:00"]', '["07:00", "09:00", "15:00", "20:00"]')
    plan = (heap, *VET, "--clock", "file")

    code, out, err = take_in(*plan, "--yes", "--asked")
    assert code == 3
    assert "[times-too-close: meal]" in " ".join(out.split())
    assert "needs a word of the vet first" in err
    code, _, err = take_in(*plan, "--yes", "--asked", "--vet-answer", "times-too-close: meal")
    assert (code, "Allowed: the key, = and the vet's words" in err) == (2, True)

    code, out, _ = take_in(*plan, answer="She may have two meals close in the morning.\nyes\n")
    assert code == 0
    heap = heap.replace("upright_minutes = 20", "upright_minutes = 25")
    assert take_in(heap, *VET, "--yes")[0] == 0, "the vet's word goes along into the next version"


@pytest.mark.parametrize(
    ("text", "words", "code", "said"),
    [
        ("x", VET, 2, "A plan that is not TOML"),
        (JUNIPER, ("--vet-words", "x", "--vet-said-on", "soon"), 2, '"soon" for the day on which the vet said it'),
        (JUNIPER, (*VET, "--animal", "Rex"), 2, '"Rex", whom this home does not have'),
        (
            JUNIPER.replace("energy = { factor = 1.5 }\n", ""),
            (*VET, "--clock", "file"),
            3,
            "Ask: How much energy a day",
        ),
        (JUNIPER, (*VET, "--clock", "file", "--from", "session"), 2, "of an animal that has no plan yet"),
    ],
    ids=["no plan", "no day", "no such animal", "no answer", "no session"],
)
def test_a_fault_is_one_message(take_in: Adopt, text: str, words: tuple[str, ...], code: int, said: str) -> None:
    """With the exit code that says whether the vet is needed."""
    found, _, err = take_in(text, *words)

    assert found == code
    assert said in err
    assert err.count("\n") == 1
