"""Something is wrong: two taps to the card, one to write it down; the lock, the clearing, the photo, the question."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from fillmark.core.plan.reading import read_plan
from fillmark.core.record.care_entries import Note
from fillmark.core.record.session_entries import FillGiven, SessionStarted
from fillmark.core.values.people import Role
from fillmark.core.values.trouble import Trouble
from fillmark.examples import example_plan
from fillmark.services import household, photos, plans, record, sign_in
from tests.journeys.barriers import no_barrier, take_picture
from tests.journeys.conftest import Phone, set_clock, until, wait_until_sent
from tests.journeys.household import Household, quarry_lane
from tests.journeys.test_off_line import keep_everything
from tests.journeys.test_one_meal import big
from tests.support.sides import side_of
from tests.web.test_calls import a_picture

EVENING = datetime(2026, 11, 25, 19, 50, tzinfo=UTC)
TONIGHT = "2026-11-25T20:00"


def is_locked(quarry: Household) -> bool:
    return side_of(**quarry.ids, now=EVENING).lock is not None


def wait_for_lock(page: Page, quarry: Household, *, holds: bool) -> None:
    """A phone shows what is written on it, and sends it meanwhile."""
    until(page, lambda: is_locked(quarry) == holds, otherwise=lambda: f"a lock {'does not hold' if holds else 'holds'}")


@pytest.mark.hazard("H31")
@pytest.mark.parametrize("scripts", [True, False], ids=["with JavaScript", "without"])
def test_two_taps_from_the_first_screen_to_any_card(
    phone: Phone, quarry: Household, evening: datetime, scripts: bool
) -> None:
    """One card fills the screen, the number that answers now is under the thumb, and the list is one tap back."""
    page = phone(link=quarry.link(quarry.noor, now=evening), scripts=scripts)
    page.get_by_role("link", name="Something is wrong").click()
    for trouble in Trouble:
        page.get_by_role("link", name=trouble.words, exact=True).click()
        expect(page.locator(".call-card:visible")).to_have_count(1)
        expect(page.locator(f"#{trouble.value}")).to_be_in_viewport()
        expect(page.get_by_role("link", name="Call Night clinic")).to_be_in_viewport(ratio=1)
        expect(page.get_by_role("heading", name="What is wrong?")).to_be_hidden()
        page.get_by_role("link", name="All troubles").filter(visible=True).click()
        expect(page.get_by_role("heading", name="What is wrong?")).to_be_visible()
    assert page.get_by_role("link", name="Call Night clinic").get_attribute("href") == "tel:+35315550177"


@pytest.mark.hazard("H12")
@pytest.mark.hazard("H13")
@pytest.mark.parametrize("scripts", [True, False], ids=["with JavaScript", "without"])
def test_a_cough_in_a_fill_stops_the_session_and_locks_feeding_until_the_vet_has_said_so(
    phone: Phone, quarry: Household, evening: datetime, scripts: bool
) -> None:
    """At the second fill: two taps to the card, one to write it down; the part that went in; the lead clears it."""
    for payload in (SessionStarted(session=TONIGHT), FillGiven(session=TONIGHT, fill=1, ml=60)):
        quarry.write(payload, at=evening)
    page = phone(link=quarry.link(quarry.noor, now=evening), scripts=scripts)
    page.goto(f"/{quarry.animal_id}/calls/?in={TONIGHT}")
    page.get_by_role("link", name="Cough or gag in a feed").click()
    expect(page.get_by_text("Stop the meal, hold her upright, and ring us before the next one.")).to_be_visible()
    page.get_by_role("button", name="Write it down and lock feeding").filter(visible=True).click()

    expect(page.get_by_text("Feeding is locked.")).to_be_visible()
    wait_for_lock(page, quarry, holds=True)
    page.get_by_label("How many mL of fill 2 (60 mL) had gone in?").fill("25")
    page.get_by_role("button", name="Write this down").click()
    expect(page.get_by_role("heading", name="Nothing through the tube")).to_be_visible()
    if scripts:
        wait_until_sent(page)
    fills = [one.payload for one in quarry.entries(now=evening) if one.kind == "fill_given" and one.session == TONIGHT]
    assert [(fill.fill, fill.ml) for fill in fills] == [(1, 60), (2, 25)]

    page.get_by_label("What they said").fill("Leave the rest of this meal. The next one as planned.")
    page.get_by_role("button", name="They said: feed again").click()
    expect(page.get_by_role("heading", name="No lock holds")).to_be_visible()
    wait_for_lock(page, quarry, holds=False)


@pytest.mark.hazard("H12")
@pytest.mark.hazard("H25")
def test_a_failed_check_opens_its_card_and_a_sitter_cannot_clear_it(
    phone: Phone, quarry: Household, evening: datetime
) -> None:
    """ "No" at the mark is one tap to the card; the sitter locks, and the page says who clears."""
    today = evening.date()
    who = {"household_id": quarry.id, "by": quarry.noor, "now": evening}
    ilse = household.add_person(**who, name="Ilse", role=Role.SITTER, from_on=today, until_on=today)
    token = sign_in.make_link(
        household_id=quarry.id, by=quarry.noor, person_id=ilse.id, now=evening, valid_for=timedelta(hours=1)
    )
    page = phone(link=f"/sign-in/{token}/")
    big(page, "Start 20:00")
    for _ in range(2):
        big(page, "Yes")
    page.get_by_role("link", name="No", exact=True).filter(visible=True).click()
    expect(page.locator("#tube-check")).to_be_visible()
    expect(page.locator("#tube-check").get_by_text("Do not push it in or pull it out")).to_be_visible()
    page.get_by_role("button", name="Write it down and lock feeding").filter(visible=True).click()
    expect(page.get_by_text("Feeding is locked.")).to_be_visible()
    wait_for_lock(page, quarry, holds=True)
    page.get_by_role("link", name="Who clears it").click()

    expect(page.get_by_text("Only a lead of this household clears it")).to_be_visible()
    expect(page.get_by_role("button", name="They said: feed again")).to_have_count(0)
    assert is_locked(quarry)


def test_a_photo_of_the_skin_is_written_with_a_note_and_found_again(
    phone: Phone, quarry: Household, evening: datetime, tmp_path: Path
) -> None:
    """From the note to the entry to the search, with the picture shown."""
    picture = tmp_path / "stoma.jpg"
    picture.write_bytes(a_picture().read())
    page = phone(link=quarry.link(quarry.noor, now=evening))
    page.goto(f"/{quarry.animal_id}/note/")
    page.get_by_label("What you saw or did").fill("Redder at the left edge")
    page.get_by_label("A photo, if you like").set_input_files(picture)
    page.get_by_role("button", name="Write this down").click()

    expect(page.get_by_role("heading", name="Redder at the left edge")).to_be_visible()
    shown = page.get_by_role("img", name="Photo, 19:42")
    expect(shown).to_be_visible()
    expect(shown).to_have_js_property("naturalWidth", 40)
    page.get_by_role("link", name="Find something else").click()
    page.get_by_label("What", exact=True).select_option("Notes")
    page.get_by_role("button", name="Find").click()
    expect(page.get_by_text("Redder at the left edge")).to_be_visible()


@pytest.mark.hazard("H1")
def test_once_or_twice_is_one_press(phone: Phone, quarry: Household, evening: datetime) -> None:
    """From the first screen: the question, both entries, one answer, and the total is exact again."""
    quarry.write(SessionStarted(session=TONIGHT), at=evening)
    quarry.write(FillGiven(session=TONIGHT, fill=1, ml=60), at=evening)
    quarry.write(FillGiven(session=TONIGHT, fill=1, ml=55), at=evening, device="sam-phone")
    page = phone(link=quarry.link(quarry.noor, now=evening))
    page.goto(f"/{quarry.animal_id}/once-or-twice/")
    expect(page.get_by_role("heading", name="Fill 1 of the meal: once or twice?")).to_be_visible()
    page.get_by_role("button", name="Once: this one").last.click()

    expect(page.get_by_role("heading", name="No open question")).to_be_visible()
    fills = [
        one.payload.ml for one in quarry.entries(now=evening) if one.kind == "fill_given" and one.session == TONIGHT
    ]
    assert len(fills) == 1


def every_screen(page: Page, quarry: Household, evening: datetime):
    """Each screen of trouble in turn, by its name."""
    base = f"/{quarry.animal_id}"
    quarry.write(SessionStarted(session=TONIGHT), at=evening)
    quarry.write(FillGiven(session=TONIGHT, fill=1, ml=60), at=evening)
    fill = quarry.write(FillGiven(session=TONIGHT, fill=1, ml=55), at=evening, device="sam-phone")
    note = quarry.write(Note(text="Redder at the left edge"), at=evening)
    page.goto(f"{base}/calls/")
    yield "troubles"
    for trouble in Trouble:
        page.goto(f"{base}/calls/?what={trouble.value}")
        yield f"card-{trouble.value}"
    page.locator("summary:visible").first.click()
    yield "card-sources"
    for name, path in (("once-or-twice", "once-or-twice/"), ("entry", f"entry/{fill.id}/"), ("find", "find/")):
        page.goto(f"{base}/{path}")
        yield name
    page.goto(f"{base}/entry/{note.id}/")
    for summary in page.locator("summary").all():
        summary.click()
    yield "entry-open"
    page.goto(f"{base}/find/?words=thunder")
    yield "find-nothing"
    page.goto(f"{base}/note/")
    yield "note"
    page.goto(f"{base}/emblem/")
    yield "emblem"
    quarry.write({"kind": "feeding_locked", "trouble": "cough", "session": TONIGHT}, at=evening)
    page.goto(f"{base}/calls/?what=cough")
    yield "card-locked"
    page.goto(f"{base}/lock/")
    yield "lock"


def test_the_screens_of_trouble_have_no_barrier_and_fit_the_phone(
    phone: Phone, quarry: Household, evening: datetime, shots: Path | None
) -> None:
    """Every card, what is asked afterwards, and what is found again."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    with no_barrier(page, shots) as look_at:
        for name in every_screen(page, quarry, evening):
            look_at(name)


@pytest.mark.hazard("H31")
def test_a_kept_page_tells_by_the_clock_of_the_moment_who_answers(
    phone: Phone, quarry: Household, evening: datetime
) -> None:
    """Kept in the evening, opened without a signal next morning: the practice is on top, as it is open by then."""
    page = phone(link=quarry.link(quarry.noor, now=evening), worker=True)
    keep_everything(page, quarry)
    page.goto(f"/{quarry.animal_id}/calls/")
    expect(page.locator(".call").first).to_contain_text("Night clinic, open now")
    page.context.set_offline(True)
    set_clock(page.context, ahead=timedelta(hours=14))
    page.goto(f"/{quarry.animal_id}/calls/")

    expect(page.locator(".call").first).to_contain_text("Millrace Veterinary Practice, open now")
    expect(page.get_by_role("link", name="Call Millrace Veterinary Practice")).to_have_attribute(
        "href", "tel:+35315550134"
    )
    expect(page.get_by_text("As the record had it at 19:42.")).to_be_visible()


@pytest.mark.hazard("H31")
@pytest.mark.parametrize("scripts", [True, False], ids=["with JavaScript", "without"])
def test_a_kept_page_does_not_ring_a_clinic_that_has_shut_since(
    phone: Phone, transactional_db: None, evening: datetime, shots: Path | None, scripts: bool
) -> None:
    """One number, by day: what it rang in the afternoon leads to the numbers at night, and the page says so loudly."""
    text = example_plan("juniper").decode()
    night = text[text.index('    { who = "Night clinic"') : text.index("]\ntroubles")]
    plan = read_plan(text.replace(night, "").encode(), kind="toml")
    quarry = quarry_lane(now=evening, recorded=False, plan=plan)
    nobody = "No number of the plan answers now."
    page = phone(link=quarry.link(quarry.noor, now=evening), scripts=scripts)
    if scripts:
        set_clock(page.context, ahead=timedelta(hours=-5))
        page.goto(f"/{quarry.animal_id}/calls/")
        expect(page.get_by_role("link", name="Call Millrace Veterinary Practice")).to_have_attribute(
            "href", "tel:+35315550134"
        )
        expect(page.get_by_text(nobody)).to_be_hidden()
        expect(page.get_by_text("No number of the plan answers at night.")).to_be_visible()
        take_picture(page, shots, "calls-silent")
        set_clock(page.context)
    page.goto(f"/{quarry.animal_id}/calls/")

    expect(page.get_by_text(nobody)).to_be_visible()
    expect(page.get_by_role("link", name="Nobody answers now: the numbers")).to_have_attribute("href", "#numbers")
    expect(page.get_by_role("link", name="Call Millrace Veterinary Practice")).to_have_count(0)
    if scripts:
        with no_barrier(page, shots) as look_at:
            look_at("calls-nobody")


def test_the_phone_and_the_server_agree_on_opening_hours(phone: Phone, quarry: Household, evening: datetime) -> None:
    """Every quarter of an hour of a week, for the hours of the packaged plan."""
    plan = plans.current_plan(**quarry.ids, at=evening)
    assert plan is not None
    hours = [
        [[list(one.days), f"{one.opens:%H:%M}", f"{one.closes:%H:%M}"] for one in number.hours]
        for number in plan.plan.vet.call
    ]
    page = phone(link=quarry.link(quarry.noor, now=evening))
    told = page.evaluate(
        """async (hours) => {
          const { answers } = await import("/static/calls/hours.js");
          const found = [];
          for (let day = 0; day < 7; day += 1)
            for (let quarter = 0; quarter < 96; quarter += 1) {
              const two = (number) => String(number).padStart(2, "0");
              const clock = `${two(Math.floor(quarter / 4))}:${two((quarter % 4) * 15)}`;
              found.push(hours.map((one) => answers(one, day, clock)));
            }
          return found;
        }""",
        hours,
    )
    sunday = datetime(2026, 11, 29, tzinfo=UTC)
    ours = [
        [number.answers(sunday + timedelta(minutes=15 * place)) for number in plan.plan.vet.call]
        for place in range(7 * 96)
    ]

    assert told == ours
    assert all(sum(one) == 1 for one in ours)


@pytest.mark.hazard("H17")
def test_an_animals_own_photo_shows_without_a_signal(phone: Phone, quarry: Household, evening: datetime) -> None:
    """Its photo never changes, so a phone that showed it once shows it in airplane mode too."""
    photos.choose_own_look(
        **quarry.ids,
        by=quarry.noor,
        shape=5,
        color="magenta",
        data=a_picture().read(),
        photo_id=record.new_entry_id(now=evening),
        now=evening,
    )
    page = phone(link=quarry.link(quarry.noor, now=evening), worker=True)
    keep_everything(page, quarry)
    page.context.set_offline(True)
    page.reload()
    expect(page.locator(".emblem.own-magenta image")).to_be_visible()

    widths = page.evaluate(
        """async () => {
          const shown = new Image();
          shown.src = document.querySelector(".emblem image").getAttribute("href");
          await shown.decode();
          return shown.naturalWidth;
        }"""
    )
    assert widths == 40
