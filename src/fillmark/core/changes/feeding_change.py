"""A plan with another number of meals, another mix, another water."""

from dataclasses import dataclass
from datetime import date, time
from typing import Any

from fillmark.core.changes.canned_food import blend_unit, keep_what_the_jug_showed
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.foods import BlendFood, Food
from fillmark.core.values.document import NOT_STATED, read_document
from fillmark.core.values.errors import BadPlan, NotStated

_QUARTER_HOUR = 15


@dataclass(frozen=True, kw_only=True, slots=True)
class MixChange:
    """Another recipe for a batch.

    Attributes:
        parts: How much of each food goes in.
        water_ml: Water stirred into the whole batch [mL].
        foods: The foods of it, with their labels: those that the plan does not have yet are added to it.
    """

    parts: tuple[BlendFood, ...]
    water_ml: float
    foods: tuple[Food, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class FeedingChange:
    """What would be different; `None` leaves it as it is.

    Attributes:
        meals: The meal times, in order from the start of the household's day.
        food: Another food of the plan in place of the one in the blend, by its id.
        water_ml_per_can: Water stirred into each can, or into the whole batch of several foods [mL].
        mix: Another mix of foods in place of the blend.
    """

    meals: tuple[time, ...] | None = None
    food: str | None = None
    water_ml_per_can: float | None = None
    mix: MixChange | None = None


def meal_clocks(plan: CarePlan, *, meals: int) -> tuple[time, ...]:
    """Times for another number of meals: evenly from the first meal of now to the last, to the quarter of an hour.

    Args:
        plan: The care plan.
        meals: Meals a day.
    Raises:
        BadPlan: the plan has no meal times to begin with.
    Source:
        arithmetic only
    """
    now = plan.timetable.meals
    if len(now) == meals:
        return now
    if not now or meals < 1:
        raise BadPlan(
            field="timetable.meals",
            got=f"{meals} meals a day beside a plan with {len(now)} meal times",
            allowed="one meal or more, and a plan with its meal times",
            remedy="Enter how many meals a day are meant.",
        )
    if meals == 1:
        return now[:1]
    starts = plan.household.day_starts
    first, last = plan.since_day_start(now[0]), plan.since_day_start(now[-1])
    if last <= first:  # one meal a day tells nothing of when the others might be
        last = first + 12 * 60
    clocks = []
    for place in range(meals):
        minutes = round((first + (last - first) * place / (meals - 1)) / _QUARTER_HOUR) * _QUARTER_HOUR
        since_midnight = (starts.hour * 60 + starts.minute + minutes) % (24 * 60)
        clocks.append(time(*divmod(since_midnight, 60)))
    return tuple(clocks)


def plan_with_change(plan: CarePlan, change: FeedingChange, *, on: date) -> CarePlan:
    """A copy of the plan with another way of feeding; all else stays.

    A mix with another amount of water has not been measured: its volume is predicted from what a can came to in the
    household's own jug, until the new mix is measured.

    Args:
        plan: The plan.
        change: What is different.
        on: A day of the plan as it is, to work from.
    Raises:
        FillmarkError: the plan does not hold with this change.
    Source:
        arithmetic only
    """
    values = plan.model_dump(mode="json", exclude_unset=True)
    if change.meals is not None:
        meals = sorted(change.meals, key=plan.since_day_start)
        values["timetable"] = {**values.get("timetable", {}), "meals": [f"{clock:%H:%M}" for clock in meals]}
        values["orders"]["meals_per_day"] = len(meals)
        if len(meals) != len(plan.timetable.meals):
            values["orders"]["meal_ml"] = NOT_STATED
    if change.food is not None and change.food not in {food.id for food in plan.foods}:
        raise BadPlan(
            field="blend.foods",
            got=f'A food "{change.food}"',
            allowed=", ".join(sorted(food.id for food in plan.foods)),
            remedy="Choose a food of this plan.",
        )
    if change.mix is not None:
        _set_mix(values, plan, change.mix, on=on)
    elif change.food is not None or change.water_ml_per_can is not None:
        _set_food_and_water(values, plan, change, on=on)
    return read_document(CarePlan, values)


def _set_food_and_water(values: dict[str, Any], plan: CarePlan, change: FeedingChange, *, on: date) -> None:
    unit, blend = blend_unit(plan), plan.blend
    water_ml = blend.water_ml if change.water_ml_per_can is None else change.water_ml_per_can * unit.count
    is_other_food = change.food is not None and (len(blend.foods) > 1 or change.food != blend.foods[0].food)
    if is_other_food and unit.unit == "batch":
        raise NotStated(
            field="blend.foods",
            got="One food in place of a mix of several",
            allowed="how much of it",
            remedy="Choose it under mixes of several foods, where its cans are worked out.",
        )
    if not is_other_food and water_ml == blend.water_ml:
        return
    if is_other_food:
        foods, name = [{"food": change.food, "cans": unit.count}], f"{plan.food(str(change.food)).name} and water"
    else:
        keep_what_the_jug_showed(values, plan, on=on)
        foods, name = values["blend"]["foods"], blend.name
        if unit.unit == "can":
            foods = [{"food": blend.foods[0].food, "cans": unit.count}]
    values["blend"] = {"name": name, "foods": foods, "water_ml": water_ml}
    values["orders"]["meal_ml"] = NOT_STATED


def _set_mix(values: dict[str, Any], plan: CarePlan, mix: MixChange, *, on: date) -> None:
    keep_what_the_jug_showed(values, plan, on=on)
    known = {food.id for food in plan.foods}
    values["foods"] += [food.model_dump(mode="json", exclude_unset=True) for food in mix.foods if food.id not in known]
    names = {food.id: food.name for food in (*mix.foods, *plan.foods)}
    values["blend"] = {
        "name": " and ".join(names.get(part.food, part.food) for part in mix.parts)[:80],
        "foods": [part.model_dump(mode="json", exclude_none=True) for part in mix.parts],
        "water_ml": mix.water_ml,
    }
    values["orders"]["meal_ml"] = NOT_STATED
