"""No row of print about medicines is lost: each has exactly one test."""

from tests.references.medicine_row_ids import ROW_IDS
from tests.references.test_feeding_rows import named_row_ids


def test_every_medicine_row_is_tested_once():
    """135 rows: none missing, none tested twice."""
    everything = [row_id for ids in ROW_IDS.values() for row_id in ids.split()]

    assert len(set(everything)) == 135
    assert sorted(named_row_ids("MED")) == sorted(everything)
