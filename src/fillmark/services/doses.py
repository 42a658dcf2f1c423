"""The doses around an instant, with the orders that held: what every question about a medicine is answered from."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from fillmark.core.chart.givings import OrdersInForce, reach
from fillmark.core.chart.objections import check_reason
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.entries import Entry, KeptEntry, entry_day
from fillmark.core.values.people import Caregiver
from fillmark.records import queries
from fillmark.records.queries import Home

_DOSES = ("medicine_given", "both_given", "second_check", "withdrawn")
_MEALS = ("meal_ended", "fill_given")
_BOTTLES = ("bottle_opened", "stock_counted")


@dataclass(frozen=True, kw_only=True, slots=True)
class Doses:
    """The plan in force at an instant, the orders around it, and the entries that bear on a dose then."""

    plan: CarePlan
    orders: OrdersInForce
    entries: tuple[KeptEntry, ...]


def load_doses(*, household_id: UUID, animal_id: UUID, at: datetime, back: timedelta | None = None) -> Doses | None:
    """What bears on a dose at an instant; none before the first plan.

    Args:
        household_id: Whose.
        animal_id: Of which animal.
        at: The instant.
        back: How far back to look, where that is further than an order of that instant reaches.
    """
    plan_row = queries.plan_at(household_id=household_id, animal_id=animal_id, at=at)
    if plan_row is None:
        return None
    plan = plan_row.plan
    span = max(back or timedelta(0), reach(plan.medicines))
    versions = [(plan_row.effective_from, plan)]
    if plan_row.effective_from > at - span:
        around = queries.plans_during(
            household_id=household_id, animal_id=animal_id, first_at=at - span, last_at=at + span
        )
        versions = [(one.effective_from, one.plan) for one in around]
    waits_for_food = any(medicine.food.after_minutes is not None for medicine in plan.medicines)
    entries = queries.entries_around(
        household_id=household_id,
        animal_id=animal_id,
        # a household's day may begin up to a day off the instant's own
        first=(at - span).date() - timedelta(days=1),
        last=(at + span).date() + timedelta(days=1),
        kinds=_DOSES + (_MEALS if waits_for_food else ()),
        whenever=_BOTTLES,
    )
    return Doses(plan=plan, orders=OrdersInForce(versions), entries=entries)


def check_fresh_dose(*, home: Home, caregiver: Caregiver, entry: Entry, now: datetime) -> None:
    """Refuse a press that would write a dose against the record or the plan without a typed reason.

    Raises:
        NeedsReason: who gave it when, and until when to wait.
    """
    doses = load_doses(household_id=home.id, animal_id=entry.animal_id, at=entry.at)
    if doses is None:
        return
    candidate = KeptEntry(
        entry=entry,
        seq=home.last_seq + 1,
        day=entry_day(entry, time_zone=home.time_zone, day_starts=home.day_starts),
        by=caregiver.id,
        by_name=caregiver.name,
        recorded_at=now,
    )
    check_reason(candidate, entries=doses.entries, orders=doses.orders, time_zone=home.time_zone)
