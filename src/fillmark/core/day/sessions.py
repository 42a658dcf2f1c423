"""The sessions of a day, each with its walk."""

from dataclasses import replace
from datetime import date, datetime, time
from fractions import Fraction
from zoneinfo import ZoneInfo

from fillmark.core.day.steps import DrawnMedicine, SessionOrders, TaskNow
from fillmark.core.day.values import DueMedicine, PlannedDose, PlannedSession
from fillmark.core.day.walk import plan_walk
from fillmark.core.orders.course import course_notes
from fillmark.core.orders.drawing import draw
from fillmark.core.orders.medicine import Medicine
from fillmark.core.orders.tablets import TabletParts
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.tasks import Task
from fillmark.core.tube.mark import fills
from fillmark.core.tube.meals import load
from fillmark.core.tube.water import flushes_in_session
from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.explain import Explained
from fillmark.core.values.quantities import write_number


def _flush_ml(plan: CarePlan, *, medicines: int, has_meal: bool) -> float:
    """All flushes of one session [mL]: one before, one after, the others between."""
    orders = plan.orders
    count = flushes_in_session(medicines=medicines, has_meal=has_meal).value
    between = max(0, count - 2) * (orders.flush_between_ml or 0)
    return (orders.flush_before_ml or 0) + between + (orders.flush_after_ml or 0) if count else 0.0


def planned_dose(plan: CarePlan, due: DueMedicine, *, on: date) -> PlannedDose:
    """A dose that is due, drawn.

    Args:
        plan: The plan in force.
        due: The dose.
        on: The household's day.
    Raises:
        FillmarkError: it cannot be drawn, or must not be given this way.
    """
    working = draw(due.medicine, weight_kg=plan.animal.weight.weight_kg, syringes=plan.medicine_syringes, on=on)
    if due.caution is not None:
        cautions = (due.caution, *working.cautions)
        working = replace(working, value=replace(working.value, cautions=cautions), cautions=cautions)
    notes = course_notes(due.medicine, on=on, is_last_dose=due.is_last)
    return PlannedDose(medicine=due.medicine, working=working, due_at=due.due_at, notes=notes)


def dose_of_a_day(plan: CarePlan, due: DueMedicine, *, on: date) -> PlannedDose:
    """A dose that is due; where it cannot be drawn, with the reason, so that the rest of the day goes on.

    Args:
        plan: The plan in force.
        due: The dose.
        on: The household's day.
    """
    try:
        return planned_dose(plan, due, on=on)
    except FillmarkError as error:
        nothing = TabletParts(
            count=Fraction(0), piece="", exact=None, given=None, error_fraction=0.0, reading="cannot be drawn"
        )
        problem = f"{due.medicine.name} cannot be drawn: {error}"
        return PlannedDose(
            medicine=due.medicine,
            working=Explained(value=nothing, because=str(error), cautions=(problem,)),
            due_at=due.due_at,
            problem=problem,
        )


def _drawn(dose: PlannedDose, *, zone: ZoneInfo) -> DrawnMedicine:
    """The dose as the walk tells of it."""
    why = []
    if dose.due_at is not None:
        hours = write_number(dose.medicine.every_hours or 0)
        why.append(f"Its own time is {dose.due_at.astimezone(zone):%H:%M}, every {hours} hours.")
    notes = tuple(filter(None, (dose.notes.place, *dose.notes.changes)))
    return DrawnMedicine(
        medicine=dose.medicine,
        drawn=dose.drawn,
        mass=dose.mass,
        notes=notes,
        why=" ".join(why),
        problem=dose.problem,
    )


def _session_orders(plan: CarePlan) -> SessionOrders:
    """What holds of every session; a flush that is not stated counts as none here, and stands among the questions."""
    orders, tube = plan.orders, plan.animal.tube
    return SessionOrders(
        flush_before_ml=orders.flush_before_ml or 0,
        flush_between_ml=orders.flush_between_ml or 0,
        flush_after_ml=orders.flush_after_ml or 0,
        pace_ml_per_minute=orders.pace_ml_per_minute,
        upright_minutes=orders.upright_minutes,
        tube_kind=tube.kind,
        mark_at_skin_cm=tube.mark_at_skin_cm,
        by_mouth=plan.animal.by_mouth,
        is_low_profile=tube.low_profile,
        residual_ml=orders.residual.skip_over_ml if orders.residual else None,
        food_celsius=(orders.food_temperature_c.low, orders.food_temperature_c.high)
        if orders.food_temperature_c
        else None,
    )


def _task_now(task: Task) -> TaskNow:
    is_after = task.food == "after"
    return TaskNow(
        id=task.id, name=task.name, weighs=task.weighs, is_after=is_after, minutes=task.minutes, how=task.how
    )


def plan_needed(plan: CarePlan, medicine: Medicine, *, on: date, at: datetime) -> PlannedSession:
    """One dose of a medicine that is given when needed, as a trip of its own: its mark, its flushes, its steps.

    Args:
        plan: The plan in force.
        medicine: Its order.
        on: The household's day.
        at: The present instant.
    Raises:
        FillmarkError: it cannot be drawn, or must not be given this way.
    Source:
        the vet's orders
    """
    local = at.astimezone(ZoneInfo(plan.household.time_zone))
    dose = planned_dose(plan, DueMedicine(medicine=medicine), on=on)
    return build_session(
        plan, key=f"{local:%Y-%m-%dT%H:%M}", at=local, clock=local.time(), meal_ml=0.0, medicines=(dose,)
    )


def build_session(
    plan: CarePlan,
    *,
    key: str,
    at: datetime,
    clock: time,
    meal_ml: float,
    medicines: tuple[PlannedDose, ...],
    tasks: tuple[Task, ...] = (),
    is_flush_due: bool = False,
) -> PlannedSession:
    """One session with its marks, flushes, steps and load.

    Args:
        plan: The plan it stands in.
        key: Its identity.
        at: Its instant.
        clock: The local time of day.
        meal_ml: Blend of its meal [mL], 0 for none.
        medicines: What is given, already drawn.
        tasks: Care beside food and medicines.
        is_flush_due: Whether the idle tube is to be flushed at this time; where anything goes through it, it is anyway.
    Source:
        the vet's orders
    """
    orders, zone = plan.orders, ZoneInfo(plan.household.time_zone)
    marks = fills(total_ml=meal_ml, syringe=plan.feeding_syringe) if meal_ml else ()
    through_tube = sum(dose.medicine.route == "tube" and dose.is_to_give for dose in medicines)
    flush_ml = _flush_ml(plan, medicines=through_tube, has_meal=bool(meal_ml))
    idle_flush_ml = 0.0
    if is_flush_due and not flush_ml and orders.idle_flush is not None:
        stated = orders.idle_flush.ml
        flush_ml = idle_flush_ml = (orders.flush_after_ml or 0.0) if stated is None else stated
    return PlannedSession(
        key=key,
        clock=clock,
        at=at,
        meal_ml=meal_ml,
        fills=marks,
        medicines=medicines,
        flush_ml=flush_ml,
        steps=plan_walk(
            orders=_session_orders(plan),
            medicines=tuple(_drawn(dose, zone=zone) for dose in medicines),
            meal_ml=meal_ml,
            fills=marks,
            tasks=tuple(map(_task_now, tasks)),
            idle_flush_ml=idle_flush_ml,
        ),
        load=load(
            blend_ml=meal_ml,
            flush_ml=flush_ml,
            medicine_water_ml=sum(dose.water_ml for dose in medicines),
            weight_kg=plan.animal.weight.weight_kg,
            warn_ml_per_kg=orders.warn_ml_per_kg,
            cap_ml_per_kg=orders.cap_ml_per_kg,
        ),
        tasks=tasks,
        idle_flush_ml=idle_flush_ml,
    )
