"""The gate of an act, from the page and the press: it speaks before anything is drawn, and the door holds it."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from html.parser import HTMLParser

import pytest
import time_machine

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import read_plan
from fillmark.core.plan.vet import VetAnswer
from fillmark.core.record.medicine_entries import MedicineGiven, Outcome
from fillmark.core.record.session_entries import FillGiven, SessionStarted
from fillmark.examples import example_plan
from tests.journeys.household import Household, quarry_lane
from tests.web.test_screens import a_phone, press, shown

TO_THE_FLUSH = ("wash-hands", "look", "check-mark", "check-skin", "flush-before")
TEATIME = datetime(2026, 11, 25, 15, 29, tzinfo=UTC)
TONIGHT = "2026-11-25T20:00"


def juniper(**orders: object) -> CarePlan:
    plan = read_plan(example_plan("juniper"), kind="toml")
    return plan.model_copy(update={"orders": plan.orders.model_copy(update=orders)})


def page_of(home: Household, path: str = "") -> str:
    return a_phone(home).get(f"/{home.animal_id}/{path}").content.decode()


class Seen(HTMLParser):
    """The words of a page that are not hidden."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.hidden, self.words, self.open = 0, "", []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in ("input", "meta", "link", "br", "path", "line", "rect", "circle"):
            self.open.append((tag, "hidden" in dict(attrs)))
            self.hidden += self.open[-1][1]

    def handle_endtag(self, tag: str) -> None:
        while self.open:
            name, is_hidden = self.open.pop()
            self.hidden -= is_hidden
            if name == tag:
                break

    def handle_data(self, data: str) -> None:
        if not self.hidden:
            self.words += data


def visible(page: str) -> str:
    """What a person reads of a page."""
    return Seen(page).words


def written(home: Household, session: str = TONIGHT) -> list[str]:
    now = datetime.now(tz=UTC)
    return [entry.kind for entry in home.entries(now=now) if entry.session == session]


@pytest.fixture
def teatime(db: None):
    """The 15:00 meal began 27 minutes ago; the vet wants 3 hours between two meals."""
    with time_machine.travel(TEATIME, tick=True):
        yield quarry_lane(now=TEATIME)


MEAL_TOO_SOON = (
    "The last meal began at 15:02 (Noor) and at least 3 hours lie between two meals by the vet&#x27;s order. "
    "Not before 18:02."
)


@pytest.mark.hazard("H37")
def test_two_meals_in_27_minutes_are_asked_about_before_the_first_step(teatime: Household) -> None:
    """The first screen says from when on; the session offers no start; the press needs its reason, and keeps it."""
    assert "Last meal 15:02, Noor · earliest next 18:02" in page_of(teatime)
    session = shown(page_of(teatime, f"{TONIGHT}/"))
    assert MEAL_TOO_SOON in session
    assert "Start 20:00" not in visible(session)

    client = a_phone(teatime)
    refused = press(client, teatime, "start", at=TEATIME)
    assert refused.status_code == 400
    assert "Not written down:" in refused.content.decode()
    assert written(teatime) == []
    press(client, teatime, "start", at=TEATIME + timedelta(seconds=9), why="Dr. Marsh said so on the telephone.")
    press(client, teatime, "step", at=TEATIME + timedelta(seconds=19), step="fill-1")
    kept = [one.payload for one in teatime.entries(now=TEATIME) if one.session == TONIGHT]
    assert [one.kind for one in kept] == ["session_started", "fill_given"]
    assert kept[0].reason == "Dr. Marsh said so on the telephone."


@pytest.mark.hazard("H37")
def test_the_first_screen_offers_no_start_inside_the_gap(db: None) -> None:
    """Where the vet wants 6 hours, the meal planned for 20:00 waits until 21:02."""
    evening = TEATIME.replace(hour=19, minute=42)
    with time_machine.travel(evening, tick=True):
        home = quarry_lane(now=evening, plan=juniper(meal_gap_hours=6))
        first, session = page_of(home), visible(shown(page_of(home, f"{TONIGHT}/")))
    assert "Start 20:00 all the same" in session
    assert "Why is it given all the same?" in session
    assert "at least 6 hours lie between two meals by the vet&#x27;s order. Not before 21:02." in first
    assert "Start 20:00" not in visible(first)
    assert "Look at 20:00 first" in visible(first)


@pytest.mark.hazard("H37")
def test_a_fill_is_asked_about_too_where_another_meal_began_meanwhile(teatime: Household) -> None:
    """Noor's reason was for the meal of 15:02; what Sam fed since is asked about anew, on the draw screen."""
    client = a_phone(teatime)
    press(client, teatime, "start", at=TEATIME, why="Dr. Marsh said so.")
    late = "2026-11-25T22:30"
    for payload in (SessionStarted(session=late), FillGiven(session=late, fill=1, ml=60)):
        teatime.write(payload, at=TEATIME + timedelta(minutes=2), by=teatime.sam, device="sam-phone")
    with time_machine.travel(TEATIME + timedelta(minutes=3), tick=True):
        at = TEATIME + timedelta(minutes=3)
        for number, step in enumerate((*TO_THE_FLUSH, "stir")):
            press(client, teatime, "step", at=at + timedelta(seconds=number), step=step)
        drawn = shown(page_of(teatime, f"{TONIGHT}/"))
        refused = press(client, teatime, "step", at=at + timedelta(seconds=9), step="fill-1")
    assert "Fill 1 of" in drawn
    assert "The last meal began at 15:31 (Sam)" in drawn
    assert "Last meal 15:31, Sam · earliest next 18:31" in drawn
    assert "It is in all the same" in visible(drawn)
    assert refused.status_code == 400
    assert "fill_given" not in written(teatime)


@pytest.mark.hazard("H37")
@pytest.mark.hazard("H10")
def test_what_went_in_during_the_gap_counts_against_the_vets_most(teatime: Household) -> None:
    """The meal of 15:00 and a dose are still in: with the next meal they are more than 20 mL/kg."""
    session = shown(page_of(teatime, f"{TONIGHT}/"))
    most = "and the vet&#x27;s most at once is 20 mL/kg."
    assert f"215.2 mL went in before it and 240 mL with it, together 26.2 mL/kg, {most}" in session


def test_without_the_vets_word_the_timetables_own_gap_is_asked_about(db: None) -> None:
    """Half of an even distance stands in, and it is said whose word that is."""
    with time_machine.travel(TEATIME, tick=True):
        home = quarry_lane(now=TEATIME, plan=juniper(meal_gap_hours=None))
        session = shown(page_of(home, f"{TONIGHT}/"))
    assert "3 hours is used as the least time between two meals. Not before 18:02." in session
    assert "The vet stated no shortest time between two meals: ask the vet." in session


OVER = (
    "The 20:00 session comes to 240 mL with its water and medicines, 13.8 mL/kg, and the vet&#x27;s most is 12 mL/kg."
)


@pytest.mark.hazard("H10")
def test_a_meal_over_the_vets_most_is_not_offered(db: None) -> None:
    """No start on the first screen, none in the session, none at the door, whatever is typed."""
    evening = TEATIME.replace(hour=19, minute=42)
    with time_machine.travel(evening, tick=True):
        home = quarry_lane(now=evening, plan=juniper(cap_ml_per_kg=12, warn_ml_per_kg=10), asked=False)
        first, session = page_of(home), page_of(home, f"{TONIGHT}/")
        press(a_phone(home), home, "start", at=evening, why="In a hurry")
        kept = written(home)
    assert OVER in first
    assert "Start 20:00" not in visible(first)
    assert OVER in shown(session)
    assert "Start 20:00" not in visible(shown(session))
    assert "Not this much at once" in session
    assert "filled to the mark" not in session
    assert kept == []


@pytest.mark.hazard("H10")
def test_the_vets_word_for_more_stands_on_the_draw_screen(db: None) -> None:
    """With the word in the plan the meal is offered, and whoever draws it reads who said so."""
    answer = VetAnswer(about="over-cap", up_to=14, words="240 mL at once is right for her.", said_on=date(2026, 11, 18))
    plan = juniper(cap_ml_per_kg=12, warn_ml_per_kg=10)
    plan = plan.model_copy(update={"vet": plan.vet.model_copy(update={"answers": (answer,)})})
    evening = TEATIME.replace(hour=19, minute=42)
    with time_machine.travel(evening, tick=True):
        home = quarry_lane(now=evening, plan=plan, recorded=False)
        client = a_phone(home)
        assert press(client, home, "start", at=evening).status_code == 302
        for number, step in enumerate((*TO_THE_FLUSH, "stir")):
            press(client, home, "step", at=evening + timedelta(seconds=number + 1), step=step)
        drawn = shown(page_of(home, f"{TONIGHT}/"))
    assert "Fill 1 of" in drawn
    assert "The vet, on 18 November 2026: &quot;240 mL at once is right for her.&quot;" in drawn


@pytest.mark.hazard("H1")
def test_a_dose_too_soon_is_told_before_the_syringe_is_drawn(db: None) -> None:
    """Sam gave it twelve minutes ago: the session says so before its start, the draw screen before the press."""
    afternoon = datetime(2026, 11, 25, 14, 50, tzinfo=UTC)
    session = "2026-11-25T14:30"
    with time_machine.travel(afternoon, tick=True):
        home = quarry_lane(now=afternoon, recorded=False)
        payload = MedicineGiven(
            medicine="metoclopramide", dose_mg=Decimal("5.22"), ml=Decimal("5.2"), outcome=Outcome.GIVEN
        )
        sams = home.write(payload, at=afternoon - timedelta(minutes=12), by=home.sam, device="sam-phone")
        before = shown(page_of(home, f"{session}/"))
        client = a_phone(home)
        for number, what in enumerate(("start", *TO_THE_FLUSH)):
            form = {"step": what} if number else {}
            press(
                client,
                home,
                "step" if number else what,
                session=session,
                at=afternoon + timedelta(seconds=number),
                **form,
            )
        drawn = shown(page_of(home, f"{session}/"))
        at = afternoon + timedelta(seconds=20)
        press(client, home, "step", session=session, at=at, step="medicine-metoclopramide", why="It came back up.")
        dose = home.entries(now=afternoon)[-1].payload
    told = "Sam gave it at 14:38, and at least 6 hours lie between two doses. Not before 20:38."
    assert f"Metoclopramide: {told}" in before
    assert told in drawn
    assert "Last given 14:38, Sam · not before 20:38" in drawn
    assert "It is given all the same" in visible(drawn)
    assert (dose.reason, dose.despite) == ("It came back up.", (sams.id,))
