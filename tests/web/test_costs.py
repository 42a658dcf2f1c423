"""What a page and a press cost the database, all of the request's statements counted: session, user, transaction."""

import json
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import pytest
import time_machine
from django.test import Client

from fillmark.core.record.session_entries import FillGiven, SessionStarted
from fillmark.services import record
from tests.journeys.household import Household, quarry_lane
from tests.support.builders import an_entry
from tests.support.phone_model import as_document
from tests.web.test_screens import EVENING, TONIGHT, a_phone, press

SIGNED_IN = 5
"""The session, its user, the person, the household, and its animals."""
SIDE = 1
Bound = Callable[..., Any]


@pytest.fixture
def quarry(db: None):
    """In the evening, with the plan read once before."""
    with time_machine.travel(EVENING, tick=True):
        made = quarry_lane(now=EVENING)
        a_phone(made).get("/")
        yield made


@pytest.fixture
def phone(quarry: Household) -> Client:
    return a_phone(quarry)


@pytest.mark.parametrize(
    ("page", "beside"),
    [
        ("", 0),
        ("ahead/", 0),
        (f"{TONIGHT}/", 0),
        ("day/", 0),
        ("calls/", 0),
        ("bottles/", 0),
        ("new-times/", 0),
        ("once-or-twice/", 1),
        ("chart/", 1),
        ("plan/", 1),
        ("intake/", 1),
        ("ladder/", 4),
        ("find/", 3),
    ],
)
def test_a_page_costs_the_sign_in_and_the_animals_side(
    quarry: Household, phone: Client, page: str, beside: int, django_assert_max_num_queries: Bound
) -> None:
    """One statement loads the side; where a page shows more than the last days, it asks for that besides."""
    with django_assert_max_num_queries(SIGNED_IN + SIDE + beside):
        assert phone.get(f"/{quarry.animal_id}/{page}").status_code == 200


@pytest.mark.hazard("H2")
def test_the_walk_costs_the_same_with_a_session_in_hand(
    quarry: Household, phone: Client, django_assert_max_num_queries: Bound
) -> None:
    """However much of it is recorded."""
    press(phone, quarry, "start")
    press(phone, quarry, "step", step="check-mark")
    with django_assert_max_num_queries(SIGNED_IN + SIDE):
        assert "Step 1 of 14" in phone.get(f"/{quarry.animal_id}/{TONIGHT}/").content.decode()


def send(phone: Client, quarry: Household, payloads: list[Any], *, is_fresh: bool) -> Any:
    now = datetime.now(UTC)
    entries = [an_entry(one, at=now, animal_id=quarry.animal_id, id=record.new_entry_id(now=now)) for one in payloads]
    fresh = [str(one.id) for one in entries] if is_fresh else []
    body = {"entries": [as_document(one) for one in entries], "fresh": fresh}
    answer = phone.post("/entries", json.dumps(body), "application/json").json()
    assert all(one["ok"] for one in answer["entries"]), answer
    return answer


def test_a_phones_press_and_its_list_of_25(
    quarry: Household, phone: Client, django_assert_max_num_queries: Bound
) -> None:
    """Session, user and person, and the six statements of a press; a list adds the savepoint of its insert."""
    with django_assert_max_num_queries(3 + 6):
        send(phone, quarry, [SessionStarted(session=TONIGHT)], is_fresh=True)
    fills = [FillGiven(session=TONIGHT, fill=number, ml=60) for number in range(1, 26)]
    with django_assert_max_num_queries(3 + 6 + 2):
        send(phone, quarry, fills, is_fresh=False)


def test_a_press_without_javascript(quarry: Household, phone: Client, django_assert_max_num_queries: Bound) -> None:
    """The sign-in, the side that the page is made of, whether it came before, and the six statements of a press."""
    press(phone, quarry, "start")
    with django_assert_max_num_queries(SIGNED_IN + SIDE + 1 + 6):
        press(phone, quarry, "step", step="check-mark")
    assert [one.kind for one in quarry.entries(now=EVENING) if one.session == TONIGHT][-1] == "step_done"
