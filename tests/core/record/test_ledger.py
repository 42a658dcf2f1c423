"""What entries add up to: never what was only planned, never twice, the same in every order."""

import random
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fillmark.core.record.amounts import Amount
from fillmark.core.record.care_entries import Note
from fillmark.core.record.corrections import show_entries
from fillmark.core.record.day_entries import BothGiven, Withdrawn
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.ledger import DayLedger, read_day
from fillmark.core.record.medicine_entries import MedicineGiven
from fillmark.core.record.session_entries import (
    CameBack,
    FillGiven,
    FlushGiven,
    MealEnded,
    SessionEnded,
    SessionPaused,
    SessionResumed,
    SessionSkipped,
    SessionStarted,
    SessionStopped,
    StepDone,
    StepSkipped,
)
from fillmark.core.record.sessions import SessionRecord, Standing, read_session
from tests.support.builders import NOON, SEVEN, a_kept

DAY = date(2026, 11, 25)
SOON = NOON.replace(hour=7, minute=40)


def fill(number: int, ml: float = 60, **changed: Any) -> KeptEntry:
    return a_kept(FillGiven(session=SEVEN, fill=number, ml=ml), **{"minute": number, **changed})


def session(*entries: KeptEntry, now: Any = SOON) -> SessionRecord:
    return read_session(session=SEVEN, entries=entries, now=now)


def day(*entries: KeptEntry, planned: dict[str, float] | None = None) -> DayLedger:
    return read_day(day=DAY, entries=entries, planned_ml=planned or {}, now=SOON)


def test_fills_add_up_and_the_walk_goes_on_at_the_next() -> None:
    """Three of four fills: 180 mL are in, and number 4 comes next."""
    record = session(a_kept(SessionStarted(session=SEVEN)), fill(1), fill(2), fill(3))

    assert record.blend == Amount(180, 180)
    assert record.next_fill == 4
    assert record.standing is Standing.IN_HAND


def test_a_fill_that_has_not_arrived_yet_is_still_to_do() -> None:
    """The first number without an entry is the next, not the highest plus one."""
    assert session(fill(1), fill(3)).next_fill == 2


@pytest.mark.hazard("H19")
def test_silence_is_shown_as_silence() -> None:
    """A planned session without an entry has no amount, not an amount of 0."""
    ledger = day(planned={SEVEN: 240.0})

    assert ledger.planned_ml == 240
    assert (ledger.blend, ledger.back, ledger.kept, ledger.last_at) == (None, None, None, None)
    assert ledger.lines[0].record.standing is Standing.NO_ENTRY
    assert ledger.lines[0].record.blend is None


@pytest.mark.hazard("H2")
def test_a_session_begun_and_left_becomes_not_known_never_given() -> None:
    """A claim is no giving: after two hours of silence nobody knows, and no amount appears."""
    begun = a_kept(SessionStarted(session=SEVEN))

    assert session(begun, now=begun.entry.at + timedelta(minutes=120)).standing is Standing.IN_HAND
    left = session(begun, now=begun.entry.at + timedelta(minutes=121))
    assert left.standing is Standing.NOT_KNOWN
    assert left.blend is None
    assert left.doses == ()


@pytest.mark.hazard("H2")
def test_a_walk_left_halfway_keeps_what_went_in_and_is_not_known() -> None:
    """Two fills are facts; that the meal was given is not one."""
    record = session(fill(1), fill(2), now=NOON)

    assert record.standing is Standing.NOT_KNOWN
    assert record.blend == Amount(120, 120)


@pytest.mark.parametrize(
    ("last", "standing", "reason"),
    [
        (SessionPaused(session=SEVEN), Standing.PAUSED, None),
        (SessionResumed(session=SEVEN), Standing.IN_HAND, None),
        (SessionStopped(session=SEVEN, reason="she coughed"), Standing.STOPPED, "she coughed"),
        (SessionSkipped(session=SEVEN, reason="the vet said so"), Standing.SKIPPED, "the vet said so"),
        (SessionEnded(session=SEVEN), Standing.ENDED, None),
    ],
)
def test_the_newest_entry_tells_how_a_session_stands(last: Any, standing: Standing, reason: str | None) -> None:
    """Paused, resumed, stopped, skipped, ended."""
    record = session(a_kept(SessionStarted(session=SEVEN)), fill(1), a_kept(last, minute=10))

    assert (record.standing, record.reason) == (standing, reason)


def test_a_session_that_ended_stays_ended_when_an_older_fill_arrives_late() -> None:
    """And when someone presses start again."""
    record = session(
        fill(1), a_kept(SessionEnded(session=SEVEN), minute=10), a_kept(SessionStarted(session=SEVEN), minute=20)
    )

    assert record.standing is Standing.ENDED


def test_steps_are_told_in_the_order_they_were_done() -> None:
    """A flush is a step too; a skipped one keeps its reason."""
    record = session(
        a_kept(StepDone(session=SEVEN, step="wash"), minute=1),
        a_kept(FlushGiven(session=SEVEN, step="flush-before", ml=10), minute=2),
        a_kept(StepSkipped(session=SEVEN, step="weigh", reason="scale is flat"), minute=3),
    )

    assert record.steps_done == ("wash", "flush-before")
    assert record.steps_skipped == {"weigh": "scale is flat"}
    assert record.flush == Amount(10, 10)


def test_what_came_back_is_taken_off() -> None:
    """240 mL in, 30 mL back: 210 mL kept."""
    record = session(*(fill(number) for number in range(1, 5)), a_kept(CameBack(session=SEVEN, ml=30), minute=20))

    assert (record.blend, record.back, record.kept) == (Amount(240, 240), Amount(30, 30), Amount(210, 210))


def test_an_unknown_amount_that_came_back_makes_kept_a_range() -> None:
    """ "I don't know" is anything from nothing to all of it."""
    record = session(fill(1), fill(2), a_kept(CameBack(session=SEVEN, ml="not known"), minute=20))

    assert (record.back, record.kept) == (Amount(0, 120), Amount(0, 120))


def test_what_came_back_between_sessions_is_taken_off_the_day() -> None:
    """It has no session; the day still counts it."""
    ledger = day(fill(1), a_kept(CameBack(ml=15), minute=90, day=DAY))

    assert (ledger.blend, ledger.back, ledger.kept) == (Amount(60, 60), Amount(15, 15), Amount(45, 45))
    assert ledger.lines[0].record.back is None


@pytest.mark.hazard("H1")
def test_one_fill_recorded_by_two_people_is_a_question_and_a_range() -> None:
    """Until someone answers, 60 to 120 mL went in."""
    noor, sam = fill(1), fill(1, by_name="Sam")

    record = session(noor, sam)

    assert record.blend == Amount(60, 120)
    assert [clash.what for clash in record.clashes] == ["fill 1 of the meal"]
    assert set(record.clashes[0].entry_ids) == {noor.entry.id, sam.entry.id}


@pytest.mark.hazard("H1")
def test_answering_twice_makes_it_the_sum() -> None:
    """Both happened."""
    noor, sam = fill(1), fill(1, by_name="Sam")
    answer = a_kept(BothGiven(session=SEVEN, entries=(noor.entry.id, sam.entry.id)), minute=30)

    record = session(noor, sam, answer)

    assert (record.blend, record.clashes) == (Amount(120, 120), ())


@pytest.mark.hazard("H1")
def test_answering_once_makes_it_one() -> None:
    """One of the two is withdrawn; both stay in sight."""
    noor, sam = fill(1), fill(1, by_name="Sam")
    answer = a_kept(Withdrawn(reason="Noor had written it"), minute=30, corrects=sam.entry.id, day=DAY)

    assert session(noor, sam, answer).blend == Amount(60, 60)
    assert session(noor, sam, answer).clashes == ()
    shown = {one.kept.entry.id: one for one in show_entries([noor, sam, answer])}
    assert shown[sam.entry.id].replaced_by == answer.entry.id
    assert not shown[sam.entry.id].counts
    assert len(shown) == 3


@pytest.mark.hazard("H1")
def test_a_meal_written_down_afterwards_beside_a_walk_is_a_question() -> None:
    """Noor walked 120 mL, Sam wrote "120 mL": once or twice?"""
    record = session(fill(1), fill(2), a_kept(MealEnded(session=SEVEN, total_ml=120, fills=0), minute=9, by_name="Sam"))

    assert record.blend == Amount(120, 240)
    assert [clash.what for clash in record.clashes] == ["the meal"]


def test_a_total_that_closes_the_walk_is_no_second_meal() -> None:
    """It sums the fills; both phones may send it."""
    record = session(
        fill(1),
        fill(2),
        a_kept(MealEnded(session=SEVEN, total_ml=120, fills=2), minute=9),
        a_kept(MealEnded(session=SEVEN, total_ml=120, fills=2), minute=9, by_name="Sam"),
    )

    assert (record.blend, record.clashes) == (Amount(120, 120), ())


def test_a_closing_total_above_the_fills_that_arrived_is_a_range() -> None:
    """A fill may still be on its way from another phone."""
    record = session(fill(1), a_kept(MealEnded(session=SEVEN, total_ml=120, fills=2), minute=9))

    assert record.blend == Amount(60, 120)


@pytest.mark.hazard("H1")
def test_a_medicine_recorded_twice_in_one_session_is_a_question_and_a_range() -> None:
    """17.5 mg or 35 mg."""
    one = MedicineGiven(session=SEVEN, medicine="omeprazole", dose_mg=Decimal("17.5"), outcome="given")
    noor, sam = a_kept(one), a_kept(one, by_name="Sam", minute=2)

    record = session(noor, sam)

    assert (record.doses[0].low_mg, record.doses[0].high_mg) == (Decimal("17.5"), Decimal(35))
    assert [clash.what for clash in record.clashes] == ["the medicine omeprazole"]
    answered = session(noor, sam, a_kept(BothGiven(session=SEVEN, entries=(noor.entry.id, sam.entry.id)), minute=5))
    assert (answered.doses[0].low_mg, answered.clashes) == (Decimal(35), ())


@pytest.mark.parametrize(
    ("outcome", "extra", "low", "high"),
    [
        ("given", {}, "5", "5"),
        ("partial", {"given_mg": Decimal(2)}, "2", "2"),
        ("partial", {"given_mg": "not known"}, "0", "5"),
        ("held", {"reason": "vomiting"}, "0", "0"),
        ("refused", {"reason": "spat out"}, "0", "0"),
        ("missed", {"reason": "asleep"}, "0", "0"),
        ("came back", {}, "0", "5"),
        ("spilled", {}, "0", "5"),
        ("not known", {}, "0", "5"),
    ],
)
def test_each_outcome_says_what_may_have_gone_in(outcome: str, extra: dict[str, Any], low: str, high: str) -> None:
    """Of 5 mg."""
    dose = session(
        a_kept(MedicineGiven(session=SEVEN, medicine="a", dose_mg=Decimal(5), outcome=outcome, **extra))
    ).doses[0]

    assert (dose.low_mg, dose.high_mg) == (Decimal(low), Decimal(high))


def test_the_newest_correction_counts_and_the_rest_stays_in_sight() -> None:
    """60, no 50, no 55."""
    first = fill(1, 60)
    second = fill(1, 50, corrects=first.entry.id)
    third = fill(1, 55, corrects=second.entry.id)

    assert session(first, second, third).blend == Amount(55, 55)
    assert [one.counts for one in show_entries([first, second, third])] == [False, False, True]


def test_of_two_corrections_of_one_entry_the_newer_counts() -> None:
    """Two people corrected it apart from each other."""
    first = fill(1, 60)
    older, newer = fill(1, 50, corrects=first.entry.id), fill(1, 40, corrects=first.entry.id, by_name="Sam")

    assert session(newer, older, first).blend == Amount(40, 40)


def test_a_correction_that_arrives_before_what_it_corrects_counts_alone() -> None:
    """And nothing changes when that arrives."""
    first = fill(1, 60)
    correction = fill(1, 50, corrects=first.entry.id)

    assert session(correction).blend == session(correction, first).blend == Amount(50, 50)


def test_entries_that_correct_each_other_in_a_circle_still_count_once() -> None:
    """No honest device makes one; the record must not lose both or loop."""
    first = fill(1, 60)
    second = fill(1, 50, corrects=first.entry.id)
    circle = KeptEntry(**{**dict(first), "entry": first.entry.model_copy(update={"corrects": second.entry.id})})

    assert session(circle, second).blend == Amount(50, 50)


def test_a_correction_that_moves_an_entry_to_another_day_leaves_the_first() -> None:
    """It was last night's meal."""
    first = fill(1)
    moved = a_kept(FillGiven(session="2026-11-24T22:00", fill=1, ml=60), corrects=first.entry.id)

    assert day(first, moved).blend is None
    assert read_day(day=date(2026, 11, 24), entries=[first, moved], planned_ml={}, now=SOON).blend == Amount(60, 60)


def test_planned_stands_beside_what_was_recorded() -> None:
    """Two planned meals, one of them given in part: the day kept 60 of 480 mL."""
    ledger = day(fill(1), planned={SEVEN: 240.0, "2026-11-25T12:00": 240.0})

    assert ledger.planned_ml == 480
    assert ledger.kept == Amount(60, 60)
    assert [(line.planned_ml, line.record.blend) for line in ledger.lines] == [(240, Amount(60, 60)), (240, None)]


PAYLOADS = st.sampled_from(
    [
        SessionStarted(session=SEVEN),
        *(FillGiven(session=SEVEN, fill=number, ml=ml) for number in (1, 2, 3) for ml in (59.9, 60.1)),
        FlushGiven(session=SEVEN, step="flush", ml=10.1),
        MealEnded(session=SEVEN, total_ml=180.3, fills=3),
        MealEnded(session=SEVEN, total_ml=170.7, fills=0),
        CameBack(session=SEVEN, ml=0.1),
        CameBack(ml=0.2),
        CameBack(session=SEVEN, ml="not known"),
        MedicineGiven(session=SEVEN, medicine="a", dose_mg=Decimal("0.1"), outcome="given"),
        SessionPaused(session=SEVEN),
        SessionStopped(session=SEVEN, reason="cough"),
        SessionEnded(session=SEVEN),
        Note(text="x"),
    ]
)


@pytest.mark.hazard("H27")
@given(
    payloads=st.lists(PAYLOADS, max_size=12),
    corrected=st.lists(st.tuples(st.integers(0, 30), PAYLOADS), max_size=5),
    order=st.randoms(use_true_random=False),
)
def test_every_order_of_arrival_gives_the_same_day(
    payloads: list[Any], corrected: list[tuple[int, Any]], order: random.Random
) -> None:
    """Entries with corrections, shuffled: the same ledger to the last bit, and low never above high."""
    entries = [a_kept(payload, minute=place, day=DAY) for place, payload in enumerate(payloads)]
    for target, payload in corrected:
        if entries:
            entries.append(a_kept(payload, minute=target, day=DAY, corrects=entries[target % len(entries)].entry.id))
    shuffled = list(entries)
    order.shuffle(shuffled)

    one, other = day(*entries), day(*shuffled)

    assert one == other
    for amount in (one.blend, one.flush, one.back, one.kept):
        assert amount is None or 0 <= amount.low_ml <= amount.high_ml < float("inf")
    assert show_entries(entries) == show_entries(shuffled)
