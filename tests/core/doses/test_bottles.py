"""What should be in a bottle, until when, and when to order the next: from the label, the order and the record."""

from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID

import pytest

from fillmark.core.doses.bottle_in_use import newest_bottles, strength_lock, strength_number
from fillmark.core.doses.bottles import Between, Stock, read_stock, say_amount
from fillmark.core.orders.rhythm import DoseStep, WhenNeeded
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.medicine_entries import BottleOpened, MedicineGiven, Outcome, StockCounted
from fillmark.core.values.quantities import Mass, Strength
from tests.support.builders import a_kept, junipers_plan
from tests.support.medicines import a_medicine

OPENED = datetime(2026, 11, 25, 7, 0, tzinfo=UTC)
DRUG = "drug"


def plan_with(**order: Any) -> CarePlan:
    """Juniper's plan with one invented medicine: 5 mL twice a day out of a 1 mg/mL bottle."""
    plan = junipers_plan()
    order = {"clocks": (time(8), time(20)), **order}
    medicine = a_medicine(**order)
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
    after = stock(bottle, *taken, seen, plan=plan)
    assert after.count is not None
    assert (after.count.is_asked_about, after.left_words) == (True, "28 tablets")


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
    assert (found.runs_out_on, found.order_on, found.last_day) == (None, None, None)


@pytest.mark.parametrize(
    ("order", "held", "runs_out_on"),
    [
        ({"every_hours": 8, "clocks": ()}, 100, date(2026, 12, 1)),  # 3 a day: 18 in 6 days, the 21st on the 7th
        ({"every_hours": 48, "clocks": ()}, 10, date(2026, 11, 30)),  # every 2nd day: the third on the 6th
        ({"with_each_meal": True, "clocks": ()}, 100, date(2026, 11, 30)),  # 3 more today, 4 a day, 19 to the 29th
        (
            {"when_needed": WhenNeeded(reason="pain", min_gap_hours=8, max_per_day=2), "clocks": ()},
            100,
            date(2026, 12, 5),
        ),
        ({"start_on": date(2026, 12, 1)}, 100, date(2026, 12, 11)),  # 10 days from its first
        ({"held": "She vomits."}, 100, None),
    ],
    ids=["by the interval", "less than daily", "with each meal", "when needed, at most", "from its first day", "held"],
)
def test_how_long_it_lasts_is_counted_by_the_order(order: dict[str, Any], held: int, runs_out_on: date | None) -> None:
    """By hand beside each; whole days where the order names no times of day."""
    assert stock(opened(ml=Decimal(held)), plan=plan_with(**order)).runs_out_on == runs_out_on


def test_the_dose_of_this_very_minute_is_not_ahead_any_more() -> None:
    """95 mL at 8:00 sharp: 20:00 today, and 18 in 9 days; the 20th finds nothing."""
    eight = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)
    assert stock(opened(ml=Decimal(95)), now=eight).runs_out_on == date(2026, 12, 5)


def test_a_record_that_says_nothing_about_how_much_is_told() -> None:
    """No mL, and no order that knows it; a later count begins anew, and what is known is counted on."""
    medicine, bottle = plan_with().medicines[0], opened()
    silent = [given(minute, ml=None) for minute in (0, 20)]
    known = [given(40), given(50, Outcome.HELD)]

    def read(*entries: KeptEntry) -> tuple[int, str]:
        found = read_stock(plan_with(), entries=entries, order_at=lambda *_: None, doubtful=frozenset(), now=OPENED)
        return found[0].not_counted, found[0].left_words

    assert medicine.id == DRUG
    assert read(bottle, *silent, *known) == (2, "95 mL")
    assert read(bottle, *silent, *known, counted(60, bottle, "80")) == (0, "80 mL")


def test_a_dose_in_the_minute_of_opening_came_out_of_it() -> None:
    """Whoever opens it gives from it."""
    assert stock(opened(), given(0)).left_words == "95 mL"


def test_amounts_are_told_in_words() -> None:
    """A range where it is one; one tablet, more tablets; twice the mg in a bottle of twice the strength."""
    assert stock(opened(), given(10, Outcome.REFUSED)).left_words == "95 to 100 mL"
    assert [say_amount(Decimal(text), piece="tablet") for text in ("1", "2", "0.5")] == [
        "1 tablet",
        "2 tablets",
        "0.5 tablets",
    ]
    mass = stock(opened(strength="2 mg/mL"), plan=plan_with(strength="2 mg/mL")).left_mg
    assert mass is not None
    assert str(mass.value) == "200 mg"


def test_strengths_are_compared_as_numbers_of_a_kind() -> None:
    """In one mL, or in one piece; none stays none."""
    assert strength_number(None) is None
    assert strength_number(Strength.read("250 mcg/mL")) == 0.25
    assert strength_number(Mass.read("5 mg")) == 5


def test_a_lock_tells_what_both_say() -> None:
    """Who opened it, its strength, and the plan's."""
    bottle = newest_bottles([opened(strength="2 mg/mL")])[DRUG]
    said = [strength_lock(a_medicine(strength=text), bottle=bottle) for text in ("1 mg/mL", "not stated")]
    assert said == [
        "the bottle opened by Noor says 2 mg/mL and the plan says 1 mg/mL",
        "the bottle opened by Noor says 2 mg/mL and the plan states no strength",
    ]


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


@pytest.mark.parametrize(
    ("order", "held", "runs_out_on"),
    [
        # 18:30 on the 26th, 6:30 on the 28th, 18:30 on the 29th, 6:30 on 1 December: the fourth finds nothing
        ({"every_hours": 36, "clocks": (), "first_dose": datetime(2026, 11, 25, 6, 30)}, 15, date(2026, 12, 1)),  # noqa: DTZ001
        # tomorrow and the day after once, then every other day: the 28th and the 30th
        (
            {
                "every_hours": 24,
                "clocks": (time(7),),
                "steps": (DoseStep(from_on=date(2026, 11, 28), dose="5 mg", every_hours=48),),
            },
            15,
            date(2026, 11, 30),
        ),
    ],
    ids=["hours from the first dose", "a taper that becomes rarer"],
)
def test_every_rhythm_is_counted(order: dict[str, Any], held: int, runs_out_on: date) -> None:
    """By hand beside each."""
    assert stock(opened(ml=Decimal(held)), plan=plan_with(**order)).runs_out_on == runs_out_on
