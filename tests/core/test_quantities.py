"""Amounts of medicine, and the one way to read and write a number."""

from decimal import Decimal

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fillmark.core.errors import BadNumber, WrongUnit
from fillmark.core.quantities import (
    KG_PER_LB,
    KJ_PER_KCAL,
    ML_PER_US_CUP,
    Mass,
    Strength,
    read_number,
    write_number,
)

UNITS = pint.UnitRegistry()


@pytest.mark.hazard("H4")
@pytest.mark.parametrize(
    ("value", "written"),
    [
        (0.5, "0.5"),
        (5.0, "5"),
        (Decimal("5.00"), "5"),
        (100000, "100,000"),
        (0.0467, "0.0467"),
        (1e-7, "0.0000001"),
        (123456.7, "123,457"),
        (0, "0"),
        (-2.50, "-2.5"),
    ],
)
def test_a_number_is_written_so_that_it_cannot_be_misread(value, written):
    """Leading zero, no trailing zero, commas from 1,000, no exponent (ISMP list; Joint Commission list)."""
    assert write_number(value) == written


@given(st.decimals(min_value="0.0001", max_value="9999", places=4))
def test_what_is_written_reads_as_the_same_number(value):
    """Writing and reading a number below 1,000 loses nothing."""
    written = write_number(value, digits=8)
    if "," not in written:
        assert read_number(written, field="n") == value.normalize()


@pytest.mark.hazard("H4")
@pytest.mark.parametrize("text", [".5", ",5", "5.0", "5.", "05", "1,000", "1e3", "nan", "--5", "", "5 5", "٥"])
def test_a_number_that_invites_a_slip_is_refused(text):
    """A lone point, a trailing zero, a comma that may be a point, an exponent: none is repaired."""
    with pytest.raises(BadNumber) as caught:
        read_number(text, field="dose")
    assert "Allowed: " in str(caught.value)


def test_the_whole_message_of_a_lone_point():
    """What came, what is allowed, what to do."""
    with pytest.raises(BadNumber) as caught:
        Mass.read(".5 mg", field="dose")
    assert str(caught.value) == (
        '".5" for dose, with no zero before the point. Allowed: 0.5. A lone point is overlooked and read as "5". '
        'Write "0.5" if that is meant.'
    )


@pytest.mark.parametrize(
    ("text", "mg"), [("4,4 mg", "4.4"), ("4.4 mg", "4.4"), ("1 000 mg", "1000"), ("250 mcg", "0.25")]
)
def test_point_and_comma_both_read(text, mg):
    """Households write either; a thin or plain space may group thousands."""
    assert Mass.read(text).mg == Decimal(mg)


@pytest.mark.parametrize("text", ["5 µg", "5 ug", "5 cc", "5", "5 ml"])
def test_a_unit_that_is_misread_is_refused(text):
    """µg, cc and a missing unit are refused with what to write instead."""
    with pytest.raises(WrongUnit):
        Mass.read(text)


@pytest.mark.hazard("H3")
@pytest.mark.parametrize(
    ("text", "mg_per_ml"),
    [("1 mg/mL", "1"), ("125 mg/5 mL", "25"), ("1 %", "10"), ("250 mcg/mL", "0.25"), ("1 g/L", "1")],
)
def test_strengths_as_bottles_print_them(text, mg_per_ml):
    """1 % is 1 g in 100 mL; nursing worked examples print 125 mg/5 mL."""
    assert Strength.read(text).mg_per_ml == Decimal(mg_per_ml)


@given(mg=st.decimals("0.01", "5000", places=2), strength=st.decimals("0.1", "250", places=1))
def test_mass_and_volume_round_trip(mg, strength):
    """mg → mL → mg gives the same mg, to far below any syringe."""
    bottle = Strength(strength)
    assert abs((Mass(mg) / bottle * bottle).mg - mg) < Decimal("1e-20")


def test_a_negative_mass_is_refused():
    """No dose is below nothing."""
    with pytest.raises(BadNumber):
        Mass(Decimal(-1))


@pytest.mark.parametrize(
    ("ours", "unit", "other"),
    [(float(KG_PER_LB), "lb", "kg"), (KJ_PER_KCAL, "kcal", "kJ"), (float(ML_PER_US_CUP), "cup", "mL")],
)
def test_conversions_agree_with_a_reference_library(ours, unit, other):
    """pint 0.24 and later, from the CODATA and NIST tables it ships."""
    assert UNITS.Quantity(1, unit).to(other).magnitude == pytest.approx(ours, rel=1e-9)
