"""The batch that the day is fed from: its energy, weight and volume."""

from dataclasses import replace
from datetime import date

from fillmark.core.food.analysis import metabolizable_energy, modified_atwater, natural_food_energy
from fillmark.core.food.blend import (
    BlendVolume,
    FoodInBlend,
    MeasuredVolume,
    MeasuredWeight,
    PredictedVolume,
    batch_totals,
    blend_volume,
    check_against_prediction,
)
from fillmark.core.food.energy import Species, energy_goal
from fillmark.core.food.food import energy_per_can, energy_per_g, food_water
from fillmark.core.plan.care_plan import CarePlan, ladder_fraction
from fillmark.core.plan.foods import BlendFood, Food
from fillmark.core.tube.ladders import weaning_tube_energy
from fillmark.core.values.errors import NotStated
from fillmark.core.values.explain import Explained
from fillmark.core.values.quantities import write_number


def food_energy_per_g(food: Food, *, species: Species) -> Explained[float]:
    """Energy of a gram of food, from the label where it states energy, else from the analysis [kcal/g].

    Args:
        food: The food.
        species: Who eats it: a method for the analysis may differ between dog and cat.
    Raises:
        NotStated: neither energy nor a whole analysis, or the weight that the label's energy is printed for.
        OutOfRange: no food holds that much or that little.
    Source:
        the label; the method that the food names
    """
    if food.label is not None:
        g_per_ml = food.portion.g_per_ml if food.portion else None
        if g_per_ml is None and food.can_g is not None and food.can_ml is not None:
            g_per_ml = food.can_g / food.can_ml
        return energy_per_g(food.label.printed, can_g=food.can_g, cup_g=food.cup_g, g_per_ml=g_per_ml)
    if food.analysis is None:
        raise NotStated(
            field=f"foods.{food.id}",
            got=f"{food.name}, with neither an energy statement nor an analysis",
            allowed="one of them",
            remedy="Copy it from the label, or ask the maker.",
        )
    analysis = food.analysis.printed
    match food.energy_method:
        case "modified Atwater":
            per_100_g = modified_atwater(analysis)
        case "natural food":
            per_100_g = natural_food_energy(analysis, species=species)
        case _:
            per_100_g = metabolizable_energy(analysis, species=species)
    return Explained(
        value=per_100_g.value / 100,
        because=f"{write_number(per_100_g.value)} kcal/100 g by {food.energy_method}",
        parts=(per_100_g,),
        cautions=(
            f"The energy of {food.name} is worked out from its analysis: no label states it. Ask the maker for it.",
        ),
    )


def goal_of(plan: CarePlan) -> Explained[float]:
    """The vet's energy goal of a day of full feeding, by tube and by mouth together [kcal/day].

    Raises:
        NotStated: the vet has not ordered energy.
    Source:
        the vet's order
    """
    orders, animal = plan.orders, plan.animal
    if orders.energy is None:
        raise NotStated(
            field="orders.energy",
            got="A plan that does not state the energy goal",
            allowed="the vet's energy goal",
            remedy="Ask: How much energy a day?",
        )
    weight_kg = animal.weight.weight_kg
    if orders.energy.weight == "target":
        weight_kg = animal.target_weight_kg or weight_kg
    return energy_goal(weight_kg=weight_kg, order=orders.energy.order)


def _grams(food: Food, part: BlendFood, *, why: str) -> float:
    if part.g is not None:
        return part.g
    if part.ml is not None:
        density = food.portion.g_per_ml if food.portion else (food.can_g or 0) / (food.can_ml or 1)
        if not density:
            raise NotStated(
                field=f"foods.{food.id}.portion",
                got=f"{food.name}, in mL, without what a mL of it weighs, which is needed for {why}",
                allowed="its weight by volume, or its energy per mL",
                remedy="Copy the energy per mL from the label or the vet's sheet, or weigh a syringe of it.",
            )
        return part.ml * density
    if food.can_g is None:
        raise NotStated(
            field=f"foods.{food.id}.can_g",
            got=f"{food.name}, without the net weight of a can, which is needed for {why}",
            allowed="the net weight of one can in g",
            remedy="Copy the net weight from the label.",
        )
    return food.can_g * (part.cans or 0)


def batch_energy_and_water(plan: CarePlan) -> Explained[tuple[float, float]]:
    """Energy [kcal] and water [mL] of one batch."""
    foods, parts = [], []
    for part in plan.blend.foods:
        food = plan.food(part.food)
        if part.ml is not None and food.label is not None and food.label.per == "mL":
            per_ml = energy_per_can(food.label.printed, can_ml=1)
            kcal = per_ml.value * part.ml
            line = Explained(
                value=kcal,
                because=f"{write_number(part.ml)} mL {food.name} × {write_number(per_ml.value)} kcal/mL = "
                f"{write_number(kcal)} kcal",
                parts=(per_ml,),
            )
        elif part.cans is not None and food.label is not None:
            per_can = energy_per_can(food.label.printed, can_g=food.can_g, can_ml=food.can_ml, cup_g=food.cup_g)
            kcal = per_can.value * part.cans
            line = Explained(
                value=kcal,
                because=f"{write_number(part.cans)} × {food.name} = {write_number(kcal)} kcal",
                parts=(per_can,),
            )
        else:
            per_g = food_energy_per_g(food, species=plan.animal.species)
            grams = _grams(food, part, why="its energy")
            kcal = per_g.value * grams
            line = Explained(
                value=kcal,
                because=f"{write_number(grams)} g {food.name} × {write_number(per_g.value)} kcal/g = "
                f"{write_number(kcal)} kcal",
                parts=(per_g,),
            )
        parts.append(line)
        water_ml = 0.0
        if food.analysis is not None and (part.g is not None or food.can_g is not None):
            water = food_water(
                food_g=_grams(food, part, why="its water"), moisture_percent=food.analysis.moisture_percent
            )
            water_ml = water.value
            parts.append(water)
        foods.append(FoodInBlend(name=food.name, kcal=kcal, water_ml=water_ml))
    totals = batch_totals(foods, added_water_ml=plan.blend.water_ml)
    dry = [food.name for food in foods if food.water_ml == 0]
    return Explained(
        value=totals.value,
        because=totals.because,
        parts=tuple(parts),
        cautions=tuple(f"The water inside {name} is not stated and counts as 0." for name in dry),
    )


def batch_volume(plan: CarePlan) -> BlendVolume:
    """How much one batch comes to: measured, or predicted until it is.

    Raises:
        NotStated: it was not measured, and the volume of a food is not stated.
    """
    measured = plan.blend.measured
    if measured is not None and measured.ml is not None:
        return MeasuredVolume(ml=measured.ml)
    if measured is not None and measured.batch_g and measured.sample_ml and measured.sample_g:
        return MeasuredWeight(batch_g=measured.batch_g, sample_ml=measured.sample_ml, sample_g=measured.sample_g)
    return _predicted_volume(plan)


def _predicted_volume(plan: CarePlan) -> PredictedVolume:
    food_ml = 0.0
    for part in plan.blend.foods:
        food = plan.food(part.food)
        if part.ml is not None:
            food_ml += part.ml
            continue
        if food.portion is not None and part.g is not None:
            food_ml += part.g / food.portion.g_per_ml
            continue
        if food.can_ml is None or (part.cans is None and food.can_g is None):
            raise NotStated(
                field="blend.measured",
                got=f"A blend that was not measured, with {food.name}, whose volume is not stated",
                allowed="the volume of the finished blend",
                remedy="Pour the finished blend into a measuring jug and enter what it shows.",
            )
        cans = part.cans if part.cans is not None else (part.g or 0) / (food.can_g or 1)
        food_ml += cans * food.can_ml
    return PredictedVolume(food_ml=food_ml, water_ml=plan.blend.water_ml)


def measured_gap(plan: CarePlan) -> Explained[float] | None:
    """How far the jug or the scale lies from what went in; none where the two cannot be compared.

    Source:
        blend.measure_gap
    """
    measured = plan.blend.measured
    if measured is None:
        return None
    try:
        if measured.ml is not None:
            went_in = blend_volume(_predicted_volume(plan)).value
            return check_against_prediction(came_out=measured.ml, went_in=went_in, unit="mL")
        food_g = sum(_grams(plan.food(part.food), part, why="what went in") for part in plan.blend.foods)
    except NotStated:
        return None
    water_g = plan.blend.water_ml  # a mL of water weighs a gram, closely enough for a tenth
    return check_against_prediction(came_out=measured.batch_g or 0.0, went_in=food_g + water_g, unit="g")


def day_energy(plan: CarePlan, *, kcal_per_ml: float, on: date) -> Explained[float]:
    """Energy the day is fed [kcal/day]: the goal, as far as the ladder allows, or what the ordered volume holds.

    Args:
        plan: The care plan.
        kcal_per_ml: Energy of the blend [kcal/mL].
        on: The household's day.
    """
    orders = plan.orders
    if orders.energy is None:
        kcal = (orders.meal_ml or 0) * plan.meals_a_day * kcal_per_ml
        return Explained(
            value=kcal,
            because=f"the vet ordered {plan.meals_a_day} × {write_number(orders.meal_ml or 0)} mL, which hold "
            f"{kcal:,.0f} kcal",
            cautions=("The vet stated a volume and no energy: it holds only for this mix. Ask for the energy.",),
        )
    goal = goal_of(plan)
    fraction = ladder_fraction(plan, on=on)
    if fraction == 1:
        if orders.weaning is None:
            return goal
        tube = weaning_tube_energy(goal_kcal=goal.value, by_mouth_kcal=orders.weaning.by_mouth_kcal_per_day)
        return replace(tube, parts=(goal, *tube.parts))
    kcal = goal.value * fraction
    return Explained(
        value=kcal,
        because=f"{goal.value:,.0f} kcal/day × {write_number(100 * fraction)} % by the vet's ladder = "
        f"{kcal:,.0f} kcal/day",
        parts=(goal,),
    )
