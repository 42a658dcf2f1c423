"""What should be in a bottle, until when, and when to order the next: from the label, the order and the record."""

from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID

import pytest

from fillmark.core.entries import BottleOpened, KeptEntry, MedicineGiven, Outcome, StockCounted
from fillmark.core.medicine import DoseStep
from fillmark.core.plan import CarePlan, read_plan
from fillmark.core.supplies import Between, Stock, newest_bottles, read_stock, strength_lock
from fillmark.examples import example_plan
from tests.support.builders import a_kept
from tests.support.medicines import a_medicine

OPENED = datetime(2026, 11, 25, 7, 0, tzinfo=UTC)
DRUG = "drug"


def plan_with(**order: Any) -> CarePlan:
    """Juniper's plan with one invented medicine: 5 mL twice a day out of a 1 mg/mL bottle."""
    plan = read_plan(example_plan("juniper"), kind="toml")
    medicine = a_medicine(**{"clocks": (time(8), time(20)), **order})
    return plan.model_copy(update={"medicines": (medicine,)})


def opened(minute: int = 0, **changed: Any) -> KeptEntry:
    values = {"medicine": DRUG, "strength": "1 mg/mL", "ml": Decimal(100)}
    return a_kept(BottleOpened(**{**values, **changed}), minute=minute)


def given(minute: int, outcome: Outcome = Outcome.GIVEN, **changed: Any) -> KeptEntry:
    values: dict[str, Any] = {"medicine": DRUG, "dose_mg": Decimal(5), "ml": Decimal(5), "outcome": outcome}
    if outcome in (Outcome.HELD, Outcome.REFUSED, Outcome.MISSED):
        values["reason"] = "asleep"
    if outcome is Outcome.PARTIAL:
        values["given_mg"] = Decimal(2)
    return a_kept(MedicineGiven(**{**values, **changed}), minute=minute)


def counted(minute: int, bottle: KeptEntry, ml: str) -> KeptEntry:
    return a_kept(StockCounted(medicine=DRUG, bottle=bottle.entry.id, ml=Decimal(ml)), minute=minute)


def stock(
    *entries: KeptEntry,
    plan: CarePlan | None = None,
    now: datetime = OPENED + timedelta(hours=4),
    doubtful: frozenset[UUID] = frozenset(),
) -> Stock:
    plan = plan or plan_with()
    medicine = plan.medicines[0]
    found = read_stock(plan, entries=entries, order_at=lambda *_: medicine, doubtful=doubtful, now=now)
    assert len(found) == 1
    return found[0]


def between(low: str, high: str) -> Between:
    return Between(Decimal(low), Decimal(high))


def test_a_medicine_without_a_bottle_has_no_stock() -> None:
    """Nothing is guessed."""
    assert read_stock(plan_with(), entries=(), order_at=lambda *_: None, doubtful=frozenset(), now=OPENED) == ()


@pytest.mark.parametrize(
    ("outcome", "left"),
    [
        (Outcome.GIVEN, between("95", "95")),
        (Outcome.PARTIAL, between("95", "95")),
        (Outcome.SPILLED, between("95", "95")),
        (Outcome.CAME_BACK, between("95", "95")),
        (Outcome.REFUSED, between("95", "100")),
        (Outcome.NOT_KNOWN, between("95", "100")),
        (Outcome.HELD, between("100", "100")),
        (Outcome.MISSED, between("100", "100")),
    ],
)
def test_what_was_drawn_left_the_bottle_whatever_became_of_it(outcome: Outcome, left: Between) -> None:
    """A dose spilled, or brought up again, is gone all the same; of a refused one nobody says whether it was drawn."""
    assert stock(opened(), given(10, outcome)).left == left


def test_a_dose_that_came_back_and_was_drawn_again_left_it_twice() -> None:
    """Two records, two draws."""
    assert stock(opened(), given(10, Outcome.CAME_BACK), given(30, reason="drawn again")).left == between("90", "90")


def test_what_may_be_one_dose_told_twice_makes_a_range() -> None:
    """Until someone has said whether it was given once or twice."""
    second = given(12)
    assert stock(opened(), given(10), second, doubtful=frozenset({second.entry.id})).left == between("90", "95")


def test_what_was_given_before_it_was_opened_came_from_another() -> None:
    """And a bottle opened later is the one in use."""
    first, second = opened(0), opened(60, ml=Decimal(30))
    found = stock(first, given(30), second, given(90))
    assert (found.bottle.id, found.left) == (second.entry.id, between("25", "25"))


def test_in_mg_it_is_the_low_end_times_the_strength() -> None:
    """By hand: 95 mL × 1 mg/mL."""
    mass = stock(opened(), given(10)).left_mg
    assert mass is not None
    assert (str(mass.value), mass.because) == ("95 mg", "95 mL × 1 mg/mL = 95 mg")


@pytest.mark.parametrize(
    ("seen", "is_asked"), [("95", False), ("90", False), ("89.9", True), ("100", False), ("101", True)]
)
def test_a_count_that_is_off_by_more_than_an_eye_can_be_is_asked_about(seen: str, is_asked: bool) -> None:
    """5 mL either way in a bottle of 100 mL; what was seen is what the next doses are taken from."""
    bottle = opened()
    found = stock(bottle, given(10), counted(20, bottle, seen), given(30))

    assert found.count is not None
    assert (found.count.expected, found.count.is_asked_about) == (between("95", "95"), is_asked)
    assert found.left.low == Decimal(seen) - 5


def test_tablets_are_counted_exactly() -> None:
    """Half a tablet a dose; one too few is asked about."""
    plan = plan_with(form="tablet", strength="10 mg/tablet", tablet_parts=2, route="mouth", dose="5 mg")
    bottle = opened(strength="10 mg/tablet", ml=None, pieces=Decimal(30))
    taken = [given(minute, ml=None, amount="half a tablet") for minute in (10, 40)]
    seen = a_kept(StockCounted(medicine=DRUG, bottle=bottle.entry.id, pieces=Decimal(28)), minute=50)

    found = stock(bottle, *taken, plan=plan)
    assert (found.left_words, found.doses_left) == ("29 tablets", 58)
    asked = stock(bottle, *taken, seen, plan=plan).count
    assert asked is not None
    assert asked.is_asked_about


def test_doses_days_and_the_day_to_order_by() -> None:
    """100 mL at 5 mL twice a day from 11:00 on: 20:00 today, then 19 doses of the next days; the 21st is not in it.

    By hand: today 1 dose, 9 days of 2 make 19, the 20th dose is at 8:00 on 5 December, and 20:00 finds nothing.
    """
    found = stock(opened())
    assert (found.doses_left, found.dose) == (20, Decimal(5))
    assert (found.runs_out_on, found.last_day) == (date(2026, 12, 5), date(2026, 12, 4))
    assert found.order_on == date(2026, 11, 28)


def test_a_taper_takes_less_and_lasts_longer() -> None:
    """2.5 mL from the 27th on. By hand: 5 + 10 = 15 mL to the 26th, 85 mL are 34 doses of 17 days, to 13 December."""
    taper = (DoseStep(from_on=date(2026, 11, 27), dose="2.5 mg"),)
    assert stock(opened(), plan=plan_with(steps=taper)).runs_out_on == date(2026, 12, 14)


def test_a_course_that_ends_before_the_bottle_does_never_runs_out() -> None:
    """Nor is there anything to order."""
    found = stock(opened(), plan=plan_with(stop_on=date(2026, 11, 28)))
    assert (found.runs_out_on, found.order_on) == (None, None)


@pytest.mark.hazard("H15")
@pytest.mark.parametrize(
    ("label", "until"),
    [
        ({}, None),
        ({"expires_on": date(2027, 3, 31)}, date(2027, 3, 31)),
        ({"expires_on": date(2027, 3, 31), "discard_on": date(2026, 12, 20)}, date(2026, 12, 20)),
        ({"keeps_as": "water, preserved", "filled_on": date(2026, 11, 24)}, date(2026, 12, 28)),
        ({"keeps_as": "water, no preservative", "filled_on": date(2026, 11, 24)}, date(2026, 12, 7)),
        ({"keeps_as": "water, preserved", "discard_on": date(2026, 12, 1)}, date(2026, 12, 1)),
    ],
)
def test_the_label_goes_before_print_and_print_before_nothing(label: dict[str, Any], until: date | None) -> None:
    """USP <795>: 35 days for a preserved water mixture and 14 without, the day of making being day 1."""
    found = stock(opened(**label)).until
    assert (found and found.value) == until


@pytest.mark.hazard("H15")
def test_a_bottle_past_its_day_is_asked_about() -> None:
    """Its last day still counts."""
    entries = opened(discard_on=date(2026, 11, 26))
    assert not stock(entries, now=datetime(2026, 11, 26, 23, 0, tzinfo=UTC)).is_past
    assert stock(entries, now=datetime(2026, 11, 27, 1, 0, tzinfo=UTC)).is_past


def test_what_may_not_be_used_any_more_is_ordered_before_it_is_empty() -> None:
    """The label's day comes first: the last dose is on it, and the order goes out a week before the day after."""
    found = stock(opened(discard_on=date(2026, 12, 2)))
    assert (found.last_day, found.order_on) == (date(2026, 12, 2), date(2026, 11, 26))


@pytest.mark.hazard("H3")
@pytest.mark.parametrize(
    ("planned", "bottle", "is_locked"),
    [
        ("1 mg/mL", "1 mg/mL", False),
        ("1 mg/mL", "0.1 %", False),
        ("1 mg/mL", "5 mg/5 mL", False),
        ("1 mg/mL", "1.1 mg/mL", True),
        ("1 mg/mL", "10 mg/mL", True),
        ("1 mg/mL", "1 mg/tablet", True),
        (None, "1 mg/mL", True),
    ],
)
def test_a_bottle_of_another_strength_or_form_locks(planned: str | None, bottle: str, is_locked: bool) -> None:
    """However it is written; also where the plan never knew the strength."""
    found = newest_bottles([opened(strength=bottle)])[DRUG]
    medicine = a_medicine(strength=planned or "not stated")
    assert (strength_lock(medicine, bottle=found) is not None) == is_locked


@pytest.mark.hazard("H3")
def test_of_a_locked_bottle_no_doses_are_counted() -> None:
    """5 mL of the plan are ten doses of this one; how many there are is for the lead to confirm."""
    found = stock(opened(strength="10 mg/mL"))
    assert (found.lock is not None, found.dose, found.doses_left, found.runs_out_on) == (True, None, None, None)
    assert found.left_words == "100 mL"
