"""Without a signal: what is pressed stays on the phone, is sent once, and the app works on."""

import contextlib
import random
import re
from datetime import datetime, timedelta
from decimal import Decimal

import pytest
import time_machine
from playwright.sync_api import Error, Page, Route, expect

from fillmark.core.record.medicine_entries import MedicineGiven, Outcome
from fillmark.core.values.people import Role
from fillmark.services import household, record
from tests.journeys.conftest import HOW_MANY_WAIT, Phone, until, wait_until_sent
from tests.journeys.household import Household, quarry_lane
from tests.journeys.test_one_meal import big, seen, with_both_medicines_at_the_meal
from tests.support.builders import an_entry

TONIGHT = "2026-11-25T20:00"
STEPS_OF_TONIGHT = [
    *["Yes"] * 5, "It is lukewarm", *["It is in"] * 5, "It is closed", "The time is over", "It is clean",
]  # fmt: skip
"""Fourteen steps: hands and mouth, a look, mark, skin, flush, the food, four fills, flush, cap, upright, cleaning."""


def wait_until_kept(page: Page, path: str) -> None:
    """Wait until this phone holds a page, as it does a moment after it was first opened."""
    is_kept = "async path => Boolean(await caches.match(path, { cacheName: 'fillmark-pages' }))"
    until(page, lambda: page.evaluate(is_kept, path), otherwise=lambda: f"{path} was not kept")
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")


def lose_the_answer(route: Route) -> None:
    """The request arrives and its answer does not; or the page is gone meanwhile."""
    with contextlib.suppress(Error):
        route.fetch()
        route.abort()


def walk_tonight(page: Page, *, steps: list[str] = STEPS_OF_TONIGHT) -> None:
    for words in steps:
        big(page, words)


def keep_everything(page: Page, quarry: Household) -> None:
    """Open the app and let the phone keep what it needs."""
    expect(page.locator(".big:visible")).to_be_enabled()
    wait_until_kept(page, f"/{quarry.animal_id}/day/2026-11-19/")
    page.reload()  # from now on the worker stands between this page and the line
    expect(page.locator(".big:visible")).to_be_enabled()


@pytest.mark.hazard("H27")
@pytest.mark.hazard("H1")
def test_an_evening_in_airplane_mode_is_in_the_record_once(phone: Phone, quarry: Household, evening: datetime) -> None:
    """Two sessions, 22 entries and more, with a reload, a killed page and a second tab; each entry arrives once."""
    page = phone(link=quarry.link(quarry.noor, now=evening), worker=True)
    keep_everything(page, quarry)
    before = quarry.all_ids()
    page.context.set_offline(True)

    page.reload()
    big(page, "Start 20:00")
    expect(seen(page, "Step 1 of 14")).to_be_visible()
    walk_tonight(page, steps=STEPS_OF_TONIGHT[:8])
    page.get_by_role("button", name="Undo: Fill 2: 60 mL in").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Fill 2 of 4")
    big(page, "It is in")
    expect(page.get_by_role("heading", level=1)).to_have_text("Fill 3 of 4")
    expect(seen(page, re.compile("11 entries are on this phone and not sent yet"))).to_be_visible()
    page.reload()
    expect(page.get_by_role("heading", level=1)).to_have_text("Fill 3 of 4")
    page.close()  # as if the battery had died

    page = page.context.new_page()
    page.context.set_offline(True)  # a new page may be on line for its first moment
    page.goto(f"/{quarry.animal_id}/{TONIGHT}/")
    expect(page.get_by_role("heading", level=1)).to_have_text("Fill 3 of 4")
    tab = page.context.new_page()
    page.context.set_offline(True)
    tab.goto(f"/{quarry.animal_id}/{TONIGHT}/")
    big(tab, "It is in")
    expect(page.get_by_role("heading", level=1)).to_have_text("Fill 4 of 4")
    page.bring_to_front()  # a page behind another one takes two seconds for each press
    walk_tonight(page, steps=STEPS_OF_TONIGHT[9:])
    expect(seen(page, "210 of 210 mL in", exact=True)).to_be_visible()
    page.get_by_role("link", name="Came back").filter(visible=True).click()
    page.get_by_label("About how many mL").filter(visible=True).fill("12,5")
    page.get_by_role("button", name="Write this down").filter(visible=True).click()
    expect(seen(page, re.compile("12.5 mL came back")).first).to_be_visible()
    page.get_by_role("button", name="Nothing more comes, it breathes calmly: go on").filter(visible=True).click()
    big(page, "Nothing seen. End 20:00")
    expect(page.get_by_role("heading", level=1)).to_have_text("20:00 is recorded")
    page.goto("/")
    expect(seen(page, "Meal, 19:4", exact=False)).to_be_visible()
    big(page, "Start 22:30")
    expect(seen(page, re.compile("Step 1 of"))).to_be_visible()
    # that nothing goes in by mouth was read at 20:00
    walk_tonight(page, steps=["Hands are washed", *["Yes"] * 4])
    page.get_by_label("Why is it given all the same?").filter(visible=True).fill("Two hours early, the vet agreed")
    page.get_by_role("button", name="It is given all the same").filter(visible=True).click()
    expect(page.get_by_role("alert")).to_have_count(0)
    walk_tonight(page, steps=["It is in", "It is clean", "Nothing seen. End 22:30"])
    page.goto("/")
    expect(seen(page, re.compile("given 19:4. by Noor"))).to_be_visible()
    waiting = page.evaluate(HOW_MANY_WAIT)
    assert waiting >= 22
    assert quarry.all_ids() == before

    page.context.set_offline(False)
    wait_until_sent(page)
    assert len(quarry.all_ids()) == len(set(quarry.all_ids())) == len(before) + waiting
    tonight = [entry.kind for entry in quarry.entries(now=evening) if entry.session == TONIGHT]
    assert tonight == [
        "session_started", *["step_done"] * 4, "flush_given", "step_done", *["fill_given"] * 4,
        "flush_given", *["step_done"] * 3,
        "came_back", "session_resumed", "session_ended",
    ]  # fmt: skip
    page.reload()
    expect(page.locator("#phone")).to_be_hidden()


@pytest.mark.hazard("H1")
def test_a_lost_reply_is_not_a_second_entry(phone: Phone, quarry: Household, evening: datetime) -> None:
    """The server kept it, the phone did not hear so: it sends again, and the record stays as it is."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    lost = []

    def lose(route: Route) -> None:
        lose_the_answer(route)
        lost.append(route.request.post_data_json)

    page.route("**/entries", lose)
    big(page, "Start 20:00")
    expect(seen(page, "Step 1 of 14")).to_be_visible()
    for _ in range(2):
        big(page, "Yes")
    expect(page.get_by_role("heading", level=1)).to_contain_text("at the skin")
    until(page, lambda: lost, otherwise=lambda: "no request was lost")
    page.unroute("**/entries")
    wait_until_sent(page)

    tonight = [entry.kind for entry in quarry.entries(now=evening) if entry.session == TONIGHT]
    assert tonight == ["session_started", *["step_done"] * 2]


@pytest.mark.hazard("H1")
def test_two_phones_without_a_signal_merge_and_ask_once(phone: Phone, quarry: Household, evening: datetime) -> None:
    """Both wrote the 20:00 meal: nothing is lost, the totals are a range, and one question is asked until answered."""
    noor = phone(link=quarry.link(quarry.noor, now=evening), worker=True)
    sam = phone(link=quarry.link(quarry.sam, now=evening), worker=True)
    for page in (noor, sam):
        keep_everything(page, quarry)
        page.context.set_offline(True)
        big(page, "Start 20:00")
        expect(seen(page, "Step 1 of 14")).to_be_visible()
        walk_tonight(page, steps=STEPS_OF_TONIGHT[:7])
        expect(page.get_by_role("heading", level=1)).to_have_text("Fill 2 of 4")
    for page in (noor, sam):
        page.context.set_offline(False)
        wait_until_sent(page)
    noor.goto("/")
    expect(seen(noor, "Two entries of the walk.")).to_be_visible()
    assert len(quarry.entries(now=evening)) == len({entry.id for entry in quarry.entries(now=evening)})
    fills = [one for one in quarry.entries(now=evening) if one.kind == "fill_given" and one.session == TONIGHT]
    assert len(fills) == 2


@pytest.mark.hazard("H1")
def test_a_dose_inside_its_gap_needs_a_typed_reason_also_without_a_signal(
    phone: Phone, transactional_db: None, evening: datetime
) -> None:
    """Given half an hour before: the phone names who gave it before the press, and writes no second one without why."""
    quarry = quarry_lane(now=evening, plan=with_both_medicines_at_the_meal())
    dose = MedicineGiven(medicine="metoclopramide", dose_mg=Decimal("5.22"), outcome=Outcome.GIVEN)
    early = an_entry(dose, animal_id=quarry.animal_id, at=evening - timedelta(minutes=30))
    record.record_entry(household_id=quarry.id, by=quarry.sam, entry=early, now=evening)
    page = phone(link=quarry.link(quarry.noor, now=evening), worker=True)
    keep_everything(page, quarry)
    page.context.set_offline(True)
    big(page, "Start 20:00")
    expect(seen(page, re.compile("Step 1 of"))).to_be_visible()
    while "Metoclopramide" not in page.get_by_role("heading", level=1).inner_text():
        big(page, page.locator(".big:visible").inner_text())
    expect(seen(page, "Sam gave it at 19:12, and at least 6 hours lie between two doses.")).to_be_visible()
    expect(page.get_by_role("button", name="It is given", exact=True).filter(visible=True)).to_have_count(0)
    page.get_by_role("link", name="Not all, or none").filter(visible=True).click()
    page.get_by_role("button", name="It was spilled").filter(visible=True).click()
    asked = page.get_by_role("alert")
    expect(asked).to_contain_text("Sam gave it at 19:12, and")
    expect(asked).to_be_focused()
    asked.get_by_role("button", name="Write it down with this reason").click()
    expect(asked).to_be_visible()
    asked.get_by_role("button", name="It did not happen").click()
    expect(asked).to_have_count(0)
    why = page.get_by_label("Why is it given all the same?").filter(visible=True)
    why.fill("The vet said to repeat it, 19:40")
    page.get_by_role("button", name="It is given all the same").filter(visible=True).click()
    expect(page.get_by_role("heading", level=1)).not_to_contain_text("Metoclopramide")
    page.context.set_offline(False)
    wait_until_sent(page)

    late = [
        one.payload for one in quarry.entries(now=evening) if one.kind == "medicine_given" and one.session == TONIGHT
    ]
    given = next(payload for payload in late if payload.medicine == "metoclopramide")
    assert (given.reason, given.despite) == ("The vet said to repeat it, 19:40", (early.id,))


@pytest.mark.hazard("H27")
@pytest.mark.parametrize(
    "many", [6, pytest.param(30, marks=pytest.mark.long)], ids=["6 interleavings", "30 interleavings"]
)
def test_interleavings_in_the_browser_keep_each_press_once(
    phone: Phone, quarry: Household, evening: datetime, many: int
) -> None:
    """Two phones and a second tab press notes of their own, with the line cut, answers lost and pages closed."""
    chance = random.Random(30)
    noor = phone(link=quarry.link(quarry.noor, now=evening))
    sam = phone(link=quarry.link(quarry.sam, now=evening))
    pages = [noor, noor.context.new_page(), sam]
    pages[1].goto("/")
    before, pressed = len(quarry.all_ids()), 0
    for _ in range(many):
        for _ in range(chance.randint(4, 9)):
            place = chance.randrange(3)
            page = pages[place]
            what = chance.random()
            if what < 0.5:
                pressed += page.evaluate(PRESS_A_NOTE)
            elif what < 0.6:
                page.context.set_offline(chance.random() < 0.5)
            elif what < 0.7:
                page.route("**/entries", lose_the_answer, times=1)
            elif what < 0.8 and place:
                context = page.context
                context.set_offline(False)
                page.close()
                pages[place] = context.new_page()
                pages[place].goto("/")
            else:
                page.evaluate("dispatchEvent(new Event('online'))")
        for page in pages:
            page.context.set_offline(False)
            page.unroute_all(behavior="wait")
        for page in pages:
            wait_until_sent(page)
        assert len(quarry.all_ids()) == len(set(quarry.all_ids())) == before + pressed


PRESS_A_NOTE = """async () => {
  const { enqueue } = await import("/static/phone/store.js");
  const { facts } = await import("/static/phone/press.js");
  const { entryId } = await import("/static/phone/pressed.js");
  const { sync } = await import("/static/phone/send.js");
  const id = entryId();
  const payload = { kind: "note", text: `Note ${id}` };
  const entry = { id, animal_id: facts.animal, at: new Date().toISOString(), zone: facts.zone,
    device: "browser", payload };
  const shown = { id, animal: facts.animal, seq: null, at: Date.now(), day: "2026-11-25", session: null, payload,
    corrects: null, by: facts.me, byName: facts.myName, told: payload.text };
  await enqueue([{ id, entry, shown, by: facts.me, state: "waiting", isFresh: false, pressedAt: Date.now() }]);
  sync(facts);
  return 1;
}"""


@pytest.mark.hazard("H34")
def test_a_phone_keeps_nothing_of_the_household_once_the_pass_has_ended(
    phone: Phone, quarry: Household, evening: datetime
) -> None:
    """At the first word from the household after the last day, the record and its pages are gone from the phone."""
    who = {"household_id": quarry.id, "by": quarry.noor, "now": evening}
    today = evening.date()
    ilse = household.add_person(**who, name="Ilse", role=Role.SITTER, from_on=today, until_on=today)
    page = phone(link=quarry.link(ilse.id, now=evening), worker=True)
    expect(page.locator(".big:visible")).to_be_enabled()
    wait_until_kept(page, f"/{quarry.animal_id}/{TONIGHT}/")
    with time_machine.travel(evening + timedelta(days=2), tick=True):
        page.evaluate("dispatchEvent(new Event('online'))")
        are_left = "async () => (await caches.keys()).includes('fillmark-pages')"
        until(
            page,
            lambda: not page.evaluate(are_left) and not page.evaluate(HOW_MANY_KEPT),
            otherwise=lambda: f"{page.evaluate(HOW_MANY_KEPT)} entries, pages: {page.evaluate(are_left)}",
        )


HOW_MANY_KEPT = """async () => {
  const { facts } = await import("/static/phone/press.js");
  const { recorded } = await import("/static/phone/store.js");
  return (await recorded(facts.animal)).length;
}"""


@pytest.mark.hazard("H26")
def test_a_phone_whose_clock_is_wrong_asks_and_then_dates_by_the_household(
    phone: Phone, quarry: Household, evening: datetime
) -> None:
    """Twelve minutes ahead: the phone asks which is right, and what is pressed after the answer has the right time."""
    page = phone(link=quarry.link(quarry.noor, now=evening), ahead=timedelta(minutes=12))
    expect(page.locator(".big:visible")).to_have_text("Start 20:00")
    big(page, "Start 20:00")
    expect(seen(page, "Step 1 of 14")).to_be_visible()
    expect(seen(page, "This phone's clock is 12 minutes ahead of the household's.", exact=False)).to_be_visible()
    page.get_by_role("button", name="The household's: date by it").click()
    expect(page.locator("#phone")).to_be_hidden()
    for _ in range(2):
        big(page, "Yes")
    expect(page.get_by_role("heading", level=1)).to_contain_text("at the skin")
    wait_until_sent(page)

    tonight = [entry for entry in quarry.entries(now=evening) if entry.session == TONIGHT]
    started = next(entry for entry in tonight if entry.kind == "session_started")
    washed = next(entry for entry in tonight if entry.kind == "step_done")
    assert timedelta(minutes=11) < started.at - evening < timedelta(minutes=13)
    assert timedelta(0) <= washed.at - evening < timedelta(minutes=1)


@pytest.mark.hazard("H26")
def test_a_clock_that_was_set_right_dates_by_itself_again(phone: Phone, quarry: Household, evening: datetime) -> None:
    """The answer of last week, "12 minutes ahead", ends with the fault it was about."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    page.evaluate("localStorage.setItem('fillmark-clock', '720000')")
    page.reload()
    expect(page.get_by_role("button", name="Start 20:00")).to_be_enabled()
    answer = "localStorage.getItem('fillmark-clock')"
    until(page, lambda: page.evaluate(answer) is None, otherwise=lambda: f"the answer stands: {page.evaluate(answer)}")
    big(page, "Start 20:00")
    expect(seen(page, "Step 1 of 14")).to_be_visible()
    wait_until_sent(page)

    started = next(entry for entry in quarry.entries(now=evening) if entry.session == TONIGHT)
    assert timedelta(0) <= started.at - evening < timedelta(minutes=1)


@pytest.mark.long
@pytest.mark.hazard("H1")
def test_displaced_taps_record_nothing_wrong(phone: Phone, quarry: Household, evening: datetime) -> None:
    """A wet thumb lands 15 px off in one of five taps: every entry is one of the walk's own, in order."""
    chance = random.Random(15)
    page = phone(link=quarry.link(quarry.noor, now=evening), lands_twice=True)
    big(page, "Start 20:00")
    expect(seen(page, "Step 1 of 14")).to_be_visible()
    for _ in range(40):
        button = page.locator(".big:visible")
        expect(button).to_be_enabled()
        if button.inner_text().startswith("Nothing seen"):
            break
        box = button.bounding_box()
        assert box
        dx, dy = chance.choice([(0, 15), (15, 0), (0, -15), (-15, 0)]) if chance.random() < 0.2 else (0, 0)
        edge = chance.choice([0.1, 0.5, 0.9])
        page.mouse.click(box["x"] + box["width"] * edge + dx, box["y"] + box["height"] * 0.5 + dy)
        page.wait_for_timeout(750)
        early = page.locator(".asked-early:visible button", has_text="It is over all the same")
        if early.count():  # nobody here waits for the minutes of a push
            early.click()
            page.wait_for_timeout(750)
        if page.locator(".screen:target").count() or "/calls/" in page.url:
            page.goto(f"/{quarry.animal_id}/{TONIGHT}/")
    wait_until_sent(page)
    tonight = [entry.kind for entry in quarry.entries(now=evening) if entry.session == TONIGHT]
    assert tonight == [
        "session_started", *["step_done"] * 4, "flush_given", "step_done", *["fill_given"] * 4,
        "flush_given", *["step_done"] * 3,
    ]  # fmt: skip
