"""How much energy does this animal need?

The vet's order decides. Printed forms stand beside it, each by itself, so that a person can ask about a difference.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from fillmark.core.values.explain import Explained
from fillmark.core.values.limits import check_range
from fillmark.core.values.quantities import write_number
from fillmark.published import Figure
from fillmark.published.energy import (
    CAT_ACTIVE_FACTOR,
    CAT_INDOOR_FACTOR,
    CAT_MAINTENANCE_RESTING_FACTOR,
    CAT_OVERWEIGHT_FACTOR,
    CAT_OVERWEIGHT_POWER,
    CAT_POWER,
    DOG_ACTIVE_FACTOR,
    DOG_LOW_ACTIVITY_FACTOR,
    DOG_POWER,
    FACTOR_LIMITS,
    FACTOR_USUAL,
    KCAL_PER_KG_LIMITS,
    LINEAR_RANGE_KG,
    LINEAR_SLOPE,
    LINEAR_START,
    RESTING_FACTOR,
    RESTING_POWER,
)
from fillmark.published.input_limits import WEIGHT_LIMITS_KG

_GRAMS_REMEDY = "If the scale showed grams, divide by 1000 and enter it again; if it showed pounds, choose lb."


class Species(StrEnum):
    """The animals this project plans for."""

    DOG = "dog"
    CAT = "cat"


@dataclass(frozen=True, kw_only=True, slots=True)
class RestingFactor:
    """The vet ordered a multiple of resting energy."""

    factor: float


@dataclass(frozen=True, kw_only=True, slots=True)
class DailyEnergy:
    """The vet ordered an amount of energy a day [kcal/day]."""

    kcal_per_day: float


@dataclass(frozen=True, kw_only=True, slots=True)
class EnergyPerKg:
    """The vet ordered an amount of energy for each kg [kcal/kg per day]."""

    kcal_per_kg: float


EnergyOrder = RestingFactor | DailyEnergy | EnergyPerKg
"""What a vet can order."""


def power_form(*, weight_kg: float, factor: Figure, power: Figure) -> Explained[float]:
    """Energy by one printed form, factor × weight^power [kcal/day].

    Args:
        weight_kg: Weight [kg].
        factor: Energy of an animal of 1 kg [kcal/day].
        power: What the weight is raised to.
    Raises:
        OutOfRange: the weight is none an animal at home has.
    Source:
        the factor and the power given
    """
    check_range(field="weight_kg", value=weight_kg, limits=WEIGHT_LIMITS_KG, remedy=_GRAMS_REMEDY)
    kcal_per_day = factor.value * weight_kg**power.value
    return Explained(
        value=kcal_per_day,
        because=f"{write_number(factor.value)} × {write_number(weight_kg)} kg^{write_number(power.value)}"
        f" = {kcal_per_day:,.0f} kcal/day",
        figures=(factor, power),
    )


def resting_energy(*, weight_kg: float) -> Explained[float]:
    """Energy the body uses at rest [kcal/day].

    Args:
        weight_kg: Weight the plan is made for [kg].
    Raises:
        OutOfRange: the weight is none an animal at home has.
    Source:
        energy.resting_factor, energy.resting_power
    """
    return power_form(weight_kg=weight_kg, factor=RESTING_FACTOR, power=RESTING_POWER)


def resting_energy_linear(*, weight_kg: float) -> Explained[float]:
    """Energy the body uses at rest by the straight-line form, only where print allows it [kcal/day].

    Raises:
        OutOfRange: the weight lies outside the printed range of 2 to 45 kg.
    Source:
        energy.linear_slope, energy.linear_start, energy.linear_range
    """
    check_range(
        field="weight_kg",
        value=weight_kg,
        limits=LINEAR_RANGE_KG,
        remedy="Use the form with the power 0.75: the straight line does not hold here.",
    )
    kcal_per_day = LINEAR_SLOPE.value * weight_kg + LINEAR_START.value
    return Explained(
        value=kcal_per_day,
        because=f"{write_number(LINEAR_SLOPE.value)} × {write_number(weight_kg)} kg + "
        f"{write_number(LINEAR_START.value)} = {kcal_per_day:,.0f} kcal/day",
        figures=(LINEAR_SLOPE, LINEAR_START, LINEAR_RANGE_KG),
    )


def energy_goal(*, weight_kg: float, order: EnergyOrder) -> Explained[float]:
    """Energy to give in a day, from the vet's order [kcal/day].

    Args:
        weight_kg: Weight the order is meant for [kg].
        order: What the vet ordered.
    Returns:
        The unrounded goal. A goal that is unusual for the weight carries a caution, never a refusal.
    Raises:
        OutOfRange: the weight, the factor or the goal can only be a slip.
    Source:
        energy.resting_factor, energy.resting_power; the vet's order
    """
    resting = resting_energy(weight_kg=weight_kg)
    match order:
        case RestingFactor(factor=factor):
            check_range(field="energy.factor", value=factor, limits=FACTOR_LIMITS, remedy="Read the vet's order again.")
            goal = resting.value * factor
            because = f"{resting.value:,.0f} kcal/day × {write_number(factor)} = {goal:,.0f} kcal/day"
        case DailyEnergy(kcal_per_day=goal):
            because = f"the vet ordered {write_number(goal)} kcal/day"
        case EnergyPerKg(kcal_per_kg=per_kg):
            goal = per_kg * weight_kg
            because = f"{write_number(per_kg)} kcal/kg × {write_number(weight_kg)} kg = {goal:,.0f} kcal/day"
    check_range(
        field="energy per kg",
        value=goal / weight_kg,
        limits=KCAL_PER_KG_LIMITS,
        remedy="Check the weight and the vet's energy goal; kJ divided by 4.184 are kcal.",
    )
    ratio = goal / resting.value
    cautions: tuple[str, ...] = ()
    if not FACTOR_USUAL.holds(ratio):
        cautions = (
            f"This goal is {write_number(ratio, digits=2)} times the resting energy, outside the usual "
            f"{write_number(FACTOR_USUAL.low)} to {write_number(FACTOR_USUAL.high)}: ask the vet whether it is meant.",
        )
    return Explained(value=goal, because=because, figures=(FACTOR_USUAL,), parts=(resting,), cautions=cautions)


def maintenance_forms(*, species: Species, weight_kg: float) -> Mapping[str, Explained[float]]:
    """What each printed form says a healthy adult of this weight needs, by name, none of them averaged [kcal/day].

    Args:
        species: Dog or cat.
        weight_kg: Weight [kg].
    Returns:
        Name of the form → its result.
    Source:
        energy.* of the species
    """
    forms: dict[str, Explained[float]] = {"resting": resting_energy(weight_kg=weight_kg)}
    if LINEAR_RANGE_KG.holds(weight_kg):
        forms["resting, straight line"] = resting_energy_linear(weight_kg=weight_kg)
    if species is Species.CAT:
        forms["indoor or neutered cat"] = power_form(weight_kg=weight_kg, factor=CAT_INDOOR_FACTOR, power=CAT_POWER)
        forms["active cat"] = power_form(weight_kg=weight_kg, factor=CAT_ACTIVE_FACTOR, power=CAT_POWER)
        forms["overweight cat"] = power_form(
            weight_kg=weight_kg, factor=CAT_OVERWEIGHT_FACTOR, power=CAT_OVERWEIGHT_POWER
        )
        resting = forms["resting"]
        kcal_per_day = resting.value * CAT_MAINTENANCE_RESTING_FACTOR.value
        forms["resting × 1.4"] = Explained(
            value=kcal_per_day,
            because=f"{resting.value:,.0f} kcal/day × {write_number(CAT_MAINTENANCE_RESTING_FACTOR.value)}"
            f" = {kcal_per_day:,.0f} kcal/day",
            figures=(CAT_MAINTENANCE_RESTING_FACTOR,),
            parts=(resting,),
        )
    else:
        forms["dog of low activity"] = power_form(weight_kg=weight_kg, factor=DOG_LOW_ACTIVITY_FACTOR, power=DOG_POWER)
        forms["active dog"] = power_form(weight_kg=weight_kg, factor=DOG_ACTIVE_FACTOR, power=DOG_POWER)
    return forms


def explain_disagreement(forms: Mapping[str, Explained[float]]) -> Explained[tuple[float, float]]:
    """How far the printed forms lie apart: the lowest and the highest [kcal/day], never a mean.

    Source:
        the forms given
    """
    lowest = min(forms, key=lambda name: forms[name].value)
    highest = max(forms, key=lambda name: forms[name].value)
    low, high = forms[lowest].value, forms[highest].value
    return Explained(
        value=(low, high),
        because=f"print lies between {low:,.0f} kcal/day ({lowest}) and {high:,.0f} kcal/day ({highest}), "
        f"{write_number(high / low, digits=2)} times apart",
        parts=tuple(forms.values()),
        cautions=(
            "These forms are for healthy adults and differ: the vet's order counts, and weight over time tells.",
        ),
    )
