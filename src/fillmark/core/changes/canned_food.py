"""The blend of a plan as cans and water."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from fillmark.core.changes.blend_option import CannedFood
from fillmark.core.day.plan_day import plan_day
from fillmark.core.day.values import DayPlan
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.foods import BlendFood, Food
from fillmark.core.values.document import read_document
from fillmark.core.values.errors import BadPlan, NotStated
from fillmark.core.values.explain import Explained
from fillmark.core.values.quantities import write_number

_MOST_ADDED_ML = 400.0
"""More water than this in a can, or than a batch of food is large, is not tried."""


@dataclass(frozen=True, kw_only=True, slots=True)
class BlendUnit:
    """What the food of a batch is counted in: the cans of its one food, or the batch itself where it mixes several.

    Attributes:
        unit: "can" or "batch".
        name: The food, or the recipe.
        count: How many of them go into a batch.
        g: Food in one of them [g]; none where a weight is not stated.
        keeps_days: How long it keeps, by the label that says the least; none where none says so.
    """

    unit: str
    name: str
    count: float
    g: float | None
    keeps_days: int | None


def blend_unit(plan: CarePlan) -> BlendUnit:
    """The one canned food of the blend in its cans, or the recipe of several in its batch.

    Raises:
        NotStated: one food that is not counted in cans, without the net weight of a can.
    """
    blend = plan.blend
    weights = [food_weight(plan, part) for part in blend.foods]
    if len(weights) == 1:
        part = blend.foods[0]
        food = plan.food(part.food)
        cans = part.cans if part.cans is not None else (part.g or 0.0) / can_weight(food)
        return BlendUnit(unit="can", name=food.name, count=cans, g=food.can_g, keeps_days=food.keeps_days)
    whole = None if None in weights else sum(weight or 0.0 for weight in weights)
    return BlendUnit(unit="batch", name=blend.name, count=1.0, g=whole, keeps_days=plan.blend_keeps_days)


def food_weight(plan: CarePlan, part: BlendFood) -> float | None:
    """What goes of this food into a batch [g]; none where the weight of a can is not stated.

    Args:
        plan: The care plan.
        part: One food of the blend.
    """
    if part.g is not None:
        return part.g
    can_g = plan.food(part.food).can_g
    return None if can_g is None else (part.cans or 0.0) * can_g


def can_weight(food: Food) -> float:
    """The net weight of one can [g].

    Raises:
        NotStated: it was not read from the label.
    Source:
        the label
    """
    if food.can_g is None:
        raise NotStated(
            field=f"foods.{food.id}.can_g",
            got=f"{food.name}, without the net weight of a can",
            allowed="the net weight of one can in g",
            remedy="Copy the net weight from the label.",
        )
    return food.can_g


def canned_food(plan: CarePlan, *, day: DayPlan, least_added_ml: float = 0.0) -> Explained[CannedFood]:
    """The can this blend is made of: its energy, its water, and the room it takes in the household's own jug.

    Args:
        plan: The plan.
        day: A day of it.
        least_added_ml: Less water than this in a can does not pass the tube [mL].
    Raises:
        NotStated: as `blend_unit`.
        BadPlan: the jug showed less than the water alone.
    Source:
        the label, and the household's jug
    """
    unit = blend_unit(plan)
    batch_kcal, batch_water_ml = day.batch.value
    batch_ml = batch_kcal / day.kcal_per_ml.value
    water_ml = plan.blend.water_ml
    ml_per_can = (batch_ml - water_ml) / unit.count
    if ml_per_can <= 0:
        raise BadPlan(
            field="blend.measured",
            got=f"A finished blend of {write_number(batch_ml)} mL with {write_number(water_ml)} mL water in it",
            allowed="more than the water alone",
            remedy="Pour the finished blend into a measuring jug and enter what it shows.",
        )
    return Explained(
        value=CannedFood(
            name=unit.name,
            kcal_per_can=batch_kcal / unit.count,
            ml_per_can=ml_per_can,
            water_ml_per_can=(batch_water_ml - water_ml) / unit.count,
            least_added_ml_per_can=least_added_ml,
            most_added_ml_per_can=max(_MOST_ADDED_ML, ml_per_can),
            keeps_days=unit.keeps_days or 1,
            unit=unit.unit,
        ),
        because=f"{write_number(batch_ml)} mL − {write_number(water_ml)} mL water, for {_count(unit)}: "
        f"{write_number(ml_per_can)} mL a {unit.unit}",
        parts=(day.kcal_per_ml,),
        cautions=()
        if unit.keeps_days
        else (f"The label of {unit.name} was not read for how long an opened can keeps: one day is counted.",),
    )


def _count(unit: BlendUnit) -> str:
    return f"{write_number(unit.count)} {unit.unit}{'' if unit.count == 1 else 's'}"


def foods_as_measured(plan: CarePlan, *, on: date) -> tuple[Food, ...]:
    """The foods of the plan, with the room those of the blend took in the household's own jug where it was measured.

    Args:
        plan: The care plan.
        on: The household's day.
    Raises:
        FillmarkError: the day cannot be worked out of the plan.
    Source:
        the household's jug, shared by weight
    """
    values = plan.model_dump(mode="json", exclude_unset=True)
    keep_what_the_jug_showed(values, plan, on=on)
    return tuple(read_document(Food, one) for one in values["foods"])


def keep_what_the_jug_showed(values: dict[str, Any], plan: CarePlan, *, on: date) -> None:
    """Where the present batch was measured, give its foods the room they took, by weight: a prediction rests on it.

    Args:
        values: The plan as a document; its foods are changed in place.
        plan: The same plan.
        on: The household's day.
    """
    if plan.blend.measured is None:
        return
    unit = blend_unit(plan)
    food_ml = canned_food(plan, day=plan_day(plan, on=on)).value.ml_per_can * unit.count
    spooned_ml, canned = 0.0, []
    for part in plan.blend.foods:
        portion = plan.food(part.food).portion
        if portion is None:
            canned.append(part)
        else:
            spooned_ml += (part.g or 0.0) / portion.g_per_ml
    weights = {part.food: food_weight(plan, part) for part in canned}
    if None in weights.values() and len(canned) > 1:
        return
    whole_g = sum(weight or 1.0 for weight in weights.values())
    for one in values["foods"]:
        for part in canned:
            if part.food == one["id"]:
                cans = part.cans if part.cans is not None else (part.g or 0.0) / can_weight(plan.food(part.food))
                one["can_ml"] = round((food_ml - spooned_ml) * (weights[part.food] or 1.0) / whole_g / cans, 1)
