"""Amounts of medicine, and the one way to read and write a number."""

from decimal import Decimal
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fillmark.core.values.errors import BadNumber, WrongUnit
from fillmark.core.values.quantities import (
    KG_PER_LB,
    KJ_PER_KCAL,
    ML_PER_US_CUP,
    Mass,
    Strength,
    Volume,
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


@pytest.mark.hazard("H4")
@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            "1,250",
            '"1,250" for dose, which reads as 1250 or as 1.250. Allowed: 1250 or 1.250. '
            "Write the one that is meant, without a comma.",
        ),
        (
            "12,500",
            '"12,500" for dose, which reads as 12500 or as 12.500. Allowed: 12500 or 12.500. '
            "Write the one that is meant, without a comma.",
        ),
        (
            "5.0",
            '"5.0" for dose, with nothing but zeros after the point. Allowed: 5. '
            'An overlooked point makes it ten times as much. Write "5" if that is meant.',
        ),
        (
            "05",
            '"05" for dose, with a zero in front. Allowed: 5. '
            "A point may have been lost. Write the number as it is on the label.",
        ),
        (
            "00",
            '"00" for dose, with a zero in front. Allowed: 0. '
            "A point may have been lost. Write the number as it is on the label.",
        ),
        (
            "ten",
            '"ten" for dose. Allowed: a number such as 0.5 or 12. '
            "Write digits, with one decimal point or comma if it is needed.",
        ),
    ],
)
def test_each_refusal_of_a_number_says_what_to_write(text, message):
    """The whole message."""
    with pytest.raises(BadNumber) as refused:
        read_number(text, field="dose")

    assert str(refused.value) == message


@pytest.mark.parametrize(
    ("text", "value"), [("0,125", "0.125"), ("1,25", "1.25"), ("1,2505", "1.2505"), ("-2,5", "-2.5")]
)
def test_a_comma_that_can_only_be_a_point_is_read(text, value):
    """Nobody groups thousands like this."""
    assert read_number(text, field="dose") == Decimal(value)


@pytest.mark.hazard("H4")
@pytest.mark.parametrize(
    ("text", "kind", "message"),
    [
        (
            "mg",
            BadNumber,
            '"mg" for dose. Allowed: a number and its unit (mg, mcg, g). '
            "Write the amount as it is on the label, number first.",
        ),
        ("5", WrongUnit, '"5" for dose, without a unit. Allowed: mg, mcg, g. Write the unit behind the number.'),
        ("5 µg", WrongUnit, '"5 µg" for dose, in "µg". Allowed: mg, mcg, g. Write "mcg": "µg" is misread.'),
        (
            "5 grains",
            WrongUnit,
            '"5 grains" for dose, in "grains". Allowed: mg, mcg, g. Write it in one of these units, as on the label.',
        ),
    ],
)
def test_each_refusal_of_an_amount_says_what_to_write(text, kind, message):
    """Number and unit alike."""
    with pytest.raises(kind) as refused:
        Mass.read(text, field="dose")

    assert str(refused.value) == message


@pytest.mark.hazard("H3")
@pytest.mark.parametrize(
    ("text", "kind", "message"),
    [
        (
            "10 mg",
            WrongUnit,
            '"10 mg" for strength, without what it is in. Allowed: mg/mL, mcg/mL, mg/5 mL or %. '
            "Copy the strength from the bottle, such as 10 mg/mL.",
        ),
        (
            "10 mg/0 mL",
            BadNumber,
            '"10 mg/0 mL" for strength. Allowed: an amount of liquid above 0 mL. Copy the strength from the bottle.',
        ),
        ("0 %", BadNumber, '"0 %" for strength. Allowed: more than 0 mg/mL. Copy the strength from the bottle.'),
        ("-1 %", BadNumber, '"-1 %" for strength. Allowed: more than 0 mg/mL. Copy the strength from the bottle.'),
    ],
)
def test_each_refusal_of_a_strength_says_what_to_write(text, kind, message):
    """Copied from the bottle, with what it is in."""
    with pytest.raises(kind) as refused:
        Strength.read(text)

    assert str(refused.value) == message


@pytest.mark.parametrize("mg_per_ml", ["0", "-1", "NaN", "Infinity"])
def test_a_strength_that_cannot_be_is_refused(mg_per_ml):
    """However it was worked out."""
    with pytest.raises(BadNumber) as refused:
        Strength(Decimal(mg_per_ml))

    assert str(refused.value) == (
        f"strength of {mg_per_ml} mg/mL. Allowed: more than 0 mg/mL. Copy the strength from the bottle."
    )


def test_a_volume_below_nothing_is_refused():
    """As a mass is."""
    with pytest.raises(BadNumber, match=r"A volume of -1 mL\. Allowed: 0 mL or more\. Check the number\."):
        Volume(Decimal(-1))


def test_masses_and_volumes_add_up():
    """In their own unit."""
    assert Mass(Decimal("1.5")) + Mass(Decimal("0.25")) == Mass(Decimal("1.75"))
    assert Volume(Decimal("1.5")) + Volume(Decimal("0.25")) == Volume(Decimal("1.75"))


@pytest.mark.hazard("H4")
@pytest.mark.parametrize(
    ("mg", "written"),
    [("0", "0 mg"), ("0.0005", "0.5 mcg"), ("0.0999", "99.9 mcg"), ("0.1", "0.1 mg"), ("1.5", "1.5 mg")],
)
def test_a_small_mass_is_written_in_micrograms(mg, written):
    """Under a tenth of a mg, so that no one counts zeros."""
    assert str(Mass(Decimal(mg))) == written


def test_numbers_are_written_to_four_digits_unless_said():
    """Fractions and what is no number too."""
    assert write_number(1.23456) == "1.235"
    assert write_number(1.23456, digits=5) == "1.2346"
    assert write_number(Fraction(3, 4)) == "0.75"
    assert write_number(float("inf")) == "inf"
    assert write_number(Decimal("NaN")) == "NaN"


@pytest.mark.parametrize(("length", "shown"), [(40, "x" * 40), (41, "x" * 39 + "…"), (80, "x" * 39 + "…")])
def test_a_long_slip_is_shown_in_forty_characters(length, shown):
    """On one line."""
    with pytest.raises(BadNumber) as refused:
        read_number("x" * length, field="dose")

    assert str(refused.value).startswith(f'"{shown}" for dose.')


def test_a_number_of_more_digits_than_anyone_means_is_refused():
    """Thirty are read, whole and decimal together."""
    assert read_number("9" * 20 + "." + "9" * 10, field="dose") == Decimal("9" * 20 + "." + "9" * 10)
    with pytest.raises(BadNumber, match=r"a number of ordinary length\. Write the number as it is on the label"):
        read_number("9" * 20 + "." + "9" * 11, field="dose")
