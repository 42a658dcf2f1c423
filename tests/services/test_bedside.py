"""The one door: what it costs, what it holds together, and what it keeps apart."""

from collections.abc import Callable
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from fillmark.core.gates.press import check_press
from fillmark.core.record.care_entries import BatchChosen, Note
from fillmark.core.record.corrections import NoRight
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.record.entries import Entry
from fillmark.core.record.medicine_entries import MedicineGiven
from fillmark.core.record.session_entries import (
    CameBack,
    FillGiven,
    FlushGiven,
    SessionEnded,
    SessionPaused,
    SessionStarted,
    StepDone,
)
from fillmark.core.values.errors import BadEntry, FillmarkError
from fillmark.services import bedside, household, plans, record
from fillmark.services.bedside import Recorded
from tests.journeys.household import Household, quarry_lane
from tests.support.builders import NOON, SEVEN, Home, a_home, adopt, an_entry, an_id
from tests.support.full_shelf import medicine
from tests.support.sides import side_of

pytestmark = pytest.mark.django_db
NOW = NOON.replace(hour=19, minute=42)
TONIGHT = "2026-11-25T20:00"
A_PRESS = 6
"""The statements of one press: the transaction's beginning and end, the lock with its number, the animal's side, the
entry, and what the day adds up to. The sign-in of a request comes before."""


@pytest.fixture
def quarry() -> Household:
    """In the evening, with the whole day recorded; and the plan read once before."""
    made = quarry_lane(now=NOW)
    press(made, SessionStarted(session=TONIGHT))
    return made


def press(quarry: Household, payload: Any, *, is_fresh: bool = True, **changed: Any) -> Recorded:
    entry = an_entry(payload, **{"at": NOW, **changed}, animal_id=quarry.animal_id)
    return record.record_entry(household_id=quarry.id, by=quarry.noor, entry=entry, now=NOW, is_fresh=is_fresh)


@pytest.mark.parametrize(
    "payload",
    [
        StepDone(session=TONIGHT, step="check-mark"),
        FlushGiven(session=TONIGHT, step="flush-before", ml=10),
        FillGiven(session=TONIGHT, fill=1, ml=60),
        BatchChosen(session=TONIGHT, made_on=NOW.date()),
        MedicineGiven(medicine="omeprazole", amount="6 mL", outcome="given", reason="The vet said so."),
        CameBack(session=TONIGHT, ml=5, reason="Saliva."),
        SessionPaused(session=TONIGHT),
        SessionEnded(session=TONIGHT),
        Note(text="Slept through."),
    ],
    ids=lambda payload: payload.kind,
)
@pytest.mark.parametrize("is_fresh", [True, False], ids=["pressed now", "sent later"])
def test_a_press_costs_six_statements(
    quarry: Household, payload: Any, is_fresh: bool, django_assert_max_num_queries: Callable[..., Any]
) -> None:
    """Whatever it is, and however much it is judged by."""
    with django_assert_max_num_queries(A_PRESS):
        assert not press(quarry, payload, is_fresh=is_fresh).was_known


def test_a_start_is_judged_by_two_days_and_costs_no_more(
    django_assert_max_num_queries: Callable[..., Any],
) -> None:
    """Whether a session was stopped before is read from the same statement."""
    quarry = quarry_lane(now=NOW)
    side_of(**quarry.ids, now=NOW)
    with django_assert_max_num_queries(A_PRESS):
        press(quarry, SessionStarted(session=TONIGHT))


def a_list(quarry: Household, count: int) -> list[Entry]:
    return [
        an_entry(FillGiven(session=TONIGHT, fill=number, ml=60), at=NOW, animal_id=quarry.animal_id)
        for number in range(1, count + 1)
    ]


def test_a_phones_list_costs_hardly_more_than_one_press(
    quarry: Household, django_assert_max_num_queries: Callable[..., Any]
) -> None:
    """25 entries: one lock, one side, one insert inside its savepoint, and the day is added up once."""
    with django_assert_max_num_queries(A_PRESS + 2):
        answers = record.record_entries(household_id=quarry.id, by=quarry.noor, entries=a_list(quarry, 25), now=NOW)

    assert [one.seq for one in answers] == list(range(answers[0].seq, answers[0].seq + 25))


@pytest.mark.hazard("H27")
def test_what_a_list_cannot_keep_leaves_no_gap(quarry: Household) -> None:
    """Refused, sent twice and taken elsewhere: each its own answer, and the numbers go on without a gap."""
    other = a_home(name="Mill Lane")
    elsewhere = an_entry(Note(text="x"), animal_id=other.animal_id)
    record.record_entry(household_id=other.id, by=other.noor, entry=elsewhere, now=NOON)
    last = record.last_seq(household_id=quarry.id)
    first, second = a_list(quarry, 2)
    taken = second.model_copy(update={"id": elsewhere.id})
    far = second.model_copy(update={"id": an_id(at=NOW), "at": NOW + timedelta(days=9)})
    stranger = second.model_copy(update={"id": an_id(at=NOW), "animal_id": other.animal_id})

    answers = record.record_entries(
        household_id=quarry.id, by=quarry.noor, entries=[first, taken, far, first, stranger, second], now=NOW
    )

    told = [one.code if isinstance(one, FillmarkError) else (one.seq - last, one.was_known) for one in answers]
    assert told == [(1, False), "bad-entry", "bad-entry", (1, True), "not-allowed", (2, False)]
    assert record.last_seq(household_id=quarry.id) == last + 2
    kept = record.entries_since(household_id=quarry.id, seq=last)
    assert [(one.seq - last, one.entry.id) for one in kept] == [(1, first.id), (2, second.id)]


@pytest.mark.hazard("H1")
def test_each_press_of_a_list_is_judged_after_those_before_it(quarry: Household) -> None:
    """The second of two fresh fills of one number is shown first, as if they had come one by one."""
    one, two = (an_entry(FillGiven(session=TONIGHT, fill=1, ml=60), animal_id=quarry.animal_id, at=NOW) for _ in "12")

    answers = record.record_entries(
        household_id=quarry.id, by=quarry.noor, entries=[one, two], now=NOW, fresh={one.id, two.id}
    )

    assert isinstance(answers[0], Recorded)
    assert isinstance(answers[1], FillmarkError)
    assert answers[1].code == "already-recorded"


def test_a_list_about_two_animals_is_numbered_in_one_household(home: Home) -> None:
    """Each animal has its own side and its own sums; the numbers are the household's."""
    second = household.add_animal(household_id=home.id, by=home.noor, name="Sorrel", now=NOON)
    animals = [home.animal_id, second.id, home.animal_id, second.id]
    entries = [
        an_entry(FillGiven(session=SEVEN, fill=place + 1, ml=60), animal_id=one) for place, one in enumerate(animals)
    ]

    answers = record.record_entries(household_id=home.id, by=home.noor, entries=entries, now=NOON)

    assert sorted(one.seq for one in answers) == [1, 2, 3, 4]
    for animal_id in {*animals}:
        (day,) = record.days(household_id=home.id, animal_id=animal_id, first=NOON.date(), last=NOON.date(), now=NOON)
        assert (day.entries, day.blend_low_ml) == (2, 120)


def test_a_correction_of_a_correction_is_followed_to_its_end(home: Home) -> None:
    """Over as many days as there are: one step comes with the statement, further ones are asked for."""
    chain = [an_entry(FillGiven(session="2026-11-20T07:00", fill=1, ml=10), animal_id=home.animal_id)]
    for day in range(21, 26):
        payload = FillGiven(session=f"2026-11-{day}T07:00", fill=1, ml=day)
        chain.append(an_entry(payload, animal_id=home.animal_id, corrects=chain[-1].id))
    for entry in chain:
        record.record_entry(household_id=home.id, by=home.noor, entry=entry, now=NOON)

    side = side_of(**home.ids, now=NOON)
    assert {one.entry.id for one in side.of_days(NOON.date(), NOON.date())} == {entry.id for entry in chain}
    days = record.days(**home.ids, first=NOON.date() - timedelta(days=9), last=NOON.date(), now=NOON)
    assert [(one.day, one.blend_low_ml) for one in days] == [(NOON.date(), 25)]


def test_what_was_not_loaded_is_not_answered(quarry: Household) -> None:
    """Half an answer would look like a whole one."""
    side = side_of(**quarry.ids, now=NOW)
    long_ago = NOW.date() - timedelta(days=40)

    for ask in (
        lambda: side.of_days(long_ago, long_ago),
        lambda: side.around(first=long_ago, last=side.today, kinds=("medicine_given",)),
        lambda: side.of_kinds(("note",)),
        lambda: side.doses(at=NOW, back=timedelta(days=40)),
    ):
        with pytest.raises(LookupError, match="not loaded"):
            ask()
    wider = bedside.widen(side, days=[long_ago], kinds_since=long_ago)
    assert wider.of_days(long_ago, long_ago) == ()
    assert wider.doses(at=NOW, back=timedelta(days=30)) is not None


def test_a_new_name_is_read_at_once(quarry: Household) -> None:
    """What is kept of an entry from one reading to the next is what never changes; its writer's name may."""
    before = side_of(**quarry.ids, now=NOW)
    household.change_person(household_id=quarry.id, by=quarry.noor, person_id=quarry.noor, name="Noor B.", now=NOW)
    after = side_of(**quarry.ids, now=NOW)

    assert {one.by_name for one in before.kept.values()} == {"Noor"}
    assert {one.by_name for one in after.kept.values()} == {"Noor B."}


def test_a_side_decides_without_a_database(
    quarry: Household, django_assert_max_num_queries: Callable[..., Any]
) -> None:
    """Once it is loaded, the core alone says what may be written."""
    side = side_of(**quarry.ids, now=NOW)
    fill = an_entry(FillGiven(session=TONIGHT, fill=1, ml=60), at=NOW, animal_id=quarry.animal_id)
    unknown = MedicineGiven(medicine="nobody-knows", dose_mg=Decimal(1), outcome="given")

    with django_assert_max_num_queries(0):
        assert check_press(side, fill, is_fresh=True) is None
        with pytest.raises(BadEntry, match="no plan of this animal names"):
            check_press(side, an_entry(unknown, at=NOW, animal_id=quarry.animal_id), is_fresh=False)


@pytest.mark.hazard("H25")
def test_a_sitter_takes_back_only_what_they_wrote(home: Home) -> None:
    """Pressed now it is refused; what comes late is kept in sight, and changes nothing."""
    written = an_entry(Note(text="x"), animal_id=home.animal_id)
    record.record_entry(household_id=home.id, by=home.noor, entry=written, now=NOON)
    back = an_entry(Withdrawn(reason="no"), animal_id=home.animal_id, corrects=written.id)

    sent = {"household_id": home.id, "by": home.ilse, "entries": [back], "now": NOON}
    (answer,) = record.record_entries(**sent, fresh={back.id})
    assert isinstance(answer, FillmarkError)
    assert answer.code == "not-allowed"

    (late,) = record.record_entries(**sent)
    assert isinstance(late, record.Recorded)
    shown = record.entry_history(household_id=home.id, entry_id=written.id)
    assert [(one.counts, one.no_right) for one in shown] == [(True, None), (False, NoRight.OF_ANOTHERS)]


def test_facts_that_belong_together_are_kept_together_or_not_at_all(quarry: Household) -> None:
    """The first that cannot be kept is told, and nothing is written."""
    last = record.last_seq(household_id=quarry.id)
    far = an_entry(Note(text="x"), at=NOW + timedelta(days=9), animal_id=quarry.animal_id)
    together = {"household_id": quarry.id, "by": quarry.noor, "now": NOW}

    with pytest.raises(BadEntry, match="ahead"):
        bedside.keep_together(**together, entries=[*a_list(quarry, 2), far])

    assert record.last_seq(household_id=quarry.id) == last
    assert len(bedside.keep_together(**together, entries=a_list(quarry, 2))) == 2


@pytest.mark.hazard("H2")
def test_doses_of_one_list_are_each_judged_as_far_back_as_their_own_order_reaches(quarry: Household) -> None:
    """One by the plan of its hour, and one by a plan that asks for a dose once a month."""
    current = plans.current_plan(**quarry.ids, at=NOW)
    monthly = medicine(
        "monthly",
        "Once in four weeks",
        strength="10 mg/mL",
        dose="6 mg",
        every_hours=672,
        first_dose=datetime(2026, 11, 5, 18, 30),  # noqa: DTZ001 - the household's clock
    )
    changed = current.plan.model_copy(update={"medicines": (*current.plan.medicines, monthly)})
    adopt(quarry, changed, from_at=NOW - timedelta(minutes=5), now=NOW)
    long_ago = MedicineGiven(medicine="monthly", amount="5 mL", outcome="given")
    press(quarry, long_ago, is_fresh=False, at=NOW - timedelta(days=20))
    doses = [an_entry(long_ago, at=NOW - timedelta(minutes=ago), animal_id=quarry.animal_id) for ago in (60, 1)]

    answers = record.record_entries(
        household_id=quarry.id, by=quarry.noor, entries=doses, now=NOW, fresh={one.id for one in doses}
    )

    assert "Noor gave it at 19:42 on 5 November" in str(answers[1])


def test_a_version_of_the_weeks_to_come_is_part_of_the_side(quarry: Household) -> None:
    """A chart of next month shows the plan that will hold then."""
    current = plans.current_plan(**quarry.ids, at=NOW)
    adopt(quarry, current.plan, from_at=NOW + timedelta(days=30), now=NOW)

    side = side_of(**quarry.ids, now=NOW)

    assert side.stored.number == 1
    assert side.plan_at(NOW + timedelta(days=31)).number == 2
