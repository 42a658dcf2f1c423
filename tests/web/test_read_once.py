"""The rule for the mouth: asked eight times a day, nobody would read it any more."""

from datetime import UTC, datetime, timedelta
from uuid import UUID

import pytest
import time_machine

from fillmark.core.record.session_entries import SessionEnded, SessionStarted, StepDone
from tests.journeys.household import quarry_lane
from tests.web.test_act_gate import visible
from tests.web.test_screens import a_phone, shown


@pytest.mark.hazard("H16")
def test_that_nothing_goes_in_by_mouth_is_asked_once_of_each_person_on_each_day(db: None) -> None:
    """At Noor's first session; at her next one it stands there as a line. Sam is asked, and so is Noor tomorrow."""
    rule = "Nothing by mouth: no food, no water, no treat."
    evening = datetime(2026, 11, 25, 19, 42, tzinfo=UTC)

    def first_step(who: UUID, session: str, at: datetime) -> str:
        """What a person reads at the first step of a session that they begin."""
        home.write(SessionStarted(session=session), at=at, by=who)
        with time_machine.travel(at, tick=True):
            page = a_phone(home, who).get(f"/{home.animal_id}/{session}/").content.decode()
        home.write(SessionEnded(session=session), at=at, by=who)
        return " ".join(visible(shown(page)).split())

    with time_machine.travel(evening, tick=True):
        home = quarry_lane(now=evening, recorded=False)
    tonight, late, next_day = "2026-11-25T20:00", "2026-11-25T22:30", "2026-11-26T07:00"
    asked = first_step(home.noor, tonight, evening)
    home.write(StepDone(session=tonight, step="wash-hands"), at=evening)
    again = first_step(home.noor, late, evening + timedelta(hours=2))
    sams = first_step(home.sam, "2026-11-25T18:30", evening + timedelta(hours=3))
    tomorrow = first_step(home.noor, next_day, evening + timedelta(hours=11))
    for words in (asked, sams, tomorrow):
        assert f"{rule} Have you read this?" in words
    assert rule in again
    assert "Have you read this?" not in again
    assert "Hands are washed" in again
