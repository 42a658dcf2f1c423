"""A change by telephone is three pages: the new value beside the old, what it does to the day, the vet's words."""

import re
from datetime import timedelta
from html import unescape

from django.test import Client
from django.urls import reverse

from fillmark.services import plans
from tests.journeys.household import Household
from tests.support.builders import EVENING
from tests.web.test_make_plan import as_a_browser_posts, document_of
from tests.web.test_screens import a_phone
from tests.web.test_take_in import confirmed, shown


def open_dose(client: Client, quarry: Household, spot: str = "dose-0") -> str:
    """From the plan's own page straight to the page of one number."""
    page = shown(client.get(f"/{quarry.animal_id}/plan/"))
    assert f'value="{spot}"' in page
    return client.post(reverse("change_plan", args=[quarry.animal_id]), {"spot": spot})["Location"]


def keep(client: Client, path: str, **typed: str):
    """The page's form with something typed otherwise; asked once, it is said to be so."""
    page = client.get(path).content.decode()
    values = {**as_a_browser_posts(page), **typed, "what": "next"}
    answer = client.post(path, values)
    if answer.status_code == 200:
        keys = [unescape(key) for key in re.findall(r'name="shown" value="([^"]+)"', answer.content.decode())]
        answer = client.post(path, {**values, "shown": keys})
    return answer


def read(client: Client, quarry: Household, draft: str):
    sent = {"what": "read", "document": document_of(client.get(draft)), "draft": draft.split("/")[2]}
    return client.post(reverse("take_in", args=[quarry.animal_id]), sent)


def test_three_pages_from_the_number_to_the_new_version(quarry: Household) -> None:
    """0.4 in place of 0.3 mg/kg: the old value and the factor, both days, the vet's words with one tap."""
    client = a_phone(quarry)
    first = open_dose(client, quarry)
    page = shown(client.get(first))
    assert "So far: 0.3 mg/kg" in page
    answer = keep(client, first, dose="0.4 mg/kg")
    second = answer["Location"]
    page = shown(client.get(second))
    assert "0.3 mg/kg</span> → 0.4 mg/kg" in re.sub(r"\s+", " ", page)
    assert "1.33 times as much" in page
    # 17.4 kg × 0.3 and × 0.4 mg/kg, of 1 mg/mL: 5.2 and 7 mL (on the lines of the 10 mL syringe)
    assert "What it does to the day" in page
    was = 'Metoclopramide 06:30, 14:30, 22:30</dt> <dd><span class="was">5.22 mg, 5.2 mL</span> → 6.96 mg, 7 mL,'
    assert was in page
    assert "1.2 against 0.5 to 1 mg/kg per day" in page  # what speaks against it stands there, with the way back
    assert f'href="{first}"' in page
    third = read(client, quarry, second)
    page = shown(third)
    assert "Said by telephone, read back" in page
    assert 'form="confirm">I have read it: put it in force</button>' in page
    keys = [unescape(key) for key in re.findall(r'name="meant" value="([^"]+)"', third.content.decode())]
    sent = {
        "vet_words": "",
        "telephone": "yes",
        "vet_said_on": EVENING.date().isoformat(),
        "meant": keys,
        "when": "now",
    }
    done = confirmed(client, reverse("take_in", args=[quarry.animal_id]), third, **sent)
    assert done.status_code == 302, shown(done, status=400)
    newest = plans.all_versions(**quarry.ids)[-1]
    assert newest.plan.medicines[0].dose == "0.4 mg/kg"
    assert (newest.vet_words, newest.vet_said_on) == ("Said by telephone, read back.", EVENING.date())


def test_several_changes_of_one_call_are_one_version(quarry: Household) -> None:
    """The second page leads to one more change of the same draft."""
    client = a_phone(quarry)
    first = open_dose(client, quarry)
    second = keep(client, first, dose="0.4 mg/kg")["Location"]
    assert "One more change of the same call" in shown(client.get(second))
    draft = second.split("?")[0]
    assert keep(client, f"{draft}dose-1/", dose="10 mg")["Location"].startswith(draft)
    third = read(client, quarry, second)
    keys = [unescape(key) for key in re.findall(r'name="meant" value="([^"]+)"', third.content.decode())]
    sent = {"telephone": "yes", "vet_words": "", "meant": keys}
    assert confirmed(client, reverse("take_in", args=[quarry.animal_id]), third, **sent).status_code == 302
    versions = plans.all_versions(**quarry.ids)
    assert [len(versions), *(one.dose for one in versions[-1].plan.medicines)] == [2, "0.4 mg/kg", "10 mg"]


def test_going_back_is_a_new_version_that_says_the_same_as_the_old_one(quarry: Household) -> None:
    """From every version, by the same page."""
    client = a_phone(quarry)
    second = keep(client, open_dose(client, quarry, "dose-1"), dose="10 mg")["Location"]
    take_in = reverse("take_in", args=[quarry.animal_id])
    assert confirmed(client, take_in, read(client, quarry, second)).status_code == 302
    assert "version=1" in shown(client.get(reverse("plan_versions", args=[quarry.animal_id])))
    back = client.get(f"{take_in}?version=1")
    keys = [unescape(key) for key in re.findall(r'name="meant" value="([^"]+)"', back.content.decode())]
    assert confirmed(client, take_in, back, meant=keys).status_code == 302
    versions = plans.all_versions(**quarry.ids)
    assert [one.plan.medicines[1].dose for one in versions] == ["12 mg", "10 mg", "12 mg"]


def test_the_words_of_the_last_sheet_are_not_taken_for_those_of_the_call(quarry: Household) -> None:
    """The field is empty, and neither word nor tick is a refusal."""
    client = a_phone(quarry)
    second = keep(client, open_dose(client, quarry, "dose-1"), dose="10 mg")["Location"]
    third = read(client, quarry, second)
    field = third.content.decode().partition('name="vet_words"')[2].partition("</textarea>")[0]
    assert field.endswith(">")
    done = confirmed(client, reverse("take_in", args=[quarry.animal_id]), third, vet_words="")
    assert "A plan without the vet's words" in shown(done, status=400)


def test_smaller_meals_for_two_days_end_by_themselves(quarry: Household) -> None:
    """Half the energy until a day, then the plan before; on the first screen; a change meanwhile says what ends."""
    client = a_phone(quarry)
    second = keep(client, open_dose(client, quarry, "energy"), factor="0.75")["Location"]
    draft = second.split("?")[0]
    assert f"{draft}ends/" in shown(client.get(second))
    keep(client, f"{draft}ends/", last_on="2026-11-26", why="smaller meals")
    third = read(client, quarry, second)
    keys = [unescape(key) for key in re.findall(r'name="meant" value="([^"]+)"', third.content.decode())]
    answers = dict.fromkeys(re.findall(r'name="(answer[^"]+)"', third.content.decode()), "Half for two days.")
    sent = {"telephone": "yes", "vet_words": "", "meant": keys, **answers}
    path = reverse("take_in", args=[quarry.animal_id])
    done = confirmed(client, path, third, **sent)
    assert done.status_code == 302, shown(done, status=400)
    again = confirmed(client, path, third, **sent)  # pressed twice it is one change
    assert again.status_code == 302, shown(again, status=400)
    versions = plans.all_versions(**quarry.ids)
    assert [one.number for one in versions] == [1, 2, 3]
    days = [EVENING.date() + timedelta(days=offset) for offset in (1, 2)]
    meals = [sum(one.meal_ml for one in plans.planned_sessions(**quarry.ids, day=day)) for day in days]
    assert meals == [420, 840]  # 4 x 105 and 4 x 210 mL
    page = shown(client.get(f"/{quarry.animal_id}/"))
    assert "These orders hold until the end of Thursday 26 November: smaller meals. Then the plan before" in page
    assert "Version 3 begins on Friday 27 November at 04:00" in shown(client.get(f"/{quarry.animal_id}/plan/"))
    other = read(client, quarry, keep(client, open_dose(client, quarry, "dose-1"), dose="10 mg")["Location"])
    assert "The orders until 26 November 2026 (smaller meals) end with this version." in shown(other)
