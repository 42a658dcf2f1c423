"""Energy worked out from an analysis, where the label does not say it."""

from fillmark.core.food.energy import Species
from fillmark.core.food.food import Analysis, dry_fraction
from fillmark.core.values.explain import Explained
from fillmark.core.values.limits import check_range
from fillmark.core.values.quantities import write_number
from fillmark.published.food import (
    ATWATER_CARBOHYDRATE,
    ATWATER_FAT,
    ATWATER_PROTEIN,
    DIGESTIBILITY_PER_FIBER,
    DIGESTIBILITY_START,
    GROSS_CARBOHYDRATE,
    GROSS_FAT,
    GROSS_PROTEIN,
    NATURAL_CARBOHYDRATE,
    NATURAL_FAT,
    NATURAL_PROTEIN,
    PERCENT_LIMITS,
    URINE_LOSS,
)


def carbohydrate(analysis: Analysis) -> Explained[float]:
    """Carbohydrate as fed: printed, or what the other parts leave over of 100 [%].

    Source:
        arithmetic only
    """
    if analysis.carbohydrate_percent is not None:
        return Explained(
            value=analysis.carbohydrate_percent,
            because=f"the label prints {write_number(analysis.carbohydrate_percent)} % carbohydrate",
        )
    parts = (
        analysis.protein_percent,
        analysis.fat_percent,
        analysis.fiber_percent,
        analysis.moisture_percent,
        analysis.ash_percent,
    )
    left = max(0.0, 100 - sum(parts))
    return Explained(
        value=left,
        because=f"100 − {' − '.join(write_number(part) for part in parts)} = {write_number(left)} % carbohydrate",
    )


def modified_atwater(analysis: Analysis) -> Explained[float]:
    """Energy by the modified Atwater factors, as United States labels are computed [kcal/100 g as fed].

    Source:
        food.atwater_protein, food.atwater_fat, food.atwater_carbohydrate
    """
    left = carbohydrate(analysis)
    kcal = (
        ATWATER_PROTEIN.value * analysis.protein_percent
        + ATWATER_FAT.value * analysis.fat_percent
        + ATWATER_CARBOHYDRATE.value * left.value
    )
    return Explained(
        value=kcal,
        because=f"{ATWATER_PROTEIN.value:g} × {write_number(analysis.protein_percent)} + {ATWATER_FAT.value:g} × "
        f"{write_number(analysis.fat_percent)} + {ATWATER_CARBOHYDRATE.value:g} × {write_number(left.value)} = "
        f"{write_number(kcal)} kcal/100 g",
        figures=(ATWATER_PROTEIN, ATWATER_FAT, ATWATER_CARBOHYDRATE),
        parts=(left,),
    )


def gross_energy(analysis: Analysis) -> Explained[float]:
    """Energy in the food before digestion, step 1 of the NRC 2006 method [kcal/100 g as fed].

    Source:
        food.gross_protein, food.gross_fat, food.gross_carbohydrate
    """
    left = carbohydrate(analysis)
    kcal = (
        GROSS_PROTEIN.value * analysis.protein_percent
        + GROSS_FAT.value * analysis.fat_percent
        + GROSS_CARBOHYDRATE.value * (left.value + analysis.fiber_percent)
    )
    return Explained(
        value=kcal,
        because=f"{GROSS_PROTEIN.value:g} × {write_number(analysis.protein_percent)} + {GROSS_FAT.value:g} × "
        f"{write_number(analysis.fat_percent)} + {GROSS_CARBOHYDRATE.value:g} × ({write_number(left.value)} + "
        f"{write_number(analysis.fiber_percent)}) = {write_number(kcal)} kcal/100 g gross",
        figures=(GROSS_PROTEIN, GROSS_FAT, GROSS_CARBOHYDRATE),
        parts=(left,),
    )


def energy_digestibility(analysis: Analysis, *, species: Species) -> Explained[float]:
    """Share of the gross energy this species digests, step 2 of the NRC 2006 method [%].

    Args:
        analysis: The label's analysis, as fed.
        species: Dog or cat.
    Raises:
        OutOfRange: the food is all water, or so much of it is fiber that nothing would be digested.
    Source:
        food.digestibility_dog, food.digestibility_cat and their slopes
    """
    fiber = dry_matter_percent(as_fed_percent=analysis.fiber_percent, moisture_percent=analysis.moisture_percent)
    start, slope = DIGESTIBILITY_START[species], DIGESTIBILITY_PER_FIBER[species]
    percent = check_range(
        field="digestibility",
        value=start.value - slope.value * fiber.value,
        limits=PERCENT_LIMITS,
        remedy="Check the fiber and the moisture on the label.",
    )
    return Explained(
        value=percent,
        because=f"{start.value:g} − {slope.value:g} × {write_number(fiber.value)} = {write_number(percent)} % digested",
        figures=(start, slope),
        parts=(fiber,),
    )


def metabolizable_energy(analysis: Analysis, *, species: Species) -> Explained[float]:
    """Energy the body can use, by the four steps of NRC 2006 [kcal/100 g as fed].

    Args:
        analysis: The label's analysis, as fed.
        species: Dog or cat.
    Source:
        food.gross_*, food.digestibility_*, food.urine_loss_*
    """
    gross = gross_energy(analysis)
    digested = energy_digestibility(analysis, species=species)
    loss = URINE_LOSS[species]
    kcal = gross.value * digested.value / 100 - loss.value * analysis.protein_percent
    return Explained(
        value=kcal,
        because=f"{write_number(gross.value)} × {write_number(digested.value)} % − {loss.value:g} × "
        f"{write_number(analysis.protein_percent)} = {write_number(kcal)} kcal/100 g",
        figures=(loss,),
        parts=(gross, digested),
    )


def natural_food_energy(analysis: Analysis, *, species: Species) -> Explained[float]:
    """Energy of meat, milk, cooked starch and enteral diets, which are digested almost wholly [kcal/100 g as fed].

    Args:
        analysis: The label's analysis, as fed.
        species: Dog or cat.
    Source:
        food.natural_protein, food.natural_fat_*, food.natural_carbohydrate
    """
    left = carbohydrate(analysis)
    fat = NATURAL_FAT[species]
    kcal = (
        NATURAL_PROTEIN.value * analysis.protein_percent
        + fat.value * analysis.fat_percent
        + NATURAL_CARBOHYDRATE.value * left.value
    )
    return Explained(
        value=kcal,
        because=f"{NATURAL_PROTEIN.value:g} × {write_number(analysis.protein_percent)} + {fat.value:g} × "
        f"{write_number(analysis.fat_percent)} + {NATURAL_CARBOHYDRATE.value:g} × {write_number(left.value)} = "
        f"{write_number(kcal)} kcal/100 g",
        figures=(NATURAL_PROTEIN, fat, NATURAL_CARBOHYDRATE),
        parts=(left,),
    )


def dry_matter_percent(*, as_fed_percent: float, moisture_percent: float) -> Explained[float]:
    """Share of a part in the food without its water [% of dry matter].

    Args:
        as_fed_percent: Share as printed on the can [%].
        moisture_percent: Water in the food [%].
    Raises:
        OutOfRange: the food is all water.
    Source:
        arithmetic only
    """
    check_range(field="as_fed_percent", value=as_fed_percent, limits=PERCENT_LIMITS)
    percent = as_fed_percent / dry_fraction(moisture_percent)
    return Explained(
        value=percent,
        because=f"{write_number(as_fed_percent)} % ÷ (1 − {write_number(moisture_percent)} %) = "
        f"{write_number(percent)} % of dry matter",
    )


def as_fed_percent(*, dry_matter_percent: float, moisture_percent: float) -> Explained[float]:
    """Share of a part in the food as it comes out of the can [% as fed].

    Args:
        dry_matter_percent: Share without the water [%].
        moisture_percent: Water in the food [%].
    Source:
        arithmetic only
    """
    check_range(field="dry_matter_percent", value=dry_matter_percent, limits=PERCENT_LIMITS)
    percent = dry_matter_percent * dry_fraction(moisture_percent)
    return Explained(
        value=percent,
        because=f"{write_number(dry_matter_percent)} % × (1 − {write_number(moisture_percent)} %) = "
        f"{write_number(percent)} % as fed",
    )
