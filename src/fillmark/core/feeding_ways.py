"""What other ways are there to feed this animal's day, and what would the plan be with one of them?

Everything is worked out from the plan, and nothing here changes it: a changed plan is a proposal until a vet stands
behind it.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, time
from math import ceil
from typing import Any

from fillmark.core.day import DayPlan, plan_day
from fillmark.core.document import NOT_STATED, read_document
from fillmark.core.errors import BadPlan, NotStated
from fillmark.core.explain import Explained
from fillmark.core.flow import FlowTest, WaterProposal, propose_water, water_for_next_batch
from fillmark.core.flow_check import most_left_ml
from fillmark.core.meals import LoadLevel
from fillmark.core.nutrients import Completeness
from fillmark.core.options import BlendChoice, BlendOption, CannedFood, Wishes, find_blend_options, make_option
from fillmark.core.plan import BlendFood, CarePlan, Food, ladder_fraction
from fillmark.core.quantities import write_number
from fillmark.core.timetable import check_day
from fillmark.core.water import WaterBand, WaterLevel, published_water_forms
from fillmark.core.what_if import Journey, what_if_away
from fillmark.core.wishes import Wishes as DayWishes
from fillmark.core.wishes import present_day, regimen_of
from fillmark.published.meals import PUBLISHED_PACE_ML_PER_MINUTE
from fillmark.published.water import LEDGER_LIMITS_ML

_QUARTER_HOUR = 15
_WATER_STEP_ML = 5.0
_MOST_ADDED_ML = 400.0
"""More water than this in a can, or than a batch of food is large, is not tried."""


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


@dataclass(frozen=True, kw_only=True, slots=True)
class Ways:
    """The day as it is fed, and every way worth choosing from.

    Attributes:
        food: The can, from the household's own jug where it measured one.
        wishes: The vet's limits, as the search keeps them.
        present: The plan as it is, weighed like the others.
        choice: The best of their kind, the one proposed, and what stands in the way of a better one.
    """

    food: Explained[CannedFood]
    wishes: Explained[Wishes]
    present: BlendOption
    choice: Explained[BlendChoice]

    def is_present(self, option: BlendOption) -> bool:
        """Whether a way is the one that the plan has."""
        mine = self.present
        return (option.meals, option.added_ml_per_can) == (mine.meals, mine.added_ml_per_can)


@dataclass(frozen=True, kw_only=True, slots=True)
class Compared:
    """The plan as it is beside the plan as it would be, each with its whole day.

    Attributes:
        breaks: Which of the vet's limits the new day breaks; such a plan is not put in force.
        faults: What the new meal times do to the orders of the medicines, in words.
        cautions: What else a person must be told.
    """

    old_plan: CarePlan
    new_plan: CarePlan
    old: DayPlan
    new: DayPlan
    breaks: tuple[str, ...]
    faults: tuple[str, ...]
    cautions: tuple[str, ...]


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
    """What goes of this food into a batch [g]; none where the weight of a can is not stated."""
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


def limits_of_day(plan: CarePlan, *, day: DayPlan) -> Explained[Wishes]:
    """The vet's limits and the household's syringe, as the search for other ways keeps them.

    Raises:
        NotStated: the vet ordered no energy, or no most that one session may hold.
    Source:
        the vet's orders; where the vet stated none, meals.pace and the span of water.* stand in and say so
    """
    orders, weight_kg = plan.orders, plan.animal.weight.weight_kg
    if orders.energy is None:
        raise NotStated(
            field="orders.energy",
            got="A plan with a volume for each meal and no energy",
            allowed="the vet's energy for a day",
            remedy="Ask: which factor of the resting energy, or how many kcal a day? Another mix needs it.",
        )
    if orders.cap_ml_per_kg is None:
        raise NotStated(
            field="orders.cap_ml_per_kg",
            got="A plan that does not state the most one session may hold",
            allowed="the vet's cap in mL/kg",
            remedy="Ask: what is the most one session may hold, in mL/kg? Without it no other way is proposed.",
        )
    cautions = []
    figures = []
    pace, band = orders.pace_ml_per_minute, orders.water_ml_per_kg_per_day
    if pace is None:
        pace = PUBLISHED_PACE_ML_PER_MINUTE.low
        figures.append(PUBLISHED_PACE_ML_PER_MINUTE)
        cautions.append(
            f"The vet stated no pace: minutes are counted at {write_number(pace)} mL/min, the slow end of print."
        )
    if band is None:
        forms = published_water_forms(
            species=plan.animal.species, weight_kg=weight_kg, kcal_per_day=day.energy.value
        ).values()
        water = WaterBand(low_ml=min(form.value for form in forms), high_ml=LEDGER_LIMITS_ML.high)
        cautions.append("The vet stated no amount of water: no upper limit is kept here. Ask the vet.")
    else:
        water = WaterBand(low_ml=band.low * weight_kg, high_ml=band.high * weight_kg)
    is_stepping_up = ladder_fraction(plan, on=day.on) != 1
    if is_stepping_up:
        cautions.append(
            "Feeding is still being stepped up: these ways hold for that day's step only, and none is thinned to bring "
            "more water. Ask the vet how to give the rest."
        )
    food_has_water = day.batch.value[1] > plan.blend.water_ml
    if not food_has_water:
        cautions.append(
            "The water inside the food is not stated: the day's water is higher than shown, and no way is thinned to "
            "bring more. Copy the moisture and the net weight from the label."
        )
    if is_stepping_up or not food_has_water:
        water = replace(water, low_ml=0.0)
    plain_ml = (orders.flush_before_ml or 0.0) + (orders.flush_after_ml or 0.0)
    beside = [(session, session.load.value.total_ml - session.meal_ml - plain_ml) for session in day.sessions]
    with_meals = [ml for session, ml in beside if session.meal_ml]
    apart = [ml + plain_ml for session, ml in beside if not session.meal_ml]
    return Explained(
        value=Wishes(
            kcal_per_day=day.energy.value,
            weight_kg=weight_kg,
            cap_ml_per_kg=orders.cap_ml_per_kg,
            warn_ml_per_kg=orders.warn_ml_per_kg,
            flush_ml_per_meal=plain_ml,
            medicine_water_ml_per_meal=max(with_meals, default=0.0),
            medicine_water_ml_per_day=sum(with_meals) + sum(apart),
            water_band=water,
            by_mouth_water_ml=0.0,
            syringe_ml=plan.feeding_syringe.size_ml,
            step_ml=plan.feeding_syringe.step_ml,
            ml_per_minute=pace,
            water_step_ml=_WATER_STEP_ML,
        ),
        because=f"{day.energy.value:,.0f} kcal a day, at most {write_number(orders.cap_ml_per_kg)} mL/kg a session, "
        f"{write_number(plain_ml)} mL of flushes with each meal",
        figures=tuple(figures),
        parts=(day.energy,),
        cautions=tuple(cautions),
    )


def water_for_tests(plan: CarePlan, *, tests: tuple[FlowTest, ...]) -> Explained[float] | None:
    """Water for one can, or batch, of the next batch by the household's own tests [mL]; none without tests or limit.

    Source:
        as `propose_water` and `water_for_next_batch`
    """
    proposal, unit = _proposal(plan, tests=tests), blend_unit(plan)
    if proposal is None or unit.g is None:
        return None
    water = water_for_next_batch(proposal.value, tests=tests)
    ml = water.value * unit.g / 100
    return Explained(
        value=ml,
        because=f"{write_number(water.value, digits=3)} mL for 100 g × {write_number(unit.g)} g = "
        f"{write_number(ml, digits=3)} mL water a {unit.unit}",
        parts=(water, proposal),
    )


def _proposal(plan: CarePlan, *, tests: tuple[FlowTest, ...]) -> Explained[WaterProposal] | None:
    level = plan.orders.flow_limit_level
    return propose_water(tests, most_left_ml=most_left_ml(level=level)) if tests and level is not None else None


def away(plan: CarePlan, *, on: date, days: int) -> Explained[Journey]:
    """What feeding as the plan has it takes for some days away from home, and what to bring.

    Args:
        plan: The plan.
        on: The first of the days.
        days: How many.
    Raises:
        NotStated: something nobody has said stands in the way.
        FillmarkError: the day cannot be worked out, or the days can only be a slip.
    Source:
        arithmetic only
    """
    day = plan_day(plan, on=on)
    food, wishes = canned_food(plan, day=day), limits_of_day(plan, day=day)
    option = _present_way(plan, day=day, food=food.value, wishes=wishes.value)
    journey = what_if_away(food.value, wishes.value, option, days=days)
    return replace(journey, cautions=(*journey.cautions, *food.cautions))


def _present_way(plan: CarePlan, *, day: DayPlan, food: CannedFood, wishes: Wishes) -> BlendOption:
    """The plan as it is: its own meals, also where the vet named their volume."""
    return make_option(
        food,
        replace(wishes, kcal_per_day=day.kcal_planned.value),
        meals=len(plan.timetable.meals),
        added_ml_per_can=plan.blend.water_ml / blend_unit(plan).count,
    )


def find_ways(plan: CarePlan, *, on: date, tests: tuple[FlowTest, ...] = ()) -> Ways:
    """Every way to feed this day with the food of the blend, by another number of meals or another amount of water.

    Args:
        plan: The plan.
        on: The day it is meant for.
        tests: The household's flow tests of this food, handled as it is now.
    Raises:
        NotStated: something nobody has said stands in the way; the message asks for it.
        FillmarkError: the day cannot be worked out of the plan.
    Source:
        the vet's orders, and the household's flow tests
    """
    day = plan_day(plan, on=on)
    present_ml = plan.blend.water_ml / blend_unit(plan).count
    tested = water_for_tests(plan, tests=tests)
    # on a mark of the jug, the next one up
    least = present_ml if tested is None else ceil(tested.value / _WATER_STEP_ML) * _WATER_STEP_ML
    food = canned_food(plan, day=day, least_added_ml=least)
    if tested is None:
        words = "No flow test says that less water than now would pass: less is not offered. Test a batch first."
        food = replace(food, cautions=(*food.cautions, words))
    else:
        food = replace(food, parts=(*food.parts, tested))
    wishes = limits_of_day(plan, day=day)
    return Ways(
        food=food,
        wishes=wishes,
        present=_present_way(plan, day=day, food=food.value, wishes=wishes.value),
        choice=find_blend_options(food.value, wishes.value),
    )


def meal_clocks(plan: CarePlan, *, meals: int) -> tuple[time, ...]:
    """Times for another number of meals: evenly from the first meal of now to the last, to the quarter of an hour.

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
        _keep_what_the_jug_showed(values, plan, on=on)
        foods, name = values["blend"]["foods"], blend.name
        if unit.unit == "can":
            foods = [{"food": blend.foods[0].food, "cans": unit.count}]
    values["blend"] = {"name": name, "foods": foods, "water_ml": water_ml}
    values["orders"]["meal_ml"] = NOT_STATED


def _set_mix(values: dict[str, Any], plan: CarePlan, mix: MixChange, *, on: date) -> None:
    _keep_what_the_jug_showed(values, plan, on=on)
    known = {food.id for food in plan.foods}
    values["foods"] += [food.model_dump(mode="json", exclude_unset=True) for food in mix.foods if food.id not in known]
    names = {food.id: food.name for food in (*mix.foods, *plan.foods)}
    values["blend"] = {
        "name": " and ".join(names.get(part.food, part.food) for part in mix.parts)[:80],
        "foods": [part.model_dump(mode="json", exclude_none=True) for part in mix.parts],
        "water_ml": mix.water_ml,
    }
    values["orders"]["meal_ml"] = NOT_STATED


def foods_as_measured(plan: CarePlan, *, on: date) -> tuple[Food, ...]:
    """The foods of the plan, with the room those of the blend took in the household's own jug where it was measured.

    Raises:
        FillmarkError: the day cannot be worked out of the plan.
    Source:
        the household's jug, shared by weight
    """
    values = plan.model_dump(mode="json", exclude_unset=True)
    _keep_what_the_jug_showed(values, plan, on=on)
    return tuple(read_document(Food, one) for one in values["foods"])


def _keep_what_the_jug_showed(values: dict[str, Any], plan: CarePlan, *, on: date) -> None:
    """Where the present batch was measured, give its foods the room they took, by weight: a prediction rests on it."""
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


def compare(plan: CarePlan, change: FeedingChange, *, on: date, tests: tuple[FlowTest, ...] = ()) -> Compared:
    """The plan as it is beside the plan with a change, both worked out in full. Nothing changes.

    Args:
        plan: The plan.
        change: What would be different.
        on: The day it is meant for.
        tests: The household's flow tests of the new food, handled as it is now.
    Raises:
        NotStated: the vet ordered no energy to hold on to.
        FillmarkError: the new day cannot be worked out.
    Source:
        the vet's orders
    """
    if plan.orders.energy is None:
        limits_of_day(plan, day=plan_day(plan, on=on))  # says what to ask
    new_plan = plan_with_change(plan, change, on=on)
    old, new = plan_day(plan, on=on), plan_day(new_plan, on=on)
    regimen = regimen_of(new_plan, wishes=DayWishes(), on=on).value
    times_move = new_plan.timetable.meals != plan.timetable.meals
    return Compared(
        old_plan=plan,
        new_plan=new_plan,
        old=old,
        new=new,
        breaks=tuple(_breaks(new)),
        faults=check_day(regimen=regimen, timetable=present_day(new_plan, on=on)) if times_move else (),
        cautions=tuple(_cautions(plan, new_plan, old, new, tests)),
    )


def _breaks(new: DayPlan) -> Iterator[str]:
    for session in new.sessions:
        if session.load.value.level is LoadLevel.OVER_CAP:
            yield f"{session.label}: {session.load.because}. {session.load.cautions[0]}"
    water = new.water.value
    if water.is_vets_band and water.level is WaterLevel.TOO_MUCH:
        yield new.water.cautions[-1]


def _cautions(
    plan: CarePlan, new_plan: CarePlan, old: DayPlan, new: DayPlan, tests: tuple[FlowTest, ...]
) -> Iterator[str]:
    known = set(old.cautions())
    yield from (words for words in new.cautions() if words not in known)
    before, after = plan.blend, new_plan.blend
    if before.foods != after.foods or before.water_ml != after.water_ml:
        yield from _about_flow(new_plan, tests)
    fullest = [max(session.load.value.ml_per_kg for session in one.sessions) for one in (old, new)]
    if plan.orders.cap_ml_per_kg is None and fullest[1] > fullest[0]:
        yield "The vet stated no most for one session, and meals grow: ask for it before anything else."
    had = {part.food for part in before.foods}
    fresh = [new_plan.food(part.food) for part in after.foods if part.food not in had]
    if fresh and len(before.foods) == len(after.foods) == 1:
        yield (
            f"{fresh[0].name} in place of {plan.food(before.foods[0].food).name}: ask the vet whether it suits, and "
            "change over as the vet says."
        )
    elif fresh:
        yield f"New in the mix: {' and '.join(food.name for food in fresh)}. Ask the vet whether it suits."
    for food in fresh:
        if not food.complete:
            yield f"{food.name} is not stated to be a complete food: ask the vet."
    if len(after.foods) > 1 and not all(new_plan.food(part.food).complete for part in after.foods):
        yield f"{Completeness.NOT_SHOWN.value[0].upper()}{Completeness.NOT_SHOWN.value[1:]} the vet."


def _about_flow(new_plan: CarePlan, tests: tuple[FlowTest, ...]) -> Iterator[str]:
    unit = blend_unit(new_plan)
    water_ml = new_plan.blend.water_ml / unit.count
    proposal = _proposal(new_plan, tests=tests)
    needed_ml = proposal.value.water_ml_per_100_g * unit.g / 100 if proposal and unit.g else None
    if needed_ml is None:
        yield "This mix has no flow test yet: test the first batch before any of it is given."
    elif water_ml < needed_ml - 1:
        yield (
            f"{write_number(water_ml)} mL water a {unit.unit} is less than the "
            f"{write_number(needed_ml, digits=3)} mL that your tests say passes nine times of ten."
        )
    elif all(100 * water_ml / unit.g < test.water_ml_per_100_g - 1 for test in tests if unit.g):
        yield "Less water than in any batch you have tested: the first batch may well be too thick. Test it."
    else:
        yield "A new mix: test the first batch before any of it is given."
