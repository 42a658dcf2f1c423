"""A new day is offered to whoever looks, and put in force only by a lead, as it was seen, with the vet's word."""

from datetime import date, time, timedelta
from typing import Any

import pytest

from fillmark.core.today.chosen_hours import Wishes
from fillmark.core.values.errors import BadPlan, NotAllowed
from fillmark.records.plan_versions import StoredPlan
from fillmark.services import plans, timetable
from tests.support.builders import NOON, Home, adopt, confirmed, junipers_plan

pytestmark = pytest.mark.django_db
TO_BED_BY_TEN = Wishes(latest=time(22))
TOMORROW = date(2026, 11, 26)


@pytest.fixture
def planned(home: Home) -> Home:
    """Juniper's example plan, in force since five days ago."""
    juniper = junipers_plan()
    adopt(home, juniper, from_at=NOON - timedelta(days=5), now=NOON)
    return home


def accept(home: Home, **changed: Any) -> StoredPlan:
    offer = timetable.propose(**home.ids, wishes=TO_BED_BY_TEN, now=NOON)
    said = {name: changed.pop(name) for name in ("by", "words", "on", "now") if name in changed}
    values = {"animal_id": home.animal_id, "wishes": TO_BED_BY_TEN, "seen": offer.seen}
    return timetable.put_in_force(confirmed(home, **{"words": "22:00 will do.", **said}), **{**values, **changed})


def clocks(home: Home, day: date) -> list[str]:
    return [f"{session.clock:%H:%M}" for session in plans.planned_sessions(**home.ids, day=day)]


@pytest.mark.hazard("H32")
def test_a_proposal_changes_nothing(planned: Home) -> None:
    """Looked at as often as one likes."""
    for _ in range(2):
        offer = timetable.propose(**planned.ids, wishes=TO_BED_BY_TEN, now=NOON)

    assert [move.new_clock for move in offer.proposal.moves] == [22 * 60]
    assert len(plans.all_versions(**planned.ids)) == 1


def test_what_a_lead_accepts_holds_from_the_start_of_the_next_day(planned: Home) -> None:
    """Today keeps its times, so that no dose of today moves under a hand; the vet's words stand with it."""
    today = clocks(planned, date(2026, 11, 25))
    stored = accept(planned)

    assert (stored.number, stored.confirmed_by, stored.vet_words) == (2, planned.noor, "22:00 will do.")
    assert stored.effective_from.isoformat() == "2026-11-26T04:00:00+00:00"
    assert clocks(planned, date(2026, 11, 25)) == today
    assert clocks(planned, TOMORROW) == ["06:30", "07:00", "11:30", "14:30", "15:00", "18:30", "20:00", "22:00"]


@pytest.mark.hazard("H32")
@pytest.mark.hazard("H25")
@pytest.mark.parametrize("person", ["sam", "ilse"])
def test_a_helper_or_a_sitter_cannot_accept(planned: Home, person: str) -> None:
    """The whole message for Sam, word for word; nothing is put in force."""
    with pytest.raises(NotAllowed) as refused:
        accept(planned, by=getattr(planned, person))

    if person == "sam":
        assert str(refused.value) == (
            "Sam (helper) asking to change the plan. Allowed: a lead. Ask a lead of this household."
        )
    assert len(plans.all_versions(**planned.ids)) == 1


@pytest.mark.hazard("H32")
def test_without_the_vets_words_nothing_is_accepted(planned: Home) -> None:
    """Nor with a word the vet has not said yet."""
    for changed in ({"words": " "}, {"on": date(2026, 11, 26)}):
        with pytest.raises(BadPlan):
            accept(planned, **changed)
    assert len(plans.all_versions(**planned.ids)) == 1


def test_only_what_was_seen_can_be_accepted(planned: Home) -> None:
    """A plan that another lead changed meanwhile, or other wishes, need another look."""
    seen = timetable.propose(**planned.ids, wishes=TO_BED_BY_TEN, now=NOON).seen
    with pytest.raises(BadPlan) as refused:
        accept(planned, wishes=Wishes(fixed_at=time(19), fixed_what="meal"))
    accept(planned)
    with pytest.raises(BadPlan):
        accept(planned, seen=seen)

    assert str(refused.value) == (
        "A day that is no longer the one you saw. Allowed: the day as it was shown. "
        "Look at the new day again, then accept it."
    )
    assert len(plans.all_versions(**planned.ids)) == 2


def test_a_day_in_which_nothing_moves_makes_no_version(planned: Home) -> None:
    """There is nothing to confirm."""
    same = Wishes()
    seen = timetable.propose(**planned.ids, wishes=same, now=NOON).seen

    with pytest.raises(BadPlan, match="nothing moves"):
        accept(planned, wishes=same, seen=seen)


def test_an_impossible_wish_cannot_be_accepted(planned: Home) -> None:
    """There is no day to put in force."""
    none = Wishes(earliest=time(9), latest=time(21))
    seen = timetable.propose(**planned.ids, wishes=none, now=NOON).seen

    with pytest.raises(BadPlan, match="no longer the one you saw"):
        accept(planned, wishes=none, seen=seen)


def test_a_further_wish_builds_on_the_version_that_is_to_come(planned: Home) -> None:
    """Accepted today, looked at again today: tomorrow's times are the present ones."""
    accept(planned)

    offer = timetable.propose(**planned.ids, wishes=TO_BED_BY_TEN, now=NOON)

    assert offer.usual.stored.number == 2
    assert offer.proposal.moves == ()


def test_without_a_plan_there_is_no_day(home: Home) -> None:
    """The whole message, word for word."""
    with pytest.raises(BadPlan) as refused:
        timetable.propose(**home.ids, wishes=Wishes(), now=NOON)

    assert str(refused.value) == (
        "An animal without a plan. Allowed: a plan with the vet's orders. A lead adds the vet's orders first."
    )
