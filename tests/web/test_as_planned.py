"""What is not as it was planned is asked about at the door: one meal too many, another amount than the plan's."""

import json
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
import time_machine

from fillmark.core.record.medicine_entries import MedicineGiven, Outcome
from fillmark.core.record.session_entries import FillGiven, SessionEnded, SessionStarted
from tests.journeys.household import Household, quarry_lane
from tests.support.builders import an_entry
from tests.support.phone_model import as_document
from tests.web.test_act_gate import juniper, page_of, visible
from tests.web.test_screens import a_phone, press, shown

LATE = datetime(2026, 11, 25, 23, 40, tzinfo=UTC)
EVENING = datetime(2026, 11, 25, 19, 58, tzinfo=UTC)
TONIGHT, TOMORROW = "2026-11-25T20:00", "2026-11-26T07:00"


def sent(home: Household, payload: object, *, at: datetime) -> dict:
    """What the door answers to an entry that a phone sends."""
    document = as_document(an_entry(payload, at=at, animal_id=home.animal_id))
    body = {"entries": [document], "fresh": [document["id"]]}
    return a_phone(home).post("/entries", json.dumps(body), "application/json").json()["entries"][0]


@pytest.mark.hazard("H10")
def test_tomorrows_meal_begun_tonight_is_asked_about(db: None) -> None:
    """The gap is kept, and four meals went in: the fifth belongs to tomorrow."""
    with time_machine.travel(LATE, tick=True):
        home = quarry_lane(now=LATE)
        session = shown(page_of(home, f"{TOMORROW}/"))
        refused = press(a_phone(home), home, "start", session=TOMORROW, at=LATE)
    assert "4 meals went in since 07:02, and a day has 4. Not before 04:02 on 26 November." in session
    assert "Start 07:00" not in visible(session).replace("Start 07:00 all the same", "")
    assert refused.status_code == 400


@pytest.mark.hazard("H10")
def test_ten_times_the_meal_written_down_afterwards_is_asked_about(db: None) -> None:
    """Nothing is kept until somebody has said why, and then it is kept as it was typed."""
    with time_machine.travel(LATE, tick=True):
        home = quarry_lane(now=LATE, plan=juniper(), recorded=False)
        form = {"session": TONIGHT, "ml": "", "ml_typed": "1900"}
        refused = press(a_phone(home), home, "afterwards", at=LATE, **form)
        assert refused.status_code == 400
        assert "the meal is 210 mL, and 1,900 mL is written" in refused.content.decode()
        assert home.entries(now=LATE) == []
        later = LATE + timedelta(seconds=5)
        press(a_phone(home), home, "afterwards", at=later, why="That was all the water of the day too.", **form)
        told = page_of(home, "day/")
    assert "1,900 mL in, all the same: That was all the water of the day too." in told


@pytest.mark.hazard("H3")
@pytest.mark.hazard("H10")
def test_another_amount_than_the_plans_is_asked_about_when_it_is_sent(db: None) -> None:
    """As an old page would write it: the dose of the plan before, a fill that no syringe holds."""
    with time_machine.travel(EVENING, tick=True):
        home = quarry_lane(now=EVENING)
        home.write(SessionStarted(session=TONIGHT), at=EVENING)
        fill = sent(home, FillGiven(session=TONIGHT, fill=1, ml=600.0), at=EVENING)
        home.write(SessionEnded(session=TONIGHT), at=EVENING)
        dose = MedicineGiven(
            session="2026-11-25T22:30",
            medicine="metoclopramide",
            dose_mg=Decimal("52.2"),
            ml=Decimal(52),
            outcome=Outcome.GIVEN,
        )
        at = EVENING.replace(hour=22, minute=30)
        with time_machine.travel(at, tick=True):
            told = sent(home, dose, at=at)
    assert (fill["ok"], fill["code"]) == (False, "needs-reason")
    assert "fill 1 is drawn to 60 mL, and 600 mL is written" in fill["message"]
    assert (told["ok"], told["code"]) == (False, "needs-reason")
    assert "the order is 5.22 mg, and 52.2 mg is written" in told["message"]
