"""What of today is still to be fed, by the plan and the record."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import fsum
from uuid import UUID
from zoneinfo import ZoneInfo

from fillmark.core.catch_up import MealState, MealToday, RestOfToday, WaterToday, meal_state, rest_of_today
from fillmark.core.day import DayPlan
from fillmark.core.entries import Outcome, household_day
from fillmark.core.errors import FillmarkError
from fillmark.core.explain import Explained
from fillmark.core.ledger import DayLedger, SessionRecord, read_day
from fillmark.core.wishes import shortest_meal_gap
from fillmark.records import queries
from fillmark.services import plans
from fillmark.services.plans import PlannedSession


@dataclass(frozen=True, kw_only=True, slots=True)
class Today:
    """The rest of the day, beside the distance between meals [minutes] that it keeps."""

    rest: Explained[RestOfToday]
    shortest_gap: Explained[int]


def rest_of_day(*, household_id: UUID, animal_id: UUID, now: datetime) -> Today | None:
    """What today still needs, and what of it the meals to come can carry; none before the first plan.

    It is a proposal: nothing is recorded, and the plan stays as it is.

    Raises:
        FillmarkError: today cannot be worked out of the plan.
    Source:
        the vet's orders, and the record
    """
    home = queries.find_home(household_id=household_id)
    zone = ZoneInfo(home.time_zone)
    day = household_day(at=now, time_zone=home.time_zone, day_starts=home.day_starts)
    stored = plans.current_plan(household_id=household_id, animal_id=animal_id, at=now)
    planned_day = plans.planned_day(household_id=household_id, animal_id=animal_id, day=day, at=now)
    if stored is None or planned_day is None:
        return None
    tomorrow = day + timedelta(days=1)
    days = plans.sessions_of_days(household_id=household_id, animal_id=animal_id, first=day, last=tomorrow)
    planned = {session.key: session for session in _worked_out(days[day])}
    ledger = read_day(
        day=day,
        entries=queries.entries_of_days(household_id=household_id, animal_id=animal_id, first=day, last=day),
        planned_ml={key: session.meal_ml for key, session in planned.items()},
        now=now,
    )
    records = {line.record.session: line.record for line in ledger.lines}
    meals = {
        key: _meal(record, planned.get(key), zone=zone)
        for key, record in records.items()
        if record.blend is not None or (key in planned and planned[key].meal_ml)
    }
    gap = shortest_meal_gap(stored.plan)
    tomorrows = days[tomorrow]
    # a tomorrow that cannot be worked out yet must not hide today
    next_meals = [] if isinstance(tomorrows, FillmarkError) else [one.at for one in tomorrows if one.meal_ml]
    day_ends_at = datetime.combine(tomorrow, home.day_starts, tzinfo=zone)
    rest = rest_of_today(
        tuple(meals.values()),
        now=now,
        weight_kg=stored.plan.animal.weight.weight_kg,
        cap_ml_per_kg=stored.plan.orders.cap_ml_per_kg,
        warn_ml_per_kg=stored.plan.orders.warn_ml_per_kg,
        shortest_gap=timedelta(minutes=gap.value),
        last_meal_by=min([day_ends_at, *(at - timedelta(minutes=gap.value) for at in next_meals)]),
        step_ml=stored.plan.feeding_syringe.step_ml,
        kcal_per_ml=planned_day.kcal_per_ml.value,
        water=_water(planned_day, planned=planned, records=records, now=now, zone=zone),
        came_back_ml=_back_outside_sessions(ledger),
    )
    return Today(rest=rest, shortest_gap=gap)


def _worked_out(found: tuple[PlannedSession, ...] | FillmarkError) -> tuple[PlannedSession, ...]:
    if isinstance(found, FillmarkError):
        raise found
    return found


def _meal(record: SessionRecord, planned: PlannedSession | None, *, zone: ZoneInfo) -> MealToday:
    """A session beside its plan; one that no plan names stands at the time its name tells."""
    if planned is None:
        at = datetime.fromisoformat(record.session).replace(tzinfo=zone)
        return MealToday(session=record.session, planned_at=at, planned_ml=0.0, beside_ml=0.0, record=record)
    return MealToday(
        session=record.session,
        planned_at=planned.at,
        planned_ml=planned.meal_ml,
        beside_ml=_beside_ml(planned),
        record=record,
    )


def _beside_ml(planned: PlannedSession) -> float:
    """Flushes, medicines and their water [mL]."""
    return planned.load.value.total_ml - planned.meal_ml


def _water(
    day: DayPlan,
    *,
    planned: Mapping[str, PlannedSession],
    records: Mapping[str, SessionRecord],
    now: datetime,
    zone: ZoneInfo,
) -> WaterToday:
    batch_kcal, batch_water_ml = day.batch.value
    to_come = [
        session
        for key, session in planned.items()
        if not session.meal_ml
        and meal_state(_meal(records[key], session, zone=zone), now=now) in (MealState.TO_COME, MealState.IN_HAND)
    ]
    return WaterToday(
        planned_ml=day.water.value.total_ml,
        per_blend_ml=batch_water_ml * day.kcal_per_ml.value / batch_kcal,
        beside_so_far_ml=fsum(_beside_so_far_ml(record, planned.get(key)) for key, record in records.items()),
        beside_to_come_ml=fsum(map(_beside_ml, to_come)),
    )


def _beside_so_far_ml(record: SessionRecord, planned: PlannedSession | None) -> float:
    """Recorded flushes, and the water of the doses that were given [mL], at the least."""
    given = {dose.medicine for dose in record.doses if dose.outcome is Outcome.GIVEN}
    doses = planned.medicines if planned else ()
    return (record.flush.low_ml if record.flush else 0.0) + fsum(
        dose.water_ml for dose in doses if dose.medicine.id in given
    )


def _back_outside_sessions(ledger: DayLedger) -> float:
    """What came back between the sessions, at the least [mL]."""
    inside_ml = fsum(line.record.back.low_ml for line in ledger.lines if line.record.back)
    return max(0.0, (ledger.back.low_ml if ledger.back else 0.0) - inside_ml)
