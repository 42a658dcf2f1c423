"""Another way of feeding: found, compared, and in force only with a lead, the vet's word and what was seen."""

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import pytest

from fillmark.core.changes.feeding_change import FeedingChange
from fillmark.core.record.care_entries import FlowTested
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.values.errors import BadPlan, NotAllowed
from fillmark.services import flow, plans, record, ways
from fillmark.services.flow import Handling
from tests.journeys.household import Household, quarry_lane
from tests.support.builders import EVENING, an_entry, confirmed

THREE = FeedingChange(meals=(time(7), time(13, 30), time(20)))


@pytest.fixture
def quarry(db: None) -> Household:
    return quarry_lane(now=EVENING, recorded=False)


def write_down(quarry: Household, payload, **changed):
    entry = an_entry(payload, at=changed.pop("at", EVENING), animal_id=quarry.animal_id, **changed)
    record.record_entry(household_id=quarry.id, by=quarry.noor, entry=entry, now=EVENING)
    return entry


def a_test(**changes) -> FlowTested:
    values = {"foods": ("stew",), "food_g": 820.0, "water_ml": 160.0, "left_ml": 7.4, "sieved": False, "frozen": False}
    return FlowTested(**{**values, **changes})


def accept(quarry: Household, *, seen: str, change: FeedingChange = THREE, by=None, words: str = "Three will do."):
    word = replace(
        confirmed(quarry, now=EVENING, by=by, words=words),
        answers={"lost-its-meal: metoclopramide": "It need not be before a meal."},
    )
    return ways.put_in_force(word, animal_id=quarry.animal_id, change=change, seen=seen)


@pytest.mark.hazard("H32")
def test_an_accepted_change_holds_from_tomorrow_with_the_vets_words(quarry: Household) -> None:
    """Today keeps its four meals; tomorrow has three."""
    offer = ways.compare(**quarry.ids, change=THREE, now=EVENING)
    stored = accept(quarry, seen=offer.seen)

    assert (stored.number, stored.vet_words) == (2, "Three will do.")
    assert stored.effective_from == datetime(2026, 11, 26, 4, tzinfo=UTC)
    for day, meals in ((date(2026, 11, 25), 4), (date(2026, 11, 26), 3)):
        sessions = plans.planned_sessions(**quarry.ids, day=day)
        assert sum(session.meal_ml > 0 for session in sessions) == meals


@pytest.mark.hazard("H32")
@pytest.mark.hazard("H25")
def test_what_cannot_be_accepted_leaves_one_version(quarry: Household) -> None:
    """Not what was seen, no change, no words of the vet, a helper's press: each is refused with its reason."""
    seen = ways.compare(**quarry.ids, change=THREE, now=EVENING).seen
    nothing = ways.compare(**quarry.ids, change=FeedingChange(), now=EVENING).seen

    with pytest.raises(BadPlan, match="no longer the one you saw"):
        accept(quarry, seen="1: 07:00")
    with pytest.raises(BadPlan, match="in which nothing changes"):
        accept(quarry, seen=nothing, change=FeedingChange())
    with pytest.raises(BadPlan, match="without the vet's words"):
        accept(quarry, seen=seen, words=" ")
    with pytest.raises(NotAllowed):
        accept(quarry, seen=seen, by=quarry.sam)
    assert len(plans.all_versions(**quarry.ids)) == 1


@pytest.mark.hazard("H10")
def test_a_change_over_the_vets_cap_cannot_be_put_in_force(quarry: Household) -> None:
    """Also with the vet's words: the cap itself is changed first."""
    two = FeedingChange(meals=(time(7), time(20)))
    seen = ways.compare(**quarry.ids, change=two, now=EVENING).seen

    with pytest.raises(BadPlan, match="breaks the vet's limit") as caught:
        accept(quarry, seen=seen, change=two)
    assert caught.value.remedy == (
        "Choose smaller meals. Only the vet may change a limit; then the order is changed first."
    )
    assert len(plans.all_versions(**quarry.ids)) == 1


@pytest.mark.hazard("H9")
def test_the_households_own_tests_decide_what_is_offered(quarry: Household) -> None:
    """Without a test nothing thicker than now; with three that just pass, a little more water than they had."""
    _, before = ways.find_ways(**quarry.ids, now=EVENING)
    for _ in range(3):
        write_down(quarry, a_test())
    _, after = ways.find_ways(**quarry.ids, now=EVENING)

    assert min(option.added_ml_per_can for option in before.choice.value.best) == 80
    assert 80 < min(option.added_ml_per_can for option in after.choice.value.best) < 110


def test_a_test_that_was_taken_back_teaches_nothing(quarry: Household) -> None:
    """Only tests that count are learned from, oldest first."""
    first = write_down(quarry, a_test(batch="A"), at=EVENING - timedelta(minutes=3))
    write_down(quarry, a_test(batch="B", sieved=True), at=EVENING - timedelta(minutes=2))
    write_down(quarry, Withdrawn(reason="Another jar."), corrects=first.id)
    tests = flow.flow_tests(**quarry.ids)

    assert [one.entry.payload.batch for one in tests] == ["B"]
    assert flow.usual_handling(tests, foods=("stew",)) == Handling(sieved=True)
    assert flow.usual_handling(tests, foods=("puree",)) == Handling()
    assert flow.tests_of(tests, foods=("stew",), handling=Handling()) == ()


def test_days_away_are_counted_for_the_plan_or_for_a_change_of_it(quarry: Household) -> None:
    """Ten days of four meals, and of three."""
    away = {"days": 10, "now": EVENING}
    four = ways.away(**quarry.ids, change=FeedingChange(), **away)
    three = ways.away(**quarry.ids, change=THREE, **away)

    assert four.value.change.new.meals == 40
    assert three.value.change.new.meals == 30
    assert four.value.change.new.cans == 20
    assert "kept cold" in " ".join(four.value.bring)
