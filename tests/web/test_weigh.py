"""The form for a weight: in kg or in lb and oz, a jump that is asked, and a plan that may follow."""

import re
from datetime import timedelta
from html import unescape

import pytest
from django.test import Client
from django.urls import reverse

from fillmark.core.record.care_entries import Note, Weighed
from fillmark.core.values.people import Role
from fillmark.services import household, plans, record
from tests.core.plan.test_words import a_plan
from tests.journeys.household import Household, quarry_lane
from tests.support.builders import EVENING
from tests.web.test_make_plan import document_of
from tests.web.test_screens import TONIGHT, a_phone, press
from tests.web.test_take_in import confirmed, shown


def weigh(client: Client, quarry: Household, **typed: str):
    """The form as a browser without JavaScript posts it."""
    entry_id = typed.pop("entry_id", str(record.new_entry_id(now=EVENING)))
    path = reverse("weigh", args=[quarry.animal_id])
    return client.post(path, {"entry_id": entry_id, "zone": "Europe/Dublin", **typed})


def weights(quarry: Household) -> list[Weighed]:
    return [one.payload for one in quarry.entries(now=EVENING) if isinstance(one.payload, Weighed)]


def test_a_weight_is_written_in_kg_with_its_scale_and_the_meal(quarry: Household) -> None:
    """Sent twice it is one entry; the page shows it in both units, who wrote it, and offers the scale again."""
    client = a_phone(quarry)
    assert reverse("weigh", args=[quarry.animal_id]) in shown(client.get(f"/{quarry.animal_id}/day/"))
    sent = {"kg": "16.8", "scale": "hall scale", "meal": "before", "entry_id": str(record.new_entry_id(now=EVENING))}
    assert weigh(client, quarry, **sent).status_code == 302
    assert weigh(client, quarry, **sent).status_code == 302
    assert weights(quarry) == [Weighed(weight_kg=16.8, scale="hall scale", meal="before")]
    page = shown(client.get(reverse("weigh", args=[quarry.animal_id])))
    assert "16.8 kg (37.04 lb)" in page  # NIST SP 811, appendix B.8: 1 lb = 0.45359237 kg
    assert "before the meal, hall scale" in page
    assert 'value="hall scale"' in page


def test_pounds_and_ounces_are_kept_as_kg_to_the_gram(quarry: Household) -> None:
    """38 lb 4 oz are 17.350 kg (NIST SP 811: 38.25 × 0.45359237 = 17.34990815)."""
    assert weigh(a_phone(quarry), quarry, lb="38", oz="4").status_code == 302
    assert [one.weight_kg for one in weights(quarry)] == [17.35]


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"kg": "17", "lb": "38"}, "A weight in kg and in lb. Allowed: one of the two. Keep what the scale showed."),
        ({"lb": "38", "oz": "16"}, "16 oz. Allowed: 0 to less than 16 oz. A pound has 16 ounces."),
        ({"kg": "0.2"}, "0.2 kg. Allowed: 0.5 to 100 kg. Check the number and its unit."),
        ({}, '"" for kg. Allowed: a number such as 0.5 or 12.'),
    ],
)
def test_what_no_scale_showed_is_refused_with_all_that_was_typed(
    quarry: Household, typed: dict[str, str], said: str
) -> None:
    """Nothing is written, and the fields keep what came."""
    page = shown(weigh(a_phone(quarry), quarry, scale="hall scale", **typed), status=400)
    for part in said.split(". "):
        assert part.removeprefix("Allowed: ").rstrip(".") in page
    assert 'value="hall scale"' in page
    assert weights(quarry) == []


@pytest.mark.hazard("H4")
def test_a_jump_of_more_than_a_tenth_is_asked_before_it_is_kept(quarry: Household) -> None:
    """Against the weight of the plan at first, then against the newest of the record; ticked, it holds."""
    client = a_phone(quarry)
    page = shown(weigh(client, quarry, kg="38.4"), status=400)
    assert "38.4 kg, 121 % more than the 17.4 kg before" in page
    assert "It looks like pounds" in page
    assert weigh(client, quarry, kg="15.7").status_code == 302  # 9.8 % less
    page = shown(weigh(client, quarry, kg="14"), status=400)
    assert "14 kg, 11 % less than the 15.7 kg before" in page
    assert weigh(client, quarry, kg="14", checked="yes").status_code == 302
    assert [(one.weight_kg, one.checked) for one in weights(quarry)] == [(15.7, None), (14, True)]


def test_a_lead_is_asked_whether_the_plan_follows_and_sees_what_that_changes(quarry: Household) -> None:
    """It goes the way of every change: a draft, the gate, the vet's words, version 2."""
    client = a_phone(quarry)
    path = reverse("weigh", args=[quarry.animal_id])
    assert "The plan counts with" not in shown(client.get(path))
    weigh(client, quarry, kg="16.4", scale="hall scale")
    page = shown(client.get(path))
    assert "The plan counts with 17.4 kg" in page
    assert "6 % less" in page
    follow = re.search(r'action="([^"]+follow/)"', page)[1]
    draft = client.post(follow)["Location"]
    overview = client.get(draft)
    assert '<span class="was">17.4 kg' in re.sub(r"\s+", " ", shown(overview)) or "16.4 kg" in shown(overview)
    take_in = reverse("take_in", args=[quarry.animal_id])
    read = client.post(take_in, {"what": "read", "document": document_of(overview), "draft": draft.split("/")[2]})
    keys = [unescape(key) for key in re.findall(r'name="meant" value="([^"]+)"', read.content.decode())]
    answers = dict.fromkeys(re.findall(r'name="(answer[^"]+)"', read.content.decode()), "Said by telephone.")
    assert confirmed(client, take_in, read, meant=keys, **answers).status_code == 302
    newest = plans.all_versions(**quarry.ids)[-1].plan.animal.weight
    assert (newest.kg, newest.scale, newest.on) == (16.4, "hall scale", EVENING.date())
    assert "The plan counts with" not in shown(client.get(path))


def test_a_helper_prepares_it_and_a_sitter_does_not_weigh(quarry: Household) -> None:
    """The page is for who may record everything."""
    sitter = household.add_person(
        household_id=quarry.id,
        by=quarry.noor,
        now=EVENING,
        name="Ilse",
        role=Role.SITTER,
        from_on=EVENING.date(),
        until_on=EVENING.date(),
    )
    assert weigh(a_phone(quarry, quarry.sam), quarry, kg="16.8").status_code == 302
    assert "plan" in shown(a_phone(quarry, quarry.sam).get(reverse("weigh", args=[quarry.animal_id])))
    assert weigh(a_phone(quarry, sitter.id), quarry, kg="16.8").status_code == 403
    assert reverse("weigh", args=[quarry.animal_id]) not in shown(
        a_phone(quarry, sitter.id).get(f"/{quarry.animal_id}/day/")
    )


def test_a_task_that_is_a_weighing_leads_to_the_form_and_back(transactional_db: None) -> None:
    """From the step of the walk, back to the walk."""
    tonight = ('clocks = ["07:00"]\ndays = ["fri"]', 'clocks = ["20:00"]\ndays = ["wed"]')
    quarry = quarry_lane(now=EVENING, plan=a_plan(tonight))
    client = a_phone(quarry)
    press(client, quarry, "start")
    walk = shown(client.get(f"/{quarry.animal_id}/{TONIGHT}/"))
    href = re.search(r'href="([^"]*/weigh/[^"]*)"', walk)[1]
    page = shown(client.get(unescape(href)))
    assert f'data-then="/{quarry.animal_id}/{TONIGHT}/"' in page
    answer = client.post(
        unescape(href), {"entry_id": str(record.new_entry_id(now=EVENING)), "zone": "Europe/Dublin", "kg": "17"}
    )
    assert answer["Location"] == f"/{quarry.animal_id}/{TONIGHT}/"


def test_another_entry_since_does_not_hide_the_weight(quarry: Household) -> None:
    """Of several weights the newest by its time counts, whenever it arrived."""
    quarry.write(Weighed(weight_kg=16.9), at=EVENING - timedelta(minutes=5))
    quarry.write(Weighed(weight_kg=17.1), at=EVENING - timedelta(minutes=50))
    quarry.write(Note(text="Slept well."), at=EVENING)
    page = shown(weigh(a_phone(quarry), quarry, kg="14"), status=400)
    assert "than the 16.9 kg before" in page
