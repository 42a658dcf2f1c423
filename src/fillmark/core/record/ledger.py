"""What a day adds up to, with what was corrected."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from math import fsum
from uuid import UUID

from fillmark.core.record.amounts import Amount, came_back, cap_back, kept_blend, sum_known
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.session_entries import CameBack, FillGiven, MealEnded
from fillmark.core.record.sessions import SessionRecord, read_one_session
from fillmark.core.record.two_walks import PossibleDouble


@dataclass(frozen=True, kw_only=True, slots=True)
class LedgerLine:
    """One session of a day: what was planned beside what was recorded. Planned is never shown as given."""

    planned_ml: float | None
    record: SessionRecord


@dataclass(frozen=True, kw_only=True, slots=True)
class DayLedger:
    """What one animal's day adds up to. `None` means that nothing was recorded, never 0."""

    day: date
    lines: tuple[LedgerLine, ...]
    planned_ml: float | None
    blend: Amount | None
    flush: Amount | None
    back: Amount | None
    kept: Amount | None
    entries: int
    last_at: datetime | None
    clashes: tuple[PossibleDouble, ...]


def withdrawn_for_once(*, entry_ids: Iterable[UUID], keep: UUID, entries: Iterable[KeptEntry]) -> tuple[UUID, ...]:
    """What to withdraw so that, of entries that look like one thing, only one happened.

    A meal that a walk recorded fill by fill stands in a clash by its first fill: when the amount written afterwards is
    kept, every fill of the walk goes, and its closing total.

    Args:
        entry_ids: The entries of the clash.
        keep: The one that happened.
        entries: The entries of that day that count.
    """
    known = {one.entry.id: one.entry for one in entries}
    kept = known.get(keep)
    found = [entry_id for entry_id in entry_ids if entry_id != keep]
    if kept is None or not isinstance(kept.payload, MealEnded):
        return tuple(found)
    for entry_id in tuple(found):
        other = known.get(entry_id)
        if other is None or not isinstance(other.payload, FillGiven):
            continue
        found += [
            one.id
            for one in known.values()
            if one.session == other.session
            and one.id not in (keep, *found)
            and (isinstance(one.payload, FillGiven) or (isinstance(one.payload, MealEnded) and one.payload.fills))
        ]
    return tuple(found)


def read_day(*, day: date, entries: Iterable[KeptEntry], planned_ml: Mapping[str, float], now: datetime) -> DayLedger:
    """One animal's day from its entries, beside what was planned.

    Args:
        day: The household's day.
        entries: In any order, with everything that corrects them.
        planned_ml: The blend planned for each session of the day [mL].
        now: See `read_session`.
    Source:
        record.unfinished_after_minutes
    """
    counting = [one for one in counting_entries(entries) if one.day == day]
    by_session: dict[str, list[KeptEntry]] = defaultdict(list)
    for one in counting:
        if one.entry.session is not None:
            by_session[one.entry.session].append(one)
    lines = tuple(
        LedgerLine(
            planned_ml=planned_ml.get(session), record=read_one_session(session, by_session.get(session, []), now)
        )
        for session in sorted({*planned_ml, *by_session})
    )
    records = [line.record for line in lines]
    blend = sum_known(record.blend for record in records)
    loose = [one.entry.payload for one in counting if one.entry.session is None]
    loose_back = [came_back(payload.ml) for payload in loose if isinstance(payload, CameBack)]
    back = sum_known([*(record.back for record in records), *loose_back])
    return DayLedger(
        day=day,
        lines=lines,
        planned_ml=fsum(planned_ml.values()) if planned_ml else None,
        blend=blend,
        flush=sum_known(record.flush for record in records),
        back=cap_back(back, blend),
        kept=kept_blend(blend, back),
        entries=len(counting),
        last_at=max((one.entry.at for one in counting), default=None),
        clashes=tuple(clash for record in records for clash in record.clashes),
    )
