"""What the screen of the day's times says and refuses, and that its dial stands where the clock stands."""

import re
from datetime import date
from itertools import pairwise
from math import atan2, degrees

import pytest
import time_machine
from django.test import Client

from fillmark.core.plan.reading import read_plan
from fillmark.core.timetable import Session, Window
from fillmark.core.today.wishes import Move
from fillmark.core.values.people import Role
from fillmark.examples import example_plan
from fillmark.services import household, plans
from fillmark.web.timetable.dial import Dial, draw_dial
from tests.journeys.household import Household, quarry_lane
from tests.support.builders import EVENING
from tests.web.test_screens import a_phone

ACCEPT = {"latest": "22:00", "vet_words": "22:00 will do.", "vet_said_on": "2026-11-25"}


def ask(client: Client, quarry: Household, wishes: str = "") -> str:
    answer = client.get(f"/{quarry.animal_id}/timetable/{wishes}")
    assert answer.status_code == 200
    return answer.content.decode()


def seen(page: str) -> str:
    found = re.search(r'name="seen" value="([^"]*)"', page)
    assert found
    return found[1]


def versions(quarry: Household) -> int:
    return len(plans.all_versions(**quarry.ids))


def test_who_is_not_signed_in_sees_no_times(quarry: Household) -> None:
    """Nor can a stranger accept any."""
    for answer in (Client().get(f"/{quarry.animal_id}/timetable/"), Client().post(f"/{quarry.animal_id}/timetable/")):
        assert answer.status_code == 302
        assert answer["Location"].startswith("/sign-in/")


def test_each_session_says_who_is_there_and_tasks_of_some_days_stand_apart(quarry: Household) -> None:
    """By the hours in the plan: Sam by day on weekdays, Noor otherwise; Friday has two tasks."""
    page = ask(a_phone(quarry), quarry)
    assert page.count("There: Noor<") == 5
    assert page.count("There: Mon to Fri: Sam; Sat to Sun: Noor<") == 3
    found = re.findall(r'<span class="strong">([^<]*)</span><span>([^<]*)<br><span class="quiet">Fri</span>', page)
    assert found == [("07:00", "Weigh her"), ("20:00", "Wash and dry the site")]


@pytest.mark.hazard("H25")
@pytest.mark.parametrize("role", [Role.HELPER, Role.SITTER])
def test_the_press_of_a_helper_or_a_sitter_is_refused_behind_the_page(quarry: Household, role: Role) -> None:
    """Also when the press is made by hand, with everything that a lead's page would send."""
    person = quarry.sam
    if role is Role.SITTER:
        who = {"household_id": quarry.id, "by": quarry.noor, "now": EVENING}
        days = {"from_on": EVENING.date(), "until_on": EVENING.date()}
        person = household.add_person(**who, name="Ilse", role=role, **days).id
    shown = seen(ask(a_phone(quarry), quarry, "?latest=22:00"))

    answer = a_phone(quarry, person).post(f"/{quarry.animal_id}/timetable/", {**ACCEPT, "seen": shown})

    assert answer.status_code == 403
    assert versions(quarry) == 1


@pytest.mark.hazard("H32")
@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"vet_words": ""}, "A plan without the vet&#x27;s words."),
        ({"vet_said_on": ""}, "for the day on which the vet said it."),
        ({"vet_said_on": "2026-11-31"}, "for the day on which the vet said it."),
        ({"vet_said_on": "2026-11-26"}, "A plan that the vet will have spoken about on 26 November 2026."),
        ({"seen": "1: 7:00 meal"}, "A day that is no longer the one you saw."),
        ({"latest": "21:45"}, "A day that is no longer the one you saw."),
        ({"latest": "half ten"}, "for a time of day."),
    ],
    ids=["no words", "no day", "no such day", "tomorrow", "another day seen", "another wish", "no clock"],
)
def test_what_cannot_be_accepted_is_told_on_the_same_page(
    quarry: Household, changed: dict[str, str], words: str
) -> None:
    """And no version is made."""
    client = a_phone(quarry)
    form = {**ACCEPT, "seen": seen(ask(client, quarry, "?latest=22:00")), **changed}

    answer = client.post(f"/{quarry.animal_id}/timetable/", form)

    assert answer.status_code == 400
    assert words in answer.content.decode()
    assert versions(quarry) == 1


def test_what_is_accepted_holds_from_tomorrow_and_the_page_says_so(quarry: Household) -> None:
    """Today's times stay; the press leads back to the page, so that a reload presses nothing again."""
    client = a_phone(quarry)
    form = {**ACCEPT, "seen": seen(ask(client, quarry, "?latest=22:00"))}

    answer = client.post(f"/{quarry.animal_id}/timetable/", form)
    page = ask(client, quarry)

    assert (answer.status_code, answer["Location"]) == (302, f"/{quarry.animal_id}/timetable/")
    assert "Version 2 begins on Thursday 26 November at 04:00." in page
    assert "The day from Thursday on" in page
    today = plans.planned_sessions(**quarry.ids, day=date(2026, 11, 25))
    assert today[-1].key == "2026-11-25T22:30"


@pytest.mark.hazard("H19")
@pytest.mark.parametrize("wishes", ["", "?latest=22:00", "?earliest=09:00&latest=21:00", "?fixed_at=20:00"])
def test_no_day_is_called_good(quarry: Household, wishes: str) -> None:
    """The page proposes; whether a day suits the animal is the vet's to say."""
    text = re.sub(r"<[^>]+>", " ", ask(a_phone(quarry), quarry, wishes)).lower()

    assert not {"fine", "great", "safe", "perfect", "ideal", "optimal", "best"} & set(re.findall(r"[a-z]+", text))


def test_an_animal_without_a_plan_says_what_comes_first(quarry: Household) -> None:
    """In words, with what to do."""
    animal = household.add_animal(household_id=quarry.id, by=quarry.noor, name="Sorrel", now=EVENING)
    answer = a_phone(quarry).get(f"/{animal.id}/timetable/")

    assert answer.status_code == 400
    assert "An animal without a plan." in answer.content.decode()


@pytest.mark.hazard("H2")
def test_a_daily_medicine_moved_to_the_evening_is_asked_about_with_its_hours(db: None) -> None:
    """Given at 8:02 today, and for tomorrow 21:00 is wished: more than the 26 hours that once a day allows."""
    text = example_plan("juniper").decode()
    twice, food = 'every_hours = 12\nclocks = ["06:30", "18:30"]\n', 'food = { relation = "before", minutes = 30 }'
    assert twice in text
    before, after = text.split(twice)
    text = before + 'every_hours = 24\nclocks = ["08:00"]\n' + after.replace(food, 'food = { relation = "any" }', 1)
    with time_machine.travel(EVENING, tick=True):
        home = quarry_lane(now=EVENING, plan=read_plan(text.encode(), kind="toml"))
        client = a_phone(home)
        wish = {"fixed_what": "omeprazole", "fixed_at": "21:00"}
        page = ask(client, home, "?fixed_what=omeprazole&fixed_at=21:00")
        sent = {**wish, "vet_words": "21:00.", "vet_said_on": "2026-11-25", "seen": seen(page)}
        keys = re.findall(r'name="meant" value="([^"]*)"', page)

        assert "Omeprazole at 21:00 by this version comes 36 hours 58 minutes after the one at 08:02" in page
        assert "changeover: omeprazole" in keys
        refused = client.post(
            f"/{home.animal_id}/timetable/", sent | {"meant": [one for one in keys if "omep" not in one]}
        )
        assert "comes 36 hours 58 minutes after" in refused.content.decode()
        assert (refused.status_code, versions(home)) == (400, 1)
        assert client.post(f"/{home.animal_id}/timetable/", sent | {"meant": keys}).status_code == 302
    assert versions(home) == 2


@pytest.mark.hazard("H1")
@pytest.mark.parametrize("wish", ["earliest=09:00&latest=19:00", "earliest=11:00&latest=14:00"])
def test_no_way_out_prints_a_medicine_closer_than_half_of_its_interval(quarry: Household, wish: str) -> None:
    """Metoclopramide every 8 hours and omeprazole every 12: never within 4 or 6 hours of each other's own doses."""
    page = ask(a_phone(quarry), quarry, f"?{wish}")
    days = re.findall(r"<details><summary>One such day.*?</details>", page, re.DOTALL)

    assert days
    for day in days:
        lines = re.findall(r"<li>(\d\d):(\d\d) ([^<]*)</li>", day)
        for name, least in (("Metoclopramide", 240), ("Omeprazole", 360)):
            clocks = sorted(60 * int(hours) + int(minutes) for hours, minutes, words in lines if name in words)
            assert min(later - one for one, later in pairwise([*clocks, clocks[0] + 1440])) >= least, (name, lines)


def test_who_cannot_accept_a_day_is_told_of_it_too(quarry: Household) -> None:
    """A helper sees what speaks against a proposed day, with nothing to tick."""
    page = ask(a_phone(quarry, quarry.sam), quarry, "?fixed_what=omeprazole&fixed_at=21:00")

    assert "Omeprazole at 08:00 by this version comes 13 hours 28 minutes after the one at 18:32" in page
    assert 'name="meant"' not in page


def _angles(svg: str) -> list[float]:
    """How far round from the top each session is drawn [degrees]."""
    places = re.findall(r'<g transform="translate\(([\d.]+) ([\d.]+)\)', svg)
    return [degrees(atan2(float(x) - 150, 150 - float(y))) % 360 for x, y in places]


@pytest.mark.parametrize(
    ("clock", "angle"), [(4 * 60, 0), (10 * 60, 90), (16 * 60, 180), (22 * 60, 270), (7 * 60 + 30, 52.5), (0, 300)]
)
def test_a_session_stands_on_the_dial_where_its_clock_stands(clock: int, angle: float) -> None:
    """A full turn is 24 hours from the start of the household's day: 15 degrees an hour, 4:00 at the top."""
    dial = Dial(sessions=[Session(clock=clock)], day_starts_clock=240, night=Window(1380, 360))

    (found,) = _angles(draw_dial(dial, spoken="A day"))
    assert min(abs(found - angle), 360 - abs(found - angle)) < 0.05


def test_a_meal_is_told_from_a_medicine_by_its_size_and_a_move_by_its_dot() -> None:
    """Not by color."""
    sessions = [Session(clock=420, has_meal=True), Session(clock=630)]
    moves = [Move(what="meal", old_clock=450, new_clock=420)]
    svg = draw_dial(Dial(sessions=sessions, day_starts_clock=240, night=Window(1380, 360), moves=moves), spoken="A day")

    assert re.findall(r"scale\(([\d.]+)\)", svg) == ["1", "0.62"]
    assert svg.count('class="moved-from"') == 1
