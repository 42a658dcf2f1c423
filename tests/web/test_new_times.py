"""Who may take new times and change a ladder, refused behind the page too; and what the pages say without a plan."""

import re
from datetime import UTC, datetime
from typing import Any

import pytest
import time_machine
from django.test import Client

from fillmark.core.plan.reading import read_plan
from fillmark.core.values.people import Role
from fillmark.examples import example_plan
from fillmark.services import household, plans, record
from tests.journeys.household import Household, quarry_lane
from tests.web.test_screens import a_phone

TEN = datetime(2026, 11, 25, 10, tzinfo=UTC)


@pytest.fixture
def quarry(db: None):
    with time_machine.travel(TEN, tick=False):
        yield quarry_lane(now=TEN)


def page_of(client: Client, quarry: Household, place: str) -> str:
    answer = client.get(f"/{quarry.animal_id}/{place}")
    assert answer.status_code == 200
    return answer.content.decode()


def fields(page: str) -> dict[str, str]:
    """What the form that accepts would send."""
    return {name: _hidden(page, name) for name in ("seen", "asked_at", "entry_id")}


def _hidden(page: str, name: str) -> str:
    found = re.search(rf'name="{name}" value="([^"]*)"', page)
    assert found, name
    return found[1].replace("&#x27;", "'")


def sitter(quarry: Household) -> Any:
    who = {"household_id": quarry.id, "by": quarry.noor, "now": TEN}
    return household.add_person(**who, name="Ilse", role=Role.SITTER, from_on=TEN.date(), until_on=TEN.date()).id


def seq(quarry: Household) -> int:
    return record.last_seq(household_id=quarry.id)


def test_who_is_not_signed_in_reaches_none_of_these_pages(quarry: Household) -> None:
    """Nor can a stranger press anything on them."""
    for place in ("new-times/", "ladder/"):
        assert Client().get(f"/{quarry.animal_id}/{place}")["Location"].startswith("/sign-in/")
    for place in ("new-times/", "new-times/back/", "ladder/", "ladder/ate/"):
        assert Client().post(f"/{quarry.animal_id}/{place}")["Location"].startswith("/sign-in/")


@pytest.mark.hazard("H25")
def test_the_press_of_a_sitter_is_refused_behind_the_page(quarry: Household) -> None:
    """Also with everything that a helper's page would send; the helper's own press is kept."""
    page = page_of(a_phone(quarry, quarry.sam), quarry, "new-times/?until=13:00")
    sent = {**fields(page), "until": "13:00"}
    before = seq(quarry)
    ilse = a_phone(quarry, sitter(quarry))

    assert ilse.post(f"/{quarry.animal_id}/new-times/", sent).status_code == 403
    assert seq(quarry) == before
    assert a_phone(quarry, quarry.sam).post(f"/{quarry.animal_id}/new-times/", sent).status_code == 302
    assert seq(quarry) > before
    back = {"of": sent["entry_id"], "entry_id": str(record.new_entry_id(now=TEN))}
    after = seq(quarry)
    assert ilse.post(f"/{quarry.animal_id}/new-times/back/", back).status_code == 403
    assert seq(quarry) == after


@pytest.mark.hazard("H2")
def test_a_daily_dose_that_is_let_go_says_how_long_it_is_to_the_next(db: None) -> None:
    """Omeprazole once a day at 18:30, and nobody there from 13:00 to 23:00: 48 hours from dose to dose."""
    text = example_plan("juniper").decode()
    twice = 'every_hours = 12\nclocks = ["06:30", "18:30"]\n'
    assert twice in text
    text = text.replace(twice, 'every_hours = 24\nclocks = ["18:30"]\n')
    with time_machine.travel(TEN, tick=False):
        home = quarry_lane(now=TEN, plan=read_plan(text.encode(), kind="toml"))
        client = a_phone(home, home.sam)
        words = (
            "Omeprazole: 48 hours from the dose at 18:30 on 24 November 2026 to the next one at 18:30 on 26 November"
        )

        assert words in page_of(client, home, "new-times/?from=13:00&until=23:00")
        assert words not in page_of(client, home, "new-times/?from=13:00&until=17:30")
        assert "What this does to the medicines" not in page_of(client, home, "new-times/?from=13:00&until=14:00")


@pytest.mark.hazard("H22")
def test_a_dose_before_food_whose_meal_is_let_go_is_named(quarry: Household) -> None:
    """Nobody there from 18:15 to 3:00: the omeprazole of 18:30 comes before, and its meal at 20:00 hours later."""
    words = "Omeprazole at 17:40 on 25 November 2026 is ordered before food, and by these times no meal follows within"
    client = a_phone(quarry, quarry.sam)

    assert words in page_of(client, quarry, "new-times/?from=18:15&until=03:00")
    assert words not in page_of(client, quarry, "new-times/?from=13:00&until=14:00")


def test_what_cannot_be_meant_is_said_and_kept_in_the_form(quarry: Household) -> None:
    """A time from which and none until when; a time that is none; a press without its id."""
    client = a_phone(quarry, quarry.sam)
    for asked, words in (
        ("?from=15:00", "A time from which nobody is there, and none until when."),
        ("?until=half+ten", "&quot;half ten&quot; for a time of day."),
        ("?again=2026-11-25T07:00", "A session that someone has recorded meanwhile, or that is still to come."),
    ):
        answer = client.get(f"/{quarry.animal_id}/new-times/{asked}")
        assert answer.status_code == 400
        assert words in answer.content.decode()
    answer = client.post(f"/{quarry.animal_id}/new-times/", {"until": "13:00", "seen": "x"})
    assert answer.status_code == 400
    assert "A form without its id." in answer.content.decode()


@pytest.mark.hazard("H25")
@pytest.mark.hazard("H32")
def test_only_a_lead_changes_what_the_tube_gives_and_only_where_food_may_be_eaten(quarry: Household) -> None:
    """Juniper gets nothing by mouth: there is no way back yet, and nothing to write down as eaten."""
    told = {"by_mouth": "500", "seen": "1", "vet_words": "She eats.", "vet_said_on": "2026-11-25"}
    place = f"/{quarry.animal_id}/ladder/"
    assert a_phone(quarry, quarry.sam).post(place, told).status_code == 403
    assert a_phone(quarry, sitter(quarry)).post(place, told).status_code == 403
    lead = a_phone(quarry)
    refused = lead.post(place, told)
    assert refused.status_code == 400
    assert "Weaning to food by mouth, and by mouth &quot;nothing&quot;." in refused.content.decode()
    ate = lead.post(f"{place}ate/", {"food": "stew", "g": "", "g_typed": "20"})
    assert ate.status_code == 400
    assert "If it ate all the same, write a note and call the vet." in ate.content.decode()
    assert "there is no way back to eating yet" in page_of(lead, quarry, "ladder/")
    assert len(plans.all_versions(**quarry.ids)) == 1
