"""Promises about medicines in the record; docs/reference/promises.md prints the docstrings."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from fillmark.core.chart.dose_questions import find_questions
from fillmark.core.chart.givings import OrdersInForce
from fillmark.core.chart.medicine_states import read_medicines
from fillmark.core.chart.objections import check_reason
from fillmark.core.day.due import due_medicines
from fillmark.core.day.plan_day import plan_day
from fillmark.core.doses.giving import Verdict
from fillmark.core.record.medicine_entries import BottleOpened, MedicineGiven, Outcome
from fillmark.core.values.errors import NeedsReason
from tests.support.builders import a_kept, junipers_plan
from tests.support.charts import a_plan
from tests.support.medicines import a_medicine

PLAN = junipers_plan()
ORDERS = OrdersInForce([(datetime(2026, 11, 1, tzinfo=UTC), PLAN)])
DUBLIN = PLAN.household.time_zone


def given(*, minute: int, by_name: str = "Noor"):
    payload = MedicineGiven(
        medicine="metoclopramide", dose_mg=Decimal("5.22"), ml=Decimal("5.2"), outcome=Outcome.GIVEN
    )
    return a_kept(payload, minute=minute, by_name=by_name)


@pytest.mark.hazard("H1")
def test_a_second_dose_too_soon_needs_a_typed_reason():
    """A dose pressed 28 minutes after another caregiver's is not written without a typed reason; the refusal names
    who gave it, when, and until when to wait."""
    with pytest.raises(NeedsReason) as told:
        check_reason(given(minute=28, by_name="Sam"), entries=[given(minute=0)], orders=ORDERS, time_zone=DUBLIN)
    assert "Noor gave it at 07:00" in str(told.value)
    assert "not before 13:00" in str(told.value)


@pytest.mark.hazard("H1")
@pytest.mark.hazard("H27")
def test_what_arrives_late_is_kept_and_asked_about():
    """A dose that a phone wrote without a signal is never refused: both stay, and one question stands until a person
    has answered whether both happened."""
    found = find_questions([given(minute=28, by_name="Sam"), given(minute=0)], orders=ORDERS, time_zone=DUBLIN)
    assert [one.text.endswith("Did both happen?") for one in found] == [True]


@pytest.mark.hazard("H3")
def test_a_bottle_of_another_strength_locks_its_medicine():
    """When the new bottle's label says another strength than the plan, nothing is drawn from it until a lead has read
    the label again and the plan has it."""
    label = BottleOpened(medicine="metoclopramide", strength="10 mg/mL", ml=Decimal(50))
    now = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)
    states = read_medicines(PLAN, orders=ORDERS, entries=[a_kept(label, minute=0)], now=now + timedelta(minutes=1))
    assert [state.decision.verdict is Verdict.LOCKED for state in states] == [True, False]


@pytest.mark.hazard("H1")
@pytest.mark.hazard("H26")
def test_every_36_hours_stays_every_36_hours_when_the_clock_changes():
    """An order in hours that fit no day is counted from its first dose in true hours: over the sixty days around a
    changed clock no dose is lost, none comes twice, and each is given with a session within its window or makes one."""
    zone = ZoneInfo("Europe/Berlin")
    first = datetime(2026, 3, 1, 6, 30)  # noqa: DTZ001 - the household's clock
    plan = a_plan(a_medicine(every_hours=36, first_dose=first), time_zone=zone.key)
    days = [due_medicines(plan, on=date(2026, 3, 1) + timedelta(days=number)) for number in range(60)]
    due_at = [one.due_at for day in days for due in day.values() for one in due]
    assert due_at == [first.replace(tzinfo=zone).astimezone(UTC) + number * timedelta(hours=36) for number in range(40)]


def test_the_last_dose_of_a_course_is_called_so():
    """Where a dose is given it says which day of the course it is, that it ends tomorrow, and which dose is last."""
    course = a_medicine(clocks=("07:00", "20:00"), start_on=date(2026, 11, 20), stop_on=date(2026, 11, 26))
    told = [
        " ".join(step.notes)
        for day in (25, 26)
        for session in plan_day(a_plan(course), on=date(2026, 11, day)).sessions
        for step in session.steps
        if step.medicine_id == "drug"
    ]
    assert ["The course ends tomorrow." in words for words in told] == [True, True, False, False]
    assert ["This is the last dose of the course." in words for words in told] == [False, False, False, True]
    assert ["Day 6 of 7." in words for words in told] == [True, True, False, False]
