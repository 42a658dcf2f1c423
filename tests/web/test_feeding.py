"""What the feeding screens say and refuse, and that their pictures stand where the numbers stand."""

import re
from datetime import UTC, datetime, timedelta
from html import unescape

import pytest
import time_machine
from django.test import Client

from fillmark.core.plan.reading import read_plan
from fillmark.core.record.session_entries import SessionSkipped
from fillmark.core.today.meals_today import MealAhead
from fillmark.core.tube.flow_tests import FlowTest, predict_flow
from fillmark.core.tube.mark import fills
from fillmark.core.values.people import Role
from fillmark.examples import example_plan
from fillmark.services import household, plans, record
from fillmark.web.drawings.bars import Bar, BarFill, BarLine, Piece, draw_bar
from fillmark.web.flow.curve import Curve, Dot, draw_curve
from fillmark.web.intake.pictures import ahead_bars
from fillmark.web.ways.pictures import draw_fills, say_fills
from tests.journeys.household import Household, quarry_lane
from tests.support.builders import EVENING, adopt, an_entry, junipers_plan
from tests.web.test_screens import a_phone

SCREENS = ("ways/", "ways/what-if/", "flow/", "flow/test/", "intake/", "intake/2026-11-24/")
MIX = {"cans": "2", "water": "160", "zone": "Europe/Dublin"}


def a_sitter(quarry: Household):
    days = {"from_on": EVENING.date(), "until_on": EVENING.date()}
    who = {"household_id": quarry.id, "by": quarry.noor, "now": EVENING}
    return household.add_person(**who, name="Ilse", role=Role.SITTER, **days).id


def ask(client: Client, quarry: Household, path: str) -> str:
    answer = client.get(f"/{quarry.animal_id}/{path}")
    assert answer.status_code == 200, answer.content.decode()
    return answer.content.decode()


def write_test(client: Client, quarry: Household, **form: str):
    entry_id = form.pop("entry_id", str(record.new_entry_id(now=EVENING)))
    return client.post(f"/{quarry.animal_id}/flow/test/", {**MIX, "entry_id": entry_id, **form})


def versions(quarry: Household) -> int:
    return len(plans.all_versions(**quarry.ids))


@pytest.mark.parametrize("path", SCREENS)
def test_who_is_not_signed_in_sees_nothing_of_the_feeding(quarry: Household, path: str) -> None:
    """Nor of another household's animal."""
    answer = Client().get(f"/{quarry.animal_id}/{path}")
    other = quarry_lane(now=EVENING, recorded=False)

    assert answer.status_code == 302
    assert answer["Location"].startswith("/sign-in/")
    assert a_phone(quarry).get(f"/{other.animal_id}/{path}").status_code == 403


@pytest.mark.hazard("H25")
def test_a_sitter_sees_today_and_neither_tests_nor_changes_anything(quarry: Household) -> None:
    """Today's in, back and kept; no older day, no flow tests, no new plan."""
    client = a_phone(quarry, a_sitter(quarry))

    assert client.get(f"/{quarry.animal_id}/intake/").status_code == 200
    for path in ("intake/2026-11-24/", "flow/", "flow/test/"):
        assert client.get(f"/{quarry.animal_id}/{path}").status_code == 403
    assert write_test(client, quarry, left="3").status_code == 403
    seen = re.search(r'name="seen" value="([^"]*)"', ask(a_phone(quarry), quarry, "ways/what-if/?meals=3"))
    assert seen
    form = {"meals": "3", "seen": seen[1], "vet_words": "Three.", "vet_said_on": "2026-11-25"}
    assert client.post(f"/{quarry.animal_id}/ways/what-if/", form).status_code == 403
    assert versions(quarry) == 1


@pytest.mark.hazard("H32")
@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"vet_words": ""}, "A plan without the vet&#x27;s words."),
        ({"vet_said_on": "2026-11-31"}, "for the day on which the vet said it."),
        ({"seen": "1: 07:00"}, "A plan that is no longer the one you saw."),
        ({"meals": "5"}, "A plan that is no longer the one you saw."),
        ({"meals": "0"}, "meals a day."),
        ({"water": ".5"}, "with no zero before the point."),
        ({"food": "porridge"}, "A food &quot;porridge&quot;."),
        ({"days": "ten"}, "days away."),
    ],
    ids=[
        "no words",
        "no such day",
        "another plan",
        "another number",
        "no meal",
        "a lone point",
        "no such food",
        "days",
    ],
)
def test_a_change_that_cannot_be_accepted_is_told_on_the_same_page(
    quarry: Household, changed: dict[str, str], words: str
) -> None:
    """And no version is made, except that a question about days away is none about the plan."""
    client = a_phone(quarry)
    seen = re.search(r'name="seen" value="([^"]*)"', ask(client, quarry, "ways/what-if/?meals=3"))
    assert seen
    form = {"meals": "3", "seen": seen[1], "vet_words": "Three.", "vet_said_on": "2026-11-25", **changed}
    if "days" in changed:
        answer = client.get(f"/{quarry.animal_id}/ways/what-if/", changed)
    else:
        answer = client.post(f"/{quarry.animal_id}/ways/what-if/", form)

    assert answer.status_code == 400
    assert words in answer.content.decode()
    assert versions(quarry) == 1


@pytest.mark.hazard("H22")
def test_three_meals_that_take_the_meal_from_a_dose_before_food_need_the_vets_word(quarry: Household) -> None:
    """Metoclopramide at 14:30 had the 15:00 meal; with meals at 7:00, 13:30 and 20:00 none follows soon."""
    client, path = a_phone(quarry), f"/{quarry.animal_id}/ways/what-if/"
    page = unescape(ask(client, quarry, "ways/what-if/?meals=3"))
    words = (
        "Metoclopramide at 14:30 is ordered before food, and no meal follows within 1 hour 30 minutes with the meals of"
    )
    hidden = dict(re.findall(r'<input type="hidden" name="((?:seen|meals|clock)[^"]*)" value="([^"]*)"', page))
    sent = {**hidden, "vet_said_on": "2026-11-25"}
    sent["meant"] = re.findall(r'name="meant" value="([^"]*)"', page)

    assert words in page[page.index("Needs a word of the vet") :]
    assert page.count("What the vet said about it") == 1
    assert words in unescape(ask(a_phone(quarry, quarry.sam), quarry, "ways/what-if/?meals=3"))
    assert words not in unescape(ask(client, quarry, "ways/what-if/?meals=4&water=170"))
    refused = client.post(path, sent)
    assert (refused.status_code, len(plans.all_versions(**quarry.ids))) == (400, 1)
    assert words in unescape(refused.content.decode())
    sent["answer lost-its-meal: metoclopramide"] = "It need not be before a meal."
    assert client.post(path, sent).status_code == 302
    _, newest = plans.all_versions(**quarry.ids)
    assert newest.vet_words == "It need not be before a meal."


@pytest.mark.hazard("H22")
def test_fewer_meals_that_take_the_meal_from_a_dose_with_food_need_the_vets_word(db: None) -> None:
    """Omeprazole ordered with the meals at 7:00 and 15:00; of three meals none is at 15:00."""
    text = example_plan("juniper").decode()
    head, tail = text.split('clocks = ["06:30", "18:30"]')
    tail = tail.replace('food = { relation = "before", minutes = 30 }', 'food = { relation = "with" }', 1)
    tail = tail.replace("every_hours = 12", "times_per_day = 2")
    head = head[: head.rindex("every_hours = 12")] + "times_per_day = 2\n"
    plan = read_plan((head + 'clocks = ["07:00", "15:00"]' + tail).encode(), kind="toml")
    with time_machine.travel(EVENING, tick=True):
        home = quarry_lane(now=EVENING, plan=plan)
        page = unescape(ask(a_phone(home), home, "ways/what-if/?meals=3"))

    assert "Omeprazole at 15:00 is without a meal" in page[page.index("Needs a word of the vet") :]


def test_a_tube_without_its_bore_is_not_compared_by_its_french(quarry: Household) -> None:
    """French is the outside: the page says so, and has no button to change a tube."""
    page = ask(a_phone(quarry), quarry, "ways/what-if/?french=14&inner_mm=3")

    assert "the bore is not stated" in page
    assert "it comes with a new plan from the clinic" in page
    assert "Put it in force" not in page


def test_ten_days_away_say_what_to_bring(quarry: Household) -> None:
    """Beside one day at home; a change of meals is counted in."""
    page = ask(a_phone(quarry), quarry, "ways/what-if/?days=10&meals=3")

    assert '<span class="was">3 a day</span> → 30' in page
    assert "To bring" in page
    assert "kept cold" in page


@pytest.mark.hazard("H9")
@pytest.mark.parametrize(
    ("form", "words"),
    [
        ({"left": ""}, "for mL left"),
        ({"left_typed": "11"}, "11 mL left."),
        ({"left_typed": "-1"}, "-1 mL left."),
        ({"left": "3", "cans": "0"}, "0 g of food."),
        ({"left": "3", "water": ""}, "for water"),
        ({"left": "3", "entry_id": "mine"}, "A form without its id."),
    ],
    ids=["nothing said", "over the syringe", "below nothing", "no food", "no water", "no id"],
)
def test_a_test_that_cannot_be_kept_is_asked_again(quarry: Household, form: dict[str, str], words: str) -> None:
    """In words above the same form, with what was typed still in it."""
    answer = write_test(a_phone(quarry), quarry, batch="Jar 7", **form)
    page = answer.content.decode()

    assert answer.status_code == 400
    assert words in page
    assert 'value="Jar 7"' in page
    assert not [entry for entry in quarry.entries(now=EVENING) if entry.kind == "flow_test"]


def test_a_food_without_its_net_weight_is_asked_in_grams(quarry: Household) -> None:
    """Where a can cannot be weighed by its label, the scale tells."""
    text = example_plan("juniper").decode().replace("can_g = 410\n", "")
    adopt(quarry, read_plan(text.encode(), kind="toml"), from_at=EVENING)
    client = a_phone(quarry)

    assert "Food, g" in ask(client, quarry, "flow/test/")
    assert write_test(client, quarry, left="3", cans="", food_g="815").status_code == 302
    (kept,) = [entry.payload for entry in quarry.entries(now=EVENING) if entry.kind == "flow_test"]
    assert kept.food_g == 815


def test_a_second_tap_is_the_same_test(quarry: Household) -> None:
    """Sent twice with the id that the page made, it is one entry."""
    client, entry_id = a_phone(quarry), str(record.new_entry_id(now=EVENING))
    for _ in range(2):
        assert write_test(client, quarry, left="3", entry_id=entry_id).status_code == 302

    (kept,) = [entry.payload for entry in quarry.entries(now=EVENING) if entry.kind == "flow_test"]
    assert (kept.food_g, kept.water_ml, kept.left_ml, kept.foods) == (820, 160, 3, ("stew",))


@pytest.mark.hazard("H9")
def test_a_blend_that_does_not_flow_is_not_to_be_given(quarry: Household) -> None:
    """Thicker than the test can tell: the strictest words, and the jar is named."""
    client = a_phone(quarry)
    answer = write_test(client, quarry, left="nothing", batch="Jar 8", sieved="yes")
    page = client.get(answer["Location"]).content.decode()

    assert "Too thick" in page
    assert "nothing flowed out in 10 seconds" in page
    assert "Jar 8 of 25 November, until 26 November · in use" in page
    assert "Not to be given: too thick." in page
    assert "Water for nine passes of ten, sieved" in page


def test_before_the_first_test_no_amount_of_water_is_proposed(quarry: Household) -> None:
    """What others stir in stands there with its source; a number for this food does not."""
    page = ask(a_phone(quarry), quarry, "flow/")

    assert "No amount of water is proposed before the first test." in page
    assert "59 to 79 mL; common practice, no source" in page
    assert '<svg class="curve"' not in page


def test_wishes_leave_ways_out_and_say_how_many(quarry: Household) -> None:
    """At most four meals, none at night: the others are counted, not hidden in silence."""
    page = ask(a_phone(quarry), quarry, "ways/?most_meals=4&no_night=yes")

    assert "3 × 280 mL" in page
    assert "5 × 168 mL" not in page
    assert "2 of 4 left out by these wishes." in page
    assert "No way fits these wishes." in ask(a_phone(quarry), quarry, "ways/?whole_cans=yes")


def test_an_animal_without_a_plan_is_told_what_comes_first(quarry: Household) -> None:
    """On every feeding screen."""
    animal = household.add_animal(household_id=quarry.id, by=quarry.noor, name="Sorrel", now=EVENING)
    for path in ("ways/", "ways/what-if/", "flow/", "flow/test/"):
        answer = a_phone(quarry).get(f"/{animal.id}/{path}")
        assert answer.status_code == 400
        assert "An animal without a plan." in answer.content.decode()
    assert "No plan yet" in a_phone(quarry).get(f"/{animal.id}/intake/").content.decode()


def numbers(pattern: str, svg: str) -> list[tuple[float, ...]]:
    return [tuple(float(one) for one in found.groups()) for found in re.finditer(pattern, svg)]


def test_a_bar_is_as_long_as_its_number() -> None:
    """150 of 200 mL fill three quarters, from where the piece before ends; a limit stands at its share."""
    pieces = [Piece(fill=BarFill.IN, start=0, end=150), Piece(fill=BarFill.BACK, start=150, end=160)]
    svg = draw_bar(Bar(whole=200, pieces=pieces, limits=[(BarLine.GOAL, 190)]))

    assert numbers(r'x="([\d.]+)%" y="3" width="([\d.]+)%"', svg) == [(0, 75), (75, 5)]
    assert numbers(r'class="limit limit-goal" x1="([\d.]+)%"', svg) == [(95,)]
    assert 'aria-hidden="true"' in svg


def test_what_is_not_known_is_hatched_and_nothing_is_drawn_for_nothing() -> None:
    """The pattern tells; a piece from 0 to 0 is no piece."""
    pieces = [Piece(fill=BarFill.IN, start=0, end=0), Piece(fill=BarFill.PERHAPS, start=0, end=210)]
    svg = draw_bar(Bar(whole=210, pieces=pieces), spoken="A meal")

    assert svg.count("<rect") == 1
    assert svg.count('class="hatch"') == 1
    assert 'aria-label="A meal"' in svg


def test_the_syringes_of_a_meal_are_filled_to_their_marks() -> None:
    """Three full ones, and one half full for 30 of 60 mL."""
    syringe = junipers_plan().feeding_syringe
    marks = fills(total_ml=210, syringe=syringe)
    heights = [
        height
        for (height,) in numbers(r'class="liquid" x="7" y="[\d.]+" width="16" height="([\d.]+)"', draw_fills(marks))
    ]

    assert heights[:3] == [heights[0]] * 3
    assert heights[3] == pytest.approx(heights[0] / 2, abs=0.1)
    assert say_fills(marks) == "3 × 60 + 30 mL"


def test_the_curve_stands_where_the_tests_stand() -> None:
    """A test at half the width and 5 of 10 mL lies in the middle of both axes; the proposal has its mark."""
    points = predict_flow([FlowTest(water_ml_per_100_g=20, left_ml=5)], most_left_ml=8, waters_ml_per_100_g=[0, 20, 40])
    curve = Curve(
        points=points,
        ml_per_100_g=4,
        most_left_ml=8,
        proposed_ml=120,
        tests=[Dot(water_ml=80, left_ml=5, has_passed=True), Dot(water_ml=40, left_ml=9, has_passed=False)],
    )
    svg = draw_curve(curve, spoken="The tests")

    ((x, y), (_, high)) = numbers(r'class="test[^"]*" cx="([\d.]+)" cy="([\d.]+)"', svg)
    assert (x, y) == (pytest.approx((40 + 350) / 2), pytest.approx((26 + 214) / 2))
    assert high < y
    assert svg.count("test-failed") == 1
    assert numbers(r'class="proposed" x1="([\d.]+)"', svg) == [(pytest.approx(40 + 310 * 0.75),)]


@pytest.mark.hazard("H10")
@pytest.mark.hazard("H11")
def test_a_meal_that_carries_what_was_missed_stays_below_the_vets_warning(db: None) -> None:
    """Two meals were left out: the others grow to 265 mL, where the vet wants to be asked; the rest is let go."""
    noon = datetime(2026, 11, 25, 12, 40, tzinfo=UTC)
    with time_machine.travel(noon, tick=False):
        home = quarry_lane(now=noon, recorded=False)
        for session in ("2026-11-25T07:00", "2026-11-25T11:30"):
            payload = SessionSkipped(session=session, reason="Vomiting; the vet said so.")
            entry = an_entry(payload, at=noon, animal_id=home.animal_id)
            record.record_entry(household_id=home.id, by=home.noor, entry=entry, now=noon)
        page = ask(a_phone(home), home, "intake/")

    assert "Proposed, not in force." in page
    assert page.count('<span class="strong">265 mL</span>') == 2
    assert page.count("at most 318 mL under the vet&#x27;s cap") == 2
    assert page.count("Never double a meal to catch up.") == 1
    assert "Let go: 310 mL" in page


@pytest.mark.hazard("H10")
def test_a_meal_above_the_level_the_vet_asks_about_says_so() -> None:
    """The line stands on the bar, and the words beside it; without the vet's level there is neither."""
    at = datetime(2026, 11, 25, 20, tzinfo=UTC)
    later = at + timedelta(minutes=90)
    meal = MealAhead(session="2026-11-25T20:00", planned_at=at, planned_ml=270, at=later, blend_ml=270, most_ml=318)
    (warned,) = ahead_bars([meal], asks_above_ml={meal.session: 265.8})
    (unwarned,) = ahead_bars([meal], asks_above_ml={})

    assert warned.ask == "Above 265 mL the vet wants to be asked first."
    assert warned.name == "21:30, planned for 20:00"
    assert "limit-warning" in warned.bar
    assert unwarned.ask == ""
    assert "limit-warning" not in unwarned.bar


@pytest.mark.hazard("H16")
@pytest.mark.hazard("H30")
def test_water_from_the_bowl_is_written_down_only_where_the_vet_allows_it(quarry: Household) -> None:
    """Sorrel may drink: 40 mL and one time unknown count so. Juniper may not, and the press is refused in words."""
    sorrel = household.add_animal(household_id=quarry.id, by=quarry.noor, name="Sorrel", now=EVENING)
    adopt(quarry, read_plan(example_plan("sorrel"), kind="toml"), from_at=EVENING, animal_id=sorrel.id)
    client = a_phone(quarry)

    def drank(animal_id, **form: str):
        form |= {"entry_id": str(record.new_entry_id(now=EVENING)), "zone": "Europe/Dublin"}
        return client.post(f"/{animal_id}/intake/drank/", form)

    assert drank(sorrel.id, ml="typed", ml_typed="40").status_code == 302
    assert drank(sorrel.id, ml="not known").status_code == 302
    assert drank(sorrel.id, ml="typed", ml_typed="").status_code == 400
    page = client.get(f"/{sorrel.id}/intake/").content.decode()
    assert "By mouth</dt><dd>40 mL" in page
    assert "Drank 1 time without anyone knowing how much" in page
    assert "Drank 40 mL" in client.get(f"/{sorrel.id}/day/").content.decode()

    refused = drank(quarry.animal_id, ml="typed", ml_typed="40")
    assert refused.status_code == 400
    assert "call the vet" in refused.content.decode()
    assert "Drank from the bowl" not in ask(client, quarry, "intake/")
