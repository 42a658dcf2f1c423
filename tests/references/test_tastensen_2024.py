"""Nonconvulsive seizures in dogs and cats with cluster seizures.

Tastensen and others, Journal of Veterinary Internal Medicine, 2024; second-hand, in a neurologist's summary.
Here: from when on a fit, or a second one, is an emergency of its own.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.published.calls import FIT_MOST_MINUTES, FITS_WITHIN_HOURS
from tests.references.rows import row


@pytest.mark.parametrize(
    ("figure", "printed", "unit"),
    [row("FIT1", FITS_WITHIN_HOURS, 24, "hours"), row("FIT2", FIT_MOST_MINUTES, 5, "minutes")],
)
def test_definitions(figure, printed, unit):
    """Copied: exact."""
    assert (figure.value, figure.unit) == (printed, unit)
