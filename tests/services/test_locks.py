"""Who may lock feeding, who may clear it, and what is refused meanwhile, in the database."""

from datetime import timedelta

import pytest

from fillmark.core.record.care_entries import FeedingCleared, FeedingLocked, Note
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.record.entries import Entry
from fillmark.core.record.session_entries import FillGiven, SessionStarted
from fillmark.core.values.errors import FeedingIsLocked, NotAllowed
from fillmark.core.values.trouble import Trouble
from fillmark.services import bedside, record
from tests.support.builders import NOON, SEVEN, Home, an_entry
from tests.support.sides import side_of

pytestmark = pytest.mark.hazard("H12")


def write(home: Home, payload: object, *, by: object = None, is_fresh: bool = False, **changed: object) -> Entry:
    entry = an_entry(payload, animal_id=home.animal_id, **changed)
    record.record_entry(household_id=home.id, by=by or home.noor, entry=entry, now=NOON, is_fresh=is_fresh)
    return entry


def current(home: Home):
    return side_of(**home.ids, now=NOON).lock


def clearing(lock: Entry) -> FeedingCleared:
    return FeedingCleared(locks=(lock.id,), who="Dr. Marsh", vet_words="Go on with half a meal.")


@pytest.mark.hazard("H25")
@pytest.mark.hazard("H39")
def test_a_sitter_may_lock_but_neither_clear_nor_take_back(home: Home) -> None:
    """Nor may a helper; nor does a lead take it back: a lead clears it, with the vet's words.

    What comes late is kept, and changes nothing.
    """
    lock = write(home, FeedingLocked(trouble=Trouble.COUGH, session=SEVEN), by=home.ilse)
    for person in (home.ilse, home.sam):
        with pytest.raises(NotAllowed, match="asking to clear a lock on feeding"):
            write(home, clearing(lock), by=person)
        with pytest.raises(NotAllowed, match="taken back without a word of the vet"):
            write(home, Withdrawn(reason="a slip"), by=person, corrects=lock.id, is_fresh=True)
        write(home, Withdrawn(reason="a slip"), by=person, corrects=lock.id)
    held = current(home)
    assert held is not None
    assert (held.trouble, held.by_name) == (Trouble.COUGH, "Ilse")

    with pytest.raises(NotAllowed, match="taken back without a word of the vet"):
        write(home, Withdrawn(reason="a slip"), corrects=lock.id, is_fresh=True)
    write(home, Note(text="It was nothing."), corrects=lock.id)
    assert current(home) is not None
    write(home, clearing(lock))

    assert current(home) is None


def test_a_press_in_a_locked_session_is_refused_and_a_late_fact_is_kept(home: Home) -> None:
    """What a phone wrote without a signal happened; what is pressed now would be pushed now."""
    write(home, FeedingLocked(trouble=Trouble.TUBE_OUT), at=NOON - timedelta(minutes=1))

    with pytest.raises(FeedingIsLocked):
        write(home, SessionStarted(session=SEVEN), is_fresh=True)
    write(home, SessionStarted(session=SEVEN))
    with pytest.raises(FeedingIsLocked):
        write(home, FillGiven(session=SEVEN, fill=1, ml=60), is_fresh=True)
    late = write(home, FillGiven(session=SEVEN, fill=1, ml=60))

    assert record.find_entry(household_id=home.id, entry_id=late.id) is not None


def test_a_lock_is_one_animals_alone(home: Home) -> None:
    """Sorrel is fed while Juniper's feeding is locked."""
    from fillmark.services import household

    sorrel = household.add_animal(household_id=home.id, by=home.noor, name="Sorrel", now=NOON)
    write(home, FeedingLocked(trouble=Trouble.BLOAT))

    assert side_of(household_id=home.id, animal_id=sorrel.id, now=NOON).lock is None
    started = an_entry(SessionStarted(session=SEVEN), animal_id=sorrel.id)
    record.record_entry(household_id=home.id, by=home.noor, entry=started, now=NOON, is_fresh=True)


def test_the_question_costs_little_without_a_lock(home: Home, django_assert_max_num_queries) -> None:
    """It is asked on every screen, out of the one statement that loads the animal's side."""
    known = side_of(**home.ids, now=NOON)
    with django_assert_max_num_queries(1):
        side = bedside.load(person=known.person, home=known.home, animal_id=home.animal_id, now=NOON)
        assert side.lock is None
