"""How a row of print is written in a test: its id, the inputs, what is printed, and the tolerance."""

import pytest

from fillmark.core.food.food import Analysis


def row(row_id, *values):
    """One row of print as a case of a parametrized test."""
    return pytest.param(*values, marks=pytest.mark.reference(row_id), id=row_id)


def an_analysis(protein, fat, fiber, moisture, ash):
    """An analysis as print lists it [% as fed]."""
    return Analysis(
        protein_percent=protein,
        fat_percent=fat,
        fiber_percent=fiber,
        moisture_percent=moisture,
        ash_percent=ash,
    )
