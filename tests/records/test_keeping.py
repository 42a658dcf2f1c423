"""The one place where entries are written: one that cannot be kept does not hurt the others."""

import pytest
from django.db import IntegrityError, transaction

from fillmark.core.record.care_entries import Note
from fillmark.core.record.entries import KeptEntry
from fillmark.core.values.people import Role
from fillmark.records import keeping
from fillmark.services import record
from tests.support.builders import NOON, Home, a_home, an_entry

pytestmark = [pytest.mark.django_db, pytest.mark.hazard("H27")]


def kept(home: Home, count: int) -> list[KeptEntry]:
    return [
        KeptEntry(
            entry=an_entry(Note(text=f"{number}"), animal_id=home.animal_id),
            seq=number,
            day=NOON.date(),
            by=home.noor,
            by_name="Noor",
            by_role=Role.LEAD,
            recorded_at=NOON,
        )
        for number in range(1, count + 1)
    ]


def numbers(home: Home) -> list[tuple[int, str]]:
    return [(one.seq, one.entry.payload.text) for one in record.entries_since(household_id=home.id, seq=0)]


@pytest.mark.parametrize("count", [3, 150])
@pytest.mark.parametrize("taken", [0, 1, 2])
def test_an_id_that_another_household_was_faster_with_is_left_out(home: Home, count: int, taken: int) -> None:
    """The others follow without a gap."""
    other = a_home(name="Mill Lane")
    entries = kept(home, count)
    taken = taken * (count - 1) // 2
    faster = entries[taken].entry.model_copy(update={"animal_id": other.animal_id})
    record.record_entry(household_id=other.id, by=other.noor, entry=faster, now=NOON)

    written = keeping.add_entries(entries, household_id=home.id, is_alone=False)

    assert [one.seq for one in written] == list(range(1, count))
    assert numbers(home) == [(one.seq, one.entry.payload.text) for one in written]
    assert str(taken + 1) not in {text for _, text in numbers(home)}


def test_one_entry_alone_fails_with_its_transaction(home: Home) -> None:
    """No savepoint is paid for it."""
    (entry,) = kept(home, 1)
    keeping.add_entries([entry], household_id=home.id, is_alone=True)

    with pytest.raises(IntegrityError), transaction.atomic():
        keeping.add_entries([entry], household_id=home.id, is_alone=True)

    assert numbers(home) == [(1, "1")]
