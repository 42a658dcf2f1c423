"""Words where a person reads them, on cards, first screen and walk: none that a vet nurse would strike."""

import re
from collections.abc import Callable
from datetime import UTC, datetime
from html import unescape
from pathlib import Path

import pytest
import time_machine
from django.contrib.staticfiles import finders
from django.test import Client

from fillmark.cli.main import main
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import read_plan
from fillmark.core.values.trouble import Trouble
from fillmark.examples import example_plan
from fillmark.services import household
from fillmark.web.static_files import screen_files
from tests.journeys.household import Household, quarry_lane
from tests.web.test_calls import a_phone

EVENING = datetime(2026, 11, 25, 19, 42, tzinfo=UTC)
NOTHING_IN = "Do not give food, water or medicine, by tube or by mouth, until the vet has said so."
POISON_LINE = """
    { who = "Poison line for animals", phone = "+353 1 555 0199", when = "day and night", hours = [
        { days = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"], opens = "00:00", closes = "00:00" },
    ] },
]
troubles"""


def a_plan(name: str = "juniper", **changed: str) -> CarePlan:
    """An example plan; `changed` puts one text of its file in the place of another."""
    text = example_plan(name).decode()
    for old, new in changed.values():
        assert old in text
        text = text.replace(old, new, 1)
    return read_plan(text.encode(), kind="toml")


@pytest.fixture
def home(db: None):
    with time_machine.travel(EVENING, tick=True):
        yield lambda plan, now=EVENING: quarry_lane(now=now, recorded=False, plan=plan)


Home = Callable[..., Household]


def text_of(quarry: Household, path: str = "") -> str:
    """A page as it is read, without its markup."""
    answer = a_phone(quarry).get(f"/{quarry.animal_id}/{path}")
    assert answer.status_code == 200
    shown = re.sub(r"<script.*?</script>|<template.*?</template>|<[^>]*>", " ", answer.content.decode(), flags=re.S)
    return " ".join(unescape(shown).split())


def card(quarry: Household, trouble: Trouble) -> str:
    """One card as it is read."""
    page = a_phone(quarry).get(f"/{quarry.animal_id}/calls/").content.decode()
    found = re.search(rf'<article[^>]*id="{trouble.value}".*?</article>', page, flags=re.S)
    assert found, trouble
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", found[0])).split())


@pytest.mark.hazard("H10")
def test_a_flush_shows_that_the_tube_is_open_and_no_more(home: Home) -> None:
    """Where the tube ends no flush shows: the mark at the skin is looked at, and the vet is asked."""
    quarry = home(a_plan())
    walk = text_of(quarry, "2026-11-25T20:00/")

    assert "where it should be" not in walk
    assert "Shows that the tube is open. Where it ends, water does not show" in walk


@pytest.mark.hazard("H11")
@pytest.mark.parametrize("trouble", [Trouble.COUGH, Trouble.VOMITING])
def test_how_to_hold_it_is_the_vets_word_or_a_question(home: Home, trouble: Trouble) -> None:
    """The plan says "hold her upright": no line of ours says another way. Where it says nothing, the card asks."""
    said = f'{{ trouble = "{trouble.value}", words = "Hold her upright." }}'
    told = home(a_plan(words=('{ trouble = "cough", words', f'{said},\n    {{ trouble = "hot-food", words')))
    assert "“Hold her upright.”" in card(told, trouble)
    assert not re.search(r"head low|head down|Ask how to hold it", card(told, trouble))

    untold = home(a_plan("sorrel"))
    assert "head low" not in card(untold, trouble)
    assert "Ask how to hold it: the plan does not say." in card(untold, trouble)


@pytest.mark.hazard("H31")
def test_an_animal_that_does_not_breathe_is_pressed_at_once_by_who_is_there(home: Home) -> None:
    """The presses a minute, how deep, and the ratio stand on the card, before the way to the clinic."""
    said = card(home(a_plan()), Trouble.COLLAPSE)

    assert "100 to 120 times a minute" in said
    assert "a third to a half" in said
    assert "Give 2 breaths after every 30 presses" in said
    assert said.startswith("Collapsed, or hard to wake Start at once; someone else calls")
    assert said.index("Press the chest at once") < said.index("to the nearest animal emergency clinic")
    assert "the person on the telephone tells you how to press" not in said
    assert "RECOVER" in said


@pytest.mark.hazard("H31")
def test_pale_gums_send_people_off_wherever_a_card_says_when_to_go(home: Home) -> None:
    """Pale or white gums are a sign of shock, like gray ones."""
    quarry = home(a_plan())
    saying = [
        said for said in (card(quarry, trouble) for trouble in Trouble) if "Go at once, with no call back" in said
    ]

    assert len(saying) > 5
    assert all("gums turn pale, white, blue or gray" in said for said in saying)


@pytest.mark.hazard("H12")
def test_no_card_holds_two_rules_about_the_next_dose(home: Home) -> None:
    """A card that stops everything until the vet has said so does not also say that no dose may be left out."""
    quarry = home(a_plan())
    for trouble in Trouble:
        said = card(quarry, trouble)
        assert not (NOTHING_IN in said and re.search(r"leave out", said, re.I)), trouble
    for trouble in (Trouble.TWICE, Trouble.WRONG):
        assert "Ask which dose comes next, and when." in card(quarry, trouble)


@pytest.mark.hazard("H31")
@pytest.mark.parametrize(
    ("name", "first", "never"),
    [("juniper", "xylitol above all", "propylene glycol"), ("sorrel", "propylene glycol", "xylitol")],
)
def test_what_harms_in_a_liquid_goes_by_the_species(home: Home, name: str, first: str, never: str) -> None:
    """Xylitol is the dog's; a cat is harmed by others."""
    said = card(home(a_plan(name)), Trouble.WRONG)

    assert first in said
    assert never not in said.lower()


@pytest.mark.hazard("H31")
def test_the_poison_line_is_named_or_asked_for(home: Home) -> None:
    """On both cards, and as a question about the plan where it states none. It never takes the clinic's place."""
    untold = home(a_plan())
    told = home(a_plan(line=("]\ntroubles", POISON_LINE.lstrip("\n"))))
    for trouble in (Trouble.TWICE, Trouble.WRONG):
        assert "Ask for the number of a poison line for animals: the plan states none." in card(untold, trouble)
        assert "Call Poison line for animals too: +353 1 555 0199 (day and night)." in card(told, trouble)
    assert "Which poison line for animals can be called here?" in text_of(untold, "plan/")
    assert "Which poison line" not in text_of(told, "plan/")
    assert "Call Night clinic Back" in text_of(told, "calls/")

    text = example_plan("juniper").decode()
    clinics = text[text.index('    { who = "Millrace') : text.index("]\ntroubles")]
    alone = text_of(home(a_plan(line=(f"{clinics}]\ntroubles", POISON_LINE.lstrip("\n")))), "calls/")
    assert "The plan names no number of a clinic." in alone
    assert "Call Poison line for animals Back" not in alone


@pytest.mark.hazard("H13")
@pytest.mark.parametrize("placed", ["2026-11-24", "2026-06-12"])
def test_a_neck_tube_that_is_out_is_a_call_and_a_dressing(home: Home, placed: str) -> None:
    """The hole of a neck tube is no race, whatever its age; the hole of a stomach tube narrows within hours."""
    neck = card(home(a_plan("sorrel", placed=("placed_on = 2026-11-07", f"placed_on = {placed}"))), Trouble.TUBE_OUT)
    assert neck.startswith("The tube is out Call now Call the vet now.")
    assert "Cover the hole with a clean dressing" in neck
    assert "within hours" not in neck
    assert "Go to the emergency vet now" not in neck
    assert "Do not put the tube or anything else into the hole: it can miss the gullet." in neck
    assert "Do not feed" in neck

    stomach = card(home(a_plan()), Trouble.TUBE_OUT)
    assert stomach.startswith("The tube is out Go now, and call on the way")
    assert "narrows within hours" in stomach


@pytest.mark.parametrize("name", ["juniper", "sorrel"])
def test_water_between_medicines_is_asked_without_the_amount_for_people(
    home: Home, name: str, capsys: pytest.CaptureFixture[str], tmp_path
) -> None:
    """15 to 30 mL are an adult's: beside a cat of 4 kg they are a meal."""
    text = re.sub(r"flush_between_ml = .*", "", example_plan(name).decode())
    path = tmp_path / "plan.toml"
    path.write_text(text)
    assert main(["plan", str(path), "--on", "2026-11-25"]) == 3
    told = " ".join(capsys.readouterr().out.split())

    assert "How much water between medicines" in told
    assert "15 to 30" not in told
    assert "for people" not in told


@pytest.mark.hazard("H31")
def test_when_to_call_about_food_that_comes_back_is_the_vets_word(home: Home) -> None:
    """Asked until it is said; a sign of trouble with breathing is a call now all the same."""
    sign = "Call now, day or night, if it coughs, breathes fast or hard, is dull or has a fever."
    untold = home(a_plan())
    assert card(untold, Trouble.VOMITING).startswith("Vomiting, or food came back Call now")
    assert "Ask when to call about food that comes back: the plan does not say." in card(untold, Trouble.VOMITING)
    assert "When should we call about food that comes back?" in text_of(untold, "plan/")
    assert sign in card(untold, Trouble.VOMITING)

    said = '{ trouble = "vomiting", words = "A mouthful is usual. Call from the third time in a day." },\n    '
    told = home(a_plan(words=('{ trouble = "clog"', f'{said}{{ trouble = "clog"')))
    assert card(told, Trouble.VOMITING).startswith("Vomiting, or food came back Do this first")
    assert "“A mouthful is usual. Call from the third time in a day.”" in card(told, Trouble.VOMITING)
    assert sign in card(told, Trouble.VOMITING)
    assert "Ask when to call" not in card(told, Trouble.VOMITING)
    assert "When should we call about food" not in text_of(told, "plan/")


@pytest.mark.hazard("H29")
@pytest.mark.parametrize("name", ["juniper", "sorrel"])
def test_a_clog_has_an_end_of_trying(home: Home, name: str) -> None:
    """After half an hour at most nobody goes on, with or without the vet's steps."""
    said = card(home(a_plan(name)), Trouble.CLOG)

    assert "Stop trying after 30 minutes at most, and call." in said
    assert "written for people" in said


def test_a_load_is_said_with_digits_that_a_syringe_has(home: Home) -> None:
    """60 to 90 mL for 7 kg are 8.6 to 13 mL/kg, not 8.571 to 12.86."""
    text = example_plan("juniper").decode()
    open_ended = {key: (f"{key} = {value}\n", "") for key, value in (("warn_ml_per_kg", 17), ("cap_ml_per_kg", 20))}
    assert all(old in text for old, _ in open_ended.values())
    said = text_of(home(a_plan(**open_ended)), "plan/")

    found = re.findall(r"Print disagrees \(([^)]*) mL/kg\)", said)
    assert found
    assert all(len(number.replace(".", "")) <= 2 for number in re.findall(r"[\d.]+", found[0])), found


@pytest.mark.hazard("H4")
def test_no_style_turns_letters_into_capitals() -> None:
    """A unit in capitals is another unit, or none: MG/ML, MCG."""
    for name in screen_files():
        path = finders.find(name)
        assert isinstance(path, str)
        style = Path(path).read_text(encoding="utf-8") if name.endswith(".css") else ""
        assert not re.search(r"text-transform:\s*(uppercase|capitalize)|small-caps", style), name


def test_only_what_the_vet_said_is_signed_with_the_vet_on_the_walk(home: Home) -> None:
    """The amount is the vet's order; why a step is there is said by people who do this."""
    walk = text_of(home(a_plan()), "2026-11-25T20:00/")

    assert "and can go into the lungs. (the vet's order)" not in walk
    assert "Food left in the tube sets and blocks it. (the vet's order)" not in walk
    assert "Too much or too fast comes back up, and can go into the lungs. (common practice, no source)" in walk
    assert "The step itself: the vet's order." in walk


def test_only_what_the_vet_said_is_signed_with_the_vet_among_the_days_rules(home: Home) -> None:
    """How early or late a dose may come is no word of the vet's: it is signed as ours."""
    said = text_of(home(a_plan()), "timetable/?latest=20:00")

    ours = "(ours where the order leaves it open: ask the vet)"
    assert f"Metoclopramide every 8 hours, at most 1 hour early or late {ours}" in said
    assert "No session from 20:00 to 6:00 (the household)" in said
    assert "Only the vet can decide this." in said


NEW_CARDS = {
    "fit": ("A fit", "Call now", ("over 5 minutes", "within 24 hours", "Do not put a hand into its mouth"), True),
    "gums": ("Pale, white, blue or deep red gums", "Go now", ("inside the lower eyelid",), True),
    "fever": ("Fever, or it feels hot", "Call now", ("39.5 °C (103.1 °F)", "41 °C (105.8 °F)", "acetaminophen"), False),
    "leak": ("Food or fluid leaks beside the tube", "Call now", ("the mark at the skin",), True),
    "red-site": ("The site is red, swollen or sore", "Call today", ("Call now if",), False),
    "blood": ("Blood", "Call now", ("if it runs or does not stop",), True),
    "diarrhea": ("Diarrhea", "Call today", ("Call now if",), False),
    "chewed-tube": ("The tube is chewed or cut", "Call now", ("Keep every piece",), True),
}


@pytest.mark.hazard("H31")
@pytest.mark.parametrize("value", NEW_CARDS)
def test_what_else_goes_wrong_has_its_card(home: Home, value: str) -> None:
    """One tap from the list, with what to do, what not, whether it locks feeding, and where it comes from."""
    title, urgency, words, locks = NEW_CARDS[value]
    said = card(home(a_plan()), Trouble(value))

    assert said.startswith(f"{title} {urgency}")
    for one in words:
        assert one in said
    assert (NOTHING_IN in said) is locks
    assert ("Write it down and lock feeding" in said) is locks
    assert "Where this comes from" in said


def test_a_cats_fever_is_a_cats(home: Home) -> None:
    """By its own species."""
    assert "38.9 °C (102 °F)" in card(home(a_plan("sorrel")), Trouble.FEVER)


@pytest.mark.hazard("H11")
@pytest.mark.parametrize(
    ("name", "mouth", "rule"),
    [
        ("juniper", '"nothing"', "Nothing by mouth: no food, no water, no treat."),
        ("sorrel", '"water"', "By mouth only water."),
        ("sorrel", '"food and water"', "Food and water by mouth as the vet said."),
        ("sorrel", '"not stated"', "Nobody has said what may go by mouth: give nothing by mouth and ask the vet."),
    ],
)
def test_the_rule_for_the_mouth_stands_on_the_first_screen(home: Home, name: str, mouth: str, rule: str) -> None:
    """Of every animal, whatever the rule is."""
    old = 'by_mouth = "nothing"' if name == "juniper" else 'by_mouth = "water"'

    assert rule in text_of(home(a_plan(name, mouth=(old, f"by_mouth = {mouth}"))))


@pytest.mark.hazard("H11")
def test_an_animal_without_a_plan_gets_nothing_by_mouth(home: Home) -> None:
    """Nobody has said anything yet."""
    quarry = home(a_plan())
    other = household.add_animal(household_id=quarry.id, by=quarry.noor, now=EVENING, name="Sorrel")
    client: Client = a_phone(quarry)

    assert "give nothing by mouth and ask the vet" in client.get(f"/{other.id}/").content.decode()


@pytest.mark.hazard("H31")
def test_until_when_a_number_answers_is_asked_where_nobody_said(home: Home) -> None:
    """On the page of the numbers, and as a question about the plan. Nothing is guessed out of the words."""
    quarry = home(a_plan("sorrel"))
    calls = text_of(quarry, "calls/")

    assert "Until when does this number answer? The plan does not say." in calls
    assert "The plan does not say who answers at night." in calls
    assert "Until when does Millrace Veterinary Practice answer?" in text_of(quarry, "plan/")
    assert "Until when does" not in text_of(home(a_plan()), "plan/")


@pytest.mark.hazard("H31")
def test_a_shut_clinic_is_not_what_the_call_button_rings(home: Home) -> None:
    """When no number answers, that is said loudly, and the large button leads to the numbers instead."""
    text = example_plan("juniper").decode()
    night = text[text.index('    { who = "Night clinic"') : text.index("]\ntroubles")]
    quarry = home(a_plan(only_by_day=(night, "")))
    page = a_phone(quarry).get(f"/{quarry.animal_id}/calls/").content.decode()
    calls = text_of(quarry, "calls/")

    assert "No number of the plan answers at night." in calls
    assert "No number of the plan answers now." in calls
    assert "Call Millrace Veterinary Practice" not in calls
    assert re.search(r'<a class="button big call-now"[^>]*href="#numbers"', page)
    assert "Whom to call at night, when no number of the plan answers?" in text_of(quarry, "plan/")

    both = text_of(home(a_plan()), "calls/")
    assert "answers at night" not in re.sub(r"No number of the plan answers now\.", "", both)
    assert "Call Night clinic" in both


@pytest.mark.hazard("H31")
def test_a_week_without_a_night_may_have_another_gap(home: Home) -> None:
    """Sunday noon is a hole too, and it is named by its day and hour."""
    quarry = home(
        a_plan(
            gap=(
                '{ days = ["sat", "sun"], opens = "00:00", closes = "00:00" },',
                """
        { days = ["sat"], opens = "00:00", closes = "00:00" },
        { days = ["sun"], opens = "00:00", closes = "12:00" },""",
            )
        )
    )

    assert "No number of the plan answers on Sunday at 12:00." in text_of(quarry, "calls/")
