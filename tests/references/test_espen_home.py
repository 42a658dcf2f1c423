"""Guideline on home enteral nutrition, with the checklist of an open nursing textbook.

European Society for Clinical Nutrition and Metabolism, as quoted; Open RN, Nursing Skills. Here: flushing with
medicines; written for adults.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.published.tube_care import FLUSH_BETWEEN_MEDICINES_HUMAN_ML, FLUSH_HUMAN_HOME_ML
from tests.references.rows import row


@pytest.mark.parametrize(("low_ml", "high_ml"), [row("MED161", 15, 30)])
def test_flush_around_a_medicine(low_ml, high_ml):
    """Copied: exact."""
    assert (FLUSH_BETWEEN_MEDICINES_HUMAN_ML.low, FLUSH_BETWEEN_MEDICINES_HUMAN_ML.high) == (low_ml, high_ml)
    assert FLUSH_HUMAN_HOME_ML.value == high_ml
