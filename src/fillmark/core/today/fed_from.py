"""Which batch was each meal fed from, and what did a mL of it hold?"""

from collections.abc import Iterable, Mapping
from contextlib import suppress
from datetime import date

from fillmark.core.day.made_batch import energy_held
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.batches import read_batches
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.ledger import DayLedger
from fillmark.core.values.errors import FillmarkError


def density_by_meal(
    ledger: DayLedger, entries: Iterable[KeptEntry], *, plan: CarePlan, day: date
) -> Mapping[str, float]:
    """Energy of what went in, by the session, where the batch was written down as it was made [kcal/mL].

    A meal counts by the batch that was in use when its last fill went in.

    Args:
        ledger: What the record of the day adds up to.
        entries: Those of `BATCH_KINDS` up to that day, with all that corrects them.
        plan: The plan that knows the foods.
        day: The household's day.
    Source:
        the labels
    """
    known = counting_entries(entries)
    found: dict[str, float] = {}
    for line in ledger.lines:
        record = line.record
        at = record.fills[-1].at if record.fills else record.last_at
        if record.blend is None or at is None:
            continue
        before = [one for one in known if one.entry.at <= at]
        batch = read_batches(before, limit_level=None, keeps_days=None, today=day).in_use
        if batch is not None and batch.made is not None:
            with suppress(FillmarkError):  # a food that this version does not know: the plan's own mix counts
                found[record.session] = energy_held(plan, batch.made).made.value
    return found
