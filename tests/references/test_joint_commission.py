"""Do Not Use list, with the list of error-prone notations of the Institute for Safe Medication Practices.

The Joint Commission. Here: zeros, units, commas, spaces, abbreviations.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.values.errors import BadNumber, WrongUnit
from fillmark.core.values.quantities import Mass, Volume, write_number
from fillmark.core.values.wording import find_forbidden
from tests.references.rows import row
from tests.support.plain_words import write_plainly


@pytest.mark.parametrize(("text", "printed"), [row("MED070", ".5 mg", "0.5 mg")])
def test_a_lone_point_is_refused_and_written_with_its_zero(text, printed):
    """Copied: exact."""
    with pytest.raises(BadNumber, match=r"0\.5"):
        Mass.read(text)
    assert str(Mass.read(printed)) == printed


@pytest.mark.parametrize(("text", "instead"), [row("MED079", "5 µg", "mcg")])
def test_a_unit_that_is_misread_is_refused(text, instead):
    """Copied: exact."""
    with pytest.raises(WrongUnit, match=f'Write "{instead}"'):
        Mass.read(text)


@pytest.mark.parametrize(("number", "printed"), [row("MED091", 100000, "100,000")])
def test_a_comma_between_thousands(number, printed):
    """Copied: exact."""
    assert write_number(number) == printed


@pytest.mark.parametrize(("text", "printed"), [row("MED092", "10mg", "10 mg")])
def test_a_space_before_the_unit(text, printed):
    """Copied: exact."""
    assert str(Mass.read(text)) == printed


@pytest.mark.parametrize(("text", "printed"), [row("MED094", "5 ml", "mL")])
def test_ml_has_a_capital_letter(text, printed):
    """Copied: exact."""
    with pytest.raises(WrongUnit, match=f'Write "{printed}"'):
        Volume.read(text)


@pytest.mark.parametrize(
    ("abbreviation", "instead"),
    [
        row("MED075", "IU", "units"),
        row("MED076", "QD", "daily"),
        row("MED078", "QOD", "every other day"),
        row("MED080", "OD", "daily"),
        row("MED081", "HS", "bedtime (or half-strength): ask"),
        row("MED083", "qhs", "at bedtime"),
        row("MED084", "qn", "nightly"),
        row("MED087", "per os", "by mouth"),
        row("MED089", "ss", "one-half (or sliding scale): ask"),
        row("MED090", "OJ", "orange juice"),
    ],
)
def test_an_abbreviation_that_is_misread(abbreviation, instead):
    """Copied: found once in a sentence, with what to write; not found inside a longer word."""
    (found,) = find_forbidden(f"Give it {abbreviation} with water")
    assert (found.words, found.instead) == (abbreviation, instead)
    assert find_forbidden(f"Give it x{abbreviation}x with water") == ()


@pytest.mark.parametrize(("text", "printed"), [row("MED095", "Prednisolone300 mg", "Prednisolone 300 mg")])
def test_a_name_that_runs_into_its_dose(text, printed):
    """Copied: exact."""
    assert write_plainly(text) == printed
    assert find_forbidden(printed) == ()


@pytest.mark.parametrize("text", [row("MED096", "tube mark 7.0 cm")])
def test_a_tube_size_keeps_its_zero(text):
    """Copied exception: a length is no dose; the same zero before a dose is found."""
    assert find_forbidden(text) == ()
    assert [place.instead for place in find_forbidden("give 7.0 mg")] == ["7"]
