"""One day of a care plan."""

from collections.abc import Sequence
from datetime import date, timedelta

from fillmark.core.day.batch import batch_energy_and_water, batch_volume, day_energy, goal_of
from fillmark.core.day.due import due_medicines, due_tasks, instant_of
from fillmark.core.day.questions import open_questions
from fillmark.core.day.sessions import build_session, dose_of_a_day
from fillmark.core.day.values import DayPlan, PlannedSession
from fillmark.core.food.blend import blend_energy, daily_blend_volume
from fillmark.core.plan.care_plan import CarePlan, ladder_fraction
from fillmark.core.tube.meals import split_day
from fillmark.core.tube.water import WaterBand, WaterIn, WaterLedger, water_ledger
from fillmark.core.values.errors import NotStated
from fillmark.core.values.explain import Explained
from fillmark.core.values.quantities import write_number
from fillmark.published.input_limits import PLAN_AGREEMENT_FRACTION


def _day_volume(plan: CarePlan, *, energy: Explained[float], kcal_per_ml: float, on: date) -> Explained[float]:
    """Blend of the day [mL]: from the energy; where the vet also named a meal's volume, the two must agree."""
    by_energy = daily_blend_volume(kcal_per_day=energy.value, kcal_per_ml=kcal_per_ml)
    meal_ml, count = plan.orders.meal_ml, plan.meals_a_day
    if meal_ml is None or plan.orders.energy is None or ladder_fraction(plan, on=on) != 1 or plan.orders.weaning:
        return by_energy
    gap = meal_ml * count / by_energy.value - 1
    if abs(gap) > PLAN_AGREEMENT_FRACTION.value:
        raise NotStated(
            field="orders.meal_ml",
            got=f"{count} meals of {write_number(meal_ml)} mL, which hold {meal_ml * count * kcal_per_ml:,.0f} kcal of "
            f"this blend, with an energy goal of {energy.value:,.0f} kcal",
            allowed=f"a difference of {PLAN_AGREEMENT_FRACTION.value:.0%} or less",
            remedy="Ask the vet which of the two holds, and check the blend: it may be thinner than the vet thought.",
        )
    return Explained(
        value=meal_ml * count,
        because=f"the vet ordered {count} × {write_number(meal_ml)} mL, {gap:+.1%} of what the energy goal needs",
        figures=(PLAN_AGREEMENT_FRACTION,),
        parts=(by_energy,),
    )


def plan_day(plan: CarePlan, *, on: date) -> DayPlan:
    """One household day of one animal.

    Args:
        plan: The plan in force on that day.
        on: The household's day; it starts at the household's hour, so it may reach past midnight.
    Raises:
        NotStated: a vet's answer is missing without which nothing can be worked out; the message asks for it.
        OutOfRange: something in the plan can only be a slip.
    Source:
        the vet's orders, and the figures named in each number's working
    """
    questions = open_questions(plan)
    blocking = [question for question in questions if question.blocks]
    if blocking:
        raise NotStated(
            field=blocking[0].field,
            got=f"A plan that does not state {blocking[0].field}",
            allowed="the vet's answer",
            remedy="Ask: " + " ".join(question.ask for question in blocking),
        )
    batch = batch_energy_and_water(plan)
    batch_kcal, _ = batch.value
    kcal_per_ml = blend_energy(kcal=batch_kcal, volume=batch_volume(plan))
    batch_ml = batch_kcal / kcal_per_ml.value
    energy = day_energy(plan, kcal_per_ml=kcal_per_ml.value, on=on)
    day_ml = _day_volume(plan, energy=energy, kcal_per_ml=kcal_per_ml.value, on=on)
    syringe = plan.feeding_syringe
    meals = split_day(day_ml=day_ml.value, meals=plan.meals_a_day, step_ml=syringe.step_ml)
    given_ml = sum(meals.value)
    kcal = given_ml * kcal_per_ml.value
    kcal_planned = Explained(
        value=kcal,
        because=f"{write_number(given_ml)} mL × {write_number(kcal_per_ml.value)} kcal/mL = {kcal:,.0f} kcal planned",
        parts=(meals,),
    )
    sessions = _sessions(plan, on=on, meal_volumes_ml=meals.value)
    # on the first days of a ladder less is fed, and the body needs as much water as ever
    needs = energy if plan.orders.energy is None else goal_of(plan)
    water = _water(plan, sessions, energy=needs, batch=batch, share_of_batch=given_ml / batch_ml)
    return DayPlan(
        on=on,
        energy=energy,
        batch=batch,
        kcal_per_ml=kcal_per_ml,
        day_ml=day_ml,
        meals=meals,
        kcal_planned=kcal_planned,
        water=water,
        sessions=sessions,
        questions=questions,
    )


def _water(
    plan: CarePlan,
    sessions: Sequence[PlannedSession],
    *,
    energy: Explained[float],
    batch: Explained[tuple[float, float]],
    share_of_batch: float,
) -> Explained[WaterLedger]:
    """All water of the day, in the vet's band where one is stated."""
    _, batch_water_ml = batch.value
    added_ml = plan.blend.water_ml * share_of_batch
    band, weight_kg = plan.orders.water_ml_per_kg_per_day, plan.animal.weight.weight_kg
    return water_ledger(
        WaterIn(
            food_ml=batch_water_ml * share_of_batch - added_ml,
            added_ml=added_ml,
            flush_ml=sum(session.flush_ml for session in sessions),
            carrier_ml=sum(dose.water_ml for session in sessions for dose in session.medicines),
        ),
        species=plan.animal.species,
        weight_kg=weight_kg,
        vets_band=WaterBand(low_ml=band.low * weight_kg, high_ml=band.high * weight_kg) if band else None,
        kcal_per_day=energy.value,
    )


def _sessions(plan: CarePlan, *, on: date, meal_volumes_ml: tuple[float, ...]) -> tuple[PlannedSession, ...]:
    """One session per time of day at which something is due, in order from the start of the day."""
    meal_at = dict(zip(plan.timetable.meals, meal_volumes_ml, strict=True))
    due_at = due_medicines(plan, on=on)
    tasks = due_tasks(plan, on=on)
    idle = plan.timetable.flushes if plan.orders.idle_flush is not None else ()
    sessions = []
    for clock in sorted({*due_at, *tasks, *idle}, key=plan.since_day_start):
        local_on = on if clock >= plan.household.day_starts else on + timedelta(days=1)
        sessions.append(
            build_session(
                plan,
                key=f"{local_on}T{clock:%H:%M}",
                at=instant_of(plan, on=on, clock=clock),
                clock=clock,
                meal_ml=meal_at.get(clock, 0.0),
                medicines=tuple(dose_of_a_day(plan, one, on=on) for one in due_at.get(clock, ())),
                tasks=tasks.get(clock, ()),
                is_flush_due=clock in idle,
            )
        )
    return tuple(sessions)
