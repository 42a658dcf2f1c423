"""The invented household: always the same, never ahead of now, and a visitor's own entries stay."""

from datetime import UTC, datetime, timedelta

import pytest

from fillmark.core.bedside.next_session import next_and_last
from fillmark.core.record.care_entries import Note
from fillmark.core.record.session_entries import SessionStarted
from fillmark.records import models
from fillmark.services import demonstration, household, record
from tests.support.builders import an_entry
from tests.support.sides import side_of

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 11, 25, 13, 0, tzinfo=UTC)


@pytest.fixture(autouse=True)
def shorter(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two days show the same as ten."""
    monkeypatch.setattr(demonstration, "DAYS", 2)


def test_it_ends_now_and_the_screens_show_something() -> None:
    """Both animals have a last session with an entry and a next one; nothing lies ahead."""
    lead = demonstration.bring_up_to_date(now=NOW)

    kept = record.entries_since(household_id=lead.household_id, seq=0, limit=10_000)
    assert len(kept) > 100
    assert max(one.entry.at for one in kept) <= NOW
    assert max(one.entry.at for one in kept) > NOW - timedelta(hours=6)
    assert [animal.name for animal in household.find_animals(household_id=lead.household_id)] == ["Juniper", "Sorrel"]
    for animal in household.find_animals(household_id=lead.household_id):
        found = next_and_last(side_of(household_id=lead.household_id, animal_id=animal.id, now=NOW))
        assert found.problem is None
        assert found.last is not None
        assert found.next is not None
        assert found.next.planned is not None


def test_the_same_moment_tells_the_same_story() -> None:
    """Two machines show the same days."""
    stories = []
    for _ in range(2):
        lead = demonstration.bring_up_to_date(now=NOW)
        kept = record.entries_since(household_id=lead.household_id, seq=0, limit=10_000)
        stories.append([(one.entry.at, one.entry.payload, one.by_name) for one in kept if one.entry.corrects is None])
        models.Household.objects.update(name="zz")
        if len(stories) == 1:
            _forget(lead.household_id)

    assert stories[0] == stories[1]


def _forget(household_id: object) -> None:
    """Make the first household's lead a helper, so that another is opened."""
    models.Person.objects.filter(household_id=household_id).update(role="helper")


def test_a_second_start_fills_in_what_passed_and_keeps_what_a_visitor_wrote() -> None:
    """The visitor's session is not told again by the story."""
    lead = demonstration.bring_up_to_date(now=NOW)
    before = record.entries_since(household_id=lead.household_id, seq=0, limit=10_000)
    juniper = household.find_animals(household_id=lead.household_id)[0]
    for payload in (SessionStarted(session="2026-11-25T14:30"), Note(text="hello")):
        entry = an_entry(payload, animal_id=juniper.id, at=NOW)
        record.record_entry(household_id=lead.household_id, by=lead.id, entry=entry, now=NOW)

    assert demonstration.bring_up_to_date(now=NOW) == lead
    same = record.entries_since(household_id=lead.household_id, seq=0, limit=10_000)
    demonstration.bring_up_to_date(now=NOW + timedelta(hours=6))
    later = record.entries_since(household_id=lead.household_id, seq=0, limit=10_000)

    assert len(same) == len(before) + 2
    assert later[: len(same)] == same
    fresh = {one.entry.session for one in later[len(same) :] if one.entry.animal_id == juniper.id}
    assert "2026-11-25T15:00" in fresh
    assert "2026-11-25T14:30" not in fresh
