"""Food that comes back up in the middle of a session: what comes next is a decision, and never the next fill."""

import re
from datetime import timedelta

import pytest
import time_machine

from fillmark.core.record.session_entries import CameBack, FillGiven, SessionStarted
from tests.journeys.household import Household, quarry_lane
from tests.support.builders import EVENING
from tests.web.test_screens import TONIGHT, a_phone, kinds, press


@pytest.fixture
def home(db: None) -> Household:
    """Two fills of tonight are in, and then some came back."""
    with time_machine.travel(EVENING, tick=True):
        made = quarry_lane(now=EVENING)
        payloads = (
            SessionStarted(session=TONIGHT),
            FillGiven(session=TONIGHT, fill=1, ml=60),
            FillGiven(session=TONIGHT, fill=2, ml=60),
            CameBack(session=TONIGHT, ml=20),
        )
        for number, payload in enumerate(payloads):
            at = EVENING - timedelta(minutes=8 - number)
            made.write(payload, at=at, by=made.noor, device="noor-phone")
        return made


def shown(home: Household, path: str = f"{TONIGHT}/") -> str:
    page = a_phone(home).get(f"/{home.animal_id}/{path}").content.decode()
    return re.sub(r"\s+", " ", page)


@pytest.mark.hazard("H38")
def test_after_food_came_back_the_next_screen_asks_and_offers_no_fill(home: Household) -> None:
    """Stop is the big button; how it breathes leads to the cards; nothing is made up for."""
    with time_machine.travel(EVENING, tick=True):
        page, first = shown(home), shown(home, "")
        screen = page.partition('id="is-paused"')[2].partition("</section>")[0]

    assert re.search(r'class="screen[^"]*screen-shown[^"]*" id="is-paused"|id="is-paused"[^>]*screen-shown', page)
    assert "Food came back up" in screen
    assert "Stop this session" in screen
    assert "It breathes fast or hard, or coughs" in screen
    assert "Nothing is made up for by a larger one." in screen
    assert "decide what comes next" in first


@pytest.mark.hazard("H38")
def test_a_fill_pressed_on_an_old_screen_is_not_taken_before_the_decision(home: Household) -> None:
    """Only after somebody has said that it goes on."""
    with time_machine.travel(EVENING, tick=True):
        client, before = a_phone(home), kinds(home)
        press(client, home, "step", step="fill-3")
        assert kinds(home) == before
        press(client, home, "resume")
        press(client, home, "step", step="fill-3")
        assert kinds(home)[-2:] == ["session_resumed", "fill_given"]


@pytest.mark.hazard("H38")
def test_stopping_says_why(home: Household) -> None:
    """In the record, in words."""
    with time_machine.travel(EVENING, tick=True):
        press(a_phone(home), home, "stop", reason="Food came back up")
        last = home.entries(now=EVENING)[-1].payload

    assert (last.kind, last.reason) == ("session_stopped", "Food came back up")


@pytest.mark.hazard("H38")
def test_more_than_is_still_in_is_asked_once_and_kept_as_told(home: Household) -> None:
    """Two fills less 20 mL are in; 400 mL are no slip where somebody says so."""
    with time_machine.travel(EVENING, tick=True):
        client, before = a_phone(home), kinds(home)
        refused = press(client, home, "back", ml="", ml_typed="400")
        assert refused.status_code == 400
        assert "400 mL is more than the 100 mL of this session that are still in" in refused.content.decode()
        assert "saliva, an older meal, or a slip of the finger" in refused.content.decode()
        assert kinds(home) == before
        later = EVENING + timedelta(seconds=9)
        press(client, home, "back", at=later, ml="", ml_typed="400", why="Mostly saliva")
        last = home.entries(now=EVENING)[-1].payload
        told = shown(home, "day/")
    assert (last.ml, last.reason) == (400, "Mostly saliva")
    assert "400 mL came back. Mostly saliva" in told
