"""What of the kinds that are rare still stands: the lock that holds, the bottle in use, what the newest tests teach.

The record keeps it beside the entries, so that a page need not read every bottle of ten years to find the one in use.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from itertools import pairwise
from uuid import UUID

from fillmark.core.record.care_entries import FeedingCleared, FlowTested, FoodKept, SheetPrinted, SheetThrownAway
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.flow_check import SHOWN_TESTS
from fillmark.core.record.locks import LOCK_KINDS, open_lock
from fillmark.core.record.medicine_entries import BottleOpened, StockCounted

BOTTLE_KINDS = ("bottle_opened", "stock_counted")
SHEET_KINDS, FOOD_KINDS, TEST_KINDS = ("sheet_printed", "sheet_thrown_away"), ("food_kept",), ("flow_test",)
TOGETHER = (LOCK_KINDS, BOTTLE_KINDS, SHEET_KINDS, FOOD_KINDS, TEST_KINDS)
"""The kinds that are read together: what stands of one of them hangs on the others."""
BY_THEMSELVES = (SHEET_KINDS, FOOD_KINDS, TEST_KINDS)
"""Those of which a new entry only joins, or takes the place of, what stood before it."""
FOR_EVER = date.max


def what_stands(entries: Iterable[KeptEntry]) -> dict[UUID, date]:
    """The entries that still stand, or stood until some day, each with the last day on which it bears on anything.

    Args:
        entries: All of the kinds of one of `TOGETHER`, in any order, with all that corrects them or that they correct.
    """
    kept = tuple(entries)
    counting = counting_entries(kept)
    sheets = [one.entry.id for one in counting if isinstance(one.entry.payload, SheetPrinted | SheetThrownAway)]
    foods = [one.entry.id for one in counting if isinstance(one.entry.payload, FoodKept)]
    still = dict.fromkeys((*sheets[-1:], *foods, *_tests(counting)), FOR_EVER)
    return {**_locks(kept, counting), **_bottles(counting), **still}


def _locks(kept: Sequence[KeptEntry], counting: Sequence[KeptEntry]) -> dict[UUID, date]:
    """The locks that hold; and what cleared others, as long as those are among the newest entries."""
    lock, days = open_lock(kept), {one.entry.id: one.day for one in kept}
    found = dict.fromkeys(lock.entry_ids if lock else (), FOR_EVER)
    for one in counting:
        if isinstance(one.entry.payload, FeedingCleared):
            found[one.entry.id] = max(one.day, *(days.get(named, one.day) for named in one.entry.payload.locks))
    return found


def _bottles(counting: Sequence[KeptEntry]) -> dict[UUID, date]:
    """Each bottle until the next of its medicine is opened, by whichever of the two days is later; and its counts."""
    opened: dict[str, list[KeptEntry]] = defaultdict(list)
    for one in counting:
        if isinstance(one.entry.payload, BottleOpened):
            opened[one.entry.payload.medicine].append(one)
    found: dict[UUID, date] = {}
    for bottles in opened.values():
        for one, after in pairwise(bottles):
            found[one.entry.id] = max(one.day, after.day) + timedelta(days=1)
        found[bottles[-1].entry.id] = FOR_EVER
    counts = [(one, one.entry.payload) for one in counting if isinstance(one.entry.payload, StockCounted)]
    return found | {one.entry.id: found.get(payload.bottle, one.day) for one, payload in counts}


def _tests(counting: Sequence[KeptEntry]) -> Iterable[UUID]:
    """The newest tests of each blend, treated in each way."""
    found: Mapping[object, list[UUID]] = defaultdict(list)
    for one in counting:
        payload = one.entry.payload
        if isinstance(payload, FlowTested):
            found[tuple(sorted(payload.foods)), payload.sieved, payload.frozen].append(one.entry.id)
    return (entry_id for same in found.values() for entry_id in same[-SHOWN_TESTS:])
