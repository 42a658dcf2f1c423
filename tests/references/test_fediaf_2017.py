"""Nutritional Guidelines for Complete and Complementary Pet Food.

FEDIAF, 2017.
Here: Tables VII-12 and VII-19b, annex on energy (with the NRC 2006 equations).
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.analysis import energy_digestibility, gross_energy, metabolizable_energy, natural_food_energy
from fillmark.core.food.energy import Species, maintenance_forms
from fillmark.core.food.food import Analysis
from fillmark.core.food.nutrients import per_1000_kcal
from fillmark.published.nutrients import FEDIAF_LEAST
from tests.references.rows import an_analysis, row


@pytest.mark.parametrize(
    ("species", "weight_kg", "form", "printed", "tolerance"),
    [
        row("N116", "cat", 4, "active cat", 253, 1),
        row("N117", "cat", 4, "indoor or neutered cat", 189, 1.2),
        row("N119", "dog", 15, "dog of low activity", 724, 1),
    ],
)
def test_maintenance_energy(species, weight_kg, form, printed, tolerance):
    """Table VII-12, worked example: printed to 1 kcal; one value is cut, not rounded (189 for 189.9)."""
    assert maintenance_forms(species=Species(species), weight_kg=weight_kg)[form].value == pytest.approx(
        printed, abs=tolerance
    )


@pytest.mark.parametrize(
    ("species", "protein", "fat", "fiber", "moisture", "ash", "printed", "tolerance"),
    [
        row("N192", "dog", 27, 14, 2, 10, 6, 461.8, 0.02),
        row("N198", "cat", 9, 7, 1, 75, 2, 145.8, 0.02),
        row("N201", "cat", 27, 14, 2, 10, 6, 461.8, 0.02),
        row("N204", "cat", 22, 9, 3, 10, 5, 431.4, 0.02),
    ],
)
def test_nrc2006_gross_energy(species, protein, fat, fiber, moisture, ash, printed, tolerance):
    """Annex, NRC 2006 gross energy: the formula is printed, the number was worked out by us to 0.02."""
    assert gross_energy(an_analysis(protein, fat, fiber, moisture, ash)).value == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize(
    ("species", "protein", "fat", "fiber", "moisture", "ash", "printed", "tolerance"),
    [
        row("N193", "dog", 27, 14, 2, 10, 6, 88.02, 0.02),
        row("N196", "dog", 22, 9, 3, 10, 5, 86.43, 0.02),
        row("N199", "cat", 9, 7, 1, 75, 2, 84.38, 0.02),
        row("N202", "cat", 27, 14, 2, 10, 6, 85.94, 0.02),
    ],
)
def test_nrc2006_digestibility(species, protein, fat, fiber, moisture, ash, printed, tolerance):
    """Annex, NRC 2006 digestibility: the formula is printed, the number was worked out by us to 0.02."""
    assert energy_digestibility(
        an_analysis(protein, fat, fiber, moisture, ash), species=Species(species)
    ).value == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize(
    ("species", "protein", "fat", "fiber", "moisture", "ash", "printed", "tolerance"),
    [
        row("N194", "dog", 27, 14, 2, 10, 6, 378.41, 0.02),
        row("N200", "cat", 9, 7, 1, 75, 2, 116.1, 0.02),
        row("N203", "cat", 27, 14, 2, 10, 6, 376.1, 0.02),
        row("N206", "cat", 22, 9, 3, 10, 5, 349.61, 0.02),
    ],
)
def test_nrc2006_me(species, protein, fat, fiber, moisture, ash, printed, tolerance):
    """Annex, NRC 2006 usable energy: the formula is printed, the number was worked out by us to 0.02."""
    assert metabolizable_energy(
        an_analysis(protein, fat, fiber, moisture, ash), species=Species(species)
    ).value == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize(
    ("species", "protein", "fat", "carbohydrate_percent", "printed", "tolerance"),
    [
        row("N207", "dog", 20, 5, 10, 165, 0.01),
        row("N208", "cat", 20, 5, 10, 162.5, 0.01),
    ],
)
def test_energy_of_natural_foods(species, protein, fat, carbohydrate_percent, printed, tolerance):
    """Annex: the formula is printed, the number was worked out by us."""
    analysis = Analysis(
        protein_percent=protein,
        fat_percent=fat,
        fiber_percent=0,
        moisture_percent=100 - protein - fat - carbohydrate_percent,
        ash_percent=0,
    )

    assert natural_food_energy(analysis, species=Species(species)).value == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize(
    ("nutrient", "percent_dry_matter", "kcal_per_kg_dry", "printed", "tolerance"),
    [
        row("N387", "arginine", 1.0, 4000, 2.5, 0.006),
        row("N388", "lysine", 0.34, 4000, 0.85, 0.006),
        row("N391", "tryptophan", 0.13, 4000, 0.33, 0.006),
    ],
)
def test_share_of_dry_matter_for_each_1000_kcal(nutrient, percent_dry_matter, kcal_per_kg_dry, printed, tolerance):
    """Table VII-19b, agrees: printed both ways, to 0.01."""
    held = per_1000_kcal(percent_dry_matter=percent_dry_matter, kcal_per_kg_dry=kcal_per_kg_dry)

    assert held.value == pytest.approx(printed, abs=tolerance)
    assert FEDIAF_LEAST["cat", nutrient].value == printed
