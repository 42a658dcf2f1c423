"""What stands of the rare kinds, kept beside the entries in the same transaction; may be made anew at any time."""

from collections.abc import Collection, Iterator, Sequence
from datetime import date
from uuid import UUID

from fillmark.core.bedside.side import Side
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.standing import BY_THEMSELVES, FOR_EVER, TOGETHER, what_stands
from fillmark.records import models
from fillmark.records.homes import AnimalName, animals
from fillmark.records.written import Wanted, entries_of_kinds, read_wanted


def bring_up_to_date(side: Side, new: Sequence[KeptEntry]) -> None:
    """Bring what stands up to date with these new entries, where they are of a rare kind or correct one.

    Args:
        side: Their animal's side, with them in it.
        new: The entries; the household is locked.
    """
    for kinds in TOGETHER:
        mine = [one for one in new if any(other.entry.kind in kinds for other in side.history_of(one.entry.id))]
        if not mine:
            continue
        is_alone = all(len(side.history_of(one.entry.id)) == 1 for one in mine)
        if kinds in BY_THEMSELVES and is_alone:
            stood = standing_entries(**side.ids, kinds=kinds)
            _keep(side.home.id, side.animal_id, kinds, (*stood, *mine))
        else:
            _keep(side.home.id, side.animal_id, kinds, entries_of_kinds(**side.ids, kinds=kinds))


def standing_entries(*, household_id: UUID, animal_id: UUID, kinds: Collection[str]) -> tuple[KeptEntry, ...]:
    """The entries of these kinds that stand now, with all that corrects them or that they correct."""
    wanted = Wanted(standing=kinds, standing_since=FOR_EVER)
    return read_wanted(wanted, household_id=household_id, animal_id=animal_id)


def _keep(household_id: UUID, animal_id: UUID, kinds: Collection[str], entries: Sequence[KeptEntry]) -> None:
    right = _rows(entries, kinds)
    kept = _kept(animal_id, kinds)
    gone = [entry_id for entry_id, row in kept.items() if right.get(entry_id) != row]
    if gone:
        models.Standing.objects.filter(animal_id=animal_id, entry_id__in=gone).delete()
    models.Standing.objects.bulk_create(
        [
            models.Standing(household_id=household_id, animal_id=animal_id, entry_id=entry_id, kind=kind, until=until)
            for entry_id, (kind, until) in right.items()
            if kept.get(entry_id) != (kind, until)
        ],
        batch_size=500,
    )


def _rows(entries: Sequence[KeptEntry], kinds: Collection[str]) -> dict[UUID, tuple[str, date]]:
    """What stands of these kinds; of another kind that came along with a correction, not all is there."""
    of_kind = {one.entry.id: one.entry.kind for one in entries}
    stands = what_stands(entries).items()
    return {entry_id: (of_kind[entry_id], until) for entry_id, until in stands if of_kind[entry_id] in kinds}


def _kept(animal_id: UUID, kinds: Collection[str]) -> dict[UUID, tuple[str, date]]:
    rows = models.Standing.objects.filter(animal_id=animal_id, kind__in=kinds)
    return {entry_id: (kind, until) for entry_id, kind, until in rows.values_list("entry_id", "kind", "until")}


def rebuild_standing(*, household_id: UUID) -> None:
    """Throw away what is kept, and work it out of the entries again. The household is locked."""
    models.Standing.objects.filter(household_id=household_id).delete()
    for animal in animals(household_id):
        for kinds in TOGETHER:
            entries = entries_of_kinds(household_id=household_id, animal_id=animal.id, kinds=kinds)
            _keep(household_id, animal.id, kinds, entries)


def standing_that_differs(*, household_id: UUID) -> Iterator[tuple[AnimalName, str]]:
    """The kinds of which something else is kept than the entries say."""
    for animal in animals(household_id):
        for kinds in TOGETHER:
            right = _rows(entries_of_kinds(household_id=household_id, animal_id=animal.id, kinds=kinds), kinds)
            kept = _kept(animal.id, kinds)
            for kind in kinds:
                both = [{one for one in rows.items() if one[1][0] == kind} for rows in (right, kept)]
                if both[0] != both[1]:
                    yield animal, kind
