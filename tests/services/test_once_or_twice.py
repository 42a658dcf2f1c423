"""Once or twice: asked once, answered once, by whoever may correct others."""

from datetime import timedelta
from decimal import Decimal

import pytest

from fillmark.core.record.amounts import Amount
from fillmark.core.record.entries import Entry
from fillmark.core.record.ledger import withdrawn_for_once
from fillmark.core.record.medicine_entries import MedicineGiven
from fillmark.core.record.session_entries import FillGiven, FlushGiven, MealEnded
from fillmark.core.values.errors import BadEntry, NotAllowed
from fillmark.services import once_or_twice, record
from tests.support.builders import NOON, SEVEN, Home, a_kept, an_entry
from tests.support.sides import side_of

pytestmark = pytest.mark.hazard("H1")
TODAY = NOON.date()


def write(home: Home, payload: object, *, by: object = None, minute: int = 0) -> Entry:
    entry = an_entry(payload, animal_id=home.animal_id, at=NOON.replace(hour=7) + timedelta(minutes=minute))
    record.record_entry(household_id=home.id, by=by or home.noor, entry=entry, now=NOON)
    return entry


def asked(home: Home):
    return once_or_twice.open_questions(side_of(**home.ids, now=NOON), first=TODAY, last=TODAY)


def answer(home: Home, ids: list, *, once: object = None, by: object = None, reason: str = "") -> bool:
    return once_or_twice.answer(
        **home.ids,
        by=by or home.sam,
        day=TODAY,
        entry_ids=ids,
        once=once,
        reason=reason,
        device="sam-phone",
        now=NOON,
    )


def blend(home: Home) -> Amount | None:
    return record.day_ledger(side_of(**home.ids, now=NOON), day=TODAY).blend


def test_two_records_of_one_fill_are_one_question_and_once_leaves_one(home: Home) -> None:
    """The total is a range until somebody says so, then exact; both entries stay in sight."""
    mine = write(home, FillGiven(session=SEVEN, fill=1, ml=60), minute=2)
    theirs = write(home, FillGiven(session=SEVEN, fill=1, ml=55), by=home.sam, minute=3)
    assert [(one.what, one.ids) for one in asked(home)] == [("fill 1 of the meal", {mine.id, theirs.id})]
    assert blend(home) == Amount(55, 115)

    assert answer(home, [mine.id, theirs.id], once=mine.id)

    assert asked(home) == ()
    assert blend(home) == Amount(60, 60)
    shown = record.day_entries(side_of(**home.ids, now=NOON), day=TODAY)
    assert [(one.kept.entry.id, one.counts) for one in shown if one.kept.entry.kind == "fill_given"] == [
        (mine.id, True),
        (theirs.id, False),
    ]


def test_both_happened_adds_them_up(home: Home) -> None:
    """And the question does not come again."""
    ids = [write(home, FlushGiven(session=SEVEN, step="flush-after", ml=20), minute=m).id for m in (2, 9)]
    assert answer(home, ids)

    assert asked(home) == ()
    ledger = record.day_ledger(side_of(**home.ids, now=NOON), day=TODAY)
    assert ledger.flush == Amount(40, 40)


def test_of_two_who_answer_the_second_writes_nothing(home: Home) -> None:
    """Two phones answer differently: the first answer stands, and the second person is told."""
    ids = [write(home, FillGiven(session=SEVEN, fill=1, ml=60), minute=m).id for m in (2, 3)]
    assert answer(home, ids, once=ids[0], by=home.noor)
    before = record.entries_since(household_id=home.id, seq=0)

    assert not answer(home, ids, by=home.sam)

    assert record.entries_since(household_id=home.id, seq=0) == before


def test_a_meal_walked_and_written_afterwards_is_one_question_about_the_whole_meal(home: Home) -> None:
    """To keep the amount written afterwards, every fill of the walk goes, and its closing total."""
    fills = [write(home, FillGiven(session=SEVEN, fill=n, ml=60), minute=n) for n in (1, 2, 3)]
    closing = write(home, MealEnded(session=SEVEN, total_ml=180, fills=3), minute=5)
    after = write(home, MealEnded(session=SEVEN, total_ml=150, fills=0), by=home.sam, minute=40)
    (question,) = asked(home)
    assert question.what == "the meal"
    assert question.ids == {fills[0].id, after.id}

    assert answer(home, sorted(question.ids), once=after.id)

    assert asked(home) == ()
    assert blend(home) == Amount(150, 150)
    assert closing.id != after.id


def test_to_keep_the_walk_only_the_amount_written_afterwards_goes() -> None:
    """The fills and their total stay."""
    walk = [a_kept(FillGiven(session=SEVEN, fill=n, ml=60), minute=n) for n in (1, 2)]
    after = a_kept(MealEnded(session=SEVEN, total_ml=150, fills=0), minute=40)
    ids = [walk[0].entry.id, after.entry.id]

    assert withdrawn_for_once(entry_ids=ids, keep=walk[0].entry.id, entries=[*walk, after]) == (after.entry.id,)
    assert set(withdrawn_for_once(entry_ids=ids, keep=after.entry.id, entries=[*walk, after])) == {
        one.entry.id for one in walk
    }


@pytest.mark.hazard("H25")
def test_a_sitter_may_not_answer(home: Home) -> None:
    """They withdraw only what they wrote themselves."""
    ids = [write(home, FillGiven(session=SEVEN, fill=1, ml=60), minute=m).id for m in (2, 3)]

    with pytest.raises(NotAllowed, match="asking to correct what another person wrote"):
        answer(home, ids, by=home.ilse)
    with pytest.raises(BadEntry, match="An answer that names another entry"):
        answer(home, ids, once=an_entry(FillGiven(session=SEVEN, fill=1, ml=60)).id)
    assert len(asked(home)) == 1


def test_doses_too_close_in_two_sessions_need_a_reason_to_stand(db: None) -> None:
    """ "Both happened" of two doses is only kept with why; the question then goes."""
    from tests.journeys.household import quarry_lane

    quarry = quarry_lane(now=NOON, recorded=False)
    ids = []
    for session, minute in (("2026-11-25T06:30", 0), ("2026-11-25T06:30", 4)):
        payload = MedicineGiven(
            session=session, medicine="omeprazole", dose_mg=Decimal(12), ml=Decimal(6), outcome="given"
        )
        entry = an_entry(payload, animal_id=quarry.animal_id, at=NOON.replace(hour=7, minute=minute))
        record.record_entry(household_id=quarry.id, by=quarry.noor, entry=entry, now=NOON)
        ids.append(entry.id)
    who = {**quarry.ids, "now": NOON}
    (question,) = once_or_twice.open_questions(side_of(**who), first=TODAY, last=TODAY)
    assert question.ids == set(ids)
    assert question.needs_reason

    told = {**who, "by": quarry.sam, "day": TODAY, "entry_ids": ids, "once": None, "device": "sam-phone"}
    with pytest.raises(BadEntry, match="so close together, without a reason"):
        once_or_twice.answer(**told, reason="")
    assert once_or_twice.answer(**told, reason="The first came back at once; the vet said to give it again.")
    assert once_or_twice.open_questions(side_of(**who), first=TODAY, last=TODAY) == ()
