"""The batches of the record: a fresh fill from a bad one is refused, what a phone wrote before is kept."""

from datetime import date, timedelta

import pytest

from fillmark.core.record.batches import Fault
from fillmark.core.record.care_entries import BatchChosen, FlowTested
from fillmark.core.record.session_entries import FillGiven, SessionStarted
from fillmark.core.values.errors import BatchNotToBeGiven, NotAllowed
from fillmark.services import record
from tests.journeys.household import Household, quarry_lane
from tests.support.builders import EVENING, an_entry
from tests.support.sides import side_of

TONIGHT = "2026-11-25T20:00"
TODAY = date(2026, 11, 25)


@pytest.fixture
def quarry(db: None) -> Household:
    return quarry_lane(now=EVENING, recorded=False)


def write_down(quarry: Household, payload, *, by=None, fresh: bool = False, minute: int = 0, days_ago: int = 0):
    at = EVENING + timedelta(minutes=minute) - timedelta(days=days_ago)
    entry = an_entry(payload, at=at, animal_id=quarry.animal_id)
    now = max(at, EVENING)
    return record.record_entry(household_id=quarry.id, by=by or quarry.noor, entry=entry, now=now, is_fresh=fresh)


def a_test(left_ml: float, **changes) -> FlowTested:
    values = {"foods": ("stew",), "food_g": 820.0, "water_ml": 160.0, "sieved": False, "frozen": False}
    return FlowTested(**{**values, "left_ml": left_ml, "batch": "Jar 7", **changes})


def faults(quarry: Household) -> tuple[Fault, ...]:
    found = side_of(**quarry.ids, now=EVENING + timedelta(minutes=9)).batch_facts
    return found.read().faults


FILL = FillGiven(session=TONIGHT, fill=1, ml=60)


@pytest.mark.hazard("H9")
def test_a_fresh_fill_from_a_batch_that_is_too_thick_is_refused_and_a_late_one_is_kept(quarry: Household) -> None:
    """Thinned and tested again, it is taken."""
    write_down(quarry, a_test(9.0))
    write_down(quarry, SessionStarted(session=TONIGHT), minute=1)

    assert faults(quarry) == (Fault.TOO_THICK,)
    with pytest.raises(BatchNotToBeGiven, match="Jar 7 of 25 November, which is too thick"):
        write_down(quarry, FILL, fresh=True, minute=2)
    assert not write_down(quarry, FILL, minute=2).was_known
    write_down(quarry, a_test(6.0), minute=3)
    assert not write_down(quarry, FillGiven(session=TONIGHT, fill=2, ml=60), fresh=True, minute=4).was_known


@pytest.mark.hazard("H15")
def test_a_batch_past_its_last_day_is_refused_until_another_is_chosen(quarry: Household) -> None:
    """The stew keeps two days: a batch of the 23rd is not fed on the 25th, a new one is."""
    write_down(quarry, a_test(5.0), days_ago=2)
    write_down(quarry, SessionStarted(session=TONIGHT))

    assert faults(quarry) == (Fault.PAST_ITS_DAY,)
    with pytest.raises(BatchNotToBeGiven, match="past its last day"):
        write_down(quarry, FILL, fresh=True, minute=1)
    old = BatchChosen(session=TONIGHT, batch="Jar 7", made_on=date(2026, 11, 23))
    with pytest.raises(BatchNotToBeGiven):
        write_down(quarry, old, fresh=True, minute=1)
    write_down(quarry, BatchChosen(session=TONIGHT, batch="Jar 8", made_on=TODAY), fresh=True, minute=2)
    assert faults(quarry) == ()
    assert not write_down(quarry, FILL, fresh=True, minute=3).was_known


@pytest.mark.hazard("H9")
@pytest.mark.hazard("H25")
def test_only_a_lead_gives_a_bad_batch_with_a_reason(quarry: Household) -> None:
    """A helper's reason is refused, also when it was written without a signal; a helper may choose another batch."""
    write_down(quarry, a_test(9.0))
    word = BatchChosen(session=TONIGHT, batch="Jar 7", made_on=TODAY, reason="The vet said so by phone.")

    for fresh in (True, False):
        with pytest.raises(NotAllowed, match="too thick or past its last day"):
            write_down(quarry, word, by=quarry.sam, fresh=fresh, minute=1)
    write_down(quarry, word, minute=2)
    assert faults(quarry) == ()
    write_down(quarry, BatchChosen(session=TONIGHT, batch="Jar 8", made_on=TODAY), by=quarry.sam, minute=3)


def test_what_was_said_of_a_batch_more_than_a_week_ago_holds_nothing(quarry: Household) -> None:
    """Who tested once and never again is not asked about that jar for ever."""
    write_down(quarry, a_test(9.0), days_ago=8)

    assert faults(quarry) == ()
