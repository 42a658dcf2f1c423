"""Xylitol poisoning in dogs, Compendium.

A review, 2010. Here: abstract; blood sugar falls above 0.1 g/kg.
No clinician has checked it.
"""

from fillmark.published.poisons import XYLITOL_SUGAR_G_PER_KG


def test_the_dose_that_drops_the_blood_sugar():
    """Copied: exact. What is asked of a medicine sweetened with xylitol compares with it."""
    assert (XYLITOL_SUGAR_G_PER_KG.value, XYLITOL_SUGAR_G_PER_KG.unit) == (0.1, "g/kg")
