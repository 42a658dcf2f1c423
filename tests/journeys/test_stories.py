"""Five stories at the animal's side, each on a phone with a signal and on one without: the same words, one record."""

import re
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import time_machine
from playwright.sync_api import Page, expect

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.medicine_entries import Outcome
from fillmark.core.record.session_entries import (
    FillGiven,
    FlushGiven,
    SessionEnded,
    SessionSkipped,
    SessionStarted,
    StepDone,
)
from tests.journeys.conftest import Phone, wait_until_sent
from tests.journeys.household import Household, quarry_lane
from tests.journeys.test_off_line import wait_until_kept
from tests.journeys.test_one_meal import big, seen
from tests.support.builders import junipers_plan

TONIGHT = "2026-11-25T20:00"
Begin = Callable[..., tuple[Page, Household]]


@pytest.fixture(params=[True, False], ids=["with a signal", "without"])
def begin(request: pytest.FixtureRequest, phone: Phone, transactional_db: None) -> Iterator[Begin]:
    """Puts Noor's phone into the household at an hour, with what was written before; then the line may be cut."""
    with time_machine.travel(datetime(2026, 11, 25, tzinfo=UTC)) as clock:

        def at(
            hour: int, minute: int, *written: Any, session: str = TONIGHT, ago: int = 2, **household: Any
        ) -> tuple[Page, Household]:
            now, minutes_ago = datetime(2026, 11, 25, hour, minute, tzinfo=UTC), timedelta(minutes=ago)
            clock.move_to(now)
            home = quarry_lane(now=now, **household)
            for place, payload in enumerate(written):
                home.write(payload, at=now - minutes_ago + timedelta(seconds=place))
            page = phone(link=home.link(home.noor, now=now), worker=not request.param)
            if not request.param:
                expect(page.locator(".big:visible")).to_be_enabled()
                wait_until_kept(page, f"/{home.animal_id}/{session}/")
                page.reload()  # from now on the worker stands between this page and the line
                expect(page.locator(".big:visible")).to_be_enabled()
                page.context.set_offline(True)
            return page, home

        yield at


def record_of(page: Page, home: Household, session: str) -> list[Any]:
    """What the record holds of a session, once the phone has sent what it wrote."""
    page.context.set_offline(False)
    wait_until_sent(page)
    now = datetime.now(tz=UTC)
    assert len(home.all_ids()) == len(set(home.all_ids()))
    return [one.payload for one in home.entries(now=now) if one.session == session]


def steps_done(session: str, *steps: str) -> list[Any]:
    """The first steps of a walk, as Noor pressed them."""
    return [SessionStarted(session=session), *(StepDone(session=session, step=step) for step in steps)]


def heading(page: Page) -> Any:
    return expect(page.get_by_role("heading", level=1).filter(visible=True))


def press(page: Page, words: str) -> None:
    page.get_by_role("button", name=words, exact=True).filter(visible=True).click()


TO_THE_SKIN = ("wash-hands", "look", "check-mark", "check-skin")


@pytest.mark.hazard("H37")
def test_two_meals_eight_minutes_apart(begin: Begin) -> None:
    """The meal of 15:00 was fed at 19:34: the next one is offered with a reason alone, and the reason stays with it."""
    late, dose = "2026-11-25T15:00", "2026-11-25T18:30"
    fed = [SessionStarted(session=late), FillGiven(session=late, fill=1, ml=60.0), SessionEnded(session=late)]
    skipped = SessionSkipped(session=dose, reason="The vet said so")
    page, home = begin(19, 42, *fed, skipped, ago=8, recorded=False)
    expect(seen(page, "Last meal 19:34, Noor · earliest next 22:34")).to_be_visible()
    big(page, "Look at 20:00 first")
    expect(seen(page, "The last meal began at 19:34 (Noor) and at least 3 hours lie between two meals")).to_be_visible()
    expect(page.get_by_role("button", name="Start 20:00", exact=True).filter(visible=True)).to_have_count(0)
    page.get_by_label("Why is it given all the same?").filter(visible=True).fill("Dr. Marsh: half of it came back")
    press(page, "Start 20:00 all the same")
    expect(seen(page, "Step 1 of 14")).to_be_visible()

    (started,) = record_of(page, home, TONIGHT)
    assert (started.kind, started.reason) == ("session_started", "Dr. Marsh: half of it came back")


@pytest.mark.hazard("H12")
@pytest.mark.hazard("H31")
@pytest.mark.hazard("H39")
@pytest.mark.hazard("H27")
def test_the_feeding_lock(begin: Begin) -> None:
    """A "No" at the mark shows whom to call; no tap undoes the lock; a lead clears it with what the vet said."""
    page, home = begin(19, 42, *steps_done(TONIGHT, *TO_THE_SKIN[:2]))
    page.goto(f"/{home.animal_id}/{TONIGHT}/")
    heading(page).to_contain_text("6.5 cm at the skin")
    page.get_by_role("link", name="No", exact=True).filter(visible=True).click()
    with page.expect_navigation():
        press(page, "Write it down and lock feeding")

    page.goto(f"/{home.animal_id}/{TONIGHT}/")
    heading(page).to_have_text("Nothing through the tube")
    for words in ("It is in", "Yes", "Start 20:00", re.compile("^Undo")):
        expect(page.get_by_role("button", name=words).filter(visible=True)).to_have_count(0)
    page.goto("/")
    expect(seen(page, "Nothing goes through the tube until the vet has said so", exact=False)).to_be_visible()
    page.goto(f"/{home.animal_id}/lock/")
    press(page, "They said: feed again")
    expect(page.get_by_role("heading", name="No lock holds")).to_be_hidden()
    page.get_by_label("What they said").fill("The disk had slipped. It sits again: go on.")
    with page.expect_navigation():
        press(page, "They said: feed again")
    expect(page.get_by_role("heading", name="No lock holds")).to_be_visible()
    page.goto(f"/{home.animal_id}/{TONIGHT}/")
    press(page, "They said: go on with this session")
    heading(page).to_contain_text("6.5 cm at the skin")

    locked = next(one for one in record_of(page, home, TONIGHT) if one.kind == "feeding_locked")
    kinds = [one.payload for one in home.entries(now=datetime.now(tz=UTC))]
    cleared = next(one for one in kinds if one.kind == "feeding_cleared")
    assert locked.trouble.value == "tube-check"
    assert cleared.vet_words == "The disk had slipped. It sits again: go on."
    assert "withdrawn" not in {one.kind for one in kinds}


@pytest.mark.hazard("H40")
@pytest.mark.hazard("H41")
def test_the_held_dose(begin: Begin) -> None:
    """It stays in sight with its reason when its session is over; given later, it is given."""
    session = "2026-11-25T18:30"
    flush = FlushGiven(session=session, step="flush-before", ml=10)
    page, home = begin(18, 40, *steps_done(session, *TO_THE_SKIN), flush, session=session, recorded=False)
    page.goto(f"/{home.animal_id}/{session}/")
    heading(page).to_contain_text("Omeprazole: 6 mL")
    page.get_by_role("link", name="Not all, or none").filter(visible=True).click()
    press(page, "Not given: vomiting or retching")
    heading(page).not_to_contain_text("Omeprazole")
    for words in ("It is in", "It is clean", "Nothing seen. End 18:30"):
        big(page, words)
    page.goto("/")
    expect(seen(page, "Due 18:30 · held")).to_be_visible()
    expect(seen(page, "Held: Vomiting or retching.")).to_be_visible()
    page.get_by_role("link", name=re.compile("Give it now.*Omeprazole")).click()
    heading(page).to_contain_text("Omeprazole: 6 mL")
    press(page, "It is given")
    heading(page).to_have_text(re.compile("is recorded"))
    page.goto("/")
    expect(seen(page, re.compile("given 18:4. by Noor"))).to_be_visible()
    expect(seen(page, "Due 18:30 · held")).to_have_count(0)

    doses = [one for one in record_of(page, home, session) if one.kind == "medicine_given"]
    assert [one.outcome for one in doses] == [Outcome.HELD, Outcome.GIVEN]


def three_at_half_past_two() -> CarePlan:
    """Juniper's two medicines and a third one, all at 14:30 and none of them bound to food."""
    plan = junipers_plan()
    first, second = (
        one.model_copy(update={"food": one.food.model_copy(update={"relation": "any", "minutes": None})})
        for one in plan.medicines
    )
    clocks = tuple(clock.replace(hour=(clock.hour + 8) % 24) for clock in second.clocks)
    second = second.model_copy(update={"clocks": tuple(sorted(clocks))})
    third = second.model_copy(update={"id": "third", "name": "Famotidine"})
    return plan.model_copy(update={"medicines": (first, second, third)})


@pytest.mark.hazard("H41")
def test_the_missed_dose(begin: Begin) -> None:
    """The next session is due, and each dose stays by its name: one is given now, one skipped, one was given by Sam."""
    session = "2026-11-25T14:30"
    page, home = begin(15, 5, session=session, recorded=False, plan=three_at_half_past_two())
    big_one = page.locator(".big:visible")
    expect(big_one).to_have_text("Start 15:00")
    for name in ("Metoclopramide", "Omeprazole", "Famotidine"):
        card = page.locator(".open-dose", has_text=name)
        expect(card).to_contain_text("Due 14:30 · no entry")
        expect(card).to_contain_text("Nobody wrote down whether it was given.")
    page.get_by_role("link", name=re.compile("Give it now.*Metoclopramide")).click()
    press(page, "It is given")
    heading(page).to_have_text(re.compile("is recorded"))
    page.goto("/")
    page.get_by_role("link", name=re.compile("Skip it.*Omeprazole")).click()
    press(page, "The vet said so")
    heading(page).to_have_text(re.compile("is recorded"))
    page.goto("/")
    page.get_by_role("link", name=re.compile("It was given.*Famotidine")).click()
    page.get_by_role("radio", name="Sam").check()
    page.get_by_label("When", exact=True).filter(visible=True).select_option("14:40")
    press(page, "It was given")
    heading(page).to_have_text(re.compile("is recorded"))
    page.goto("/")
    expect(seen(page, "given 14:40 by Sam")).to_be_visible()
    expect(page.locator(".open-dose:visible")).to_have_count(0)

    doses = {one.medicine: one for one in record_of(page, home, session) if one.kind == "medicine_given"}
    told = {name: (one.outcome, one.reason, one.given_by) for name, one in doses.items()}
    assert told == {
        "metoclopramide": (Outcome.GIVEN, None, None),
        "omeprazole": (Outcome.MISSED, "The vet said so", None),
        "third": (Outcome.GIVEN, None, "Sam"),
    }


@pytest.mark.hazard("H10")
def test_the_time_of_a_push_starts_with_the_push(begin: Begin) -> None:
    """Drawn up ten minutes after the step before, it has all of its time still; ended at once, it is asked about."""
    written = [FlushGiven(session=TONIGHT, step="flush-before", ml=10), StepDone(session=TONIGHT, step="stir")]
    page, home = begin(19, 58, *steps_done(TONIGHT, *TO_THE_SKIN), *written, ago=10)
    page.goto(f"/{home.animal_id}/{TONIGHT}/")
    heading(page).to_have_text("Fill 1 of 4")
    expect(seen(page, "3:00 from the start of the push")).to_be_visible()
    press(page, "Start the push")
    expect(seen(page, re.compile("2:[0-9]{2} left"))).to_be_visible()
    page.reload()
    expect(seen(page, re.compile("2:[0-9]{2} left"))).to_be_visible()
    press(page, "It is in")
    expect(seen(page, re.compile(r"Only 0:[0-9]{2} of 3:00 are over\. Too fast comes back up\."))).to_be_visible()
    press(page, "It is over all the same")
    heading(page).to_have_text("Fill 2 of 4")
    expect(seen(page, "3:00 from the start of the push")).to_be_visible()
    assert [one.kind for one in record_of(page, home, TONIGHT)][-1] == "fill_given"


@pytest.mark.hazard("H38")
def test_food_comes_back_in_the_middle_of_a_meal(begin: Begin) -> None:
    """After fill 2 of 4 the next screen is a decision and no fill; stopping says why, and nothing is begun after it."""
    written = [FlushGiven(session=TONIGHT, step="flush-before", ml=10), StepDone(session=TONIGHT, step="stir")]
    page, home = begin(
        19, 58, *steps_done(TONIGHT, *TO_THE_SKIN), *written, FillGiven(session=TONIGHT, fill=1, ml=60.0)
    )
    page.goto(f"/{home.animal_id}/{TONIGHT}/")
    heading(page).to_have_text("Fill 2 of 4")
    big(page, "It is in")
    heading(page).to_have_text("Fill 3 of 4")
    page.get_by_role("link", name="Came back").filter(visible=True).click()
    page.get_by_label("About how many mL").filter(visible=True).fill("400")
    press(page, "Write this down")
    heading(page).to_have_text("Food came back up")
    asked = page.get_by_role("alert")
    expect(asked).to_contain_text("400 mL is more than the 130 mL of this session that are still in.")
    asked.get_by_label(re.compile("Where does the rest come from")).fill("Saliva, and some of the meal before")
    asked.get_by_role("button", name="Write it down with this reason").click()
    expect(asked).to_have_count(0)
    expect(page.get_by_role("button", name="It is in", exact=True).filter(visible=True)).to_have_count(0)
    big(page, "Stop this session")
    page.goto("/")
    expect(seen(page, re.compile("Nothing through the tube until the person you called"))).to_be_visible()
    expect(page.get_by_role("button", name=re.compile("^Start")).filter(visible=True)).to_have_count(0)

    kinds = record_of(page, home, TONIGHT)[-3:]
    assert [one.kind for one in kinds] == ["fill_given", "came_back", "session_stopped"]
    assert (kinds[1].ml, kinds[1].reason) == (400, "Saliva, and some of the meal before")
    assert kinds[2].reason == "Food came back up"
