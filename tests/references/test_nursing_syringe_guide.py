"""Guide to syringes and their graduations.

A college of nursing. Here: graduation of each size.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.tube.syringe import usual_steps
from tests.references.rows import row


@pytest.mark.parametrize(
    ("size_ml", "step_ml"),
    [
        row("MED098", 1, 0.01),
        row("MED099", 3, 0.1),
        row("MED100", 5, 0.2),
        row("MED102", 10, 0.2),
        row("MED103", 12, 0.2),
    ],
)
def test_usual_step_of_a_size(size_ml, step_ml):
    """Copied: exact."""
    assert usual_steps(size_ml=size_ml)[0].value == step_ml
