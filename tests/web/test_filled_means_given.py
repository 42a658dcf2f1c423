"""A dose that was held, skipped or is not known does not look given: not under Last, not on the day line."""

from datetime import UTC, datetime, timedelta

import pytest
import time_machine

from fillmark.core.record.medicine_entries import MedicineGiven, Outcome
from fillmark.core.record.session_entries import SessionEnded, SessionStarted
from tests.journeys.household import quarry_lane
from tests.web.test_act_gate import page_of, visible

TEATIME = datetime(2026, 11, 25, 14, 55, tzinfo=UTC)
DUE = "2026-11-25T14:30"


@pytest.mark.hazard("H40")
@pytest.mark.parametrize(
    ("outcome", "spoken", "last"),
    [
        (Outcome.HELD, "14:30 held", "1 medicine held, 14:43"),
        (Outcome.MISSED, "14:30 left out", "1 medicine skipped, 14:43"),
        (Outcome.NOT_KNOWN, "14:30 not known", "1 medicine not known, 14:43"),
        (Outcome.CAME_BACK, "14:30 came back up", "1 medicine came back up, 14:43"),
        (Outcome.GIVEN, "14:30 recorded", "1 medicine, 14:43"),
    ],
)
def test_only_what_went_in_looks_given(db: None, outcome: Outcome, spoken: str, last: str) -> None:
    """Each of them has its own shape and its own word on the first screen, on the line and on the day's page."""
    with time_machine.travel(TEATIME, tick=True):
        home = quarry_lane(now=TEATIME, recorded=False)
        reason = {"reason": "Vomiting"} if outcome in (Outcome.HELD, Outcome.MISSED) else {}
        dose = MedicineGiven(session=DUE, medicine="metoclopramide", amount="5.2 mL", outcome=outcome, **reason)
        for place, payload in enumerate((SessionStarted(session=DUE), dose, SessionEnded(session=DUE))):
            home.write(payload, at=TEATIME - timedelta(minutes=14 - place))
        first = page_of(home)
    assert spoken in first
    assert last in visible(first)
    assert ("14:30 recorded" in first) is (outcome is Outcome.GIVEN)
