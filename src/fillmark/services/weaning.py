"""The way to full feeding, and back to eating: what the record says, and a next step once the vet has said it."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db import transaction

from fillmark.core.bedside.side import Side
from fillmark.core.bedside.versions import Confirmation, StoredPlan
from fillmark.core.changes.weaning import Eaten, StepUp, WayBack, read_eaten, step_up, way_back, with_weaning
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.corrections import counting_entries
from fillmark.core.values.errors import NotStated
from fillmark.records import homes, written
from fillmark.services import plans, record, timetable

DAYS = 7
"""So many whole days are shown."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Ladders:
    """Both ladders as they stand today.

    Attributes:
        stored: The plan in force.
        up: The vet's ladder to full feeding; none where there is none, or it is behind.
        back: The way back to eating; none where nothing may be eaten by mouth.
        today: What was eaten so far today.
    """

    stored: StoredPlan
    up: StepUp | None
    back: WayBack | None
    today: Eaten

    @property
    def plan(self) -> CarePlan:
        return self.stored.plan


def find_ladders(side: Side) -> Ladders | None:
    """Where feeding stands on its ladders; none before the first plan.

    Raises:
        FillmarkError: the day cannot be worked out of the plan.
    """
    today, stored = side.today, side.stored
    if stored is None:
        return None
    plan, first = stored.plan, today - timedelta(days=DAYS)
    entries = counting_entries(written.entries_around(**side.ids, first=first, last=today, kinds=("ate",)))
    eaten = [read_eaten(entries, plan=plan, on=first + timedelta(days=offset)) for offset in range(DAYS + 1)]
    back = None
    if plan.animal.by_mouth == "food and water" and plan.orders.energy is not None:
        back = way_back(plan, days=eaten[:-1])
    up = None
    if plan.orders.ladder is not None:
        up = step_up(plan, ledger=record.day_ledger(side, day=today), on=today)
    return Ladders(stored=stored, up=up, back=back, today=eaten[-1])


def plan_with_share(*, household_id: UUID, animal_id: UUID, by_mouth_kcal: float, now: datetime) -> CarePlan:
    """The plan with what is eaten by mouth off the tube's share. Nothing changes.

    Args:
        household_id: Whose.
        animal_id: Of which animal.
        by_mouth_kcal: What it eats on an ordinary day [kcal/day].
        now: The present instant.
    Raises:
        BadPlan: there is no plan, or nothing may be eaten by mouth.
        NotStated: an idle tube would have no flushes.
    """
    usual = timetable.find_usual(household_id=household_id, animal_id=animal_id, now=now)
    return with_weaning(usual.plan, by_mouth_kcal=by_mouth_kcal)


@transaction.atomic
def put_in_force(confirmed: Confirmation, *, animal_id: UUID, by_mouth_kcal: float, seen: int) -> StoredPlan:
    """Count what is eaten by mouth off the tube's share, from the start of the household's next day on.

    Args:
        confirmed: Who confirms it, and what the vet said about it.
        animal_id: For which animal.
        by_mouth_kcal: What it eats on an ordinary day, by the vet's word [kcal/day].
        seen: The number of the plan version that the lead saw.
    Raises:
        NotAllowed: this person may not change the plan.
        BadPlan: the plan has changed since, or nothing may be eaten by mouth.
        NotStated: an idle tube would have no flushes.
    """
    plans.check_may_change(confirmed)
    homes.find_home(household_id=confirmed.household_id, lock=True)
    usual = timetable.find_usual(household_id=confirmed.household_id, animal_id=animal_id, now=confirmed.now)
    is_as_shown = usual.stored.number == seen
    plans.check_seen(is_as_shown, what="plan", remedy="Look at the ladder again, then accept it.")
    if usual.plan.orders.energy is None:
        raise NotStated(
            field="orders.energy",
            got="A plan without the vet's energy goal",
            allowed="the vet's energy goal",
            remedy="Ask: How much energy a day?",
        )
    return plans.adopt_plan(
        confirmed,
        animal_id=animal_id,
        document=with_weaning(usual.plan, by_mouth_kcal=by_mouth_kcal),
        effective_from=usual.starts_at,
    )
