"""What does this food hold? From the label, the analysis or the household's own scale."""

from dataclasses import dataclass
from enum import StrEnum

from fillmark.core.energy import Species
from fillmark.core.errors import NotStated, OutOfRange
from fillmark.core.explain import Explained
from fillmark.core.limits import check_at_least, check_range
from fillmark.core.quantities import KJ_PER_KCAL, write_number
from fillmark.published.food import (
    ANALYSIS_SLACK_PERCENT,
    ATWATER_CARBOHYDRATE,
    ATWATER_FAT,
    ATWATER_PROTEIN,
    DENSITY_LIMITS_G_PER_ML,
    DIGESTIBILITY_PER_FIBER,
    DIGESTIBILITY_START,
    ENERGY_LIMITS_KCAL_PER_G,
    GROSS_CARBOHYDRATE,
    GROSS_FAT,
    GROSS_PROTEIN,
    KJ_PER_KCAL_PRINTED,
    ML_PER_CAN_OUNCE,
    NATURAL_CARBOHYDRATE,
    NATURAL_FAT,
    NATURAL_PROTEIN,
    PERCENT_LIMITS,
    URINE_LOSS,
)


class EnergyUnit(StrEnum):
    """Units in which labels print energy."""

    KCAL = "kcal"
    KJ = "kJ"
    MJ = "MJ"


class LabelBasis(StrEnum):
    """What the energy on a label is printed for."""

    CAN = "can"
    CUP = "cup"
    KG = "kg"
    HUNDRED_G = "100 g"
    ML = "mL"


_KCAL_IN = {EnergyUnit.KCAL: 1.0, EnergyUnit.KJ: 1 / KJ_PER_KCAL, EnergyUnit.MJ: 1000 / KJ_PER_KCAL}


@dataclass(frozen=True, kw_only=True, slots=True)
class LabelEnergy:
    """The energy statement of a label, as printed: "1120 kcal/kg", "569 kcal per can", "469 kJ/100 g"."""

    energy: float
    unit: EnergyUnit
    per: LabelBasis

    def __str__(self) -> str:
        return f"{write_number(self.energy)} {self.unit}/{self.per}"


@dataclass(frozen=True, kw_only=True, slots=True)
class Analysis:
    """The analysis of a food, as fed [% by weight]. Without a printed carbohydrate it is what is left over."""

    protein_percent: float
    fat_percent: float
    fiber_percent: float
    moisture_percent: float
    ash_percent: float
    carbohydrate_percent: float | None = None

    def __post_init__(self) -> None:
        stated = {
            "protein": self.protein_percent,
            "fat": self.fat_percent,
            "fiber": self.fiber_percent,
            "moisture": self.moisture_percent,
            "ash": self.ash_percent,
            "carbohydrate": self.carbohydrate_percent or 0.0,
        }
        for name, percent in stated.items():
            check_range(
                field=f"food.{name}_percent",
                value=percent,
                limits=PERCENT_LIMITS,
                remedy="Copy the analysis from the label, as fed.",
            )
        total = sum(stated.values())
        most = 100 + ANALYSIS_SLACK_PERCENT.value
        if total > most:
            raise OutOfRange(
                field="food.analysis",
                got=f"An analysis that adds up to {write_number(total)} %",
                allowed=f"{write_number(most)} % or less",
                remedy="Check that every number is as fed, not on dry matter, and that none was typed twice.",
            )


def can_volume(*, can_oz: float) -> Explained[float]:
    """Volume of a can from its ounces, predicted and not measured [mL].

    Source:
        food.ml_per_can_ounce
    """
    check_at_least(field="can_oz", value=can_oz, least=0, unit="oz", remedy="Copy the ounces from the can.")
    ml = can_oz * ML_PER_CAN_OUNCE.value
    return Explained(
        value=ml,
        because=f"{write_number(can_oz)} oz × {write_number(ML_PER_CAN_OUNCE.value)} mL/oz = {ml:,.0f} mL",
        figures=(ML_PER_CAN_OUNCE,),
        cautions=("The volume of the can is predicted, not measured: empty one into a measuring jug and enter that.",),
    )


def density(*, weighed_g: float, measured_ml: float) -> Explained[float]:
    """How heavy a milliliter is, from the household's own scale and jug [g/mL].

    Raises:
        OutOfRange: no food weighs that.
    Source:
        arithmetic only
    """
    for field, value, unit in (("weighed_g", weighed_g, "g"), ("measured_ml", measured_ml, "mL")):
        check_at_least(field=field, value=value, least=0.1, unit=unit, remedy="Weigh and measure the same food again.")
    g_per_ml = weighed_g / measured_ml
    check_range(
        field="density",
        value=g_per_ml,
        limits=DENSITY_LIMITS_G_PER_ML,
        remedy="Weigh and measure the same food again, without the weight of the bowl.",
    )
    return Explained(
        value=g_per_ml,
        because=f"{write_number(weighed_g)} g ÷ {write_number(measured_ml)} mL = {write_number(g_per_ml)} g/mL",
        figures=(DENSITY_LIMITS_G_PER_ML,),
    )


def energy_per_g(
    label: LabelEnergy, *, can_g: float | None = None, cup_g: float | None = None, g_per_ml: float | None = None
) -> Explained[float]:
    """Energy of a gram of food as fed, from its label [kcal/g].

    Args:
        label: The energy statement as printed.
        can_g: Net weight of one can [g]; needed for "per can".
        cup_g: What a level cup weighs on the household's scale [g]; needed for "per cup".
        g_per_ml: Density by the household's own weighing [g/mL]; needed for "per mL".
    Raises:
        NotStated: the weight that this label needs is missing.
        OutOfRange: no food holds that much or that little.
    Source:
        food.kj_per_kcal; the label
    """
    grams = {
        LabelBasis.CAN: can_g,
        LabelBasis.CUP: cup_g,
        LabelBasis.KG: 1000.0,
        LabelBasis.HUNDRED_G: 100.0,
        LabelBasis.ML: g_per_ml,
    }[label.per]
    if grams is None:
        raise NotStated(
            field="food.weight",
            got=f"A label of {label} without the weight of one {label.per}",
            allowed=f"the weight of one {label.per} in g",
            remedy="Copy the net weight from the label, or put it on the kitchen scale.",
        )
    check_at_least(field="food.weight", value=grams, least=0.1, unit="g", remedy="Copy the net weight from the label.")
    check_at_least(
        field="food.energy", value=label.energy, least=0, unit=label.unit, remedy="Copy the energy from the label."
    )
    kcal = label.energy * _KCAL_IN[label.unit]
    kcal_per_g = kcal / grams
    check_range(
        field="food.energy",
        value=kcal_per_g,
        limits=ENERGY_LIMITS_KCAL_PER_G,
        remedy=f"Check the unit: the label was read as {label}.",
    )
    converted = "" if label.unit is EnergyUnit.KCAL else f" ({write_number(kcal)} kcal)"
    return Explained(
        value=kcal_per_g,
        because=f"{label}{converted} ÷ {write_number(grams)} g = {write_number(kcal_per_g)} kcal/g",
        figures=(KJ_PER_KCAL_PRINTED,) if converted else (),
    )


def energy_per_can(label: LabelEnergy, *, can_g: float | None = None) -> Explained[float]:
    """Energy of one whole can [kcal].

    Args:
        label: The energy statement as printed.
        can_g: Net weight of one can [g]; not needed when the label is per can.
    Raises:
        NotStated: the label is not per can and the can's weight is missing.
    Source:
        food.kj_per_kcal; the label
    """
    if label.per is LabelBasis.CAN:
        check_at_least(
            field="food.energy", value=label.energy, least=0, unit=label.unit, remedy="Copy the energy from the label."
        )
        kcal = label.energy * _KCAL_IN[label.unit]
        return Explained(
            value=kcal,
            because=f"{label} on the label = {write_number(kcal)} kcal",
            figures=() if label.unit is EnergyUnit.KCAL else (KJ_PER_KCAL_PRINTED,),
        )
    if can_g is None:
        raise NotStated(
            field="food.can_g",
            got=f"A label of {label} without the weight of one can",
            allowed="the net weight of one can in g",
            remedy="Copy the net weight from the label.",
        )
    per_g = energy_per_g(label, can_g=can_g)
    kcal = per_g.value * can_g
    return Explained(
        value=kcal,
        because=f"{write_number(per_g.value)} kcal/g × {write_number(can_g)} g = {kcal:,.0f} kcal a can",
        parts=(per_g,),
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


def _dry_fraction(moisture_percent: float) -> float:
    check_range(field="moisture_percent", value=moisture_percent, limits=PERCENT_LIMITS)
    if moisture_percent == 100:
        raise OutOfRange(
            field="moisture_percent",
            got="A food of 100 % moisture",
            allowed="less than 100 %",
            remedy="Copy the moisture from the label: plain water has no dry matter.",
        )
    return 1 - moisture_percent / 100


def dry_matter_percent(*, as_fed_percent: float, moisture_percent: float) -> Explained[float]:
    """Share of a part in the food without its water [% of dry matter].

    Raises:
        OutOfRange: the food is all water.
    Source:
        arithmetic only
    """
    check_range(field="as_fed_percent", value=as_fed_percent, limits=PERCENT_LIMITS)
    percent = as_fed_percent / _dry_fraction(moisture_percent)
    return Explained(
        value=percent,
        because=f"{write_number(as_fed_percent)} % ÷ (1 − {write_number(moisture_percent)} %) = "
        f"{write_number(percent)} % of dry matter",
    )


def as_fed_percent(*, dry_matter_percent: float, moisture_percent: float) -> Explained[float]:
    """Share of a part in the food as it comes out of the can [% as fed].

    Source:
        arithmetic only
    """
    check_range(field="dry_matter_percent", value=dry_matter_percent, limits=PERCENT_LIMITS)
    percent = dry_matter_percent * _dry_fraction(moisture_percent)
    return Explained(
        value=percent,
        because=f"{write_number(dry_matter_percent)} % × (1 − {write_number(moisture_percent)} %) = "
        f"{write_number(percent)} % as fed",
    )


def energy_dry_matter(*, energy_as_fed: float, moisture_percent: float) -> Explained[float]:
    """Energy of the food without its water, in the unit the as-fed energy came in (kcal/kg, kcal/g, kJ/g).

    Source:
        arithmetic only
    """
    energy = energy_as_fed / _dry_fraction(moisture_percent)
    return Explained(
        value=energy,
        because=f"{write_number(energy_as_fed)} ÷ (1 − {write_number(moisture_percent)} %) = "
        f"{write_number(energy)} on dry matter",
    )


def food_water(*, food_g: float, moisture_percent: float) -> Explained[float]:
    """Water that is already in the food [mL].

    Source:
        arithmetic only (a gram of water is a milliliter)
    """
    check_at_least(field="food_g", value=food_g, least=0, unit="g", remedy="Weigh the food again.")
    check_range(field="moisture_percent", value=moisture_percent, limits=PERCENT_LIMITS)
    ml = food_g * moisture_percent / 100
    return Explained(
        value=ml,
        because=f"{write_number(food_g)} g × {write_number(moisture_percent)} % = {write_number(ml)} mL water",
    )


def food_water_from_dry_matter(*, dry_matter_g: float, moisture_percent: float) -> Explained[float]:
    """Water that came with this much dry matter [mL].

    Source:
        arithmetic only (a gram of water is a milliliter)
    """
    check_at_least(field="dry_matter_g", value=dry_matter_g, least=0, unit="g", remedy="Weigh the food again.")
    as_fed_g = dry_matter_g / _dry_fraction(moisture_percent)
    ml = as_fed_g - dry_matter_g
    return Explained(
        value=ml,
        because=f"{write_number(dry_matter_g)} g ÷ (1 − {write_number(moisture_percent)} %) − "
        f"{write_number(dry_matter_g)} g = {write_number(ml)} mL water",
    )


def food_for_energy(*, kcal: float, kcal_per_g: float) -> Explained[float]:
    """How much food holds this energy [g].

    Raises:
        OutOfRange: no food holds that much or that little in a gram.
    Source:
        arithmetic only
    """
    check_at_least(field="kcal", value=kcal, least=0, unit="kcal", remedy="Check the energy goal.")
    check_range(field="kcal_per_g", value=kcal_per_g, limits=ENERGY_LIMITS_KCAL_PER_G)
    grams = kcal / kcal_per_g
    return Explained(
        value=grams,
        because=f"{write_number(kcal)} kcal ÷ {write_number(kcal_per_g)} kcal/g = {write_number(grams)} g",
    )


def water_for_powder(*, powder_g: float, ml_per_g: float) -> Explained[float]:
    """Water to stir a powdered diet into, by its maker's ratio [mL].

    Source:
        the maker's ratio
    """
    check_at_least(field="powder_g", value=powder_g, least=0, unit="g", remedy="Weigh the powder again.")
    check_at_least(field="ml_per_g", value=ml_per_g, least=0, unit="mL/g", remedy="Copy the ratio from the label.")
    ml = powder_g * ml_per_g
    return Explained(
        value=ml,
        because=f"{write_number(powder_g)} g × {write_number(ml_per_g)} mL/g = {write_number(ml)} mL",
    )
