"""No row of print about medicines is lost: each has exactly one test, or waits with its reason."""

from tests.references.medicine_row_ids import NOT_YET, TESTED
from tests.references.test_feeding_rows import named_row_ids


def test_every_medicine_row_is_tested_once_or_waits_with_its_reason():
    """152 rows: none missing, none tested twice, none both tested and waiting."""
    named = named_row_ids("MED")
    tested = [row_id for ids in TESTED.values() for row_id in ids.split()]
    waiting = [row_id for ids, _ in NOT_YET.values() for row_id in ids.split()]

    assert sorted(named) == sorted(tested)
    assert len(set(tested)) == len(tested)
    assert not set(tested) & set(waiting)
    assert len(set(tested) | set(waiting)) == 152
    assert all(reason for _, reason in NOT_YET.values())
