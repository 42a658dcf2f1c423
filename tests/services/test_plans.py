"""Which plan holds when, who stands behind it, and what its day asks for."""

from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Any

import pytest

from fillmark.core.bedside.next_session import next_and_last
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.amounts import Amount
from fillmark.core.record.medicine_entries import MedicineGiven
from fillmark.core.record.session_entries import FillGiven, SessionEnded, SessionStarted
from fillmark.core.record.sessions import Standing
from fillmark.core.values.errors import BadEntry, BadPlan, FillmarkError, NotAllowed, NotStated
from fillmark.records.plan_versions import StoredPlan
from fillmark.services import household, plans, record
from tests.support.builders import NOON, SEVEN, Home, an_entry, junipers_plan
from tests.support.builders import adopt as put_in_force
from tests.support.sides import side_of

pytestmark = pytest.mark.django_db
DAY = date(2026, 11, 25)


def a_plan(**orders: Any) -> CarePlan:
    """Juniper's example plan, with other orders."""
    plan = junipers_plan()
    return plan.model_copy(update={"orders": plan.orders.model_copy(update=orders)})


def adopt(home: Home, plan: CarePlan | str | None = None, **changed: Any) -> StoredPlan:
    said = {"words": "Keep on with four meals.", "on": date(2026, 11, 18)}
    return put_in_force(home, plan or a_plan(), **{"from_at": NOON - timedelta(days=5), "now": NOON, **said, **changed})


def test_what_is_adopted_is_kept_whole(home: Home) -> None:
    """The document comes back as the same value, with the vet's words and who confirmed it."""
    kept = adopt(home)

    found = plans.current_plan(**home.ids, at=NOON)
    assert found == kept
    assert found.plan == a_plan()
    assert (found.number, found.confirmed_by, found.vet_words) == (1, home.noor, "Keep on with four meals.")
    assert found.vet_said_on == date(2026, 11, 18)


@pytest.mark.hazard("H32")
@pytest.mark.parametrize("words", ["", "  "])
def test_a_plan_without_the_vets_words_is_refused(home: Home, words: str) -> None:
    """The whole message, word for word; nothing is in force."""
    with pytest.raises(BadPlan) as refused:
        adopt(home, words=words)

    assert str(refused.value) == (
        "A plan without the vet's words. Allowed: what the vet said about it, in the vet's own words. "
        "Ask the vet, and write down what they say."
    )
    assert plans.current_plan(**home.ids, at=NOON) is None


@pytest.mark.hazard("H32")
def test_a_plan_the_vet_has_not_spoken_about_yet_is_refused(home: Home) -> None:
    """Tomorrow's word does not count today."""
    with pytest.raises(BadPlan, match="Allowed: 25 November 2026 or earlier"):
        adopt(home, on=date(2026, 11, 26))


@pytest.mark.hazard("H32")
def test_a_new_version_is_only_ever_adopted_by_a_person_who_may(home: Home) -> None:
    """Recording anything changes no plan."""
    adopt(home)
    entry = an_entry(SessionStarted(session=SEVEN), animal_id=home.animal_id)
    record.record_entry(household_id=home.id, by=home.sam, entry=entry, now=NOON)

    with pytest.raises(NotAllowed):
        adopt(home, by=home.sam)
    assert len(plans.all_versions(**home.ids)) == 1


@pytest.mark.parametrize("document", ["", "{}", "[1]", "x" * 100, '{"format": "fillmark care plan 1"}'])
def test_what_is_no_plan_is_refused(home: Home, document: str) -> None:
    """With a message, and nothing kept."""
    with pytest.raises(FillmarkError):
        adopt(home, document or " ")

    assert plans.all_versions(**home.ids) == ()


def test_a_plan_of_which_no_day_can_be_worked_out_is_refused(home: Home) -> None:
    """It waits for the vet's answer."""
    with pytest.raises(NotStated):
        adopt(home, a_plan(energy=None))


@pytest.mark.hazard("H26")
def test_a_plan_by_another_clock_than_the_households_is_refused(home: Home) -> None:
    """Its sessions would be called otherwise than the entries are kept. The whole message, word for word."""
    household = a_plan().household
    for changed in ({"time_zone": "America/Denver"}, {"day_starts": time(5)}):
        plan = a_plan().model_copy(update={"household": household.model_copy(update=changed)})
        with pytest.raises(BadPlan, match="Allowed: the household's own Europe/Dublin, from 04:00") as refused:
            adopt(home, plan)
        assert str(refused.value).endswith("Take it in from the plan page, which puts it by the household's clock.")

    assert plans.all_versions(**home.ids) == ()


def test_yesterday_keeps_yesterdays_plan(home: Home) -> None:
    """A change at noon: the morning's meals are of the old version, the afternoon's of the new one."""
    adopt(home)
    adopt(
        home,
        a_plan(upright_minutes=30, meal_ml=None, energy=a_plan().orders.energy.model_copy(update={"factor": 1.2})),
        from_at=NOON,
    )

    planned = {session.key: session.meal_ml for session in plans.planned_sessions(**home.ids, day=DAY)}

    assert planned["2026-11-25T07:00"] == planned["2026-11-25T11:30"] == 210
    assert planned["2026-11-25T15:00"] == planned["2026-11-25T20:00"] == pytest.approx(168, abs=1)
    assert plans.current_plan(**home.ids, at=NOON - timedelta(seconds=1)).number == 1
    assert plans.current_plan(**home.ids, at=NOON).number == 2
    before = plans.planned_sessions(**home.ids, day=DAY - timedelta(days=1))
    assert {session.meal_ml for session in before} == {0, 210}


def test_a_version_replaced_before_it_began_never_holds(home: Home) -> None:
    """The third is adopted last and from an earlier day on than the second."""
    adopt(home)
    adopt(home, from_at=NOON + timedelta(days=3))
    adopt(home, from_at=NOON + timedelta(days=1))

    numbers = [plans.current_plan(**home.ids, at=NOON + timedelta(days=days)).number for days in range(5)]

    assert numbers == [1, 3, 3, 3, 3]


def test_before_the_first_version_nothing_is_planned(home: Home) -> None:
    """Not even on the day it began, before its hour."""
    adopt(home, from_at=datetime(2026, 11, 25, 12, 0, tzinfo=NOON.tzinfo))

    assert plans.planned_sessions(**home.ids, day=DAY - timedelta(days=1)) == ()
    assert plans.planned_sessions(**home.ids, day=DAY)[0].key == "2026-11-25T14:30"
    assert plans.current_plan(**home.ids, at=NOON - timedelta(days=1)) is None


def test_a_session_is_found_by_its_identity(home: Home) -> None:
    """What the plan does not know is none."""
    adopt(home)

    found = {one.key: one.meal_ml for one in plans.planned_sessions(**home.ids, day=DAY)}
    assert found[SEVEN] == 210
    assert "2026-11-25T07:01" not in found


@pytest.mark.hazard("H17")
def test_another_animals_medicine_cannot_be_recorded(home: Home) -> None:
    """Sorrel's medicine in Juniper's session is refused; the whole message, word for word."""
    adopt(home)
    who = {"household_id": home.id, "by": home.noor, "now": NOON}
    sorrel = household.add_animal(**who, name="Sorrel")

    def give(animal_id: Any, medicine: str) -> None:
        payload = MedicineGiven(session=SEVEN, medicine=medicine, dose_mg=Decimal(12), outcome="given")
        record.record_entry(**who, entry=an_entry(payload, animal_id=animal_id))

    give(home.animal_id, "omeprazole")
    for animal_id, medicine in ((home.animal_id, "maropitant"), (sorrel.id, "omeprazole")):
        with pytest.raises(BadEntry) as refused:
            give(animal_id, medicine)
    assert str(refused.value) == (
        'The medicine "omeprazole", which no plan of this animal names. Allowed: a medicine of this animal\'s plan. '
        "Check that this is the right animal. If another animal's medicine was given, call the vet now."
    )
    assert len(record.entries_since(household_id=home.id, seq=0)) == 1


def test_a_medicine_of_an_earlier_version_can_still_be_recorded(home: Home) -> None:
    """A phone without a signal gave it by the plan it knew."""
    adopt(home)
    without = a_plan().model_copy(update={"medicines": ()})
    adopt(home, without, from_at=NOON - timedelta(hours=1))
    payload = MedicineGiven(session=SEVEN, medicine="omeprazole", dose_mg=Decimal(12), outcome="given")

    answer = record.record_entry(
        household_id=home.id, by=home.noor, entry=an_entry(payload, animal_id=home.animal_id), now=NOON
    )

    assert answer.seq == 1


# What is next, and the last


def tell(home: Home, *payloads: Any, at: datetime) -> None:
    for payload in payloads:
        entry = an_entry(payload, animal_id=home.animal_id, at=at)
        record.record_entry(household_id=home.id, by=home.noor, entry=entry, now=at)


def clock(text: str) -> datetime:
    return datetime.fromisoformat(f"2026-11-25T{text}:00+00:00")


@pytest.mark.parametrize(
    ("now", "last", "next_one"),
    [
        ("06:00", "2026-11-24T22:30", "2026-11-25T06:30"),
        ("06:45", "2026-11-24T22:30", "2026-11-25T06:30"),  # due, and still to do
        ("07:20", "2026-11-25T06:30", "2026-11-25T07:00"),
        ("09:00", "2026-11-25T06:30", "2026-11-25T07:00"),
        ("09:01", "2026-11-25T07:00", "2026-11-25T11:30"),  # two hours late it is no button any more
        ("23:30", "2026-11-25T20:00", "2026-11-25T22:30"),
    ],
)
def test_what_is_due_stays_next_for_two_hours_or_until_the_one_after_it_is_due(
    home: Home, now: str, last: str, next_one: str
) -> None:
    """With nothing recorded at all."""
    adopt(home)

    found = next_and_last(side_of(**home.ids, now=clock(now)))

    assert (found.last.session, found.next.session) == (last, next_one)


@pytest.mark.hazard("H19")
def test_a_meal_nobody_recorded_is_last_with_no_entry(home: Home) -> None:
    """It is neither left out nor called given."""
    adopt(home)

    last = next_and_last(side_of(**home.ids, now=clock("11:40"))).last

    assert (last.session, last.record.standing, last.record.blend) == (SEVEN, Standing.NO_ENTRY, None)
    assert last.planned.meal_ml == 210


@pytest.mark.hazard("H2")
def test_a_session_in_hand_is_next_and_when_left_it_is_last_and_not_known(home: Home) -> None:
    """After more than two hours of silence."""
    adopt(home)
    tell(home, SessionStarted(session=SEVEN), FillGiven(session=SEVEN, fill=1, ml=60), at=clock("07:05"))

    during = next_and_last(side_of(**home.ids, now=clock("07:30")))
    after = next_and_last(side_of(**home.ids, now=clock("09:30")))

    assert (during.next.session, during.next.record.standing) == (SEVEN, Standing.IN_HAND)
    assert (after.last.session, after.last.record.standing) == (SEVEN, Standing.NOT_KNOWN)
    assert after.next.session == "2026-11-25T11:30"


def test_after_a_session_ended_the_following_is_next(home: Home) -> None:
    """Also when it was given early."""
    adopt(home)
    tell(home, SessionStarted(session=SEVEN), SessionEnded(session=SEVEN), at=clock("06:50"))

    found = next_and_last(side_of(**home.ids, now=clock("07:10")))

    assert (found.last.session, found.next.session) == (SEVEN, "2026-11-25T11:30")


def test_without_a_plan_what_was_recorded_is_still_shown(home: Home) -> None:
    """And nothing is next."""
    tell(home, FillGiven(session=SEVEN, fill=1, ml=60), SessionEnded(session=SEVEN), at=clock("07:05"))

    found = next_and_last(side_of(**home.ids, now=clock("09:30")))

    assert (found.last.session, found.last.record.blend, found.next) == (SEVEN, Amount(60, 60), None)


def test_the_day_stands_beside_its_plan(home: Home) -> None:
    """Four meals of 210 mL planned, 60 mL in."""
    adopt(home)
    tell(home, FillGiven(session=SEVEN, fill=1, ml=60), at=clock("07:05"))

    ledger = record.day_ledger(side_of(**home.ids, now=NOON), day=DAY)

    assert (ledger.planned_ml, ledger.kept) == (840, Amount(60, 60))
