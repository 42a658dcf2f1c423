"""A phone that was away feeds by the plan it knew: the first screen says so, and a lead is asked."""

from datetime import timedelta

import pytest
import time_machine

from fillmark.core.plan.reading import read_plan
from fillmark.core.record.session_entries import FillGiven, SessionEnded, SessionStarted
from fillmark.core.tube.syringe import Mark
from fillmark.examples import example_plan
from fillmark.services import plans
from tests.journeys.household import Household
from tests.support.builders import EVENING, adopt
from tests.web.test_screens import TONIGHT, a_phone

THREE_MEALS = (
    example_plan("juniper")
    .decode()
    .replace("meals_per_day = 4", "meals_per_day = 3")
    .replace('meals = ["07:00", "11:30", "15:00", "20:00"]', 'meals = ["07:00", "13:30", "20:00"]')
)


def walk_as_known(quarry: Household) -> float:
    """Every fill of tonight's meal as the phone knew it, written down without a signal; what they come to."""
    sessions = plans.planned_sessions(**quarry.ids, day=EVENING.date())
    fills = next(one.fills for one in sessions if one.key == TONIGHT)
    drawn = [float(mark.drawn.ml) for mark in fills if isinstance(mark, Mark)]
    at = EVENING + timedelta(minutes=20)
    adopt(quarry, read_plan(THREE_MEALS.encode(), kind="toml"), from_at=EVENING, now=EVENING)  # type: ignore[arg-type]
    with time_machine.travel(at, tick=True):
        quarry.write(SessionStarted(session=TONIGHT), at=at)
        for number, ml in enumerate(drawn, start=1):
            quarry.write(FillGiven(session=TONIGHT, fill=number, ml=ml), at=at + timedelta(minutes=number))
        quarry.write(SessionEnded(session=TONIGHT), at=at + timedelta(minutes=9))
    return sum(drawn)


@pytest.mark.hazard("H44")
def test_a_meal_by_an_older_version_stands_on_the_first_screen(quarry: Household) -> None:
    """How much of what was wanted, by which version, and whom to ask; for everybody who comes next."""
    fed = walk_as_known(quarry)
    with time_machine.travel(EVENING + timedelta(hours=1), tick=True):
        for person in (quarry.noor, quarry.sam):
            page = " ".join(a_phone(quarry, person).get("/").content.decode().split())
            assert "Fed by an older plan" in page
            assert f"The 20:00 meal: {fed:g} of " in page
            assert "by version 1. Version 2 is in force." in page
            assert "A lead asks the vet" in page


@pytest.mark.hazard("H44")
def test_a_meal_as_the_plan_in_force_has_it_says_nothing(quarry: Household) -> None:
    """Nor one of before the new version."""
    adopt(quarry, read_plan(THREE_MEALS.encode(), kind="toml"), from_at=EVENING, now=EVENING)  # type: ignore[arg-type]

    assert "Fed by an older plan" not in a_phone(quarry).get("/").content.decode()
