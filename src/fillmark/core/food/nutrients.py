"""Does this recipe hold enough of what print asks for, by energy?"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from fillmark.core.food.energy import Species
from fillmark.core.values.explain import Explained
from fillmark.core.values.limits import check_at_least
from fillmark.core.values.quantities import write_number
from fillmark.published import Figure
from fillmark.published.nutrients import (
    CAT_POWER,
    EATS_AS_USUAL,
    FEDIAF_LEAST_EATS_LITTLE,
    LEAST,
    MOST,
    RATIOS,
)

_MICROS = {"g": 1_000_000.0, "mg": 1000.0, "mcg": 1.0}


def per_1000_kcal(*, percent_dry_matter: float, kcal_per_kg_dry: float) -> Explained[float]:
    """A share of the dry matter as grams for each 1,000 kcal [g/1,000 kcal].

    Args:
        percent_dry_matter: Share of the dry matter [%].
        kcal_per_kg_dry: Energy of the dry matter [kcal/kg].
    Source:
        arithmetic only
    """
    check_at_least(field="percent_dry_matter", value=percent_dry_matter, least=0, unit="%", remedy="Check the label.")
    check_at_least(field="kcal_per_kg_dry", value=kcal_per_kg_dry, least=100, unit="kcal/kg", remedy="Check the label.")
    grams = percent_dry_matter * 10 / kcal_per_kg_dry * 1000
    return Explained(
        value=grams,
        because=f"{write_number(percent_dry_matter)} % × 10 g/kg ÷ {write_number(kcal_per_kg_dry)} kcal/kg × 1,000 = "
        f"{write_number(grams)} g/1,000 kcal",
    )


class Completeness(StrEnum):
    """Where a recipe comes from, which decides what may be said of it."""

    COMPLETE = "complete food, only watered down"
    NOT_SHOWN = "not shown to be complete: ask"


@dataclass(frozen=True, kw_only=True, slots=True)
class Ingredient:
    """One food of a recipe: what the batch holds of it. An amount without an entry in `nutrients` is unknown."""

    name: str
    kcal: float
    is_complete: bool
    nutrients: Mapping[str, tuple[float, str]]  # amount and unit (g, mg, mcg, units) in the batch
    is_water: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class NutrientLine:
    """One nutrient, or the ratio of two, against one printed bound.

    Attributes:
        per_1000_kcal: How much the recipe holds for each 1,000 kcal, or parts of the first to one of the second; None
            where a food does not state it.
        is_upper: Whether the bound is the most that print allows, and not the least it asks for.
        is_ratio: Whether it is the ratio of two nutrients.
    """

    nutrient: str
    bound: Figure
    per_1000_kcal: float | None
    is_met: bool | None
    is_upper: bool = False
    is_ratio: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class NutrientCheck:
    """A recipe against print."""

    completeness: Completeness
    lines: tuple[NutrientLine, ...]

    @property
    def missed(self) -> tuple[NutrientLine, ...]:
        """The lines that the recipe does not meet."""
        return tuple(line for line in self.lines if line.is_met is False)

    @property
    def unknown(self) -> tuple[NutrientLine, ...]:
        """The lines that no label tells."""
        return tuple(line for line in self.lines if line.is_met is None)


def _amount(foods: Sequence[Ingredient], nutrient: str, unit: str) -> float | None:
    total = 0.0
    for ingredient in foods:
        stated = ingredient.nutrients.get(nutrient)
        if stated is None:
            return None
        amount, stated_unit = stated[0], "units" if stated[1] == "IU" else stated[1]
        if stated_unit != unit:
            if stated_unit not in _MICROS or unit not in _MICROS:
                return None
            amount *= _MICROS[stated_unit] / _MICROS[unit]
        total += amount
    return total


def eats_little(*, species: Species, kcal_per_day: float, weight_kg: float) -> bool:
    """Whether a cat eats less than the usual column of the profile is made for: she needs more in each kcal.

    Args:
        species: Dog or cat.
        kcal_per_day: What is fed [kcal/day].
        weight_kg: Weight [kg].
    Source:
        nutrients.fediaf.cat.usual_energy, nutrients.fediaf.cat.power
    """
    return species is Species.CAT and kcal_per_day < EATS_AS_USUAL.value * weight_kg**CAT_POWER.value


def check_nutrients(
    recipe: Sequence[Ingredient], *, species: Species, is_eating_little: bool = False
) -> Explained[NutrientCheck]:
    """A recipe against the printed profiles for adults, for each 1,000 kcal; what no label states is unknown.

    Water changes nothing here: it carries no energy and no nutrient. A single complete food, only watered down, stays
    what its maker made it. Everything else is flagged, even when every line that can be checked is met.

    Args:
        recipe: The foods of the recipe, water among them.
        species: Dog or cat.
        is_eating_little: Whether it is a cat that eats little (`eats_little`), which has bounds of her own besides.
    Source:
        nutrients.*
    """
    foods = [ingredient for ingredient in recipe if not ingredient.is_water]
    kcal = sum(food.kcal for food in foods)
    check_at_least(field="recipe energy", value=kcal, least=1, unit="kcal", remedy="Check the foods of the recipe.")
    tables = [(table, False) for table in LEAST] + [(table, True) for table in MOST]
    if is_eating_little:
        tables.append((FEDIAF_LEAST_EATS_LITTLE, False))
    lines = []
    for table, is_upper in tables:
        for (kind, nutrient), bound in table.items():
            if kind == species:
                total = _amount(foods, nutrient, bound.unit.split("/")[0])
                lines.append(_line(nutrient, bound, None if total is None else total / kcal * 1000, is_upper=is_upper))
    lines += _ratio_lines(foods, species)
    completeness = Completeness.COMPLETE if all(food.is_complete for food in foods) else Completeness.NOT_SHOWN
    check = NutrientCheck(completeness=completeness, lines=tuple(lines))
    cautions = []
    if completeness is Completeness.NOT_SHOWN:
        cautions.append("A home-cooked or enriched mix is not shown to be complete: ask the vet.")
    if check.missed:
        missed = dict.fromkeys(line.nutrient for line in check.missed)
        cautions.append(f"Outside print for {', '.join(missed)}: ask the vet.")
    return Explained(
        value=check,
        because=f"{len(check.lines)} printed bounds: {len(check.lines) - len(check.missed) - len(check.unknown)} met, "
        f"{len(check.missed)} missed, {len(check.unknown)} unknown; {completeness}",
        figures=tuple(line.bound for line in lines),
        cautions=tuple(cautions),
    )


_DUST = 1e-9


def _line(nutrient: str, bound: Figure, held: float | None, *, is_upper: bool, is_ratio: bool = False) -> NutrientLine:
    is_met = None if held is None else (held <= bound.value + _DUST if is_upper else held >= bound.value - _DUST)
    return NutrientLine(
        nutrient=nutrient, bound=bound, per_1000_kcal=held, is_met=is_met, is_upper=is_upper, is_ratio=is_ratio
    )


def _ratio_lines(foods: Sequence[Ingredient], species: Species) -> Iterator[NutrientLine]:
    """Of each two nutrients whose ratio is in print, how much of the one there is to one part of the other."""
    for (kind, first, second), bounds in RATIOS.items():
        if kind != species:
            continue
        one, other = (_amount(foods, nutrient, "g") for nutrient in (first, second))
        held = None if one is None or not other else one / other
        for bound in bounds:
            is_upper = bound.id.endswith(".most")
            yield _line(f"{first} to {second}", bound, held, is_upper=is_upper, is_ratio=True)
