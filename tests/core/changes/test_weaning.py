"""The ladders: where the plan and the record stand, the next rung, and what the tube gives meanwhile."""

from datetime import date

import pytest

from fillmark.core.changes.weaning import Eaten, Rung, read_eaten, step_up, way_back, with_weaning
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import read_plan
from fillmark.core.record.amounts import Amount
from fillmark.core.record.care_entries import Ate, Drank
from fillmark.core.record.ledger import DayLedger
from fillmark.core.values.errors import NotStated
from fillmark.examples import example_plan
from tests.support.builders import a_kept

ON = date(2026, 11, 25)


def sorrel(*changes: tuple[str, str]) -> CarePlan:
    text = example_plan("sorrel").decode()
    for old, new in (('by_mouth = "water"', 'by_mouth = "food and water"'), *changes):
        assert old in text, old
        text = text.replace(old, new, 1)
    return read_plan(text.encode(), kind="toml")


def eaten(kcal: float) -> Eaten:
    return Eaten(on=ON, kcal=kcal, unmeasured=0, entries=1)


def ledger(*, kept: float | None, back: float = 0, planned: float = 200) -> DayLedger:
    amounts = {"blend": None, "flush": None, "back": Amount(back, back) if back else None}
    kept_ml = None if kept is None else Amount(kept, kept)
    return DayLedger(day=ON, lines=(), planned_ml=planned, kept=kept_ml, entries=0, last_at=None, clashes=(), **amounts)


def test_what_was_eaten_is_added_up_by_the_label() -> None:
    """50 g and 20 g at 1.16 kcal/g; what nobody weighed, and what the plan does not know, is counted as unmeasured."""
    entries = [
        a_kept(Ate(food="recovery", g=50)),
        a_kept(Ate(food="recovery", g=20), minute=5),
        a_kept(Ate(food="recovery", g="not known"), minute=6),
        a_kept(Ate(food="tuna", g=10), minute=7),
        a_kept(Ate(food="recovery", g=99), day=date(2026, 11, 24)),
        a_kept(Drank(ml=40)),
    ]
    found = read_eaten(entries, plan=sorrel(), on=ON)
    assert found.kcal == pytest.approx(70 * 1.16)
    assert (found.unmeasured, found.entries) == (2, 4)


@pytest.mark.hazard("H19")
def test_a_day_without_an_entry_stands_on_no_rung() -> None:
    """Silence is not "ate nothing": neither a rung nor an amount is made of it."""
    found = way_back(sorrel(), days=[read_eaten([], plan=sorrel(), on=ON)])
    assert (found.recorded, found.tube_kcal, found.is_back) == (None, None, False)


@pytest.mark.parametrize(
    ("share", "rung", "tube"), [(0, Rung.WHOLE, 1), (0.59, Rung.WHOLE, 1), (0.61, Rung.REST, 0.39), (1, Rung.IDLE, 0)]
)
def test_each_share_by_mouth_has_its_rung(share: float, rung: Rung, tube: float) -> None:
    """Whole tube meals below 60 %, the rest from there on, nothing once all is eaten."""
    goal = way_back(sorrel(), days=[eaten(0)]).goal_kcal.value
    found = way_back(sorrel(), days=[eaten(0), eaten(share * goal)])
    assert found.recorded is rung
    assert found.tube_kcal.value == pytest.approx(tube * goal)


def test_the_plan_stands_on_its_own_rung_and_the_record_may_point_back() -> None:
    """The plan counts on 150 kcal; yesterday it ate 40."""
    plan = sorrel(('idle_flush = "not stated"', "weaning = { by_mouth_kcal_per_day = 150 }"))
    found = way_back(plan, days=[eaten(40)])
    assert (found.planned, found.recorded, found.is_back) == (Rung.REST, Rung.WHOLE, True)
    assert not way_back(plan, days=[eaten(150)]).is_back
    assert not way_back(plan, days=[eaten(400)]).is_back


@pytest.mark.hazard("H36")
def test_a_plan_in_which_the_tube_stands_idle_keeps_its_flushes() -> None:
    """All is eaten: four flushes a day take the times of the meals, as print says; one that is ordered stays."""
    plan = with_weaning(sorrel(), by_mouth_kcal=300)
    assert plan.orders.idle_flush is not None
    assert plan.orders.idle_flush.times_per_day == 4
    assert [f"{clock:%H:%M}" for clock in plan.timetable.flushes] == ["07:00", "11:00", "15:00", "19:00"]
    assert with_weaning(sorrel(), by_mouth_kcal=150).orders.idle_flush is None
    again = with_weaning(plan, by_mouth_kcal=310)
    assert again.timetable.flushes == plan.timetable.flushes


@pytest.mark.hazard("H36")
def test_without_times_for_the_flushes_an_idle_tube_is_asked_about() -> None:
    """Three meals a day do not name four times."""
    three = sorrel(
        ("meals_per_day = 5", "meals_per_day = 3"),
        ('meals = ["07:00", "11:00", "15:00", "19:00", "23:00"]', 'meals = ["07:00", "15:00", "23:00"]'),
    )
    with pytest.raises(NotStated) as refused:
        with_weaning(three, by_mouth_kcal=300)
    assert str(refused.value) == (
        "An idle tube, and fewer than 4 times of day at which it could be flushed. Allowed: the vet's order for "
        "an idle tube, with its times. Ask the vet how often an idle tube is flushed, and add it to the plan with its "
        "times."
    )


LADDER = ('idle_flush = "not stated"', "ladder = { starts_on = 2026-11-24, percent = [33, 66, 100] }")


@pytest.mark.hazard("H23")
@pytest.mark.parametrize(
    ("day", "tomorrow", "because"),
    [
        (ledger(kept=200), 3, "all kept: step 2 → step 3 of 3"),
        (ledger(kept=180), 2, "not all of today's food was given and kept: stay on step 2"),
        (ledger(kept=None), 2, "not all of today's food was given and kept: stay on step 2"),
        (ledger(kept=180, back=20), 1, "vomiting: step 2 → step 1"),
    ],
)
def test_the_ladder_up_follows_the_record(day: DayLedger, tomorrow: int, because: str) -> None:
    """Up when all stayed in, the same when not, back when something came up; silence is not "all kept"."""
    found = step_up(sorrel(LADDER), ledger=day, on=ON)
    assert found is not None
    assert found.rung == 2
    assert (found.tomorrow.value, found.tomorrow.because) == (tomorrow, because)


def test_before_and_after_the_ladder_there_is_no_rung_of_today() -> None:
    """A ladder to come is shown, one that is behind is not."""
    before = step_up(sorrel(LADDER), ledger=ledger(kept=None), on=date(2026, 11, 20))
    assert (before.rung, before.tomorrow) == (None, None)
    assert step_up(sorrel(LADDER), ledger=ledger(kept=None), on=date(2026, 12, 24)) is None
    assert step_up(sorrel(), ledger=ledger(kept=None), on=ON) is None
