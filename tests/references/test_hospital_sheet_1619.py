"""Teaching sheet 1619 on oral syringes.

A children's hospital. Here: short lines, which syringe to take, reading between lines. The two errors are
our arithmetic.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.tube.mark import find_mark
from fillmark.core.values.quantities import Volume
from tests.references.rows import row
from tests.support.medicines import FIVE, ONE, TEN, THREE, a_syringe


@pytest.mark.parametrize(("dose", "size_ml"), [row("MED108", "0.35 mL", 1), row("MED109", "2.8 mL", 3)])
def test_the_smallest_that_holds_the_dose(dose, size_ml):
    """Copied rule: exact."""
    assert find_mark(volume=Volume.read(dose), syringes=[TEN, FIVE, THREE, ONE]).value.syringe.size_ml == size_ml


@pytest.mark.parametrize(("dose", "around"), [row("MED110", "0.35 mL", ("0.34 mL", "0.36 mL"))])
def test_a_dose_between_two_lines(dose, around):
    """Bound: print reads between the lines; we take one of the two."""
    mark = find_mark(volume=Volume.read(dose), syringes=[a_syringe(1, 0.02, 0.2)]).value
    assert str(mark.drawn) in around


@pytest.mark.parametrize(
    ("dose", "syringe", "percent"), [row("MED111", "2.85 mL", THREE, 1.75), row("MED112", "3.3 mL", FIVE, 3.03)]
)
def test_error_at_the_nearest_line(dose, syringe, percent):
    """Arithmetic: two printed digits."""
    mark = find_mark(volume=Volume.read(dose), syringes=[syringe]).value
    assert 100 * abs(mark.error_fraction) == pytest.approx(percent, abs=0.02)
