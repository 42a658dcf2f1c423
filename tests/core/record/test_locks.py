"""The lock on feeding: what sets it, what clears it, and that the order of arrival never matters."""

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fillmark.core.record.care_entries import FeedingCleared, FeedingLocked, Note
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.locks import check_unlocked, open_lock
from fillmark.core.record.medicine_entries import MedicineGiven
from fillmark.core.record.session_entries import (
    FillGiven,
    FlushGiven,
    MealEnded,
    SessionEnded,
    SessionResumed,
    SessionStarted,
    StepDone,
)
from fillmark.core.record.sessions import Standing, read_session
from fillmark.core.values.errors import FeedingIsLocked
from fillmark.core.values.trouble import Trouble
from tests.support.builders import NOON, SEVEN, a_kept

pytestmark = pytest.mark.hazard("H12")


def a_lock(trouble: Trouble = Trouble.COUGH, *, minute: int = 5, **changed: object) -> KeptEntry:
    return a_kept(FeedingLocked(trouble=trouble, session=SEVEN), minute=minute, **changed)


def cleared(*locks: KeptEntry, minute: int = 60) -> KeptEntry:
    ids = tuple(lock.entry.id for lock in locks)
    return a_kept(FeedingCleared(locks=ids, who="Dr. Marsh", vet_words="half a meal, slowly"), minute=minute)


def test_a_lock_holds_until_a_clearing_names_it() -> None:
    """Time alone does not clear it, and neither does a clearing of another one."""
    first, second = a_lock(minute=5), a_lock(Trouble.VOMITING, minute=9, by_name="Sam")

    held = open_lock([first, second, cleared(first)])

    assert held is not None
    assert (held.trouble, held.by_name, held.entry_ids) == (Trouble.VOMITING, "Sam", (second.entry.id,))
    assert open_lock([first, second, cleared(first, second)]) is None
    assert open_lock([]) is None


def test_the_newest_of_several_is_shown_and_all_are_named() -> None:
    """One clearing can name every lock that its writer saw."""
    first, second = a_lock(minute=5), a_lock(Trouble.TUBE_OUT, minute=9)

    held = open_lock([second, first])

    assert held is not None
    assert held.trouble is Trouble.TUBE_OUT
    assert held.title == "The tube is out"
    assert held.entry_ids == (first.entry.id, second.entry.id)


def test_a_lock_that_arrives_after_a_clearing_still_holds() -> None:
    """A phone without a signal wrote it before; nobody who cleared had seen it."""
    seen, unseen = a_lock(minute=30), a_lock(Trouble.BLOAT, minute=4)

    held = open_lock([seen, cleared(seen, minute=60), unseen])

    assert held is not None
    assert held.trouble is Trouble.BLOAT


def test_a_lock_taken_back_holds_and_so_does_one_whose_clearing_was_taken_back() -> None:
    """Nothing but a clearing ends a lock, whoever writes it and whatever else it is replaced by."""
    lock = a_lock()
    back = a_kept(Withdrawn(reason="the wrong card"), minute=7, corrects=lock.entry.id)
    clearing = cleared(lock)
    not_cleared = a_kept(Withdrawn(reason="it was about Sorrel"), minute=70, corrects=clearing.entry.id)

    note = a_kept(Note(text="It was nothing."), minute=8, corrects=lock.entry.id)
    held = open_lock([lock, back, note])
    assert held is not None
    assert held.entry_ids == (lock.entry.id,)
    assert open_lock([lock, clearing]) is None
    assert open_lock([lock, clearing, not_cleared]) is not None


def test_words_added_to_a_lock_after_it_was_cleared_do_not_lock_again() -> None:
    """A correction of a cleared lock is the same lock."""
    lock = a_lock()
    words = FeedingLocked(trouble=Trouble.COUGH, session=SEVEN, words="at the second fill")
    corrected = a_kept(words, minute=80, corrects=lock.entry.id)

    assert open_lock([lock, cleared(lock), corrected]) is None
    held = open_lock([lock, corrected])
    assert held is not None
    assert held.words == "at the second fill"


def test_entries_that_correct_each_other_lock_and_are_cleared() -> None:
    """Two phones with broken clocks could write such a ring; it is read like any other lock."""
    first, second = a_lock(minute=5), a_lock(minute=6)
    ring = [
        first.model_copy(update={"entry": first.entry.model_copy(update={"corrects": second.entry.id})}),
        second.model_copy(update={"entry": second.entry.model_copy(update={"corrects": first.entry.id})}),
    ]

    assert open_lock(ring) is not None
    assert open_lock([*ring, cleared(first)]) is None


@given(data=st.data())
def test_the_order_of_arrival_never_matters(data: st.DataObject) -> None:
    """Any order of the same entries gives the same lock."""
    locks = [a_lock(trouble, minute=place) for place, trouble in enumerate((Trouble.COUGH, Trouble.HOT, Trouble.BLOAT))]
    clearing = cleared(*data.draw(st.lists(st.sampled_from(locks), min_size=1, max_size=3, unique_by=id)))
    back = a_kept(Withdrawn(reason="a slip"), minute=90, corrects=locks[0].entry.id)
    entries = [*locks, clearing, *([back] if data.draw(st.booleans()) else [])]

    assert len({open_lock(order) for order in permutations(entries)}) == 1


def test_a_lock_in_a_session_stops_it() -> None:
    """What the first screen and the walk show: stopped, and why."""
    entries = [a_kept(SessionStarted(session=SEVEN)), a_kept(FillGiven(session=SEVEN, fill=1, ml=60), minute=3)]
    stopped = read_session(session=SEVEN, entries=[*entries, a_lock()], now=NOON)

    assert (stopped.standing, stopped.reason) == (Standing.STOPPED, "Cough or gag in a feed")


GOING_ON = (
    SessionStarted(session=SEVEN),
    SessionResumed(session=SEVEN),
    FillGiven(session=SEVEN, fill=2, ml=60),
    FlushGiven(session=SEVEN, step="flush-after", ml=20),
    StepDone(session=SEVEN, step="hands"),
    MedicineGiven(session=SEVEN, medicine="omeprazole", dose_mg="12", outcome="given"),
)


@pytest.mark.parametrize("payload", GOING_ON, ids=lambda payload: payload.kind)
def test_a_press_that_goes_on_feeding_is_refused(payload: object) -> None:
    """The whole message; without a lock nothing is refused."""
    lock = open_lock([a_lock()])
    check_unlocked(payload, lock=None, standing=Standing.IN_HAND)

    with pytest.raises(FeedingIsLocked) as refused:
        check_unlocked(payload, lock=lock, standing=Standing.IN_HAND)

    assert refused.value.code == "feeding-locked"
    assert str(refused.value) == (
        'Feeding, while it is locked ("Cough or gag in a feed", written by Noor). Allowed: nothing through the tube '
        "until a lead has cleared it with the vet's words. Call the vet or the clinic on the card. What had gone in "
        "before can still be written down there."
    )


@pytest.mark.parametrize(
    ("payload", "standing"),
    [
        (MealEnded(session=SEVEN, total_ml=60, fills=0), Standing.NO_ENTRY),
        (FillGiven(session=SEVEN, fill=2, ml=20), Standing.STOPPED),
        (SessionEnded(session=SEVEN), Standing.STOPPED),
        (Note(text="breathing is calm again"), Standing.IN_HAND),
        (MedicineGiven(session=SEVEN, medicine="eye-drops", amount="1 drop", outcome="given"), Standing.IN_HAND),
    ],
    ids=["written afterwards", "what had gone in", "the end", "a note", "not through the tube"],
)
def test_facts_and_other_routes_are_never_held_up(payload: object, standing: Standing) -> None:
    """The lock stops what goes in, never what is written about it."""
    check_unlocked(payload, lock=open_lock([a_lock()]), standing=standing, other_routes={"eye-drops"})


def test_only_trouble_that_needs_the_vet_locks() -> None:
    """What is asked about before the next meal, a power cut and an owner out of reach stop nothing by themselves."""
    assert {trouble for trouble in Trouble if not trouble.locks_feeding} == {
        Trouble.CLOG,
        Trouble.FEVER,
        Trouble.SITE,
        Trouble.DIARRHEA,
        Trouble.POWER_CUT,
        Trouble.UNREACHABLE,
    }
