"""Sleeping and resting breathing of cats, Journal of Feline Medicine and Surgery.

Ljungvall and others, 2014. Here: abstract; means of all cats under 30 a minute. The count of half a minute is doubled.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.watch.vital_signs import Call, breathing
from tests.references.rows import row


@pytest.mark.parametrize(("per_minute", "printed"), [row("MED217", 32, "over the printed 30: call the vet today")])
def test_a_cat_over_thirty(per_minute, printed):
    """Copied threshold: exact."""
    found = breathing(species=Species.CAT, per_minute=per_minute)
    assert found.value is Call.TODAY
    assert printed in found.because
