"""Promises about medicines in the record; docs/reference/promises.md prints the docstrings."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest

from fillmark.core.dose_record import Orders, check_reason, find_questions, read_medicines
from fillmark.core.entries import BottleOpened, MedicineGiven, Outcome
from fillmark.core.errors import NeedsReason
from fillmark.core.giving import Verdict
from fillmark.core.plan import read_plan
from fillmark.examples import example_plan
from tests.support.builders import a_kept

PLAN = read_plan(example_plan("juniper"), kind="toml")
ORDERS = Orders([(datetime(2026, 11, 1, tzinfo=UTC), PLAN)])
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
