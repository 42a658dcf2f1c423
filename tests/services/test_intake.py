"""The rest of today, loaded from the plan and the record."""

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from fillmark.core.record.amounts import Amount
from fillmark.core.record.session_entries import (
    CameBack,
    FillGiven,
    FlushGiven,
    MealEnded,
    SessionEnded,
    SessionSkipped,
)
from fillmark.services import plans, record
from fillmark.services.intake import Today, rest_of_day
from tests.support.builders import NOON, SEVEN, Home, an_entry, junipers_plan
from tests.support.builders import adopt as put_in_force
from tests.support.sides import side_of

pytestmark = pytest.mark.django_db
TEN = datetime(2026, 11, 25, 10, 0, tzinfo=UTC)


def adopt(home: Home, **orders: Any) -> None:
    plan = junipers_plan()
    juniper = plan.model_copy(update={"orders": plan.orders.model_copy(update=orders)})
    put_in_force(home, juniper, from_at=NOON - timedelta(days=5))


def keep(home: Home, payload: Any, *, at: datetime) -> None:
    entry = an_entry(payload, at=at, animal_id=home.animal_id)
    record.record_entry(household_id=home.id, by=home.noor, entry=entry, now=at)


def rest(home: Home, *, now: datetime = TEN) -> Today:
    found = rest_of_day(side_of(**home.ids, now=now))
    assert found is not None
    return found


def planned_meals(home: Home) -> dict[str, float]:
    day = plans.planned_sessions(**home.ids, day=date(2026, 11, 25))
    return {session.key: session.meal_ml for session in day if session.meal_ml}


def test_without_a_plan_there_is_no_rest_of_the_day(home: Home) -> None:
    """Nothing is guessed."""
    assert rest_of_day(side_of(**home.ids, now=TEN)) is None


@pytest.mark.hazard("H11")
def test_a_skipped_first_meal_is_spread_inside_the_cap_and_never_doubled(home: Home) -> None:
    """Each later meal grows a little; what does not fit is let go; the day gets no more than planned."""
    adopt(home)
    planned = planned_meals(home)
    keep(home, SessionSkipped(session=SEVEN, reason="asleep"), at=TEN - timedelta(hours=1))

    found = rest(home).rest.value

    later = [ml for key, ml in planned.items() if key > SEVEN]
    assert [meal.planned_ml for meal in found.meals] == later
    assert all(ml <= meal.blend_ml <= meal.most_ml < 2 * ml for ml, meal in zip(later, found.meals, strict=True))
    assert found.carried_ml > 0
    assert found.carried_ml + found.let_go_ml == pytest.approx(planned[SEVEN])
    assert found.kept_ml == Amount(0, 0)
    # the missed session's water beside its blend is what nothing to come brings, but for what the larger meals add
    assert found.water_due_ml > found.water_short_ml > 0


def test_what_went_in_and_what_came_back_are_read_from_the_record(home: Home) -> None:
    """190 mL in, 40 mL back in the session and 15 mL between sessions; flushes count as water."""
    adopt(home)
    at = TEN - timedelta(hours=3)
    for number, ml in enumerate((60, 60, 60, 10), start=1):
        keep(home, FillGiven(session=SEVEN, fill=number, ml=ml), at=at + timedelta(minutes=number))
    keep(home, MealEnded(session=SEVEN, fills=4, total_ml=190), at=at + timedelta(minutes=5))
    keep(home, SessionEnded(session=SEVEN), at=at + timedelta(minutes=25))
    before = rest(home).rest.value.water_due_ml
    keep(home, FlushGiven(session=SEVEN, step="flush-after", ml=20), at=at + timedelta(minutes=6))
    keep(home, CameBack(session=SEVEN, ml=40), at=at + timedelta(minutes=30))
    keep(home, CameBack(ml=15), at=at + timedelta(minutes=90))

    found = rest(home)

    assert found.rest.value.kept_ml == Amount(135, 135)
    assert found.rest.value.day_ml == sum(planned_meals(home).values())
    # 20 mL of flush came, 55 mL of blend went
    assert found.rest.value.water_due_ml > before - 20
    assert "Something came back: ask the vet before more than the plan is given." in found.rest.cautions


def test_the_vets_shortest_time_between_meals_is_kept(home: Home) -> None:
    """A meal at 9:30 moves the next one as far as the vet's order asks."""
    adopt(home, meal_gap_hours=4)
    keep(home, MealEnded(session=SEVEN, fills=0, total_ml=190), at=TEN - timedelta(minutes=30))
    keep(home, SessionEnded(session=SEVEN), at=TEN - timedelta(minutes=30))

    found = rest(home)

    assert found.shortest_gap.value == 240
    assert found.shortest_gap.because == "the vet ordered 4 hours or more from meal to meal"
    assert found.rest.value.meals[0].at == TEN + timedelta(hours=3, minutes=30)


def test_a_session_that_no_plan_names_counts_by_what_went_in(home: Home) -> None:
    """An extra 100 mL at 9:00 is taken back from the end of the day."""
    adopt(home)
    planned = planned_meals(home)
    keep(home, SessionSkipped(session=SEVEN, reason="asleep"), at=TEN - timedelta(hours=2))
    extra = "2026-11-25T09:00"
    keep(home, MealEnded(session=extra, fills=0, total_ml=planned[SEVEN]), at=TEN - timedelta(hours=1))
    keep(home, SessionEnded(session=extra), at=TEN - timedelta(hours=1))

    found = rest(home).rest.value

    assert found.kept_ml == Amount(planned[SEVEN], planned[SEVEN])
    assert sum(meal.blend_ml for meal in found.meals) == sum(planned.values()) - planned[SEVEN]
    assert (found.carried_ml, found.let_go_ml) == (0, 0)
