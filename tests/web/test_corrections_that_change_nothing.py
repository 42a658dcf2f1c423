"""A correction whose writer may not put that right stays in sight, says why it changes nothing, and a lead sees it."""

from datetime import timedelta
from html import unescape

import pytest
import time_machine

from fillmark.core.record.care_entries import FeedingLocked
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.values.trouble import Trouble
from tests.journeys.household import Household
from tests.support.builders import EVENING, an_id
from tests.web.test_screens import a_phone

WHY = "Changes nothing: a lock is cleared by a lead, with the vet's words"


def read(quarry: Household, person: object, path: str = "") -> str:
    return " ".join(unescape(a_phone(quarry, person).get(f"/{quarry.animal_id}/{path}").content.decode()).split())


@pytest.mark.hazard("H39")
@pytest.mark.parametrize("comes_first", ["the lock", "the withdrawal"])
def test_a_lock_that_a_helper_took_back_without_a_signal_still_holds(quarry: Household, comes_first: str) -> None:
    """On every page, whichever came first; and a lead is shown on the first screen what was tried."""
    lock, later = an_id(at=EVENING), EVENING + timedelta(minutes=5)
    with time_machine.travel(later, tick=True):
        if comes_first == "the lock":
            quarry.write(FeedingLocked(trouble=Trouble.COUGH), at=later, id=lock)
        quarry.write(Withdrawn(reason="It was nothing"), by=quarry.sam, at=later, corrects=lock)
        if comes_first == "the withdrawal":
            quarry.write(FeedingLocked(trouble=Trouble.COUGH), at=later, id=lock)

        first = read(quarry, quarry.noor)
        assert f"Feeding is locked: {Trouble.COUGH.words}" in first
        assert "A correction that changes nothing" in first
        assert f"It was nothing (Sam). {WHY}" in first
        assert "A correction that changes nothing" not in read(quarry, quarry.sam)
        assert WHY in read(quarry, quarry.sam, "day/")
        entry = read(quarry, quarry.noor, f"entry/{lock}/")
        assert WHY in entry
        assert "take it back" not in entry
        assert "Feeding is locked" in read(quarry, quarry.sam, "lock/")
