"""What of today is still to be fed, by the plan and the record."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from math import fsum
from uuid import UUID
from zoneinfo import ZoneInfo

from fillmark.core.bedside.side import Side
from fillmark.core.bedside.versions import StoredPlan, worked_out
from fillmark.core.day.values import DayPlan, PlannedSession
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.day_entries import ReplannedSession
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.ledger import DayLedger, read_day
from fillmark.core.record.medicine_entries import Outcome
from fillmark.core.record.sessions import SessionRecord
from fillmark.core.today.catch_up import rest_of_today
from fillmark.core.today.duties import shortest_meal_gap
from fillmark.core.today.intake import Drunk
from fillmark.core.today.intake import water_drunk as read_water_drunk
from fillmark.core.today.meals_today import MealRules, MealState, MealToday, RestOfToday, WaterToday, meal_state
from fillmark.core.today.replanned import newest_times
from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.explain import Explained
from fillmark.records import written


@dataclass(frozen=True, kw_only=True, slots=True)
class Today:
    """The rest of the day, beside the distance between meals [minutes] that it keeps."""

    rest: Explained[RestOfToday]
    shortest_gap: Explained[int]


@dataclass(frozen=True, kw_only=True, slots=True)
class Loaded:
    """Today by the plan and by the record.

    Attributes:
        stored: The plan in force.
        planned_day: The day it asks for.
        sessions: Those of yesterday, today and tomorrow as the plan has them; tomorrow is empty while it cannot be
            worked out.
        new: The newest word about when a session comes.
        entries: What was written on these days.
        ledger: What today adds up to.
    """

    stored: StoredPlan
    planned_day: DayPlan
    day: date
    ends_at: datetime
    zone: ZoneInfo
    sessions: dict[date, tuple[PlannedSession, ...]]
    new: Mapping[str, ReplannedSession]
    entries: tuple[KeptEntry, ...]
    ledger: DayLedger

    @property
    def plan(self) -> CarePlan:
        return self.stored.plan

    @property
    def records(self) -> dict[str, SessionRecord]:
        """What was recorded of each session of today."""
        return {line.record.session: line.record for line in self.ledger.lines}

    @property
    def today(self) -> dict[str, PlannedSession]:
        """The sessions of today, by their identity."""
        return {session.key: session for session in self.sessions[self.day]}

    def at(self, session: PlannedSession) -> datetime:
        """When a session is to come by the newest word."""
        word = self.new.get(session.key)
        return word.at.astimezone(self.zone) if word else session.at


def load_today(side: Side) -> Loaded | None:
    """The plan's day and what was recorded of it; none before the first plan.

    Raises:
        FillmarkError: today cannot be worked out of the plan.
    """
    day, stored = side.today, side.stored
    if stored is None:
        return None
    yesterday, tomorrow = day - timedelta(days=1), day + timedelta(days=1)
    planned_day = stored.day(day)
    days = side.sessions_of_days(yesterday, tomorrow, new={})
    # another day that cannot be worked out must not hide today
    sessions = {one: () if isinstance(found, FillmarkError) else found for one, found in days.items()}
    sessions[day] = worked_out(days[day])
    entries = side.of_days(yesterday, day)
    return Loaded(
        stored=stored,
        planned_day=planned_day,
        day=day,
        ends_at=side.home.start_of(tomorrow),
        zone=side.zone,
        sessions=sessions,
        new=newest_times(entries),
        entries=entries,
        ledger=read_day(
            day=day,
            entries=entries,
            planned_ml={session.key: session.meal_ml for session in sessions[day]},
            now=side.now,
        ),
    )


def rest_of_day(side: Side) -> Today | None:
    """What today still needs, and what of it the meals to come can carry; none before the first plan.

    It is a proposal: nothing is recorded, and the plan stays as it is.

    Raises:
        FillmarkError: today cannot be worked out of the plan.
    Source:
        the vet's orders, and the record
    """
    loaded = load_today(side)
    return None if loaded is None else today_of(loaded, now=side.now)


def today_of(loaded: Loaded, *, now: datetime, placed: Mapping[str, datetime | None] | None = None) -> Today:
    """The rest of a day that is loaded.

    Args:
        loaded: Today by the plan and by the record.
        now: The present instant.
        placed: When each meal to come is to be, where that is settled already; none for one that is skipped.
    Raises:
        OutOfRange: a number can only be a slip.
    Source:
        the vet's orders, and the record
    """
    planned, records, orders = loaded.today, loaded.records, loaded.plan.orders
    meals = {
        key: _meal(record, planned.get(key), loaded=loaded)
        for key, record in records.items()
        if record.blend is not None or (key in planned and planned[key].meal_ml)
    }
    gap = shortest_meal_gap(loaded.plan)
    next_meals = [one.at for one in loaded.sessions[loaded.day + timedelta(days=1)] if one.meal_ml]
    rest = rest_of_today(
        tuple(meals.values()),
        now=now,
        rules=MealRules(
            weight_kg=loaded.plan.animal.weight.weight_kg,
            kcal_per_ml=loaded.planned_day.kcal_per_ml.value,
            step_ml=loaded.plan.feeding_syringe.step_ml,
            shortest_gap=timedelta(minutes=gap.value),
            last_meal_by=min([loaded.ends_at, *(at - timedelta(minutes=gap.value) for at in next_meals)]),
            cap_ml_per_kg=orders.cap_ml_per_kg,
            warn_ml_per_kg=orders.warn_ml_per_kg,
            # without the vet's rule the sums may show what would fit, and new times make nothing larger
            may_grow=orders.missed_meal == "spread" or (placed is None and orders.missed_meal is None),
        ),
        water=_water(loaded, planned=planned, records=records, now=now),
        came_back_ml=_back_outside_sessions(loaded.ledger),
        placed=placed,
    )
    return Today(rest=rest, shortest_gap=gap)


def _meal(record: SessionRecord, planned: PlannedSession | None, *, loaded: Loaded) -> MealToday:
    """A session beside its plan; one that no plan names stands at the time its name tells."""
    if planned is None:
        at = datetime.fromisoformat(record.session).replace(tzinfo=loaded.zone)
        return MealToday(session=record.session, planned_at=at, planned_ml=0.0, beside_ml=0.0, record=record)
    return MealToday(
        session=record.session,
        planned_at=loaded.at(planned),
        planned_ml=planned.meal_ml,
        beside_ml=_beside_ml(planned),
        record=record,
    )


def _beside_ml(planned: PlannedSession) -> float:
    """Flushes, medicines and their water [mL]."""
    return planned.load.value.total_ml - planned.meal_ml


def _water(
    loaded: Loaded, *, planned: Mapping[str, PlannedSession], records: Mapping[str, SessionRecord], now: datetime
) -> WaterToday:
    day = loaded.planned_day
    batch_kcal, batch_water_ml = day.batch.value
    to_come = [
        session
        for key, session in planned.items()
        if not session.meal_ml
        and meal_state(_meal(records[key], session, loaded=loaded), now=now) in (MealState.TO_COME, MealState.IN_HAND)
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


def water_drunk(*, household_id: UUID, animal_id: UUID, day: date) -> Drunk:
    """What the animal drank by itself in one day, as far as it was written down."""
    entries = written.entries_of_days(household_id=household_id, animal_id=animal_id, first=day, last=day)
    return read_water_drunk(counting_entries(entries), day=day)
