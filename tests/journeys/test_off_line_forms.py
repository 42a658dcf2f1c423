"""Without a signal no form is different: what is written in a day of airplane mode arrives once, photos too."""

import re
from collections import Counter
from datetime import datetime, timedelta
from decimal import Decimal
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import read_plan
from fillmark.core.record.medicine_entries import BottleOpened, MedicineGiven, Outcome
from fillmark.examples import example_plan
from fillmark.records import stored_photos
from fillmark.services import record
from tests.journeys.conftest import HOW_MANY_WAIT, Phone, until
from tests.journeys.household import Household, quarry_lane
from tests.journeys.test_off_line import wait_until_kept
from tests.journeys.test_one_meal import big, seen
from tests.services.test_photos import a_photo

WHEN_NEEDED = """
[[medicines]]
id = "ondansetron"
name = "Ondansetron"
form = "liquid"
strength = "2 mg/mL"
dose = "4 mg"
route = "tube"
when_needed = { reason = "Drooling", min_gap_hours = 8, max_per_day = 2 }
crush = "not allowed"
ordered_by = "Dr. Aoife Marsh"
ordered_on = 2026-11-18

[timetable]"""


def a_plan_of_everything() -> CarePlan:
    """Juniper's plan with both medicines at the meal, one of them read twice, one when needed, and water by mouth."""
    text = example_plan("juniper").decode()
    text = text.replace('clocks = ["06:30", "14:30", "22:30"]', 'clocks = ["04:30", "12:30", "20:00"]')
    text = text.replace('clocks = ["06:30", "18:30"]', 'clocks = ["08:00", "20:00"]\nsecond_check = true')
    text = text.replace('food = { relation = "before", minutes = 30 }', 'food = { relation = "with" }')
    text = text.replace('by_mouth = "nothing"', 'by_mouth = "water"').replace("\n[timetable]", WHEN_NEEDED)
    return read_plan(text.encode(), kind="toml")


@pytest.fixture
def everything(transactional_db: None, evening: datetime) -> Household:
    """An evening with a bottle in use and a dose given for a reason an hour ago."""
    quarry = quarry_lane(now=evening, plan=a_plan_of_everything())
    quarry.write(BottleOpened(medicine="omeprazole", strength="2 mg/mL", ml=Decimal(100)), at=evening, by=quarry.sam)
    dose = MedicineGiven(
        medicine="ondansetron", dose_mg=Decimal(4), ml=Decimal(2), outcome=Outcome.GIVEN, reason="Drooling"
    )
    quarry.write(dose, at=evening - timedelta(hours=1), by=quarry.sam)
    return quarry


def without_a_signal(page: Page, quarry: Household) -> None:
    """Let the phone keep all of its pages, then take the signal away."""
    expect(page.locator(".big:visible")).to_be_enabled()
    wait_until_kept(page, f"/{quarry.animal_id}/bottles/omeprazole/count/")
    page.reload()  # from now on the worker stands between this page and the line
    expect(page.locator(".big:visible")).to_be_enabled()
    page.context.set_offline(True)


def go(page: Page, quarry: Household, path: str) -> None:
    page.goto(f"/{quarry.animal_id}/{path}")
    expect(page.get_by_role("heading", name="No signal for this page")).to_have_count(0)


def press(page: Page, words: str) -> None:
    """Press a button of a form, and wait for the page that comes after it."""
    with page.expect_navigation():
        page.get_by_role("button", name=words, exact=True).filter(visible=True).click()


PHOTOS_WAIT = """async () => {
  const { photosWaiting } = await import("/static/phone/store.js");
  return (await photosWaiting()).length;
}"""


def wait_until_all_is_sent(page: Page) -> None:
    """Until neither an entry nor a photo waits on this phone."""
    page.evaluate("dispatchEvent(new Event('online'))")
    until(
        page,
        lambda: page.evaluate(HOW_MANY_WAIT) + page.evaluate(PHOTOS_WAIT) == 0,
        otherwise=lambda: f"something still waits: {page.locator('#phone').inner_text()}",
    )


def newer(page: Page, words: str | re.Pattern[str]) -> None:
    """The page says what it does not hold yet."""
    expect(page.locator("[data-newer]").get_by_text(words)).to_be_visible()


@pytest.mark.hazard("H27")
@pytest.mark.hazard("H3")
@pytest.mark.hazard("H6")
@pytest.mark.hazard("H12")
def test_a_day_in_airplane_mode_uses_every_form_and_arrives_once(
    phone: Phone, everything: Household, evening: datetime, tmp_path: Path
) -> None:
    """Reloaded, killed, in two tabs: water, a flow test, a count, an effect, a photo, a bottle, a lock, two people."""
    quarry = everything
    page = phone(link=quarry.link(quarry.noor, now=evening), worker=True)
    without_a_signal(page, quarry)
    before = quarry.all_ids()

    go(page, quarry, "intake/")
    page.get_by_label("Drank from the bowl, mL").fill(".5")
    page.get_by_role("button", name="Write it down").click()
    expect(page.get_by_role("alert")).to_contain_text("with no zero before the point. Allowed: 0.5.")
    page.get_by_label("Drank from the bowl, mL").fill("40")
    press(page, "Write it down")
    newer(page, "Drank 40 mL")
    page.reload()
    newer(page, re.compile("Noor · not sent yet"))

    go(page, quarry, "weigh/")
    page.get_by_label("kg", exact=True).fill("38")
    page.get_by_role("button", name="Write this down").click()
    expect(page.get_by_role("alert")).to_contain_text("118 % more than the 17.4 kg before")
    page.get_by_label("kg", exact=True).fill("")
    page.get_by_label("Or lb").fill("38")
    page.get_by_label("and oz").fill("4")
    press(page, "Write this down")
    newer(page, "Weight 17.35 kg")

    go(page, quarry, "batch/")
    page.get_by_label("Water, mL").fill("290")
    page.get_by_label("What is written on it").fill("Jar 8")
    press(page, "Write this down")
    newer(page, "Made batch Jar 8: 2 cans stew, 290 mL water")

    go(page, quarry, "flow/test/")
    page.locator("[data-seconds]").evaluate("place => { place.dataset.seconds = '0'; }")  # the ten are not waited for
    page.get_by_role("button", name="Start 10 seconds").click()
    page.get_by_label("What is written on the jar").fill("Jar 8")
    press(page, "9 mL")
    newer(page, re.compile("Flow test of Jar 8: 9 mL left"))
    newer(page, "Too thick, not to be given. Thin it, and test it again.")

    go(page, quarry, "bottles/omeprazole/count/")
    page.get_by_label("mL", exact=True).fill("88,5")
    press(page, "Write this down")
    newer(page, "Counted: 88.5 mL of Omeprazole left")

    go(page, quarry, "chart/")
    press(page, "Eased")
    newer(page, "Effect of a medicine: eased")
    expect(page.get_by_role("heading", name="What did Ondansetron do?")).to_have_count(0)

    picture = tmp_path / "stoma.jpg"
    picture.write_bytes(a_photo(2400, 1200, turned=6))
    go(page, quarry, "note/")
    page.get_by_label("What you saw or did").fill("Redder at the left edge")
    page.get_by_label("A photo, if you like").set_input_files(picture)
    press(page, "Write this down")
    newer(page, "Redder at the left edge")
    expect(page.locator("[data-newer] img")).to_have_js_property("naturalWidth", 800)
    expect(seen(page, re.compile("8 entries and 1 photo are on this phone and not sent yet"))).to_be_visible()
    page.close()  # as if the battery had died
    page = page.context.new_page()
    page.context.set_offline(True)  # a new page may be on line for its first moment

    go(page, quarry, "bottles/metoclopramide/open/")
    page.get_by_label("Strength, as printed").fill("10 mg/mL")
    page.get_by_label("How many mL it holds").fill("50")
    page.get_by_role("button", name="It is open now").click()
    expect(page.get_by_role("heading", name="Read the label again")).to_be_visible()
    expect(page.get_by_text("10 mg/mL is ten times as much: a point may have moved.")).to_be_visible()
    press(page, "The label says 10 mg/mL")
    newer(page, re.compile("Metoclopramide is locked: the new bottle says 10 mg/mL, and the plan says 1 mg/mL"))

    go(page, quarry, "")
    expect(seen(page, "Locked: another strength")).to_be_visible()
    expect(seen(page, "5.2 mL")).to_have_count(0)
    big(page, "Start 20:00")
    expect(seen(page, re.compile("Step 1 of"))).to_be_visible()
    for words in ("Hands are washed", *["Yes"] * 4):
        big(page, words)
    expect(page.get_by_role("heading", level=1)).to_have_text("Metoclopramide: draw none of it")
    expect(seen(page, "5.2 mL")).to_have_count(0)
    big(page, "Hold it, and go on")

    big(page, "It is in")  # the water between two medicines
    expect(page.get_by_role("heading", level=1)).to_contain_text("Omeprazole: 6 mL")
    page.get_by_role("link", name="A second person reads it").filter(visible=True).click()
    expect(page.get_by_text("You have this session in hand")).to_be_visible()
    page.get_by_label("Who reads it?").select_option("Sam")
    press(page, "5 mL")
    expect(page.get_by_text("This is not the dose of Omeprazole. Do not give it.")).to_be_visible()
    page.get_by_label("Who reads it?").select_option("Sam")
    page.get_by_label("Between two numbers").fill("6")
    press(page, "I read this")
    expect(page.get_by_text("The same as the order of Omeprazole.")).to_be_visible()
    page.get_by_role("link", name="To the session").filter(visible=True).first.click()
    big(page, "It is given")

    tab = page.context.new_page()
    go(tab, quarry, "calls/?what=cough#cough")
    press(tab, "Write it down and lock feeding")
    expect(page.get_by_role("heading", level=1)).to_have_text("Nothing through the tube")
    page.bring_to_front()  # a page behind another one is slow
    go(page, quarry, "lock/")
    expect(seen(page, re.compile("Written by Noor at 19:4"))).to_be_visible()
    page.get_by_label("What they said").fill("Slower, and go on.")
    press(page, "They said: feed again")
    expect(page.get_by_role("heading", name="No lock holds")).to_be_visible()
    assert quarry.all_ids() == before

    page.context.set_offline(False)
    wait_until_all_is_sent(page)
    ids = quarry.all_ids()
    assert len(ids) == len(set(ids))
    new = [one.entry for one in record.entries_since(household_id=quarry.id, seq=len(before))]
    kinds = Counter(entry.kind for entry in new)
    once = (
        *(
            "drank",
            "weight",
            "batch_made",
            "flow_test",
            "stock_counted",
            "effect_seen",
            "note",
            "photo_taken",
            "bottle_opened",
        ),
        *("feeding_locked", "feeding_cleared", "session_started"),
    )
    assert {kind: kinds[kind] for kind in once} == dict.fromkeys(once, 1)
    assert kinds["second_check"] == 2
    read = [one.payload for one in new if one.kind == "second_check"]
    assert {one.reader for one in read} == {quarry.sam}
    doses = {one.payload.medicine: one.payload.outcome for one in new if one.kind == "medicine_given"}
    assert doses == {"metoclopramide": Outcome.HELD, "omeprazole": Outcome.GIVEN}
    taken = next(one for one in new if one.kind == "photo_taken")
    assert taken.payload.about == next(one.id for one in new if one.kind == "note")
    kept = stored_photos.find_photo(household_id=quarry.id, photo_id=taken.id)
    made = Image.open(BytesIO(kept.jpeg))
    assert made.size == (800, 1600)
    assert len(made.getexif()) == 0
    assert page.evaluate(PHOTOS_WAIT) == 0


@pytest.mark.hazard("H3")
@pytest.mark.hazard("H1")
def test_a_kept_page_of_a_medicine_when_needed_closes_when_the_phone_knows_better(
    phone: Phone, transactional_db: None, evening: datetime
) -> None:
    """A dose inside the gap, or a bottle of another strength, written down without a signal: no mark is shown."""
    quarry = quarry_lane(now=evening, plan=a_plan_of_everything())
    page = phone(link=quarry.link(quarry.noor, now=evening), worker=True)
    expect(page.locator(".big:visible")).to_be_enabled()
    wait_until_kept(page, f"/{quarry.animal_id}/flow/test/")
    page.reload()
    expect(page.locator(".big:visible")).to_be_enabled()
    page.context.set_offline(True)
    go(page, quarry, "when-needed/ondansetron/")
    expect(page.get_by_role("img", name="filled to the mark at 2 mL")).to_be_visible()
    press(page, "It is given")

    go(page, quarry, "when-needed/ondansetron/")
    expect(seen(page, re.compile("Noor gave it at 19:4., and at least 8 hours lie between two doses"))).to_be_visible()
    expect(page.get_by_role("img", name="filled to the mark at 2 mL")).to_be_hidden()
    go(page, quarry, "bottles/ondansetron/open/")
    page.get_by_label("Strength, as printed").fill("4 mg/mL")
    page.get_by_label("How many mL it holds").fill("20")
    press(page, "It is open now")
    go(page, quarry, "when-needed/ondansetron/")
    expect(seen(page, re.compile("The new bottle says 4 mg/mL"))).to_be_visible()
    expect(page.get_by_role("button", name="It is given")).to_be_hidden()


SHUT_PHOTOS = """
const put = IDBObjectStore.prototype.put;
IDBObjectStore.prototype.put = function (value, ...more) {
  if (this.name === "photos") throw new DOMException("no room", "QuotaExceededError");
  return put.call(this, value, ...more);
};
"""
"""A phone whose storage has no room for a photo."""


@pytest.mark.hazard("H27")
def test_a_photo_that_finds_no_room_takes_nothing_with_it(
    phone: Phone, quarry: Household, evening: datetime, tmp_path: Path
) -> None:
    """The note is kept and sent; the person is told that the photo is not."""
    picture = tmp_path / "stoma.jpg"
    picture.write_bytes(a_photo(400, 300))
    page = phone(link=quarry.link(quarry.noor, now=evening))
    page.context.add_init_script(SHUT_PHOTOS)
    page.goto(f"/{quarry.animal_id}/note/")
    page.get_by_label("What you saw or did").fill("Redder at the left edge")
    page.get_by_label("A photo, if you like").set_input_files(picture)
    page.get_by_role("button", name="Write this down").click()

    expect(page.get_by_role("alert")).to_contain_text("It is written down, without the photo")
    wait_until_all_is_sent(page)
    assert [one.kind for one in quarry.entries(now=evening)][-1] == "note"


@pytest.mark.hazard("H27")
def test_a_photo_whose_answer_is_lost_is_sent_again_and_is_there_once(
    phone: Phone, quarry: Household, evening: datetime, tmp_path: Path
) -> None:
    """The picture arrives, the answer does not: the phone keeps it, sends it again, and shows it all the while."""
    picture = tmp_path / "stoma.png"
    picture.write_bytes(a_photo(300, 200, form="PNG"))
    page = phone(link=quarry.link(quarry.noor, now=evening))
    arrived = []

    def lose(route):
        route.fetch()
        arrived.append(route.request.url)
        route.abort()

    page.route(re.compile("/photo/[0-9a-f-]+/$"), lose, times=1)
    page.goto(f"/{quarry.animal_id}/note/")
    page.get_by_label("A photo, if you like").set_input_files(picture)
    page.get_by_role("button", name="Write this down").click()
    page.wait_for_url("**/entry/**")
    wait_until_all_is_sent(page)

    assert len(arrived) == 1
    photos = [one for one in quarry.entries(now=evening) if one.kind == "photo_taken"]
    assert len(photos) == 1
    assert stored_photos.find_photo(household_id=quarry.id, photo_id=photos[0].id) is not None
