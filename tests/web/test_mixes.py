"""Mixes and foods on hand: what the pages say, keep and refuse."""

import re
from datetime import UTC, datetime, timedelta
from html import unescape

import pytest
import time_machine
from django.test import Client

from fillmark.core.plan.reading import read_plan
from fillmark.core.values.people import Role
from fillmark.examples import example_plan
from fillmark.services import household, mixes, plans, record
from tests.journeys.household import Household, quarry_lane
from tests.support.builders import EVENING
from tests.web.test_screens import a_phone

OIL = {
    "name": "Fish oil",
    "energy": "8",
    "unit": "kcal",
    "per": "mL",
    "spoon": "teaspoon",
    "spoon_g": "4,6",
    "spoon_ml": "5",
    "complete": "no",
    "nutrient_per": "100 g",
}


def ask(client: Client, quarry: Household, path: str, status: int = 200) -> str:
    answer = client.get(f"/{quarry.animal_id}/{path}")
    assert answer.status_code == status, answer.content.decode()
    return answer.content.decode()


def write_food(client: Client, quarry: Household, path: str = "mixes/foods/new/", **form: str):
    entry_id = str(record.new_entry_id(now=datetime.now(UTC)))
    values = {**OIL, "entry_id": entry_id, "zone": "Europe/Dublin", "what": "keep", **form}
    return client.post(f"/{quarry.animal_id}/{path}", values)


def names(quarry: Household) -> list[str]:
    plan = plans.all_versions(**quarry.ids)[-1].plan
    return [one.name for one in mixes.find_foods(**quarry.ids, plan=plan)]


@pytest.mark.parametrize("path", ["mixes/", "mixes/foods/", "mixes/foods/new/"])
def test_who_is_not_signed_in_or_at_home_elsewhere_sees_nothing(quarry: Household, path: str) -> None:
    """Nor may another household look."""
    other = quarry_lane(now=EVENING, recorded=False)

    assert Client().get(f"/{quarry.animal_id}/{path}").status_code == 302
    ask(a_phone(quarry), other, path, status=403)


@pytest.mark.hazard("H25")
def test_a_sitter_writes_no_food_down(quarry: Household) -> None:
    """A sitter sees the mixes, and has no form for a label."""
    who = {"household_id": quarry.id, "by": quarry.noor, "now": EVENING}
    today = EVENING.date()
    ilse = household.add_person(**who, name="Ilse", role=Role.SITTER, from_on=today, until_on=today + timedelta(days=1))
    client = a_phone(quarry, ilse.id)

    assert "Add a food from its label" not in ask(client, quarry, "mixes/")
    assert write_food(client, quarry).status_code == 403
    assert len(names(quarry)) == 2


def test_the_page_shows_the_mixes_and_the_nutrients_of_now(quarry: Household) -> None:
    """Proposed first, with what goes in; both profiles; what no label states is named."""
    page = ask(a_phone(quarry), quarry, "mixes/")

    assert "Proposed, not in force" in page
    assert "4 cans of Canned puree (invented)" in page
    assert "AAFCO: at least 45 g; FEDIAF: at least 45 g, from memory" in page
    assert "By its label a complete food, only watered down" in page
    assert re.search(r"Not stated on every label: [a-z ,A-Z]*calcium", page)
    assert "No limit stands in the way of a smaller mix of these foods." in page


@pytest.mark.hazard("H20")
@pytest.mark.parametrize(
    ("name", "label", "told"),
    [
        ("juniper", [("vitamin D", 2250, "units")], "2,250 units, outside AAFCO: at least 125 units; "),
        (
            "juniper",
            [("calcium", 1.3, "g"), ("phosphorus", 3, "g")],
            "0.433 to 1, outside AAFCO: at least 1 to 1; AAFCO: at most 2 to 1",
        ),
        ("sorrel", [("taurine", 0.6, "g")], "FEDIAF, for a cat that eats little: at least 0.675 g"),
    ],
    ids=["three times the most vitamin D", "more phosphorus than calcium", "a cat that eats little"],
)
def test_what_is_outside_print_is_said_on_the_page_of_mixes(
    db: None, name: str, label: list[tuple[str, float, str]], told: str
) -> None:
    """Upper bounds, the ratio of two, and the column of a cat that is fed less than 100 kcal/kg^0.67."""
    lines = ", ".join(
        f'{{ nutrient = "{nutrient}", amount = {amount}, unit = "{unit}", per = "1,000 kcal" }}'
        for nutrient, amount, unit in label
    )
    text = example_plan(name).decode().replace("complete = true", f"complete = true\nnutrients = [{lines}]", 1)
    with time_machine.travel(EVENING, tick=True):
        home = quarry_lane(now=EVENING, plan=read_plan(text.encode(), kind="toml"), recorded=False)
        page = ask(a_phone(home), home, "mixes/")
    words = " ".join(unescape(re.sub(r"<[^>]+>", " ", page)).split()).replace(" , outside", ", outside")

    assert told in words
    assert "Outside print for" in words


def test_a_food_is_written_down_put_right_and_taken_out(quarry: Household) -> None:
    """Its label is an entry: a correction replaces it, and taking it out leaves no trace but in the record."""
    client = a_phone(quarry)
    assert write_food(client, quarry).status_code == 302
    assert names(quarry)[-1] == "Fish oil"
    page = ask(client, quarry, "mixes/foods/")
    (path,) = re.findall(r'/(mixes/foods/[0-9a-f-]{36}/)"', page)
    assert 'value="4.6"' in ask(client, quarry, path)
    assert write_food(client, quarry, path, name="Salmon oil", nutrient_0="100").status_code == 302
    assert names(quarry)[-1] == "Salmon oil"
    (path,) = re.findall(r'/(mixes/foods/[0-9a-f-]{36}/)"', ask(client, quarry, "mixes/foods/"))
    assert write_food(client, quarry, path, what="out").status_code == 302
    assert len(names(quarry)) == 2


@pytest.mark.parametrize(
    ("form", "words"),
    [
        ({"name": "canned STEW (invented)"}, "which is on hand already"),
        ({"spoon_g": ""}, "A spoon without its name, its weight or its volume"),
        ({"protein": "9"}, "An analysis without fat and fiber and moisture"),
        ({"energy": ".5"}, "0.5"),
        ({"per": "bucket"}, "bucket"),
        ({"keeps_days": "40"}, "40"),
        ({"name": ""}, "name"),
    ],
)
def test_a_label_that_cannot_be_meant_comes_back_with_what_to_do(quarry: Household, form: dict, words: str) -> None:
    """What was typed stays in the form; nothing is kept."""
    answer = write_food(a_phone(quarry), quarry, **form)

    assert answer.status_code == 400
    assert words.lower() in answer.content.decode().lower()
    assert 'value="teaspoon"' in answer.content.decode()
    assert len(names(quarry)) == 2


def test_an_additive_waits_for_how_much_a_day(quarry: Household) -> None:
    """Ticked without an amount it is left out and named; with one it goes in, and the mix is asked about."""
    client = a_phone(quarry)
    write_food(client, quarry)
    silent = ask(client, quarry, "mixes/?food=stew&food=puree&food=food-fish-oil&days=2")
    said = ask(client, quarry, "mixes/?food=stew&food=puree&food=food-fish-oil&days=2&most_food-fish-oil=2")

    assert "Left out: Fish oil. Say how much a day the vet allows." in silent
    assert "teaspoons of Fish oil" in said
    assert "Not shown to be complete: ask the vet, or a veterinary nutritionist." in said
    assert "Not held to, since a label does not state it:" in said


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ("days=2", "A mix of no food"),
        ("food=stew&days=900", "a whole number from 1 to 14"),
        ("food=stew&days=two", "a whole number from 1 to 14"),
        ("food=nothing-we-have&days=2", "A mix of no food"),
    ],
)
def test_a_question_that_cannot_be_answered_says_what_is_needed(quarry: Household, query: str, words: str) -> None:
    """The page stays, with the question to ask again."""
    page = ask(a_phone(quarry), quarry, f"mixes/?{query}")

    assert words in page
    assert "What may go in?" in page


@pytest.mark.hazard("H32")
def test_a_mix_is_seen_beside_now_and_accepted_with_the_vets_word(quarry: Household) -> None:
    """The food of the household comes into the plan with it; the address can be shared, and holds nothing else."""
    client = a_phone(quarry)
    write_food(client, quarry)
    query = "mix=stew*2*cans,food-fish-oil*9.2*grams&mix_water=180"
    page = ask(client, quarry, f"ways/what-if/?{query}")
    assert "9.2 g of Fish oil" in page
    assert "New in the mix: Fish oil." in page
    (seen,) = re.findall(r'name="seen" value="([^"]*)"', page)
    form = {"seen": seen, "mix": "stew*2*cans,food-fish-oil*9.2*grams", "mix_water": "180", "vet_said_on": "2026-11-25"}
    path = f"/{quarry.animal_id}/ways/what-if/"

    assert client.post(path, {**form, "vet_words": ""}).status_code == 400
    assert client.post(path, {**form, "vet_words": "Two teaspoons of oil, yes."}).status_code == 302
    newest = plans.all_versions(**quarry.ids)[-1]
    assert (newest.number, newest.vet_words) == (2, "Two teaspoons of oil, yes.")
    assert [(part.food, part.cans, part.g) for part in newest.plan.blend.foods] == [
        ("stew", 2.0, None),
        ("food-fish-oil", None, 9.2),
    ]
    with time_machine.travel(EVENING + timedelta(days=1), tick=True):
        for later in ("ways/", "flow/", "flow/test/", "mixes/", "ways/what-if/?water=200", "ways/what-if/?days=3"):
            shown = ask(client, quarry, later)
            assert "Not shown to be complete" in shown or later != "mixes/"
        assert "Water in a batch" in ask(client, quarry, "ways/")


@pytest.mark.parametrize(
    "mix", ["stew*2*cans,unknown*1*cans", "stew*0*cans", "stew", "stew*2*cans,,", "stew*2*cans;drop"]
)
def test_a_mix_that_cannot_be_read_is_sent_back(quarry: Household, mix: str) -> None:
    """Nothing is guessed of an address that was changed by hand."""
    page = ask(a_phone(quarry), quarry, f"ways/what-if/?mix={mix}&mix_water=100", status=400)

    assert "foods on hand with their cans or grams" in page


def test_with_many_foods_what_holds_a_mix_is_worked_out_when_asked_for(quarry: Household) -> None:
    """Thirteen cans: the mixes stand at once, with a button; pressed, it keeps the question and names the limits."""
    client = a_phone(quarry)
    can = {"per": "can", "can_g": "400", "can_ml": "380", "spoon": "", "spoon_g": "", "spoon_ml": "", "complete": "yes"}
    for number in range(11):
        write_food(client, quarry, name=f"Can {number}", energy=str(480 + number), **can)
    at_once = ask(client, quarry, "mixes/?days=2&" + "&".join(f"food=food-can-{number}" for number in range(11)))
    every = "mixes/?days=2&food=stew&food=puree&" + "&".join(f"food=food-can-{number}" for number in range(11))
    many, asked = ask(client, quarry, every), ask(client, quarry, f"{every}&holds=yes")

    assert "Work out why not" not in at_once
    assert "Work out why not" in many
    assert '<input type="hidden" name="food" value="food-can-10">' in many
    assert "No limit stands in the way" not in many
    assert "Work out why not" not in asked
    assert "No limit stands in the way" in asked
