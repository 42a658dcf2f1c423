"""Recording: once, for good, the same in every order, and by those who may."""

import random
from datetime import date, datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest

from fillmark.core.bedside.next_session import next_and_last, session_state
from fillmark.core.record.amounts import Amount
from fillmark.core.record.care_entries import Note, Weighed
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.record.session_entries import CameBack, FillGiven, MealEnded, SessionEnded, SessionStarted
from fillmark.core.values.errors import BadEntry, NotAllowed
from fillmark.records import models, rollups
from fillmark.services import record
from tests.support.builders import NOON, SEVEN, Home, a_home, an_entry, an_id
from tests.support.sides import side_of

pytestmark = pytest.mark.django_db
DAY = date(2026, 11, 25)


def keep(home: Home, payload: Any, *, by: Any = None, now: datetime = NOON, **changed: Any) -> Any:
    """Record a payload as Noor, or as `by`, and give back the entry."""
    entry = an_entry(payload, **{"animal_id": home.animal_id, **changed})
    record.record_entry(household_id=home.id, by=by or home.noor, entry=entry, now=now)
    return entry


@pytest.mark.hazard("H1")
@pytest.mark.hazard("H27")
def test_an_entry_sent_twelve_times_is_one_entry(home: Home) -> None:
    """Each time with the same number; the record holds it once."""
    entry = an_entry(FillGiven(session=SEVEN, fill=1, ml=60), animal_id=home.animal_id)

    answers = [record.record_entry(household_id=home.id, by=home.noor, entry=entry, now=NOON) for _ in range(12)]

    assert {answer.seq for answer in answers} == {1}
    assert [answer.was_known for answer in answers] == [False] + [True] * 11
    assert [kept.entry for kept in record.entries_since(household_id=home.id, seq=0)] == [entry]


def test_the_same_id_with_another_content_is_refused_and_the_first_stays(home: Home) -> None:
    """The whole message, word for word."""
    entry = keep(home, FillGiven(session=SEVEN, fill=1, ml=60))

    with pytest.raises(BadEntry) as refused:
        keep(home, FillGiven(session=SEVEN, fill=1, ml=50), id=entry.id)

    assert str(refused.value) == (
        f"The id {entry.id}, which an entry that says something else already has. Allowed: a new id for each entry. "
        "Look at the record for what was kept; to change it, send a correction under a new id."
    )
    assert record.entries_since(household_id=home.id, seq=0)[0].entry == entry


def test_the_same_id_from_another_household_is_refused(home: Home) -> None:
    """And nothing of the other household is told."""
    entry = keep(home, Note(text="x"))
    other = a_home(name="Mill Lane")

    with pytest.raises(BadEntry, match="which an entry that says something else already has"):
        keep(other, entry.payload, id=entry.id)
    assert record.entries_since(household_id=other.id, seq=0) == ()
    assert keep(other, Note(text="y")).id == record.entries_since(household_id=other.id, seq=0)[0].entry.id


def test_what_one_person_wrote_another_may_send_again_from_the_same_phone(home: Home) -> None:
    """Sam has signed in on the phone on which Noor's entry still waited for its answer: it stays Noor's."""
    entry = keep(home, Note(text="x"))

    answer = record.record_entry(household_id=home.id, by=home.sam, entry=entry, now=NOON)

    assert (answer.seq, answer.was_known) == (1, True)
    assert [kept.by_name for kept in record.entries_since(household_id=home.id, seq=0)] == ["Noor"]


def test_each_household_counts_for_itself_without_gaps(home: Home) -> None:
    """A refused entry takes no number."""
    other = a_home(name="Mill Lane")
    for number in range(1, 5):
        keep(home, FillGiven(session=SEVEN, fill=number, ml=60))
        with pytest.raises(NotAllowed):
            keep(home, Note(text="x"), animal_id=uuid4())
        keep(other, Note(text="x"))

    assert [kept.seq for kept in record.entries_since(household_id=home.id, seq=0)] == [1, 2, 3, 4]
    assert [kept.seq for kept in record.entries_since(household_id=other.id, seq=2)] == [3, 4]


def test_what_comes_out_is_what_went_in(home: Home) -> None:
    """Instant, zone, device with quotes in its name, payload and correction."""
    first = keep(home, Note(text='he said "ouch" – \\ ✓\n2nd line'), device='Noor\'s "phone" \\')
    second = keep(home, Note(text="no"), corrects=first.id, zone="America/Denver")

    assert [kept.entry for kept in record.entries_since(household_id=home.id, seq=0)] == [first, second]


@pytest.mark.hazard("H27")
def test_any_order_of_arrival_gives_the_same_day(home: Home) -> None:
    """Forty orders of a day with corrections, a duplicate and something that came back."""
    fills = [an_entry(FillGiven(session=SEVEN, fill=number, ml=60), animal_id=home.animal_id) for number in (1, 2, 3)]
    day = [
        *fills,
        an_entry(FillGiven(session=SEVEN, fill=1, ml=60), animal_id=home.animal_id, device="sam-phone"),
        an_entry(FillGiven(session=SEVEN, fill=2, ml=50), animal_id=home.animal_id, corrects=fills[1].id),
        an_entry(Withdrawn(reason="a slip"), animal_id=home.animal_id, corrects=fills[2].id),
        an_entry(CameBack(session=SEVEN, ml=5.5), animal_id=home.animal_id),
        an_entry(MealEnded(session="2026-11-25T12:00", total_ml=240, fills=0), animal_id=home.animal_id),
    ]
    ledgers, rollups = set(), set()
    for number in range(40):
        other = a_home(name=f"Home {number}")
        moved = [
            entry.model_copy(
                update={
                    "id": type(entry.id)(int=entry.id.int ^ (number + 1 << 32)),
                    "animal_id": other.animal_id,
                    "corrects": entry.corrects and type(entry.id)(int=entry.corrects.int ^ (number + 1 << 32)),
                }
            )
            for entry in day
        ]
        random.Random(number).shuffle(moved)
        for entry in moved:
            record.record_entry(household_id=other.id, by=other.noor, entry=entry, now=NOON)
        ledger = record.day_ledger(side_of(**other.ids, now=NOON), day=DAY)
        ledgers.add((ledger.blend, ledger.back, ledger.kept, ledger.entries, len(ledger.clashes)))
        rollups.add(record.days(**other.ids, first=DAY, last=DAY, now=NOON))

    assert ledgers == {(Amount(350, 410), Amount(5.5, 5.5), Amount(344.5, 404.5), 5, 1)}
    assert len(rollups) == 1


def test_the_kept_sums_are_those_worked_out_anew(home: Home) -> None:
    """After corrections that move an entry to another day and back."""
    first = keep(home, FillGiven(session=SEVEN, fill=1, ml=60))
    keep(home, FillGiven(session="2026-11-24T22:00", fill=1, ml=60))
    moved = keep(home, FillGiven(session="2026-11-24T07:00", fill=1, ml=55), corrects=first.id)
    keep(home, Note(text="x"), corrects=moved.id, at=NOON - timedelta(days=9))
    keep(home, CameBack(ml=10), at=NOON - timedelta(days=1))

    record.days(**home.ids, first=date(2026, 11, 1), last=DAY, now=NOON)
    assert rollups.days_that_do_not_add_up(household_id=home.id, now=NOON) == ()
    kept = models.DayRollup.objects.order_by("day").values_list("day", flat=True)
    assert list(kept) == [date(2026, 11, 16), date(2026, 11, 24)]


def test_a_days_record_shows_corrected_entries_with_what_took_their_place(home: Home) -> None:
    """Also where the correction moved it to another day."""
    first = keep(home, FillGiven(session=SEVEN, fill=1, ml=60))
    moved = keep(home, FillGiven(session="2026-11-24T07:00", fill=1, ml=60), corrects=first.id)

    shown = record.day_entries(side_of(**home.ids, now=NOON), day=DAY)

    assert [(one.kept.entry.id, one.counts, one.replaced_by) for one in shown] == [
        (first.id, False, moved.id),
        (moved.id, True, None),
    ]


def test_two_corrections_of_something_that_has_not_arrived_are_one_fact(home: Home) -> None:
    """Also when they stand on different days."""
    never_arrived = an_id()
    keep(home, FillGiven(session="2026-11-24T07:00", fill=1, ml=50), corrects=never_arrived)
    keep(home, FillGiven(session=SEVEN, fill=1, ml=60), corrects=never_arrived)

    sums = record.days(**home.ids, first=date(2026, 11, 24), last=DAY, now=NOON)

    assert [(day.day, day.blend_low_ml) for day in sums] == [(DAY, 60)]


def test_a_walk_goes_on_at_fill_three_of_four(home: Home) -> None:
    """The state of a session is in the record, not on the phone."""
    keep(home, SessionStarted(session=SEVEN))
    for number in (1, 2):
        keep(home, FillGiven(session=SEVEN, fill=number, ml=60))

    state = session_state(side_of(**home.ids, now=NOON), SEVEN)

    assert (state.next_fill, state.blend) == (3, Amount(120, 120))


@pytest.mark.hazard("H1")
def test_two_people_who_start_the_same_meal_meet_in_one_session(home: Home) -> None:
    """Its identity is the animal, the day and the planned time."""
    keep(home, SessionStarted(session=SEVEN))
    keep(home, SessionStarted(session=SEVEN), by=home.sam, device="sam-phone")

    view = next_and_last(side_of(**home.ids, now=NOON))

    assert [one.session for one in view.sessions] == [SEVEN]


@pytest.mark.hazard("H26")
def test_a_phone_whose_clock_runs_ahead_is_told(home: Home) -> None:
    """Seven minutes: kept, and worth asking about. Two minutes: kept."""
    for minutes, told in ((2, None), (7, timedelta(minutes=7))):
        entry = an_entry(Note(text="x"), at=NOON + timedelta(minutes=minutes), animal_id=home.animal_id)
        answer = record.record_entry(household_id=home.id, by=home.noor, entry=entry, now=NOON)
        assert answer.clock_ahead == told


def test_what_is_new_comes_in_parts(home: Home) -> None:
    """At most as many as asked for, in sequence."""
    for _ in range(5):
        keep(home, Note(text="x"))

    assert [kept.seq for kept in record.entries_since(household_id=home.id, seq=1, limit=3)] == [2, 3, 4]


# Who may


@pytest.mark.hazard("H25")
def test_a_sitter_records_a_session_within_their_dates(home: Home) -> None:
    """On their days, what happens in a session, and a note."""
    for payload in (SessionStarted(session=SEVEN), SessionEnded(session=SEVEN), Note(text="x")):
        keep(home, payload, by=home.ilse)

    assert len(record.entries_since(household_id=home.id, seq=0)) == 3


@pytest.mark.hazard("H25")
@pytest.mark.parametrize(
    ("payload", "at", "now"),
    [
        (Weighed(weight_kg=17.2), NOON, NOON),
        (SessionStarted(session="2026-11-23T22:00"), NOON, NOON),
        (SessionStarted(session="2026-11-27T07:00"), NOON, NOON),
        (Note(text="x"), NOON + timedelta(days=2), NOON + timedelta(days=2)),
        (Note(text="x"), NOON, NOON + timedelta(days=5)),
    ],
    ids=["another kind", "before the pass", "after the pass", "on a day after it", "sent too late"],
)
def test_a_sitter_records_nothing_else(home: Home, payload: Any, at: datetime, now: datetime) -> None:
    """Refused by the service, whatever the screen shows; nothing is kept."""
    with pytest.raises(NotAllowed):
        keep(home, payload, by=home.ilse, at=at, now=now)

    assert record.entries_since(household_id=home.id, seq=0) == ()


@pytest.mark.hazard("H25")
def test_what_a_sitter_wrote_on_the_last_evening_may_arrive_three_days_late(home: Home) -> None:
    """A phone without a signal loses nothing."""
    evening = datetime(2026, 11, 26, 21, 0, tzinfo=NOON.tzinfo)

    keep(home, SessionEnded(session="2026-11-26T20:00"), by=home.ilse, at=evening, now=evening + timedelta(days=3))

    assert len(record.entries_since(household_id=home.id, seq=0)) == 1


@pytest.mark.hazard("H25")
def test_a_sitter_corrects_only_what_they_wrote(home: Home) -> None:
    """The whole message, word for word. A late one is kept and changes nothing, also where it comes first."""
    noors = keep(home, FillGiven(session=SEVEN, fill=1, ml=60))
    own = keep(home, FillGiven(session=SEVEN, fill=2, ml=60), by=home.ilse)

    keep(home, FillGiven(session=SEVEN, fill=2, ml=50), by=home.ilse, corrects=own.id)
    theirs = an_entry(FillGiven(session=SEVEN, fill=1, ml=50), animal_id=home.animal_id, corrects=noors.id)
    with pytest.raises(NotAllowed) as refused:
        record.record_entry(household_id=home.id, by=home.ilse, entry=theirs, now=NOON, is_fresh=True)
    record.record_entry(household_id=home.id, by=home.ilse, entry=theirs, now=NOON)
    to_come = an_entry(FillGiven(session=SEVEN, fill=3, ml=60), animal_id=home.animal_id)
    keep(home, Withdrawn(reason="no"), by=home.ilse, corrects=to_come.id)
    record.record_entry(household_id=home.id, by=home.noor, entry=to_come, now=NOON)

    blend = record.day_ledger(side_of(**home.ids, now=NOON), day=DAY).blend
    assert blend == Amount(170, 170)
    assert str(refused.value) == (
        "Ilse (sitter) asking to correct what another person wrote. Allowed: a correction of what they wrote "
        "themselves. Write a note, or ask a lead of this household."
    )


@pytest.mark.hazard("H25")
def test_nobody_records_in_another_household(home: Home) -> None:
    """Neither for its animals, nor in its name."""
    other = a_home(name="Mill Lane")

    with pytest.raises(NotAllowed):
        keep(home, Note(text="x"), by=other.noor)
    with pytest.raises(NotAllowed):
        keep(home, Note(text="x"), animal_id=other.animal_id)
    with pytest.raises(NotAllowed):
        record.record_entry(
            household_id=uuid4(), by=home.noor, entry=an_entry(Note(text="x"), animal_id=home.animal_id), now=NOON
        )
