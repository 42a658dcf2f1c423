"""Xylitol poisoning in dogs, Compendium.

A review, 2010. Here: abstract; blood sugar above 0.1 g/kg, liver above 0.5 g/kg.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.calls.poisons import xylitol_eaten
from fillmark.core.food.energy import Species
from tests.references.rows import row


@pytest.mark.parametrize(
    ("weight_kg", "eaten_g", "risk", "call"),
    [
        row(
            "MED169",
            20,
            1.9,
            "under the printed doses",
            "Call the vet now: no amount is known to be harmless to a dog.",
        ),
        row("MED171", 20, 10.5, "liver failure", "Emergency: go to the vet now. The liver can fail."),
    ],
)
def test_xylitol(weight_kg, eaten_g, risk, call):
    """Copied thresholds: exact; under them someone is called as well."""
    found = xylitol_eaten(species=Species.DOG, weight_kg=weight_kg, eaten_g=eaten_g).value
    assert (found.risk, found.call) == (risk, call)
