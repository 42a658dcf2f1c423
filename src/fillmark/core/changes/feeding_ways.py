"""Every way to feed the day that is worth choosing from."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from math import ceil

from fillmark.core.changes.blend_option import BlendOption, BlendWishes, CannedFood, make_option
from fillmark.core.changes.canned_food import blend_unit, canned_food
from fillmark.core.changes.feeding_change import FeedingChange, plan_with_change
from fillmark.core.changes.options import BlendChoice, find_blend_options
from fillmark.core.changes.what_if import Journey, what_if_away
from fillmark.core.day.plan_day import plan_day
from fillmark.core.day.values import DayPlan
from fillmark.core.food.nutrients import Completeness
from fillmark.core.plan.care_plan import CarePlan, ladder_fraction
from fillmark.core.record.flow_check import most_left_ml
from fillmark.core.timetable import check_day
from fillmark.core.today.chosen_hours import Wishes
from fillmark.core.today.regimen import present_day, regimen_of
from fillmark.core.tube.flow_tests import FlowTest, WaterProposal, propose_water, water_for_next_batch
from fillmark.core.tube.meals import LoadLevel
from fillmark.core.tube.water import WaterBand, WaterLevel, published_water_forms
from fillmark.core.values.errors import NotStated
from fillmark.core.values.explain import Explained
from fillmark.core.values.quantities import write_number
from fillmark.published import Printed
from fillmark.published.meals import PUBLISHED_PACE_ML_PER_MINUTE
from fillmark.published.water import LEDGER_LIMITS_ML

_WATER_STEP_ML = 5.0


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
    wishes: Explained[BlendWishes]
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


def limits_of_day(plan: CarePlan, *, day: DayPlan) -> Explained[BlendWishes]:
    """The vet's limits and the household's syringe, as the search for other ways keeps them.

    Args:
        plan: The care plan.
        day: What the plan makes of its day.
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
    pace = orders.pace_ml_per_minute
    water, cautions = _water_to_keep(plan, day=day)
    figures: tuple[Printed, ...] = ()
    if pace is None:
        pace = PUBLISHED_PACE_ML_PER_MINUTE.low
        figures = (PUBLISHED_PACE_ML_PER_MINUTE,)
        slow = f"The vet stated no pace: minutes are counted at {write_number(pace)} mL/min, the slow end of print."
        cautions = (slow, *cautions)
    plain_ml = (orders.flush_before_ml or 0.0) + (orders.flush_after_ml or 0.0)
    beside = [(session, session.load.value.total_ml - session.meal_ml - plain_ml) for session in day.sessions]
    with_meals = [ml for session, ml in beside if session.meal_ml]
    apart = [ml + plain_ml for session, ml in beside if not session.meal_ml]
    return Explained(
        value=BlendWishes(
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
        figures=figures,
        parts=(day.energy,),
        cautions=cautions,
    )


def _water_to_keep(plan: CarePlan, *, day: DayPlan) -> tuple[WaterBand, tuple[str, ...]]:
    """The band of water that another way has to keep to, with what is to be said of it."""
    weight_kg, band = plan.animal.weight.weight_kg, plan.orders.water_ml_per_kg_per_day
    cautions = []
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
    return water, tuple(cautions)


def water_for_tests(plan: CarePlan, *, tests: tuple[FlowTest, ...]) -> Explained[float] | None:
    """Water for one can, or batch, of the next batch by the household's own tests [mL]; none without tests or limit.

    Args:
        plan: The care plan.
        tests: Flow tests of this food, oldest first.
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
        days: How long they are away [days].
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


def _present_way(plan: CarePlan, *, day: DayPlan, food: CannedFood, wishes: BlendWishes) -> BlendOption:
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
    regimen = regimen_of(new_plan, wishes=Wishes(), on=on).value
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
    known = old.timed_cautions()
    yield from (words for words in new.timed_cautions() if words not in known)
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
