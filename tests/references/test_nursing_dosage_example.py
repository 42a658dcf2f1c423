"""Worked examples of dosage calculation.

A nursing course, second-hand. Here: phenytoin, famotidine, mcg to mg.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.orders.drawing import dose_volume
from fillmark.core.orders.tablets import tablet_parts
from fillmark.core.values.quantities import Mass
from tests.references.rows import row
from tests.support.medicines import a_medicine, a_tablet


@pytest.mark.parametrize(("dose", "strength", "printed"), [row("MED008", "200 mg", "125 mg/5 mL", "8 mL")])
def test_dose_to_volume(dose, strength, printed):
    """Worked example: exact."""
    assert str(dose_volume(a_medicine(dose=dose, strength=strength), weight_kg=20).value) == printed


@pytest.mark.parametrize(("dose", "strength", "printed"), [row("MED009", "40 mg", "20 mg/tablet", 2)])
def test_dose_to_tablets(dose, strength, printed):
    """Worked example: exact."""
    assert tablet_parts(a_tablet(dose=dose, strength=strength), weight_kg=20).value.count == printed


@pytest.mark.parametrize(("text", "printed"), [row("MED010", "2000 mcg", "2 mg")])
def test_mcg_to_mg(text, printed):
    """Worked example: exact."""
    assert str(Mass.read(text)) == printed
