"""Looking something up in the whole record of one animal."""

from dataclasses import dataclass
from datetime import date
from uuid import UUID

from fillmark.core.record.corrections import ShownEntry, show_entries
from fillmark.records import written

PAGE = 50
"""Entries on one page: a few turns of the thumb."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Found:
    """One page of what was found, newest first; `after` is where the next page begins, none on the last one."""

    entries: tuple[ShownEntry, ...]
    after: tuple[date, UUID] | None


def find_entries(
    *,
    household_id: UUID,
    animal_id: UUID,
    first: date | None = None,
    last: date | None = None,
    kinds: tuple[str, ...] = (),
    by: UUID | None = None,
    words: str = "",
    before: tuple[date, UUID] | None = None,
) -> Found:
    """A page of the entries that fit, newest first, corrected ones still in sight.

    Args:
        household_id: Whose.
        animal_id: Of which animal.
        first: From this day on.
        last: Up to this day.
        kinds: Of one of these kinds; of any where it is empty.
        by: Written by this person.
        words: Holding these words, in any case.
        before: Where the page before this one ended.
    """
    rows = written.find_entries(
        household_id=household_id,
        animal_id=animal_id,
        first=first,
        last=last,
        kinds=kinds,
        by=by,
        words=words,
        before=before,
        limit=PAGE + 1,
    )
    page = rows[:PAGE]
    ids = [one.entry.id for one in page]
    shown = {one.kept.entry.id: one for one in show_entries(written.with_corrections(page, household_id=household_id))}
    return Found(
        entries=tuple(shown[entry_id] for entry_id in ids),
        after=(page[-1].day, page[-1].entry.id) if len(rows) > PAGE else None,
    )
