"""AAFCO Dog and Cat Food Nutrient Profiles, proposed text.

Association of American Feed Control Officials, 2014.
Here: calorie basis table (dog), dry matter table (cat), Examples A2 and B1.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.analysis import as_fed_percent, carbohydrate, dry_matter_percent, modified_atwater
from fillmark.core.food.nutrients import per_1000_kcal
from fillmark.published.nutrients import AAFCO_LEAST, AAFCO_MOST
from tests.references.rows import an_analysis, row


@pytest.mark.parametrize(
    ("protein", "fat", "fiber", "moisture", "ash", "printed", "tolerance"),
    [
        row("N168", 9, 7, 1, 75, 2, 6, 0.01),
    ],
)
def test_carbohydrate_by_difference(protein, fat, fiber, moisture, ash, printed, tolerance):
    """Example B1: whole percents; the figure follows from printed ones."""
    assert carbohydrate(an_analysis(protein, fat, fiber, moisture, ash)).value == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize(
    ("protein", "fat", "fiber", "moisture", "ash", "printed", "tolerance"),
    [
        row("N169", 9, 7, 1, 75, 2, 1120, 1),
    ],
)
def test_energy_of_a_kg_of_canned_food(protein, fat, fiber, moisture, ash, printed, tolerance):
    """Example B1, worked example: printed to 1 kcal."""
    assert 10 * modified_atwater(an_analysis(protein, fat, fiber, moisture, ash)).value == pytest.approx(
        printed, abs=tolerance
    )


@pytest.mark.parametrize(
    ("as_fed", "moisture", "printed", "tolerance"),
    [
        row("N171", 9, 75, 36, 0.01),
        row("N175", 0.25, 75, 1, 0.01),
    ],
)
def test_share_of_dry_matter(as_fed, moisture, printed, tolerance):
    """Example B1, worked example: printed to 0.01."""
    assert dry_matter_percent(as_fed_percent=as_fed, moisture_percent=moisture).value == pytest.approx(
        printed, abs=tolerance
    )


@pytest.mark.parametrize(
    ("dry", "moisture", "printed", "tolerance"),
    [
        row("N179", 22.5, 10, 20.25, 0.005),
        row("N181", 1.2, 10, 1.08, 0.005),
    ],
)
def test_share_as_fed(dry, moisture, printed, tolerance):
    """Example A2, worked example: printed to 0.01."""
    assert as_fed_percent(dry_matter_percent=dry, moisture_percent=moisture).value == pytest.approx(
        printed, abs=tolerance
    )


@pytest.mark.parametrize(
    ("nutrient", "printed", "tolerance"),
    [
        row("N367", "fat", 13.8, 0.005),
        row("N368", "linoleic acid", 2.8, 0.005),
        row("N369", "calcium", 1.25, 0.005),
        row("N371", "potassium", 1.5, 0.005),
        row("N372", "sodium", 0.2, 0.005),
        row("N373", "chloride", 0.3, 0.005),
        row("N375", "iron", 10, 0.005),
    ],
)
def test_least_for_each_1000_kcal(nutrient, printed, tolerance):
    """Dog table, calorie basis, copied: exact."""
    assert AAFCO_LEAST["dog", nutrient].value == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize(
    ("nutrient", "printed", "tolerance"),
    [
        row("N378", "calcium", 4.5, 0.005),
        row("N379", "phosphorus", 4, 0.005),
    ],
)
def test_most_for_each_1000_kcal(nutrient, printed, tolerance):
    """Dog table, calorie basis, copied: exact."""
    assert AAFCO_MOST["dog", nutrient].value == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize(
    ("nutrient", "percent_dry_matter", "kcal_per_kg_dry", "printed", "tolerance"),
    [
        row("N380", "calcium", 0.6, 4000, 1.5, 0.005),
        row("N383", "sodium", 0.2, 4000, 0.5, 0.005),
        row("N384", "chloride", 0.3, 4000, 0.75, 0.005),
        row("N385", "magnesium", 0.04, 4000, 0.1, 0.005),
    ],
)
def test_share_of_dry_matter_for_each_1000_kcal(nutrient, percent_dry_matter, kcal_per_kg_dry, printed, tolerance):
    """Cat table by dry matter, agrees: converted by us at 4,000 kcal/kg, exact."""
    held = per_1000_kcal(percent_dry_matter=percent_dry_matter, kcal_per_kg_dry=kcal_per_kg_dry)

    assert held.value == pytest.approx(printed, abs=tolerance)
    assert AAFCO_LEAST["cat", nutrient].value == printed
