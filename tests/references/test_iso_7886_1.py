"""ISO 7886-1, Sterile hypodermic syringes for single use.

International Organization for Standardization, 2017. Here: Table 1, as worked by a surgical materials test laboratory;
the row from 2 mL to under 5 mL, and 4 % from half full on for 5 mL and over, are from memory. Dead space as used in a
study of it; the other sizes are from memory.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.tube.syringe import dead_space, smallest_measurable_ml, tolerance_ml
from tests.references.rows import row


@pytest.mark.parametrize(
    ("volume_ml", "size_ml", "printed_ml"),
    [
        row("MED117", 0.3, 1, 0.021),
        row("MED118", 0.5, 1, 0.025),
        row("MED121", 4, 10, 0.19),
        row("MED123", 8, 10, 0.32),
    ],
)
def test_tolerance_of_a_volume(volume_ml, size_ml, printed_ml):
    """Worked example; printed to a thousandth of a mL, so within half of one."""
    assert tolerance_ml(volume_ml=volume_ml, size_ml=size_ml).value == pytest.approx(printed_ml, abs=0.0005)


@pytest.mark.parametrize(("volume_ml", "size_ml", "printed_percent"), [row("MED122", 4, 10, 4.75)])
def test_tolerance_as_a_share(volume_ml, size_ml, printed_percent):
    """Worked example; printed to a hundredth of a percent."""
    share = tolerance_ml(volume_ml=volume_ml, size_ml=size_ml).value / volume_ml
    assert 100 * share == pytest.approx(printed_percent, abs=0.01)


@pytest.mark.parametrize(
    ("size_ml", "printed_ml", "tolerance"), [row("MED124", 1, 0.1875, 0.0005), row("MED125", 10, 1.6667, 0.001)]
)
def test_smallest_volume_within_a_tenth(size_ml, printed_ml, tolerance):
    """Solved from the printed formula; the tolerance is the last digit written down."""
    assert smallest_measurable_ml(size_ml=size_ml, within_fraction=0.10).value == pytest.approx(
        printed_ml, abs=tolerance
    )


@pytest.mark.parametrize(("size_ml", "printed_ml"), [row("MED130", 5, 0.075), row("MED131", 10, 0.1)])
def test_dead_space_at_most(size_ml, printed_ml):
    """Copied: exact."""
    assert dead_space(size_ml=size_ml).value == printed_ml
