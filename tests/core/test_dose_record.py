"""What the record says of each medicine, and what must be explained: rules and their edges, without a database."""

from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from typing import Any

import pytest

from fillmark.core.dose_record import (
    Orders,
    QuestionKind,
    check_reason,
    find_objections,
    find_questions,
    find_second_check,
    reach,
    read_givings,
    read_medicines,
)
from fillmark.core.entries import BothGiven, KeptEntry, MedicineGiven, Outcome, SecondCheck
from fillmark.core.errors import NeedsReason
from fillmark.core.giving import Answer, Verdict
from fillmark.core.ledger import are_told, find_told
from fillmark.core.medicine import Apart, Medicine, WhenNeeded
from fillmark.core.plan import CarePlan, read_plan
from fillmark.examples import example_plan
from tests.support.builders import a_kept, an_id
from tests.support.medicines import a_medicine

DUBLIN = "Europe/Dublin"
SEVEN = datetime(2026, 11, 25, 7, 0, tzinfo=UTC)
EVERY_12 = a_medicine()
"""Every 12 hours, less an hour either way at both ends: at least 10 hours between two (ISMP 2011, as summarized)."""


def given(minute: int, outcome: Outcome = Outcome.GIVEN, *, by: str = "Noor", **changed: Any) -> KeptEntry:
    values: dict[str, Any] = {"medicine": "drug", "dose_mg": Decimal(5), "ml": Decimal(5), "outcome": outcome}
    corrects = changed.pop("corrects", None)
    return a_kept(MedicineGiven(**{**values, **changed}), minute=minute, by_name=by, corrects=corrects)


def plan_with(*medicines: Medicine) -> CarePlan:
    return read_plan(example_plan("juniper"), kind="toml").model_copy(update={"medicines": medicines})


def orders(*medicines: Medicine) -> Orders:
    return Orders([(SEVEN - timedelta(days=30), plan_with(*medicines))])


def asked(*entries: KeptEntry, order: Medicine = EVERY_12) -> list[tuple[str, list[Any]]]:
    found = find_questions(entries, orders=orders(order), time_zone=DUBLIN)
    return [(one.kind.value, [giving.id for giving in one.givings]) for one in found]


@pytest.mark.hazard("H1")
@pytest.mark.parametrize(("minutes", "is_asked"), [(0, True), (1, True), (599, True), (600, False), (720, False)])
def test_the_shortest_gap_is_the_edge(minutes: int, is_asked: bool) -> None:
    """Exactly 10 hours is no question; a minute less is one."""
    assert bool(asked(given(0), given(minutes))) == is_asked


@pytest.mark.hazard("H1")
def test_neighbors_are_asked_about_and_nobody_twice() -> None:
    """Three within an hour are two questions; what is explained by a chain of answers is none."""
    one, two, three = given(0), given(20), given(40)
    assert asked(one, two, three) == [
        ("too close", [one.entry.id, two.entry.id]),
        ("too close", [two.entry.id, three.entry.id]),
    ]
    answers = [
        a_kept(BothGiven(entries=pair, reason="yes"), minute=50)
        for pair in ((one.entry.id, two.entry.id), (two.entry.id, three.entry.id))
    ]
    assert asked(one, two, three, answers[0]) == [("too close", [two.entry.id, three.entry.id])]
    assert asked(one, two, three, *answers) == []


def test_a_question_tells_who_when_and_how_far_apart() -> None:
    """By the household's clock, in summer time too."""
    summer = EVERY_12.model_copy(update={"name": "Drug"})
    entries = [given(0), given(90, by="Sam")]
    found = find_questions(entries, orders=orders(summer), time_zone="Europe/Berlin")
    assert [one.text for one in found] == [
        "Drug: Noor at 08:00 and Sam at 09:30, 1.5 hours apart, when at least 10 hours lie between two doses. "
        "Did both happen?"
    ]
    assert found[0].clash.entry_ids == tuple(one.entry.id for one in entries)


@pytest.mark.hazard("H1")
def test_too_many_in_a_day_are_one_question_however_long_they_go_on() -> None:
    """When needed, at most twice in 24 hours: four in a row are one question about all of them."""
    order = a_medicine(when_needed=WhenNeeded(reason="nausea", min_gap_hours=1, max_per_day=2))
    doses = [given(60 * hours) for hours in (0, 6, 12, 18)]

    assert asked(*doses, order=order) == [(QuestionKind.OVER_MAXIMUM.value, [one.entry.id for one in doses])]
    assert asked(*doses[:2], given(24 * 60), order=order) == []


def test_told_means_said_at_once_or_one_beside_the_next() -> None:
    """Through an entry that is not among those asked about, nothing is told."""
    a, b, c = (an_id() for _ in range(3))
    said = (frozenset({a, b}), frozenset({b, c}))
    assert are_told((a, b, c), told=said)
    assert are_told((a,), told=())
    assert not are_told((a, c), told=said)
    assert not are_told((a, b, c), told=said[:1])


def test_a_dose_given_despite_others_tells_of_all_of_them() -> None:
    """With both_given, the two ways in which a person says that it happened more than once."""
    first = given(0)
    second = given(10, reason="the first ran out", despite=(first.entry.id,))
    answer = a_kept(BothGiven(entries=(first.entry.id, second.entry.id)), minute=20)
    ids = frozenset({first.entry.id, second.entry.id})
    assert find_told([first, second, answer]) == (ids, ids)
    assert asked(first, second) == []


# What speaks against a dose


def objections(order: Medicine, *entries: KeptEntry, at: datetime) -> list[tuple[Verdict, datetime | None]]:
    givings = read_givings(entries, time_zone=DUBLIN)
    found = find_objections(order, at=at, givings=givings, time_zone=DUBLIN)
    return [(one.verdict, one.free_at) for one in found]


@pytest.mark.hazard("H1")
def test_a_dose_is_held_against_those_before_and_after_it() -> None:
    """The time from which nothing stands in the way is that of the last of them."""
    first, second = given(0), given(12 * 60)
    assert objections(EVERY_12, first, second, at=SEVEN + timedelta(hours=6)) == [
        (Verdict.TOO_SOON, SEVEN + timedelta(hours=22))
    ]
    assert objections(EVERY_12, first, at=SEVEN - timedelta(hours=9, minutes=59))[0][0] is Verdict.TOO_SOON
    assert objections(EVERY_12, first, at=SEVEN - timedelta(hours=10)) == []


@pytest.mark.hazard("H1")
def test_the_days_maximum_counts_every_day_that_holds_the_dose() -> None:
    """Three in 24 hours: a dose written between two that came before and one after makes four."""
    order = a_medicine(when_needed=WhenNeeded(reason="nausea", min_gap_hours=1, max_per_day=3))
    doses = [given(60 * hours) for hours in (0, 4, 12)]
    assert [verdict for verdict, _ in objections(order, *doses, at=SEVEN + timedelta(hours=8))] == [
        Verdict.OVER_MAXIMUM
    ]
    assert objections(order, *doses[:2], at=SEVEN + timedelta(hours=8)) == []
    assert objections(order, *doses, at=SEVEN + timedelta(hours=24, minutes=1)) == []


def refused(candidate: KeptEntry, *entries: KeptEntry, order: Medicine = EVERY_12) -> str | None:
    try:
        check_reason(candidate, entries=entries, orders=orders(order), time_zone=DUBLIN)
    except NeedsReason as error:
        return str(error)
    return None


@pytest.mark.hazard("H1")
def test_the_refusal_names_the_day_where_it_is_another_one() -> None:
    """16:00 by the clock, and 10 hours later it is tomorrow."""
    told = refused(given(9 * 60 + 30), given(9 * 60))
    assert told is not None
    assert "Noor gave it at 16:00, and at least 10 hours lie" in told
    assert "not before 02:00 on 2026-11-26, or with a typed reason" in told


@pytest.mark.parametrize(
    "candidate",
    [
        given(10, Outcome.HELD, reason="asleep"),
        given(10, reason="once more, the vet said"),
        given(10, medicine="unknown"),
        a_kept(SecondCheck(medicine="drug", ml=Decimal(5)), minute=10),
    ],
    ids=["nothing went in", "it has a reason", "no plan knows it", "it is no dose"],
)
def test_what_needs_no_reason_is_let_through(candidate: KeptEntry) -> None:
    """However close it stands."""
    assert refused(candidate, given(0)) is None


def test_a_correction_that_came_too_late_to_count_is_let_through() -> None:
    """Something newer has already taken the place of what it corrects."""
    first = given(0)
    other = given(5)
    candidate = given(6, corrects=other.entry.id)
    newer = given(200, Outcome.MISSED, reason="it was not", corrects=other.entry.id)
    assert refused(candidate, first, other, newer) is None


@pytest.mark.hazard("H6")
def test_a_second_check_belongs_to_its_session_or_stands_near() -> None:
    """Of several the newest counts; the giver's own never does."""
    order = a_medicine(second_check=True, clocks=(time(8), time(20)))
    plan = plan_with(order)
    dose = given(60, session="2026-11-25T08:00")
    giving = read_givings([dose], time_zone=DUBLIN)[0]

    def check(minute: int, ml: str, *, by: str = "Sam", session: str | None = None) -> KeptEntry:
        return a_kept(SecondCheck(medicine="drug", ml=Decimal(ml), session=session), minute=minute, by_name=by)

    def found(*checks: KeptEntry) -> tuple[str, bool] | None:
        checked = find_second_check(giving, medicine=order, entries=[dose, *checks], plan=plan)
        return (checked.read, checked.agrees) if checked else None

    assert found() is None
    assert found(check(58, "5", by="Noor")) is None
    assert found(check(58, "5", session="2026-11-25T20:00")) is None
    assert found(check(-1, "5")) is None
    assert found(check(0, "5")) == ("5 mL", True)
    assert found(check(50, "3"), check(55, "5", session="2026-11-25T08:00")) == ("5 mL", True)
    assert found(check(50, "5"), check(55, "3")) == ("3 mL", False)


# Where each medicine stands


def test_the_orders_of_a_time_before_the_first_plan_and_of_a_medicine_taken_out() -> None:
    """The nearest version that knows the medicine, an earlier one before a later one."""
    old, new = a_medicine(dose="4 mg"), a_medicine(id="other")
    changed = Orders([(SEVEN, plan_with(old)), (SEVEN + timedelta(days=1), plan_with(new))])

    def dose(medicine_id: str, at: datetime) -> str | None:
        found = changed.find(medicine_id=medicine_id, at=at)
        return found.dose if found else None

    assert dose("drug", SEVEN - timedelta(days=1)) == "4 mg"
    assert dose("drug", SEVEN + timedelta(days=2)) == "4 mg"
    assert dose("other", SEVEN) == "5 mg"
    assert dose("none", SEVEN) is None
    assert Orders([]).plan_at(SEVEN) is None


def test_how_far_back_a_dose_can_speak() -> None:
    """Two days, or what an order or a gap to another medicine needs; never more than a month."""
    assert reach([EVERY_12]) == timedelta(days=2)
    assert reach([a_medicine(every_hours=168)]) == timedelta(hours=336)
    assert reach([a_medicine(apart_from=(Apart(medicine="other", hours=72),))]) == timedelta(hours=72)
    assert reach([a_medicine(every_hours=744)]) == timedelta(days=31)


@pytest.mark.parametrize(
    ("order", "next_at"),
    [
        (a_medicine(clocks=(time(8), time(20))), datetime(2026, 11, 25, 20, 0, tzinfo=UTC)),
        (a_medicine(clocks=(time(6), time(18))), datetime(2026, 11, 25, 18, 0, tzinfo=UTC)),
        (a_medicine(), datetime(2026, 11, 25, 19, 0, tzinfo=UTC)),
        (a_medicine(with_each_meal=True), datetime(2026, 11, 25, 11, 30, tzinfo=UTC)),
        (a_medicine(when_needed=WhenNeeded(reason="pain", min_gap_hours=8, max_per_day=2)), None),
        (a_medicine(held="She vomits.", clocks=(time(8), time(20))), None),
        (a_medicine(stop_on=date(2026, 11, 25), clocks=(time(6), time(7))), None),
    ],
    ids=["answered early", "by the clock", "from the last", "with a meal", "when needed", "held", "its last day"],
)
def test_the_next_time_is_one_that_nothing_was_recorded_for(order: Medicine, next_at: datetime | None) -> None:
    """At 7:30, with the dose of 8:00 already in at 7:00."""
    dose = given(0, session="2026-11-25T08:00")
    state = read_medicines(plan_with(order), orders=orders(order), entries=[dose], now=SEVEN + timedelta(minutes=30))[0]

    assert state.next_at == next_at
    assert (state.last, state.last_record, len(state.today)) == (state.today[0], state.today[0], 1)


@pytest.mark.hazard("H2")
def test_a_dose_left_out_is_told_and_keeps_nothing_waiting() -> None:
    """The newest record is the refusal; the newest dose is yesterday's."""
    order = a_medicine(clocks=(time(8), time(20)))
    yesterday = given(-11 * 60)
    refusal = given(60, Outcome.REFUSED, reason="spat", session="2026-11-25T08:00")
    state = read_medicines(
        plan_with(order), orders=orders(order), entries=[yesterday, refusal], now=SEVEN + timedelta(hours=1, minutes=5)
    )[0]

    assert state.last is not None
    assert state.last_record is not None
    assert (state.last.id, state.last_record.id) == (yesterday.entry.id, refusal.entry.id)
    assert (state.decision.answer, state.objections, state.is_locked) == (Answer.GIVE, (), False)
