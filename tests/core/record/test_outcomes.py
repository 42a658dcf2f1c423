"""Filled means given: what became of a session, read in one way."""

from decimal import Decimal

import pytest

from fillmark.core.record.medicine_entries import MedicineGiven, Outcome
from fillmark.core.record.outcomes import Became, count_doses, read_ended, read_outcome, read_outcomes, say_outcome_of
from fillmark.core.record.session_entries import CameBack, FillGiven, FlushGiven, MealEnded, SessionEnded, StepSkipped
from fillmark.core.record.sessions import read_session
from tests.support.builders import NOON, SEVEN, a_kept

pytestmark = pytest.mark.hazard("H40")


def dose(outcome: Outcome, medicine: str = "m") -> MedicineGiven:
    reason = {"reason": "Vomiting"} if outcome in (Outcome.HELD, Outcome.REFUSED, Outcome.MISSED) else {}
    return MedicineGiven(session=SEVEN, medicine=medicine, dose_mg=Decimal(5), outcome=outcome, **reason)


@pytest.mark.parametrize(
    ("payloads", "became"),
    [
        ([FillGiven(session=SEVEN, fill=1, ml=60)], Became.GIVEN),
        ([FillGiven(session=SEVEN, fill=1, ml=60), CameBack(session=SEVEN, ml=5)], Became.CAME_BACK),
        ([dose(Outcome.GIVEN), dose(Outcome.HELD, "n")], Became.GIVEN),
        ([dose(Outcome.SPILLED)], Became.CAME_BACK),
        ([dose(Outcome.HELD)], Became.HELD),
        ([dose(Outcome.HELD), FlushGiven(session=SEVEN, step="flush-before", ml=10)], Became.HELD),
        ([dose(Outcome.MISSED)], Became.SKIPPED),
        ([dose(Outcome.REFUSED), dose(Outcome.NOT_KNOWN, "n")], Became.NOT_KNOWN),
        ([StepSkipped(session=SEVEN, step="fill-1", reason="Asleep")], Became.SKIPPED),
        ([MealEnded(session=SEVEN, total_ml="not known", fills=0)], Became.NOT_KNOWN),
        ([FlushGiven(session=SEVEN, step="flush-idle", ml=10)], Became.GIVEN),
        ([], Became.NOT_KNOWN),
    ],
)
def test_a_session_that_is_over_is_given_only_where_something_went_in(payloads: list, became: Became) -> None:
    """Held, skipped and not known are never given; an end alone says nothing."""
    kept = [a_kept(payload, minute=place) for place, payload in enumerate([*payloads, SessionEnded(session=SEVEN)])]
    assert read_ended(read_session(session=SEVEN, entries=kept, now=NOON)) is became


def test_each_outcome_has_one_reading_and_one_word() -> None:
    """Of several records of one dose the most that went in counts."""
    assert {read_outcome(one) for one in Outcome} == set(Became)
    assert read_outcomes([Outcome.HELD, Outcome.GIVEN]) is Became.GIVEN
    assert read_outcomes([Outcome.HELD, Outcome.NOT_KNOWN]) is Became.HELD
    assert [say_outcome_of(one) for one in (Outcome.MISSED, Outcome.PARTIAL, Outcome.HELD)] == [
        "not given",
        "part of it given",
        "held",
    ]
    kept = [a_kept(dose(Outcome.HELD)), a_kept(dose(Outcome.GIVEN, "n"))]
    record = read_session(session=SEVEN, entries=kept, now=NOON)
    assert count_doses(record) == {Became.GIVEN: 1, Became.HELD: 1}
