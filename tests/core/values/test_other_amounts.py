"""Units, mEq and mmol: read exactly, never turned into one another."""

from decimal import Decimal

import pytest

from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.other_amounts import OtherAmount, OtherStrength


@pytest.mark.parametrize(
    ("text", "number", "unit", "written"),
    [
        ("40 units", "40", "units", "40 units"),
        ("1 unit", "1", "units", "1 unit"),
        ("0.5 units", "0.5", "units", "0.5 units"),
        (" 2 mEq ", "2", "mEq", "2 mEq"),
        ("1 mmol", "1", "mmol", "1 mmol"),
    ],
)
def test_an_amount_keeps_its_unit(text, number, unit, written):
    """And is written with it."""
    amount = OtherAmount.read(text)

    assert OtherAmount.stands_in(text)
    assert (amount.number, amount.unit, str(amount)) == (Decimal(number), unit, written)
    assert amount * 2 == OtherAmount(Decimal(number) * 2, unit)


@pytest.mark.parametrize("text", ["5 mg", "5 mcg", "units of 5 g", "5 mU", "5 drops"])
def test_another_amount_is_left_to_others(text):
    """A letter before the unit makes it another one."""
    assert not OtherAmount.stands_in(text)


@pytest.mark.hazard("H4")
@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            "10 U",
            '"10 U" for amount, in "U". Allowed: units, mEq, mmol. Write "units": "U" is misread.',
        ),
        (
            "10 IU",
            '"10 IU" for amount, in "IU". Allowed: units, mEq, mmol. Write "units": "IU" is misread.',
        ),
        ("-2 units", '"-2 units" for amount. Allowed: 0 units or more. Check the number.'),
        (".5 units", '".5" for amount, with no zero before the point. Allowed: 0.5. '),
    ],
)
def test_what_is_misread_is_refused_with_what_to_write(text, said):
    """Short forms, lone points, less than nothing."""
    with pytest.raises(FillmarkError) as refused:
        OtherAmount.read(text)

    assert str(refused.value).startswith(said)


def test_a_strength_counts_in_a_ml():
    """In any volume on the label; two labels of one strength are equal."""
    assert str(OtherStrength.read("200 units/5 mL")) == "40 units/mL"
    assert OtherStrength.read("200 units/5 mL") == OtherStrength.read("40 units/mL")
    assert OtherStrength.read("40 units/mL") != OtherStrength.read("40 mEq/mL")
    for text, said in (
        ("40 units", '"40 units" for strength, without what it is in. Allowed: units/mL, mEq/mL or mmol/mL. '),
        ("0 units/mL", '"0 units/mL" for strength. Allowed: more than 0 units in more than 0 mL. '),
        ("5 mEq/0 mL", '"5 mEq/0 mL" for strength. Allowed: more than 0 mEq in more than 0 mL. '),
    ):
        with pytest.raises(FillmarkError) as refused:
            OtherStrength.read(text)
        assert str(refused.value) == f"{said}Copy the strength from the bottle" + (
            ", such as 40 units/mL." if "without" in said else "."
        )
