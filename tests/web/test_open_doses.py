"""A dose that is due stays on the first screen when the next session is due, until someone says what became of it."""

from datetime import UTC, datetime, timedelta

import pytest
import time_machine

from fillmark.core.record.medicine_entries import MedicineGiven, Outcome
from fillmark.core.record.session_entries import SessionEnded, SessionStarted
from tests.journeys.household import Household, quarry_lane
from tests.web.test_act_gate import page_of, visible
from tests.web.test_screens import a_phone, press

TEATIME = datetime(2026, 11, 25, 15, 20, tzinfo=UTC)
DUE = "2026-11-25T14:30"
STEP = "medicine-metoclopramide"


@pytest.fixture
def home(db: None):
    """The 15:00 meal is due; nobody has written a word of the dose of 14:30."""
    with time_machine.travel(TEATIME, tick=True):
        yield quarry_lane(now=TEATIME, recorded=False)


def doses(home: Household) -> list[MedicineGiven]:
    return [one.payload for one in home.entries(now=TEATIME) if isinstance(one.payload, MedicineGiven)]


@pytest.mark.hazard("H41")
def test_a_dose_that_is_due_stays_when_the_next_session_is_due(home: Household) -> None:
    """By name, with what can be done about it, and until when; what is too late by the order is not offered."""
    first = page_of(home)
    seen = visible(first)
    assert "Start 15:00" in seen
    assert "Due 14:30 · no entry" in seen
    assert "Not after 16:30." in seen
    for way in ("open", "skip", "told"):
        assert f'href="/{home.animal_id}/{DUE}/#{way}-{STEP}"' in first
    assert "Due 06:30" not in seen
    with time_machine.travel(TEATIME.replace(hour=16, minute=31), tick=True):
        assert "Due 14:30" not in visible(page_of(home))


@pytest.mark.hazard("H41")
@pytest.mark.parametrize(
    ("form", "became"),
    [
        ({"outcome": "given"}, (Outcome.GIVEN, None, None)),
        ({"outcome": "missed", "reason": "The vet said so"}, (Outcome.MISSED, "The vet said so", None)),
        ({"outcome": "not known"}, (Outcome.NOT_KNOWN, None, None)),
        ({"outcome": "given", "given_by": "Sam", "dated": "2026-11-25T14:40:00+00:00"}, (Outcome.GIVEN, None, "Sam")),
    ],
    ids=["give it now", "skip it", "not known", "it was given"],
)
def test_what_became_of_it_is_written_from_the_sessions_page(home: Household, form: dict, became: tuple) -> None:
    """Each of the ways writes one dose, and it stands on the first screen no more."""
    answer = press(a_phone(home), home, "open", session=DUE, at=TEATIME, step=STEP, **form)
    assert answer.status_code == 302
    (dose,) = doses(home)
    assert (dose.outcome, dose.reason, dose.given_by) == became
    assert "Due 14:30" not in visible(page_of(home))
    if "dated" in form:
        assert home.entries(now=TEATIME)[0].at == datetime(2026, 11, 25, 14, 40, tzinfo=UTC)
        page = page_of(home, "day/")
        assert "given by Sam, as told" in page


@pytest.mark.hazard("H41")
@pytest.mark.hazard("H1")
def test_it_is_given_late_only_through_the_gate(home: Household) -> None:
    """Sam gave one an hour ago outside of its session: that is told before the press, which needs its reason."""
    payload = MedicineGiven(medicine="metoclopramide", amount="5.2 mL", outcome=Outcome.GIVEN)
    home.write(payload, at=TEATIME - timedelta(hours=1), by=home.sam, device="sam-phone")
    page = page_of(home, f"{DUE}/")
    screen = page.partition(f'id="open-{STEP}"')[2].partition('<div class="screen')[0]
    assert "Sam gave it at 14:20, and at least 6 hours lie between two doses." in visible(f"<div>{screen}")
    assert "It is given all the same" in visible(f"<div>{screen}")
    assert press(a_phone(home), home, "open", session=DUE, at=TEATIME, step=STEP, outcome="given").status_code == 400
    assert len(doses(home)) == 1


@pytest.mark.hazard("H41")
def test_a_dose_that_was_held_can_be_given_once_that_is_over(home: Household) -> None:
    """It says held and why; given afterwards, it is given."""
    held = MedicineGiven(
        session=DUE, medicine="metoclopramide", amount="5.2 mL", outcome=Outcome.HELD, reason="Vomiting or retching"
    )
    for payload in (SessionStarted(session=DUE), held, SessionEnded(session=DUE)):
        home.write(payload, at=TEATIME - timedelta(minutes=40))
    seen = visible(page_of(home))
    assert "Due 14:30 · held" in seen
    assert "Held: Vomiting or retching." in seen
    assert press(a_phone(home), home, "open", session=DUE, at=TEATIME, step=STEP, outcome="given").status_code == 302
    assert doses(home)[-1].outcome is Outcome.GIVEN
    assert "Due 14:30" not in visible(page_of(home))


def test_a_time_to_come_is_no_time_at_which_it_was_given(home: Household) -> None:
    """Nor is what is no time at all; what was sent is named."""
    for dated in ("2026-11-25T17:00:00+00:00", "half past two", "2026-11-25T14:30:00"):
        form = {"outcome": "given", "given_by": "Sam", "dated": dated}
        answer = press(a_phone(home), home, "open", session=DUE, at=TEATIME, step=STEP, **form)
        assert answer.status_code == 400
        assert "for when it was given" in answer.content.decode()
    assert doses(home) == []
