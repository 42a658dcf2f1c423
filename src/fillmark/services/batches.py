"""Batches as they were made: what each meal was fed from, and a draft of the plan whose mark is for one of them."""

from collections.abc import Mapping
from datetime import date, timedelta
from uuid import UUID

from fillmark.core.bedside.side import Side
from fillmark.core.day.made_batch import HeldEnergy, energy_held, with_batch
from fillmark.core.orders.shelf_life import last_day_of_use
from fillmark.core.plan.answers import Raw
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.batches import BATCH_KINDS, Batch
from fillmark.core.record.ledger import DayLedger
from fillmark.core.today.fed_from import density_by_meal
from fillmark.core.values.errors import BadPlan, FillmarkError
from fillmark.published.record_rules import KEPT_DAYS
from fillmark.records import written
from fillmark.services import drafts
from fillmark.services.drafts import Who


def energy_of_meals(side: Side, ledger: DayLedger, *, plan: CarePlan, day: date) -> Mapping[str, float]:
    """Energy of what each meal was fed from, where that was written down as it was made [kcal/mL].

    Args:
        side: The animal's side.
        ledger: What the record of the day adds up to.
        plan: The plan that knows the foods.
        day: The household's day.
    """
    if day == side.today:  # those are there already
        return density_by_meal(ledger, side.batch_facts.entries, plan=plan, day=day)
    first, last = day - timedelta(days=KEPT_DAYS.value), day + timedelta(days=1)
    entries = written.entries_around(**side.ids, first=first, last=last, kinds=BATCH_KINDS)
    return density_by_meal(ledger, entries, plan=plan, day=day)


def held(side: Side) -> HeldEnergy | None:
    """What the batch in use holds beside the plan's; none where nobody wrote down how it was made."""
    batch = side.batch_facts.read().in_use
    if batch is None or batch.made is None or side.stored is None or not side.stored.is_readable:
        return None
    try:
        return energy_held(side.stored.plan, batch.made)
    except FillmarkError:  # a food that this version does not know
        return None


def begin_for_batch(who: Who, side: Side) -> UUID:
    """A draft of the plan whose marks are for the batch in use alone, until its last day.

    Args:
        who: Who begins it.
        side: The animal's side.
    Raises:
        NotAllowed: they may not prepare a plan.
        BadPlan: nobody has written down how the batch in use was made.
    """
    batch = side.batch_facts.read().in_use
    if batch is None or batch.made is None:
        raise BadPlan(
            field="blend",
            got="A batch of which nobody has written down how it was made",
            allowed="a batch with its foods and its water",
            remedy="Write it down first.",
        )
    made, ends = batch.made, _ends(side, batch)
    return drafts.begin(who, animal_id=side.animal_id, change=lambda document: with_batch(document, made) | ends)


def _ends(side: Side, batch: Batch) -> Raw:
    """Until the last day of the batch; where no label says how long it keeps, until the day after it was made."""
    last_on = batch.last_on or last_day_of_use(first_on=batch.made_on, days=2)
    return {"ends": {"last_on": max(last_on, side.today).isoformat(), "why": batch.name}}
