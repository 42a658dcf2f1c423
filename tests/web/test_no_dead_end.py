"""A household without an animal, and an animal without a plan: every address leads on to what comes first."""

from datetime import time
from uuid import uuid4

import pytest
from django.urls import reverse

from fillmark.core.values.people import Caregiver
from fillmark.services import household, record
from tests.repo.test_words import screens
from tests.web.test_take_in import EVENING, shown, signed_in


@pytest.fixture
def lead(db: None) -> Caregiver:
    return household.open_household(name="Our home", time_zone="Europe/Dublin", day_starts=time(4), lead_name="Lead")


def every_address(animal_id: object) -> list[str]:
    """Each address that a person may look at, filled in."""
    fills = {
        "SessionConverter": "2026-11-26T14:30",
        "DayConverter": EVENING.date(),
        "IntConverter": 1,
        "UUIDConverter": uuid4(),
        "StringConverter": "omeprazole",
        "animal_id": animal_id,
        "entry_id": record.new_entry_id(now=EVENING),
    }
    return [
        reverse(name, kwargs={one: fills.get(one, fills.get(kind)) for one, kind in needs.items()})
        for name, needs in screens()
    ]


def test_without_an_animal_every_address_leads_to_the_first_plan(lead: Caregiver) -> None:
    """No page stands without a way on, and none breaks."""
    client = signed_in(lead.id)
    for path in every_address(uuid4()):
        answer = client.get(path, follow=True)
        assert answer.status_code in (200, 403, 404, 405), path
        if answer.redirect_chain:
            assert 'href="/take-in/"' in shown(answer), path


def test_an_animal_without_a_plan_is_looked_at_everywhere_and_its_first_screen_leads_to_the_plan(
    lead: Caregiver,
) -> None:
    """What needs a plan says so, with the way to the first screen; that leads to taking one in."""
    animal = household.add_animal(household_id=lead.household_id, by=lead.id, name="Juniper", now=EVENING)
    client = signed_in(lead.id)
    take_in = f'href="/{animal.id}/take-in/"'
    assert take_in in shown(client.get("/"))
    assert take_in in shown(client.get(f"/{animal.id}/plan/"))
    for path in every_address(animal.id):
        answer = client.get(path)
        assert answer.status_code in (200, 302, 400, 403, 404, 405), path
        if answer.status_code in (400, 403) and answer["Content-Type"].startswith("text/html"):
            assert 'href="/"' in answer.content.decode(), path
