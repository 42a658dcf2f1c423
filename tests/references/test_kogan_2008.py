"""Aspiration pneumonia in 88 dogs.

Kogan and others, 2008. Here: abstract; under half had a high temperature, heart rate or breathing rate.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.watch.vital_signs import Call, Temperature, breathing, temperature
from tests.references.rows import row


@pytest.mark.parametrize(("per_minute", "celsius"), [row("MED219", 18, 38.6)])
def test_ordinary_numbers_do_not_rule_it_out(per_minute, celsius):
    """Rule from the finding: both numbers raise nothing, and say so."""
    rate = breathing(species=Species.DOG, per_minute=per_minute)
    warmth = temperature(species=Species.DOG, rectal_celsius=celsius)
    assert (rate.value, warmth.value) == (Call.NOT_RAISED, Temperature.INSIDE)
    for number in (rate, warmth):
        assert "does not rule out pneumonia" in number.cautions[0]
        assert "kogan_2008" in [figure.source.id for figure in number.figures]
