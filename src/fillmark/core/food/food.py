"""The energy and water in a food, from its label."""

from dataclasses import dataclass
from enum import StrEnum

from fillmark.core.values.errors import NotStated, OutOfRange
from fillmark.core.values.explain import Explained
from fillmark.core.values.limits import check_at_least, check_range
from fillmark.core.values.quantities import KJ_PER_KCAL, write_number
from fillmark.published.food import (
    ANALYSIS_SLACK_PERCENT,
    DENSITY_LIMITS_G_PER_ML,
    ENERGY_LIMITS_KCAL_PER_G,
    KJ_PER_KCAL_PRINTED,
    PERCENT_LIMITS,
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


def density(*, weighed_g: float, measured_ml: float) -> Explained[float]:
    """How heavy a milliliter is, from the household's own scale and jug [g/mL].

    Args:
        weighed_g: On the scale [g].
        measured_ml: The same food in the jug [mL].
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


def energy_per_can(
    label: LabelEnergy, *, can_g: float | None = None, can_ml: float | None = None, cup_g: float | None = None
) -> Explained[float]:
    """Energy of one whole can [kcal].

    Args:
        label: The energy statement as printed.
        can_g: Net weight of one can [g]; not needed when the label is per can, or per mL of a known volume.
        can_ml: What one can holds [mL]; needed for "per mL".
        cup_g: What a level cup weighs [g]; needed for "per cup".
    Raises:
        NotStated: what this label needs of the can is missing.
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
    if label.per is LabelBasis.ML and can_ml is not None:
        kcal = label.energy * _KCAL_IN[label.unit] * can_ml
        return Explained(
            value=kcal,
            because=f"{label} on the label × {write_number(can_ml)} mL = {kcal:,.0f} kcal a can",
            figures=() if label.unit is EnergyUnit.KCAL else (KJ_PER_KCAL_PRINTED,),
        )
    if can_g is None:
        raise NotStated(
            field="food.can_g",
            got=f"A label of {label} without the weight of one can",
            allowed="the net weight of one can in g",
            remedy="Copy the net weight from the label.",
        )
    per_g = energy_per_g(label, can_g=can_g, cup_g=cup_g)
    kcal = per_g.value * can_g
    return Explained(
        value=kcal,
        because=f"{write_number(per_g.value)} kcal/g × {write_number(can_g)} g = {kcal:,.0f} kcal a can",
        parts=(per_g,),
    )


def dry_fraction(moisture_percent: float) -> float:
    """Share of a food that is not water [fraction, above 0 to 1]."""
    check_range(field="moisture_percent", value=moisture_percent, limits=PERCENT_LIMITS)
    if moisture_percent == 100:
        raise OutOfRange(
            field="moisture_percent",
            got="A food of 100 % moisture",
            allowed="less than 100 %",
            remedy="Copy the moisture from the label: plain water has no dry matter.",
        )
    return 1 - moisture_percent / 100


def food_water(*, food_g: float, moisture_percent: float) -> Explained[float]:
    """Water that is already in the food [mL].

    Args:
        food_g: Weight of the food [g].
        moisture_percent: Water in the food [%].
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
