"""Do Not Use list, with the list of error-prone notations of the Institute for Safe Medication Practices.

The Joint Commission. Here: zeros, units, commas, spaces.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.errors import BadNumber, WrongUnit
from fillmark.core.quantities import Mass, Volume, write_number
from tests.references.rows import row


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
