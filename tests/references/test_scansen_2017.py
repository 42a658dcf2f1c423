"""Breathing rate at home and heart failure in dogs.

Scansen, 2017. Here: a rate over 40 a minute strongly predicted failure.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.watch.vital_signs import Call, breathing
from tests.references.rows import row


@pytest.mark.parametrize(("per_minute", "printed"), [row("MED218", 42, "over 40: urgent")])
def test_a_dog_over_forty(per_minute, printed):
    """Copied threshold: exact; the vet's own higher number does not silence it."""
    for own in (None, 45):
        found = breathing(species=Species.DOG, per_minute=per_minute, vet_call_over_per_minute=own)
        assert found.value is Call.NOW
        assert printed in found.because
