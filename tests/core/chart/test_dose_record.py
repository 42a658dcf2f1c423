"""What the record says of each medicine, and what must be explained: rules and their edges, without a database."""

from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from typing import Any

import pytest

from fillmark.core.chart.dose_questions import QuestionKind, find_questions
from fillmark.core.chart.givings import OrdersInForce, find_second_check, reach, read_givings
from fillmark.core.chart.medicine_states import read_medicines
from fillmark.core.chart.objections import BesideDose, check_reason, find_objections
from fillmark.core.doses.bottle_in_use import newest_bottles
from fillmark.core.doses.giving import Answer, Verdict
from fillmark.core.orders.medicine import Medicine
from fillmark.core.orders.rhythm import ApartFrom, FoodRule, WhenNeeded
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.day_entries import BothGiven
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.medicine_entries import BottleOpened, MedicineGiven, Outcome, SecondCheck
from fillmark.core.record.session_entries import MealEnded
from fillmark.core.record.sessions import are_told, find_told
from fillmark.core.values.errors import NeedsReason
from tests.support.builders import a_kept, an_id, junipers_plan
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
    return junipers_plan().model_copy(update={"medicines": medicines})


def orders(*medicines: Medicine) -> OrdersInForce:
    return OrdersInForce([(SEVEN - timedelta(days=30), plan_with(*medicines))])


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
        "Drug: Noor at 08:00 and Sam at 09:30 on 25 November, 1 hour 30 minutes apart, when at least 10 hours lie "
        "between two doses. Did both happen?"
    ]
    assert found[0].clash.entry_ids == tuple(one.entry.id for one in entries)


@pytest.mark.hazard("H1")
def test_too_many_in_a_day_are_one_question_however_long_they_go_on() -> None:
    """When needed, at most twice in 24 hours: six in a row are one question about all of them."""
    order = a_medicine(when_needed=WhenNeeded(reason="nausea", min_gap_hours=1, max_per_day=2))
    doses = [given(60 * hours) for hours in (0, 6, 12, 18, 30, 36)]

    assert asked(*doses, order=order) == [(QuestionKind.OVER_MAXIMUM.value, [one.entry.id for one in doses])]
    assert asked(*doses[:2], given(24 * 60), order=order) == []
    once = a_medicine(when_needed=WhenNeeded(reason="nausea", min_gap_hours=1, max_per_day=1))
    chain = [given(60 * hours) for hours in (0, 10, 33)]
    assert [ids for _, ids in asked(*chain, order=once)] == [[one.entry.id for one in chain]]


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
    found = find_objections(order, at=at, on=at.date(), beside=BesideDose(givings=givings), time_zone=DUBLIN)
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
    assert "not before 02:00 on 26 November, or with a typed reason" in told


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
    changed = OrdersInForce([(SEVEN, plan_with(old)), (SEVEN + timedelta(days=1), plan_with(new))])

    def dose(medicine_id: str, at: datetime) -> str | None:
        found = changed.find(medicine_id=medicine_id, at=at)
        return found.dose if found else None

    assert dose("drug", SEVEN - timedelta(days=1)) == "4 mg"
    assert dose("drug", SEVEN + timedelta(days=2)) == "4 mg"
    assert dose("other", SEVEN) == "5 mg"
    assert dose("none", SEVEN) is None
    assert OrdersInForce([]).plan_at(SEVEN) is None


def test_how_far_back_a_dose_can_speak() -> None:
    """Two days, or what an order or a gap to another medicine needs; never more than a month."""
    assert reach([EVERY_12]) == timedelta(days=2)
    assert reach([a_medicine(every_hours=168)]) == timedelta(hours=336)
    assert reach([a_medicine(apart_from=(ApartFrom(medicine="other", hours=72),))]) == timedelta(hours=72)
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


# At the edges


def test_a_version_holds_from_its_very_instant_to_the_next() -> None:
    """Three versions of one order; before the first, the first."""
    doses = ("4 mg", "5 mg", "6 mg")
    versions = [(SEVEN + timedelta(days=day), plan_with(a_medicine(dose=text))) for day, text in enumerate(doses)]
    changed = OrdersInForce(versions)

    def both(at: datetime) -> tuple[str, str]:
        plan, order = changed.plan_at(at), changed.find(medicine_id="drug", at=at)
        assert plan is not None
        assert order is not None
        return plan.medicines[0].dose, order.dose

    second = timedelta(seconds=1)
    for at, dose in (
        (SEVEN - second, "4 mg"),
        (SEVEN, "4 mg"),
        (SEVEN + timedelta(days=1) - second, "4 mg"),
        (SEVEN + timedelta(days=1), "5 mg"),
        (SEVEN + timedelta(days=2), "6 mg"),
        (SEVEN + timedelta(days=9), "6 mg"),
    ):
        assert both(at) == (dose, dose)


def test_of_two_versions_without_it_between_the_earlier_order_holds() -> None:
    """It was taken out and ordered anew: in between, what was given is judged by the order before."""
    versions = (a_medicine(dose="4 mg"), a_medicine(id="other"), a_medicine(dose="6 mg"))
    changed = OrdersInForce([(SEVEN + timedelta(days=day), plan_with(order)) for day, order in enumerate(versions)])
    found = changed.find(medicine_id="drug", at=SEVEN + timedelta(days=1))
    assert found is not None
    assert found.dose == "4 mg"


def test_a_long_gap_by_the_vets_word_is_looked_back_for() -> None:
    """Daily, but at least 100 hours after the last: further than two days."""
    assert reach([a_medicine(min_gap_hours=100)]) == timedelta(hours=100)
    assert reach([a_medicine(with_each_meal=True), a_medicine(every_hours=36)]) == timedelta(hours=72)


def test_each_medicine_is_asked_about_for_itself() -> None:
    """Of three, also when only one is asked for."""
    entries = [given(minute, medicine=name) for name in ("a", "b", "c") for minute in (0, 30)]
    known = orders(a_medicine(id="a"), a_medicine(id="b"), a_medicine(id="c"))

    def names(**asked_for: str) -> list[str]:
        found = find_questions(entries, orders=known, time_zone=DUBLIN, **asked_for)
        return [one.medicine.id for one in found]

    assert names() == ["a", "b", "c"]
    assert names(medicine_id="b") == ["b"]


def test_a_maximum_that_came_later_asks_only_about_what_it_holds_for() -> None:
    """Before it there was no word on how many."""
    free = a_medicine(every_hours=2)
    capped = a_medicine(every_hours=2, max_per_day=2)
    changed = OrdersInForce([(SEVEN, plan_with(free)), (SEVEN + timedelta(hours=5), plan_with(capped))])
    doses = [given(60 * hours) for hours in (0, 2, 4, 6)]

    found = find_questions(doses, orders=changed, time_zone=DUBLIN)

    assert [[giving.id for giving in one.givings] for one in found] == [[one.entry.id for one in doses]]


def test_two_days_apart_that_are_both_too_full_are_two_questions() -> None:
    """They share no dose."""
    order = a_medicine(when_needed=WhenNeeded(reason="nausea", min_gap_hours=1, max_per_day=2))
    doses = [given(60 * hours) for hours in (0, 2, 4, 72, 74, 76)]

    assert [ids for _, ids in asked(*doses, order=order)] == [
        [one.entry.id for one in doses[:3]],
        [one.entry.id for one in doses[3:]],
    ]


@pytest.mark.parametrize(
    ("minutes", "words"),
    [
        (1, "1 minute apart"),
        (2, "2 minutes apart"),
        (59, "59 minutes apart"),
        (60, "1 hour apart"),
        (120, "2 hours apart"),
    ],
)
def test_how_far_apart_is_told_as_people_say_it(minutes: int, words: str) -> None:
    """Minutes below an hour, hours from there."""
    found = find_questions([given(0), given(minutes)], orders=orders(EVERY_12), time_zone=DUBLIN)
    assert words in found[0].text


def test_an_order_on_hold_and_a_bottle_of_another_strength_speak_against_it() -> None:
    """Each for itself, and waiting helps with neither."""
    label = BottleOpened(medicine="drug", strength="2 mg/mL", ml=Decimal(9), discard_on=date(2026, 11, 24))
    bottle = newest_bottles([a_kept(label, minute=-60)])["drug"]
    order = a_medicine(held="She vomits.")

    found = find_objections(order, at=SEVEN, on=SEVEN.date(), beside=BesideDose(bottle=bottle), time_zone=DUBLIN)

    assert [(one.verdict, one.free_at) for one in found] == [
        (Verdict.HELD, None),
        (Verdict.LOCKED, None),
        (Verdict.PAST_USE, None),
    ]
    assert [one.because for one in found] == [
        "Drug is on hold: She vomits",
        "the bottle opened by Noor says 2 mg/mL and the plan says 1 mg/mL",
        "the last day of use of its bottle was 24 November",
    ]


def test_the_day_that_is_full_is_free_again_when_its_first_has_gone_a_day() -> None:
    """Twice in 24 hours: given at 7 and 15, the next at 7 tomorrow; at 7 sharp it is free."""
    order = a_medicine(when_needed=WhenNeeded(reason="nausea", min_gap_hours=1, max_per_day=2))
    doses = [given(0), given(8 * 60)]
    tomorrow = SEVEN + timedelta(days=1)
    assert objections(order, *doses, at=tomorrow - timedelta(minutes=1)) == [(Verdict.OVER_MAXIMUM, tomorrow)]
    assert objections(order, *doses, at=tomorrow) == []
    assert objections(order, *doses, at=SEVEN - timedelta(hours=15)) == [(Verdict.OVER_MAXIMUM, tomorrow)]
    assert objections(order, *doses, at=SEVEN - timedelta(hours=16)) == []


def test_when_waiting_helps_only_in_part_no_time_is_named() -> None:
    """Too soon, and on hold as well: waiting for 17:00 would not do."""
    order = a_medicine(held="She vomits.")
    with pytest.raises(NeedsReason) as told:
        check_reason(given(30), entries=[given(0)], orders=orders(order), time_zone=DUBLIN)
    assert told.value.free_at is None
    assert told.value.allowed == "with a typed reason"


def test_the_latest_of_two_waits_is_named() -> None:
    """The gap is over at 8:00, the full day at 7:00 tomorrow."""
    order = a_medicine(when_needed=WhenNeeded(reason="nausea", min_gap_hours=1, max_per_day=1))
    with pytest.raises(NeedsReason) as told:
        check_reason(given(30), entries=[given(0)], orders=orders(order), time_zone=DUBLIN)
    assert told.value.free_at == SEVEN + timedelta(days=1)
    assert told.value.allowed == "not before 07:00 on 26 November, or with a typed reason"


@pytest.mark.hazard("H6")
@pytest.mark.parametrize(
    ("read", "words"),
    [
        (None, "the plan asks for a second person to read the syringe, and nobody else has"),
        ("4", "Sam read 4 mL as the second person, which is not the dose"),
        ("5", None),
    ],
)
def test_a_dose_that_asks_for_a_second_check_is_refused_without_one(read: str | None, words: str | None) -> None:
    """Or with one that reads something else."""
    checks = [a_kept(SecondCheck(medicine="drug", ml=Decimal(read)), minute=5, by_name="Sam")] if read else []
    told = refused(given(10), *checks, order=a_medicine(second_check=True))
    assert (told is None) == (words is None)
    assert words is None or words in str(told)


def states(*entries: KeptEntry, now: datetime, plan: CarePlan) -> dict[str, Any]:
    found = read_medicines(plan, orders=OrdersInForce([(SEVEN - timedelta(days=30), plan)]), entries=entries, now=now)
    return {one.medicine.id: one for one in found}


def test_a_press_now_has_to_name_what_it_stands_close_to() -> None:
    """And each medicine has its own questions."""
    plan = plan_with(a_medicine(), a_medicine(id="other"))
    one, two = given(0), given(20)
    found = states(one, two, now=SEVEN + timedelta(hours=1), plan=plan)
    assert found["drug"].despite == (one.entry.id, two.entry.id)
    assert (len(found["drug"].questions), found["other"].questions, found["other"].despite) == (1, (), ())


def test_other_medicines_and_the_newest_meal_are_heard() -> None:
    """Kept apart from the other by two hours; an empty stomach two hours after the last food, not the first."""
    hungry = a_medicine(food=FoodRule(relation="empty stomach", minutes=30, after_minutes=120))
    apart = a_medicine(id="other", apart_from=(ApartFrom(medicine="drug", hours=2),))
    meals = [
        a_kept(MealEnded(session=f"2026-11-25T0{hour}:00", total_ml=90, fills=0), minute=60 * (hour - 7))
        for hour in (4, 7)
    ]
    found = states(*meals, now=SEVEN + timedelta(hours=1), plan=plan_with(hungry, apart))
    assert found["drug"].decision.verdict is Verdict.AFTER_FOOD
    found = states(given(0), now=SEVEN + timedelta(hours=1), plan=plan_with(hungry, apart))
    assert found["other"].decision.verdict is Verdict.KEEP_APART


@pytest.mark.hazard("H3")
@pytest.mark.parametrize(
    ("order", "label", "verdict", "because"),
    [
        (
            {},
            {"strength": "2 mg/mL"},
            Verdict.LOCKED,
            "Drug waits: the bottle opened by Noor says 2 mg/mL and the plan says 1 mg/mL. Draw none of it until a "
            "lead has read the new label.",
        ),
        (
            {},
            {"strength": "1 mg/mL", "discard_on": date(2026, 11, 24)},
            Verdict.PAST_USE,
            "Drug waits: the last day of use of its bottle was 24 November. Ask the vet or the pharmacy before giving "
            "any of it.",
        ),
        ({}, {"strength": "1 mg/mL"}, Verdict.DUE, "Drug is due."),
        ({}, {"strength": "1 mg/mL", "discard_on": date(2026, 11, 25)}, Verdict.DUE, "Drug is due."),
        ({"held": "She vomits."}, {"strength": "2 mg/mL"}, Verdict.HELD, "Drug is on hold: She vomits."),
    ],
)
def test_what_the_bottle_says_comes_before_the_clock(
    order: dict[str, Any], label: dict[str, Any], verdict: Verdict, because: str
) -> None:
    """But not before the vet's own hold."""
    bottle = a_kept(BottleOpened(medicine="drug", ml=Decimal(100), **label), minute=-30)
    decision = states(bottle, now=SEVEN, plan=plan_with(a_medicine(**order)))["drug"].decision
    assert (decision.verdict, decision.because) == (verdict, because)


@pytest.mark.parametrize(
    ("order", "now", "next_at"),
    [
        ({"stop_on": date(2026, 11, 25)}, SEVEN, datetime(2026, 11, 25, 8, 0, tzinfo=UTC)),
        ({"start_on": date(2026, 11, 27)}, SEVEN, datetime(2026, 11, 27, 8, 0, tzinfo=UTC)),
        ({"start_on": date(2026, 12, 26)}, SEVEN, datetime(2026, 12, 26, 8, 0, tzinfo=UTC)),
        ({"start_on": date(2026, 12, 27)}, SEVEN, None),
        ({}, datetime(2026, 11, 25, 8, 0, tzinfo=UTC), datetime(2026, 11, 25, 20, 0, tzinfo=UTC)),
        (
            {"times_per_day": None, "every_hours": 744, "start_on": date(2026, 11, 25), "clocks": (time(7),)},
            SEVEN,
            datetime(2026, 12, 26, 7, 0, tzinfo=UTC),
        ),
    ],
    ids=[
        "on its last day",
        "before its first",
        "a month before its first",
        "longer before its first",
        "its very minute",
        "once in 31 days",
    ],
)
def test_the_next_time_at_the_ends_of_a_course(order: dict[str, Any], now: datetime, next_at: datetime | None) -> None:
    """At 8:00 and 20:00 unless said; what lies more than a month ahead is not told yet."""
    values = {"times_per_day": 2, "clocks": (time(8), time(20)), **order}
    plan = plan_with(a_medicine(**{key: value for key, value in values.items() if value is not None}))
    assert states(now=now, plan=plan)["drug"].next_at == next_at


def test_without_times_of_day_and_without_a_dose_there_is_no_next_time() -> None:
    """It counts from the first dose, which nobody has given."""
    assert states(now=SEVEN, plan=plan_with(a_medicine()))["drug"].next_at is None


def test_doses_of_two_days_are_told_with_both() -> None:
    """A weekly dose and one two days later: the clock alone would not say which days."""
    weekly = a_medicine(every_hours=168)
    first, second = given(0), given(48 * 60, by="Sam")
    found = find_questions([first, second], orders=orders(weekly), time_zone=DUBLIN)
    assert "Noor at 07:00 on 25 November and Sam at 07:00 on 27 November, 48 hours apart" in found[0].text
    assert "Noor gave it at 07:00 on 25 November, and at least 164 hours lie" in (
        refused(second, first, order=weekly) or ""
    )


@pytest.mark.hazard("H3")
def test_a_dose_written_down_later_came_out_of_the_bottle_of_its_time() -> None:
    """The new bottle of 8:00 says nothing about a dose of 7:00; one of 8:00 comes out of it."""
    bottle = a_kept(BottleOpened(medicine="drug", strength="2 mg/mL", ml=Decimal(100)), minute=60)
    assert refused(given(0), bottle) is None
    assert "the bottle opened by Noor says 2 mg/mL" in (refused(given(60), bottle) or "")


@pytest.mark.hazard("H3")
def test_what_was_given_while_the_bottle_was_another_one_is_an_alarm() -> None:
    """It arrived late from a phone that did not know; a dose before the bottle, or with a reason, is none."""
    bottle = a_kept(BottleOpened(medicine="drug", strength="10 mg/mL", ml=Decimal(100)), minute=60)
    before, late = given(0), given(60, by="Sam")
    explained = given(62, reason="It came out of the old bottle.")
    left_out = given(50, Outcome.HELD, reason="asleep")
    now = SEVEN + timedelta(hours=3)
    plan = plan_with(a_medicine())

    assert states(before, late, explained, left_out, bottle, now=now, plan=plan)["drug"].alarms == (
        "Sam gave it at 08:00 (5 mL), when the bottle opened by Noor says 10 mg/mL and the plan says 1 mg/mL. If it "
        "came out of that bottle, call the vet now.",
    )
    assert states(before, late, now=now, plan=plan)["drug"].alarms == ()


def test_the_next_time_of_counted_hours_is_that_of_its_session() -> None:
    """18:30 is given with the meal at 20:00; after it, the morning of the 28th with the meal at 7:00."""
    first = datetime(2026, 11, 25, 6, 30)  # noqa: DTZ001 - the household's clock
    plan = plan_with(a_medicine(every_hours=36, first_dose=first))
    given_at_seven = given(0)
    assert states(given_at_seven, now=SEVEN, plan=plan)["drug"].next_at == datetime(2026, 11, 26, 20, 0, tzinfo=UTC)
    evening = datetime(2026, 11, 26, 20, 0, tzinfo=UTC)
    assert states(given_at_seven, now=evening, plan=plan)["drug"].next_at == datetime(2026, 11, 28, 7, 0, tzinfo=UTC)


def test_the_next_time_of_counted_hours_is_their_own_where_no_session_can_be_found() -> None:
    """A day that leaves no place for it hides nothing."""
    first = datetime(2026, 11, 25, 12, 0)  # noqa: DTZ001
    clocks = tuple(time(hour) for hour in range(0, 24, 2))
    binder = a_medicine(id="binder", times_per_day=12, clocks=clocks, apart_from=({"medicine": "drug", "hours": 2},))
    plan = plan_with(a_medicine(every_hours=5, first_dose=first), binder)
    assert states(now=SEVEN, plan=plan)["drug"].next_at == datetime(2026, 11, 25, 12, 0, tzinfo=UTC)


@pytest.mark.hazard("H1")
def test_a_taper_is_held_to_the_gap_of_its_day() -> None:
    """Daily until the 25th, then every other day: one a day later is asked about, the first one is not."""
    steps = ({"from_on": date(2026, 11, 25), "dose": "5 mg", "every_hours": 48},)
    taper = a_medicine(every_hours=24, start_on=date(2026, 11, 20), steps=steps)
    day = 24 * 60
    assert refused(given(0), given(-day), order=taper) is None
    told = refused(given(day), given(0), order=taper)
    assert told is not None
    assert "at least 44 hours lie between two doses" in told
    assert reach([taper]) == timedelta(hours=96)
    assert not find_questions([given(-day), given(0)], orders=orders(taper), time_zone=DUBLIN)
    assert find_questions([given(0), given(day)], orders=orders(taper), time_zone=DUBLIN)


def test_a_night_dose_of_the_last_day_is_no_ended_course() -> None:
    """At 2:00 the household's day is still that of its last one."""
    order = a_medicine(clocks=(time(14), time(2)), stop_on=date(2026, 11, 25))
    night = a_kept(
        MedicineGiven(medicine="drug", dose_mg=Decimal(5), ml=Decimal(5), outcome=Outcome.GIVEN), minute=19 * 60
    )
    night = night.model_copy(update={"day": date(2026, 11, 25)})
    assert refused(night, order=order) is None
    assert "The last day of Drug was 25 November" in (refused(given(24 * 60), order=order) or "")


@pytest.mark.hazard("H6")
def test_only_a_missing_second_reader_asks_for_another_person() -> None:
    """With anything else against the dose, it is not to be given."""
    checked = a_medicine(second_check=True)
    alone = refused(given(0), order=checked)
    assert alone is not None
    assert alone.endswith("let another person read the syringe first. If it has, write why nobody did.")
    too_soon = refused(given(5), given(0, reason="Read by Ilse on paper."), order=checked)
    assert too_soon is not None
    assert "If it has not gone in, do not give it." in too_soon
    assert "If it has not gone in, do not give it." in (refused(given(5), given(0)) or "")


def test_the_next_dose_is_told_with_its_place_in_the_course() -> None:
    """Which one is the last; nothing where no next one is known, and no end where none is stated."""
    order = {"times_per_day": 2, "clocks": (time(8), time(20)), "start_on": date(2026, 11, 24)}
    ends = a_medicine(**order, stop_on=date(2026, 11, 25))
    notes = [
        states(now=now, plan=plan_with(ends))["drug"].next_notes
        for now in (SEVEN, SEVEN + timedelta(hours=3), SEVEN + timedelta(hours=14))
    ]

    assert [one.place for one in notes] == ["Day 2 of 2.", "Day 2 of 2.", ""]
    assert [one.changes for one in notes] == [
        ("The course ends today.",),
        ("This is the last dose of the course.",),
        (),
    ]
    open_end = states(now=SEVEN, plan=plan_with(a_medicine(**order)))["drug"].next_notes
    assert (open_end.place, open_end.changes) == ("", ())
    far = a_medicine(when_needed=WhenNeeded(reason="pain", min_gap_hours=8, max_per_day=2))
    assert states(now=SEVEN, plan=plan_with(far))["drug"].next_notes.changes == ()
