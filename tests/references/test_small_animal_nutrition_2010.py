"""Small Animal Clinical Nutrition, 5th edition.

Hand, Thatcher, Remillard, Roudebush, Novotny (editors), 2010.
Here: Box 1-2, Box 1-6, Case 1-1, Tables 5-2, 25-7, 25-11 and 27-3, chapter 25 case.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.analysis import carbohydrate, modified_atwater
from fillmark.core.food.blend import PredictedVolume, blend_energy, daily_blend_volume
from fillmark.core.food.energy import RestingFactor, energy_goal, resting_energy, resting_energy_linear
from fillmark.core.food.target_weight import ideal_weight_from_score_5
from fillmark.core.tube.meals import load, pace, split_day
from fillmark.core.tube.water import WaterIn, water_allowance
from fillmark.core.values.errors import OutOfRange
from fillmark.published.food import ML_PER_CAN_OUNCE
from tests.references.rows import an_analysis, row


@pytest.mark.parametrize(
    ("weight_kg", "printed", "tolerance"),
    [
        row("N001", 2, 95, 1),
        row("N002", 2.5, 112, 1),
        row("N003", 3, 129, 1),
        row("N004", 3.5, 144, 1),
        row("N005", 4, 160, 1),
        row("N006", 4.5, 174, 1),
        row("N008", 5.5, 203, 1),
        row("N012", 7.5, 256, 1),
        row("N016", 9.5, 305, 1),
        row("N018", 10.5, 329, 1),
        row("N019", 11, 341, 1),
        row("N020", 11.5, 352, 1),
        row("N021", 12, 364, 1),
        row("N024", 13.5, 397, 1),
        row("N026", 14.5, 419, 1),
        row("N028", 15.5, 441, 1),
        row("N029", 16, 451, 1),
        row("N032", 17.5, 483, 1),
        row("N035", 19, 513, 1),
        row("N037", 20, 534, 1),
        row("N039", 22, 573, 1),
        row("N040", 23, 593, 1),
        row("N041", 24, 612, 1),
        row("N042", 25, 631, 1),
        row("N044", 27, 668, 1),
        row("N045", 28, 687, 1),
        row("N047", 30, 723, 1),
        row("N048", 31, 741, 1),
        row("N049", 32, 759, 1),
        row("N051", 34, 794, 1),
        row("N054", 37, 846, 1),
        row("N055", 38, 863, 1),
        row("N057", 40, 897, 1),
        row("N058", 41, 914, 1),
        row("N060", 43, 947, 1),
        row("N061", 45, 980, 1),
        row("N062", 47, 1013, 1),
        row("N063", 49, 1045, 1),
        row("N065", 53, 1108, 1),
        row("N067", 58, 1186, 1),
        row("N070", 67, 1321, 1),
        row("N071", 70, 1365, 1),
        row("N072", 73, 1409, 1),
    ],
)
def test_resting_energy_at_the_ideal_weight(weight_kg, printed, tolerance):
    """Table 27-3, worked example: printed to 1 kcal, and the table rounds the weight on the way."""
    ideal = ideal_weight_from_score_5(weight_kg=weight_kg, score=5)

    assert resting_energy(weight_kg=ideal.value).value == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize(
    ("score", "weight_kg", "printed", "tolerance"),
    [
        row("N073", 5, 2, 1.5, 0.06),
        row("N074", 4, 1.714286, 1.5, 0.06),
        row("N075", 5, 3.5, 2.6, 0.06),
        row("N077", 5, 5.5, 4.1, 0.06),
        row("N078", 4, 4.714286, 4.1, 0.06),
        row("N079", 5, 10, 7.5, 0.06),
        row("N080", 4, 8.571429, 7.5, 0.06),
        row("N082", 4, 12.428571, 10.9, 0.06),
        row("N083", 5, 20, 15, 0.06),
        row("N084", 4, 17.142857, 15, 0.06),
        row("N087", 5, 41, 30.8, 0.06),
        row("N090", 4, 49.714286, 43.5, 0.06),
    ],
)
def test_ideal_weight_from_condition(score, weight_kg, printed, tolerance):
    """Table 27-3, worked example: printed to 0.1 kg; weights at score 4 were taken back from print before rounding."""
    assert ideal_weight_from_score_5(weight_kg=weight_kg, score=score).value == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize(
    ("weight_kg", "printed", "tolerance"),
    [
        row("N107", 4.5, 216, 1),
    ],
)
def test_resting_energy_of_a_cat(weight_kg, printed, tolerance):
    """Box 1-2, worked example: printed to 1 kcal."""
    assert resting_energy(weight_kg=weight_kg).value == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize(
    ("weight_kg", "factor", "printed", "tolerance"),
    [
        row("N109", 4.5, 1.4, 302, 2),
    ],
)
def test_energy_goal_from_a_factor(weight_kg, factor, printed, tolerance):
    """Box 1-2, worked example: print rounds resting energy to 216 first."""
    assert energy_goal(weight_kg=weight_kg, order=RestingFactor(factor=factor)).value == pytest.approx(
        printed, abs=tolerance
    )


@pytest.mark.parametrize(
    "weight_kg",
    [
        row("N114", 50),
        row("N115", 1.5),
    ],
)
def test_straight_line_form_is_refused_outside_its_printed_range(weight_kg):
    """Table 5-2, bound: 2 to 45 kg only."""
    with pytest.raises(OutOfRange, match=r"Allowed: 2 to 45 kg\. Use the form with the power 0\.75"):
        resting_energy_linear(weight_kg=weight_kg)


@pytest.mark.parametrize(
    ("protein", "fat", "fiber", "moisture", "ash", "printed", "tolerance"),
    [
        row("N163", 22, 9, 3, 10, 5, 332, 1.2),
    ],
)
def test_modified_atwater(protein, fat, fiber, moisture, ash, printed, tolerance):
    """Box 1-6, worked example: prints 3.32 in total and 3.33 in the text."""
    assert modified_atwater(an_analysis(protein, fat, fiber, moisture, ash)).value == pytest.approx(
        printed, abs=tolerance
    )


@pytest.mark.parametrize(
    ("protein", "fat", "fiber", "moisture", "ash", "printed", "tolerance"),
    [
        row("N164", 22, 9, 3, 10, 5, 51, 0.01),
    ],
)
def test_carbohydrate_by_difference(protein, fat, fiber, moisture, ash, printed, tolerance):
    """Box 1-6, worked example: whole percents."""
    assert carbohydrate(an_analysis(protein, fat, fiber, moisture, ash)).value == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize(
    ("kcal_per_day", "kcal_per_ml", "printed", "tolerance"),
    [
        row("N235", 451, 1.178, 383, 1),
    ],
)
def test_blend_of_a_day(kcal_per_day, kcal_per_ml, printed, tolerance):
    """Table 25-7, inputs printed, quotient ours: 1 mL."""
    assert daily_blend_volume(kcal_per_day=kcal_per_day, kcal_per_ml=kcal_per_ml).value == pytest.approx(
        printed, abs=tolerance
    )


@pytest.mark.parametrize(
    ("weight_kg", "printed", "tolerance"),
    [
        row("N236", 3.5, 210, 0.5),
    ],
)
def test_water_allowance(weight_kg, printed, tolerance):
    """Chapter 25 case, worked example: the weight follows from 210 ÷ 60."""
    assert water_allowance(weight_kg=weight_kg).value == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize(
    ("meals", "food_ml", "flush_ml", "printed", "tolerance"),
    [
        row("N238", 6, 30, 10, 240, 0.1),
    ],
)
def test_fluid_by_tube_in_a_day(meals, food_ml, flush_ml, printed, tolerance):
    """Chapter 25 case, day 1, worked example: exact."""
    water = WaterIn(added_ml=meals * food_ml, flush_ml=meals * flush_ml)

    assert water.total_ml == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize(
    ("meals", "meal_ml", "printed", "tolerance"),
    [
        row("N239", 5, 35, 175, 0.1),
        row("N240", 4, 45, 180, 0.1),
    ],
)
def test_meals_of_a_day(meals, meal_ml, printed, tolerance):
    """Chapter 25 case, days 2 and 3: inputs printed, product ours; each printed meal comes back from the day."""
    split = split_day(day_ml=meals * meal_ml, meals=meals, step_ml=5).value

    assert split == (meal_ml,) * meals
    assert sum(split) == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize(
    ("meal_ml", "weight_kg", "printed", "tolerance"),
    [
        row("N241", 30, 3.5, 8.57, 0.01),
        row("N242", 45, 3.5, 12.86, 0.01),
    ],
)
def test_meal_for_each_kg(meal_ml, weight_kg, printed, tolerance):
    """Chapter 25 case, days 1 and 3: inputs printed, quotient ours, to 0.01."""
    result = load(
        blend_ml=meal_ml,
        flush_ml=0,
        medicine_water_ml=0,
        weight_kg=weight_kg,
        warn_ml_per_kg=None,
        cap_ml_per_kg=None,
    )

    assert result.value.ml_per_kg == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize(
    ("meal_ml", "minutes", "printed", "tolerance"),
    [
        row("N243", 30, 5, 6, 0.01),
        row("N244", 30, 3, 10, 0.01),
    ],
)
def test_pace_of_a_meal(meal_ml, minutes, printed, tolerance):
    """Chapter 25 case, 30 mL over 3 to 5 minutes: inputs printed, quotient ours."""
    assert pace(fill_volumes_ml=(meal_ml,), minutes=minutes).value.ml_per_minute == pytest.approx(
        printed, abs=tolerance
    )


@pytest.mark.parametrize(
    ("cans", "can_oz", "kcal_per_can", "water_ml", "printed", "tolerance"),
    [
        row("N209", 2, 5.5, 180, 30, 1, 0.012),
        row("N212", 2, 5.5, 180, 50, 0.95, 0.012),
        row("N214", 1, 12.7, 569, 100, 1.18, 0.012),
        row("N215", 1, 12.7, 569, 110, 1.16, 0.012),
        row("N218", 2, 6, 340, 35, 1.72, 0.012),
        row("N219", 2, 6, 340, 40, 1.7, 0.012),
        row("N220", 2, 6, 340, 45, 1.68, 0.012),
        row("N222", 2, 5.5, 223, 105, 1.03, 0.012),
        row("N223", 2, 5.5, 223, 110, 1.01, 0.012),
        row("N224", 2, 5.5, 223, 120, 0.99, 0.012),
        row("N227", 2, 5.5, 194, 70, 0.97, 0.012),
        row("N228", 2, 5.5, 194, 75, 0.96, 0.012),
        row("N229", 2, 6, 171.7, 30, 0.88, 0.012),
        row("N230", 2, 6, 171.7, 32.5, 0.88, 0.012),
        row("N231", 2, 6, 171.7, 35, 0.87, 0.012),
        row("N232", 2, 6, 171.7, 37.5, 0.87, 0.012),
    ],
)
def test_energy_of_a_mix(cans, can_oz, kcal_per_can, water_ml, printed, tolerance):
    """Table 25-11, worked example: printed to 0.01; most energies per can were worked back from the table by us."""
    mix = PredictedVolume(food_ml=cans * can_oz * ML_PER_CAN_OUNCE.value, water_ml=water_ml)

    assert blend_energy(kcal=cans * kcal_per_can, volume=mix).value == pytest.approx(printed, abs=tolerance)
