"""`fillmark read-sheet`: a discharge sheet read on the command line, each value beside its words."""

import json
from pathlib import Path

import pytest

from fillmark.cli.main import main
from tests.support.pdfs import a_pdf_of
from tests.support.sheet import PASTED
from tests.support.sheets import sheets


def read(path: Path, capsys) -> dict[str, list[dict[str, object]]]:
    assert main(["read-sheet", str(path), "--json"]) == 0
    return json.loads(capsys.readouterr().out)


@pytest.mark.hazard("H28")
def test_each_value_has_its_key_unit_words_and_line(tmp_path, capsys):
    """For machines, with the keys of the plan."""
    (tmp_path / "sheet.txt").write_text(PASTED, encoding="utf-8")
    found = read(tmp_path / "sheet.txt", capsys)
    by_key = {one["key"]: one for one in found["answers"]}

    assert set(found) == {"answers", "contradictions", "ask", "not_understood"}
    assert by_key["animal.tube.mark_at_skin_cm"] == {
        "animal": "Bramble",
        "key": "animal.tube.mark_at_skin_cm",
        "value": 11.43,
        "unit": "cm",
        "words": "mark at the skin 4.5 in",
        "line": 7,
    }
    assert by_key["medicines[4].when_needed.max_per_day"]["value"] == 2
    assert all(one["words"] and one["line"] for one in found["answers"])
    assert {"animal": "Bramble", "key": "animal.starved", "why": "not stated", "words": "", "line": 0} in found["ask"]


def test_a_pdf_says_the_same_as_its_text(tmp_path, capsys):
    """With tables and two columns in their places."""
    for sheet in [one for one in sheets("held_out") if "table" in one.title or "columns" in one.title]:
        (tmp_path / "sheet.txt").write_text(sheet.text, encoding="utf-8")
        (tmp_path / "sheet.pdf").write_bytes(a_pdf_of(sheet.text))
        text, pdf = (read(tmp_path / name, capsys) for name in ("sheet.txt", "sheet.pdf"))
        assert {one["key"]: one["value"] for one in text["answers"]} == {
            one["key"]: one["value"] for one in pdf["answers"]
        }, sheet.title


def test_the_page_for_people_says_what_must_be_asked(tmp_path, capsys):
    """What is said but not plain, what is not said, and what was not understood."""
    text = (
        "Patient: Ida, cat, 4 kg\nTramadol 50 mg tablets: 25 mg by mouth every 8-12 hours\nShe likes the number 17.\n"
    )
    (tmp_path / "sheet.txt").write_text(text, encoding="utf-8")
    assert main(["read-sheet", str(tmp_path / "sheet.txt")]) == 0
    page = capsys.readouterr().out

    assert "medicines[1].dose = 25 mg   “25 mg” (line 2)" in page
    assert 'every 8-12 hours" is a range' in page
    assert "NOT STATED" in page
    assert "line 3: She likes the number 17" in page


def test_what_is_no_sheet_is_one_message(tmp_path, capsys):
    """An empty file, a file that is not there, a picture."""
    (tmp_path / "empty.txt").write_text("", encoding="utf-8")
    (tmp_path / "picture.jpg").write_bytes(b"\xff\xd8\xff\x00\x00")
    for name, said in (("empty.txt", "without text"), ("nowhere.txt", "cannot be read"), ("picture.jpg", "not text")):
        assert main(["read-sheet", str(tmp_path / name)]) == 2
        assert said in capsys.readouterr().err
