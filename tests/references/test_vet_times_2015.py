"""Assisted feeding and weight from condition score.

Vet Times, 2015.
Here: worked example, staging scheme and condition score.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.food import food_for_energy, water_for_powder
from fillmark.core.food.target_weight import ideal_weight_from_score_9
from fillmark.core.tube.ladders import LADDERS, rung_amount
from tests.references.rows import row


@pytest.mark.parametrize(
    ("kcal_per_day", "kcal_per_100_g", "printed", "tolerance"),
    [
        row("N261", 140, 473, 29.6, 0.05),
    ],
)
def test_powder_for_the_energy_of_a_day(kcal_per_day, kcal_per_100_g, printed, tolerance):
    """Worked example: printed to 0.1 g."""
    assert food_for_energy(kcal=kcal_per_day, kcal_per_g=kcal_per_100_g / 100).value == pytest.approx(
        printed, abs=tolerance
    )


@pytest.mark.parametrize(
    ("powder_g", "ratio", "printed", "tolerance"),
    [
        row("N262", 29.6, 3, 88, 1),
    ],
)
def test_water_for_a_powder(powder_g, ratio, printed, tolerance):
    """Worked example: 88.8 is printed as 88, so 1."""
    assert water_for_powder(powder_g=powder_g, ml_per_g=ratio).value == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize(
    ("full_kcal", "days_without_food", "day", "printed", "tolerance"),
    [
        row("N264", 140, 4, 2, 92.4, 1.5),
        row("N266", 140, 1, 1, 70, 0.1),
        row("N267", 140, 1, 2, 140, 0.1),
    ],
)
def test_energy_of_a_step(full_kcal, days_without_food, day, printed, tolerance):
    """Scheme printed, number ours; the printed share is whole percents, so up to 1.5 kcal."""
    ladder = LADDERS[0] if days_without_food > 3 else LADDERS[1]

    assert rung_amount(ladder, full=full_kcal, rung=day).value == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize(
    ("weight_kg", "score", "percent_per_point", "printed", "tolerance"),
    [
        row("N392", 40, 8, 10, 28, 0.05),
        row("N393", 40, 8, 15, 22, 0.05),
    ],
)
def test_ideal_weight_from_condition(weight_kg, score, percent_per_point, printed, tolerance):
    """Worked example: printed to 0.1 kg; the excess is taken of the weight today."""
    readings = ideal_weight_from_score_9(weight_kg=weight_kg, score=score)

    assert readings[f"{percent_per_point} % of today's weight per point"].value == pytest.approx(printed, abs=tolerance)
