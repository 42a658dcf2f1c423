"""The foods on hand, measured so that mixes of them can be weighed against each other."""

from collections.abc import Iterable
from dataclasses import dataclass

from fillmark.core.changes.blend_option import BlendOption, BlendWishes
from fillmark.core.changes.feeding_change import MixChange
from fillmark.core.day.batch import food_energy_per_g
from fillmark.core.food.energy import Species
from fillmark.core.food.mixes import Mix, MixChoice
from fillmark.core.food.nutrients import Ingredient, NutrientCheck, check_nutrients, eats_little
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.foods import BlendFood, Food
from fillmark.core.record.care_entries import FoodKept
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.entries import KeptEntry
from fillmark.core.values.errors import NotStated
from fillmark.core.values.explain import Explained
from fillmark.published.blend import CAN_PARTS


def foods_on_hand(plan: CarePlan, entries: Iterable[KeptEntry]) -> tuple[Food, ...]:
    """The foods of the plan, then those the household wrote down from their labels, each by its newest label.

    Args:
        plan: The plan in force.
        entries: Those of kind "food_kept", in any order, with everything that corrects them.
    """
    found = {food.id: food for food in plan.foods}
    for one in counting_entries(entries):
        payload = one.entry.payload
        if isinstance(payload, FoodKept) and payload.food.id not in {food.id for food in plan.foods}:
            found[payload.food.id] = payload.food
    return tuple(found.values())


@dataclass(frozen=True, kw_only=True, slots=True)
class Measure:
    """One portion of a food: what it weighs, holds and takes up. Cans are shared out in quarters.

    Attributes:
        name: What it is measured with: "can", or the spoon of an additive.
        parts: How many of these portions make one of it.
    """

    food: Food
    name: str
    parts: int
    g: float
    ml: float
    kcal: float
    water_ml: float

    def words(self, portions: int) -> str:
        """So many portions, as people measure them: "1¼ cans", "2 teaspoons"."""
        whole, rest = divmod(portions, self.parts)
        part = {0: "", 0.25: "¼", 0.5: "½", 0.75: "¾"}.get(rest / self.parts) or (
            f" {rest}/{self.parts}" if rest else ""
        )
        count = f"{whole or ''}{part}" or "0"
        return f"{count} {self.name}{'' if portions <= self.parts else 's'}"

    def part(self, portions: int) -> BlendFood:
        """So many portions, as a plan has them."""
        if self.food.portion is not None:
            return BlendFood(food=self.food.id, g=round(portions * self.g, 2))
        return BlendFood(food=self.food.id, cans=portions / self.parts)


def measure_of(food: Food, *, species: Species) -> Measure:
    """How a food is measured out in a mix.

    Args:
        food: The food.
        species: Dog or cat.
    Raises:
        NotStated: its weight, its volume or its energy is not known; the message says which.
        OutOfRange: no food holds that much or that little.
    Source:
        the label; blend.can_parts
    """
    kcal_per_g = food_energy_per_g(food, species=species).value
    moisture = food.analysis.moisture_percent / 100 if food.analysis else 0.0
    if food.portion is not None:
        name, parts, g, ml = food.portion.name, 1, food.portion.g, food.portion.ml
    elif food.can_g is not None and food.can_ml is not None:
        name, parts = "can", int(CAN_PARTS.value)
        g, ml = food.can_g / parts, food.can_ml / parts
    else:
        missing = "the net weight" if food.can_g is None else "the volume"
        raise NotStated(
            field=f"foods.{food.id}",
            got=f"{food.name}, without {missing} of a can, and without a spoon that it is measured with",
            allowed="one of them",
            remedy="Copy the weight from the label; empty a can into a measuring jug for its volume.",
        )
    return Measure(food=food, name=name, parts=parts, g=g, ml=ml, kcal=kcal_per_g * g, water_ml=moisture * g)


def nutrients_of(food: Food, *, g: float, kcal: float) -> dict[str, tuple[float, str]]:
    """What the label lets know of the nutrients in so much food: amount and unit, by name. Others are unknown.

    Args:
        food: The food.
        g: How much of it [g].
        kcal: Its energy [kcal].
    Source:
        the label
    """
    found = {}
    if food.analysis is not None:
        found["protein"] = (food.analysis.protein_percent / 100 * g, "g")
        found["fat"] = (food.analysis.fat_percent / 100 * g, "g")
    for one in food.nutrients:
        share = {"1,000 kcal": kcal / 1000, "100 g": g / 100, "kg": g / 1000, "can": g / (food.can_g or g)}[one.per]
        found[one.nutrient] = (one.amount * share, one.unit)
    return found


def check_blend(plan: CarePlan, *, kcal_per_day: float | None) -> Explained[NutrientCheck]:
    """The nutrients of the plan's blend beside the printed profiles, for each 1,000 kcal.

    Args:
        plan: The plan.
        kcal_per_day: What a day of it feeds [kcal/day]; None where that cannot be worked out.
    Raises:
        FillmarkError: the energy or weight of a food is not known.
    Source:
        as `check_nutrients`
    """
    species, ingredients = plan.animal.species, []
    for part in plan.blend.foods:
        food = plan.food(part.food)
        if part.g is None and food.can_g is None:
            measure_of(food, species=species)  # says what is missing
        g = part.g if part.g is not None else (part.cans or 0.0) * (food.can_g or 0.0)
        ingredients.append(ingredient_of(food, g=g, kcal=food_energy_per_g(food, species=species).value * g))
    is_eating_little = kcal_per_day is not None and eats_little(
        species=species, kcal_per_day=kcal_per_day, weight_kg=plan.animal.weight.weight_kg
    )
    return check_nutrients(ingredients, species=species, is_eating_little=is_eating_little)


def ingredient_of(food: Food, *, g: float, kcal: float) -> Ingredient:
    """So much of a food, as the nutrient profile reads it.

    Args:
        food: The food.
        g: How much of it [g].
        kcal: The energy in that much [kcal].
    """
    return Ingredient(
        name=food.name, kcal=kcal, is_complete=bool(food.complete), nutrients=nutrients_of(food, g=g, kcal=kcal)
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class MixWay:
    """One mix, as a batch and as the day it makes.

    Attributes:
        mix: Portions of each food, by its name.
        amounts: Each food with its portions, the most energy first.
        water_ml: Water to stir into the batch [mL].
        option: The day fed with it, weighed like any other way.
        nutrients: What it holds beside the profiles.
        change: What accepting it would change in the plan.
    """

    mix: Mix
    amounts: tuple[tuple[Measure, int], ...]
    water_ml: float
    option: BlendOption
    nutrients: Explained[NutrientCheck]
    change: MixChange


@dataclass(frozen=True, kw_only=True, slots=True)
class Binding:
    """A limit that holds the proposed mix back, and what loosening it would buy, in words."""

    limit: str
    words: str


@dataclass(frozen=True, kw_only=True, slots=True)
class MixWays:
    """What the foods on hand allow.

    Attributes:
        days: For how many days a batch is made.
        ways: The best of their kind, the one proposed first.
        is_all: Whether these are all of them.
        binding: What holds the proposed one.
        kept: The nutrients whose bounds every mix keeps.
        unknown: Nutrients of the profile that some label does not state: no mix is held to them.
        wishes: The vet's limits, as the search keeps them.
        working: How the search went.
    """

    days: int
    ways: tuple[MixWay, ...]
    is_all: bool
    binding: tuple[Binding, ...]
    kept: tuple[str, ...]
    unknown: tuple[str, ...]
    wishes: Explained[BlendWishes]
    working: Explained[MixChoice]
