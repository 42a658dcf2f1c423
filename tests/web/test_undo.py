"""What one tap may take back: one's own last press that only went on. Never a lock, a stop, or what another wrote."""

import re
from uuid import UUID

import pytest
import time_machine

from fillmark.core.record.care_entries import FeedingLocked
from fillmark.core.record.entries import Payload
from fillmark.core.record.session_entries import CameBack, FillGiven, SessionStarted, SessionStopped
from fillmark.core.values.trouble import Trouble
from tests.journeys.household import Household, quarry_lane
from tests.web.test_calls import a_phone
from tests.web.test_screens import EVENING, TONIGHT, press

STRIP = re.compile(r'<div class="strip" data-undo([^>]*)>')


@pytest.fixture
def quarry(db: None):
    with time_machine.travel(EVENING, tick=False):
        made = quarry_lane(now=EVENING)
        made.write(SessionStarted(session=TONIGHT), at=EVENING)
        yield made


def is_offered(quarry: Household, *, to: UUID | None = None) -> bool:
    """Whether the walk offers to take its last entry back."""
    page = a_phone(quarry, to).get(f"/{quarry.animal_id}/{TONIGHT}/").content.decode()
    return "hidden" not in STRIP.search(page)[1]


def counting(quarry: Household, entry_id: UUID) -> bool:
    return entry_id in {entry.id for entry in quarry.entries(now=EVENING)}


def test_ones_own_fill_is_offered_and_taken_back(quarry: Household) -> None:
    """A fill that was pressed by mistake."""
    fill = quarry.write(FillGiven(session=TONIGHT, fill=1, ml=60), at=EVENING)

    assert is_offered(quarry)
    press(a_phone(quarry), quarry, "undo", undo=str(fill.id))
    assert not counting(quarry, fill.id)


@pytest.mark.hazard("H39")
@pytest.mark.parametrize(
    "payload",
    [
        FeedingLocked(trouble=Trouble.COUGH, session=TONIGHT),
        SessionStopped(session=TONIGHT, reason="She coughed"),
        CameBack(session=TONIGHT, ml=20),
    ],
    ids=lambda payload: payload.kind,
)
def test_what_stops_a_session_is_not_taken_back_with_one_tap(quarry: Household, payload: Payload) -> None:
    """Not offered, and a press that asks for it all the same writes nothing."""
    stop = quarry.write(payload, at=EVENING)

    assert not is_offered(quarry)
    press(a_phone(quarry), quarry, "undo", undo=str(stop.id))
    assert counting(quarry, stop.id)


@pytest.mark.hazard("H39")
def test_what_another_person_wrote_is_not_taken_back_with_one_tap(quarry: Household) -> None:
    """Sam's fill is Sam's: Noor puts it right in the record, with a reason."""
    fill = quarry.write(FillGiven(session=TONIGHT, fill=1, ml=60), at=EVENING, by=quarry.sam)

    assert not is_offered(quarry)
    press(a_phone(quarry), quarry, "undo", undo=str(fill.id))
    assert counting(quarry, fill.id)
    assert is_offered(quarry, to=quarry.sam)
