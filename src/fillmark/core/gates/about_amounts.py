"""What stands against the amounts of a plan: energy, the most at once, pace and water that look like slips."""

from collections.abc import Iterator, Sequence

from fillmark.core.day.batch import food_energy_per_g, goal_of
from fillmark.core.day.values import DayPlan
from fillmark.core.food.energy import DailyEnergy, energy_goal
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.tube.water import WaterLevel
from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.finding import Finding, Weight
from fillmark.core.values.quantities import write_number
from fillmark.core.values.words import say_date
from fillmark.published.energy import FACTOR_USUAL
from fillmark.published.food import LABEL_GAP_TIMES
from fillmark.published.meals import (
    CLEARING_FLUSH_ML,
    PRINTED_FLUSH_ML,
    PUBLISHED_MEAL_ML_PER_KG,
    PUBLISHED_PACE_ML_PER_MINUTE,
    SHORTEST_MEAL_MINUTES,
)
from fillmark.published.tube_care import MUCH_FLUSH_ML_PER_KG


def check_amounts(plan: CarePlan, days: Sequence[DayPlan]) -> Iterator[Finding]:
    """What to ask about amounts that no other part of the plan contradicts.

    Args:
        plan: The plan.
        days: Its days that can be worked out and differ, oldest first.
    Source:
        energy.factor_usual, food.label_gap, meals.*, tube_care.much_flush; the vet's band of water
    """
    yield from _about_energy(plan, days)
    yield from _about_labels(plan)
    yield from _about_the_most(plan)
    yield from _about_pace(plan, days)
    yield from _about_much_flush(plan)
    yield from _about_water(plan, days)


def _about_energy(plan: CarePlan, days: Sequence[DayPlan]) -> Iterator[Finding]:
    """Energy far from what an animal of this weight uses at rest, also where only a volume was ordered."""
    try:
        if plan.orders.energy is not None:
            cautions = goal_of(plan).cautions
        else:
            order = DailyEnergy(kcal_per_day=days[-1].energy.value)
            cautions = energy_goal(weight_kg=plan.animal.weight.weight_kg, order=order).cautions
    except FillmarkError as error:
        cautions = (str(error),)
    for caution in cautions:
        yield Finding(
            code="unusual-energy",
            weight=Weight.ASKED,
            field="orders.energy" if plan.orders.energy is not None else "orders.meal_ml",
            text=caution,
            figures=(FACTOR_USUAL,),
        )


def _about_labels(plan: CarePlan) -> Iterator[Finding]:
    """A printed energy that the printed analysis cannot hold."""
    for number, food in enumerate(plan.foods, start=1):
        if food.label is None or food.analysis is None:
            continue
        try:
            by_label = food_energy_per_g(food, species=plan.animal.species).value
            without = food.model_copy(update={"label": None})
            by_analysis = food_energy_per_g(without, species=plan.animal.species).value
        except FillmarkError:
            continue
        if by_analysis and not 1 / LABEL_GAP_TIMES.value <= by_label / by_analysis <= LABEL_GAP_TIMES.value:
            yield Finding(
                code="label-against-analysis",
                about=food.id,
                weight=Weight.ASKED,
                field=f"foods[{number}].label",
                text=f"{food.name}: its label was read as {food.label.printed}, {write_number(by_label, digits=3)} "
                f"kcal/g, and its analysis comes to {write_number(by_analysis, digits=3)} kcal/g. Read again what the "
                "energy is printed in and for: kcal or kJ, a can, a kg or 100 g.",
                figures=(LABEL_GAP_TIMES,),
            )


def _about_the_most(plan: CarePlan) -> Iterator[Finding]:
    cap, highest = plan.orders.cap_ml_per_kg, max(band.high for band in PUBLISHED_MEAL_ML_PER_KG)
    if cap is not None and cap > highest:
        yield Finding(
            code="cap-over-print",
            weight=Weight.ASKED,
            field="orders.cap_ml_per_kg",
            text=f"The vet's most at once is {write_number(cap)} mL/kg, more than any figure in print "
            f"({write_number(highest)} mL/kg). Read it again, the point and the unit, and ask the vet whether it is "
            "meant.",
            figures=PUBLISHED_MEAL_ML_PER_KG,
        )


def _about_pace(plan: CarePlan, days: Sequence[DayPlan]) -> Iterator[Finding]:
    pace, meal_ml = plan.orders.pace_ml_per_minute, max((ml for day in days for ml in day.meals.value), default=0.0)
    if pace is None or pace <= PUBLISHED_PACE_ML_PER_MINUTE.high or meal_ml / pace >= SHORTEST_MEAL_MINUTES.value:
        return
    yield Finding(
        code="fast-pace",
        weight=Weight.ASKED,
        field="orders.pace_ml_per_minute",
        text=f"At {write_number(pace)} mL/min a meal of {write_number(meal_ml)} mL takes "
        f"{write_number(60 * meal_ml / pace, digits=2)} seconds; the shortest in print is "
        f"{write_number(SHORTEST_MEAL_MINUTES.value)} minutes. Read the pace again, and ask the vet.",
        figures=(SHORTEST_MEAL_MINUTES, PUBLISHED_PACE_ML_PER_MINUTE),
    )


def _about_much_flush(plan: CarePlan) -> Iterator[Finding]:
    orders, weight_kg = plan.orders, plan.animal.weight.weight_kg
    most = min(CLEARING_FLUSH_ML.high, max(PRINTED_FLUSH_ML.high, MUCH_FLUSH_ML_PER_KG.value * weight_kg))
    for when, ml in (
        ("before", orders.flush_before_ml),
        ("between", orders.flush_between_ml),
        ("after", orders.flush_after_ml),
    ):
        if ml is not None and ml > most:
            yield Finding(
                code=f"much-flush-{when}",
                weight=Weight.ASKED,
                field=f"orders.flush_{when}_ml",
                text=f"{write_number(ml)} mL of water {when} {'medicines' if when == 'between' else 'a meal'}, for "
                f"{write_number(weight_kg)} kg: that is more than is used to clear a tube, and it fills the stomach. "
                "Read it again, the point too, and ask the vet.",
                figures=(PRINTED_FLUSH_ML, CLEARING_FLUSH_ML, MUCH_FLUSH_ML_PER_KG),
            )


def _about_water(plan: CarePlan, days: Sequence[DayPlan]) -> Iterator[Finding]:
    """The day's water against the vet's band, where there is one."""
    if plan.orders.water_ml_per_kg_per_day is None:
        return
    for day in days:
        ledger = day.water.value
        told = (
            f"On {say_date(day.on)} food, flushes and medicines bring {ledger.total_ml:,.0f} mL of water, and the "
            f"vet's band is {ledger.low_ml:,.0f} to {ledger.high_ml:,.0f} mL"
        )
        if ledger.level is WaterLevel.TOO_MUCH:
            yield Finding(
                code="much-water",
                weight=Weight.ASKED,
                field="orders.water_ml_per_kg_per_day",
                text=f"{told}: more than the vet's band. Read the band again, and ask the vet.",
            )
            return
    if ledger.level is WaterLevel.TOO_LITTLE:  # of the last day, when all is fed
        yield Finding(
            code="little-water",
            weight=Weight.OPEN,
            field="orders.water_ml_per_kg_per_day",
            text=f"{told}. Read the band again, and ask the vet how the rest is given.",
        )
