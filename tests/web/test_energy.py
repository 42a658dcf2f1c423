"""Energy, weight and food as print sees them, on the page."""

import pytest
from django.test import Client

from fillmark.core.plan.reading import read_plan
from fillmark.examples import example_plan
from tests.journeys.household import Household, quarry_lane
from tests.support.builders import EVENING, adopt
from tests.web.test_screens import a_phone


def ask(client: Client, quarry: Household) -> str:
    answer = client.get(f"/{quarry.animal_id}/energy/")
    assert answer.status_code == 200, answer.content.decode()
    return answer.content.decode()


def test_the_page_sets_print_beside_the_vets_number(quarry: Household) -> None:
    """Found from the plan; each form with its amount and its working; the foods by label and method."""
    client = a_phone(quarry)
    assert f"/{quarry.animal_id}/energy/" in client.get(f"/{quarry.animal_id}/food/").content.decode()
    page = ask(client, quarry)

    assert "895 kcal a day" in page
    assert "Resting, straight line" in page
    assert "Print lies between" in page
    assert "By its label" in page
    assert "Modified Atwater" in page
    assert "9.5 % as fed · 36.5 % of the dry matter" in page
    assert "At 4 of 9 there is no excess to take away" in page


@pytest.mark.hazard("H23")
def test_a_fast_loss_says_that_this_needs_the_hospital(quarry: Household) -> None:
    """The first card, before any number."""
    text = example_plan("juniper").decode()
    text = text.replace('{ on = 2026-10-21, kg = 17.1, scale = "clinic floor scale" }', "{ on = 2026-10-14, kg = 20 }")
    text = text.replace('kg = 17.2, scale = "clinic floor scale" }', "kg = 18.5, checked = true }")
    adopt(quarry, read_plan(text.encode(), kind="toml"), from_at=EVENING)
    page = ask(a_phone(quarry), quarry)

    assert "This needs the hospital" in page
    assert page.index("This needs the hospital") < page.index("Energy a day")
    assert "This needs the hospital" in page.split("Energy a day")[0]


def test_a_stranger_and_an_animal_without_a_plan_get_no_numbers(quarry: Household) -> None:
    """Signed out: the sign-in; without a plan: what comes first."""
    assert Client().get(f"/{quarry.animal_id}/energy/").status_code == 302
    other = quarry_lane(now=EVENING, recorded=False)
    assert a_phone(quarry).get(f"/{other.animal_id}/energy/").status_code == 403
