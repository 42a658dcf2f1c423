"""What the call page tells the vet: the times at which things happened, every dose, and what was locked."""

from datetime import UTC, datetime, timedelta

import pytest
import time_machine

from fillmark.core.record.care_entries import FeedingCleared, FeedingLocked
from fillmark.core.record.medicine_entries import MedicineGiven, Outcome
from fillmark.core.record.session_entries import FillGiven, SessionEnded, SessionStarted
from tests.journeys.household import quarry_lane
from tests.web.test_act_gate import page_of, visible

EVENING = datetime(2026, 11, 25, 19, 42, tzinfo=UTC)
MEAL = "2026-11-25T15:00"


def dose(outcome: Outcome, **more: object) -> MedicineGiven:
    return MedicineGiven(medicine="metoclopramide", dose_mg="5.22", outcome=outcome, **more)


@pytest.mark.hazard("H47")
def test_the_vet_is_told_real_times_every_dose_and_every_lock(db: None) -> None:
    """A meal of 15:00 that was fed at 16:10 is told so; a held dose has no mass; two doses are two; locks stay told."""
    at = datetime(2026, 11, 25, 16, 10, tzinfo=UTC)
    with time_machine.travel(EVENING, tick=True):
        home = quarry_lane(now=EVENING, recorded=False)
        for minute, payload in (
            (0, SessionStarted(session=MEAL)),
            (1, FillGiven(session=MEAL, fill=1, ml=60)),
            (9, FillGiven(session=MEAL, fill=2, ml=60)),
            (12, SessionEnded(session=MEAL)),
            (20, dose(Outcome.GIVEN)),
            (50, dose(Outcome.GIVEN, given_by="Sam")),
            (60, dose(Outcome.HELD, reason="Vomiting")),
            (-60 * 25, dose(Outcome.GIVEN)),
        ):
            home.write(payload, at=at + timedelta(minutes=minute))
        lock = home.write(FeedingLocked(trouble="cough"), at=at + timedelta(minutes=70), by=home.sam)
        cleared = FeedingCleared(locks=(lock.id,), who="Dr. Marsh", vet_words="Go on at eight.")
        home.write(cleared, at=at + timedelta(minutes=90))
        told = " ".join(visible(page_of(home, "calls/")).split())
    assert "Went in: 120 mL from 16:11 to 16:19." in told
    assert (
        "Doses: Metoclopramide 5.22 mg given at 16:30; Metoclopramide 5.22 mg given at 17:00 by Sam, as told to Noor; "
        "Metoclopramide held at 17:10 (Vomiting)." in told
    )
    assert "Feeding was locked at 17:20 by Sam: " in told
    assert "; cleared at 17:40 by Noor, Dr. Marsh: Go on at eight." in told
