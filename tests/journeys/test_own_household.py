"""A household of one's own: from an empty record to the first meal, and to version 2 of the plan."""

from collections.abc import Iterator
from datetime import datetime, time, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from fillmark.core.values.people import Caregiver
from fillmark.examples import example_plan
from fillmark.services import household, sign_in
from tests.journeys.barriers import no_barrier
from tests.journeys.conftest import Phone, wait_until_sent
from tests.journeys.test_one_meal import big, seen, to_the_first_fill

PLAN = example_plan("juniper").decode()


@pytest.fixture
def lead(transactional_db: None, evening: datetime) -> Caregiver:
    """An empty record, as `fillmark serve` opens it."""
    return household.open_household(name="Our home", time_zone="UTC", day_starts=time(4), lead_name="Lead")


def link_for(person: Caregiver, *, now: datetime) -> str:
    token = sign_in.make_link(
        household_id=person.household_id, by=person.id, person_id=person.id, now=now, valid_for=timedelta(hours=1)
    )
    return f"/sign-in/{token}/"


def a_file(folder: Path, *changes: tuple[str, str], name: str = "plan.toml") -> Path:
    text = PLAN
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def read_file(page: Page, path: Path) -> None:
    page.get_by_label("A file that ends in").set_input_files(path)
    page.get_by_role("button", name="Read it").click()
    expect(seen(page, "Read, not in force")).to_be_visible()


def every_screen(page: Page, folder: Path) -> Iterator[str]:
    """From the first page of an empty household to version 2; the page stands on each screen in turn."""
    expect(page.get_by_role("heading", level=1)).to_have_text("Our home: no animal yet")
    yield "own-welcome"
    page.get_by_role("link", name="Take it in").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("The plan of a new animal")
    yield "own-take-in"
    page.get_by_label("Or its text").fill(PLAN.replace("kg = 17.4,", "kg = 38.4,"))
    page.get_by_role("button", name="Read it").click()
    expect(page.get_by_role("alert")).to_contain_text("It looks like pounds read as kg")
    yield "own-fault"
    read_file(page, a_file(folder))
    expect(seen(page, "By which clock does this household live?")).to_be_visible()
    yield "own-clock"
    page.get_by_role("button", name="As in the file").click()
    expect(page.get_by_role("heading", name="Confirm it")).to_be_visible()
    yield "own-reading"
    page.get_by_label("Now (").check()
    page.get_by_role("button", name="I have read it").click()
    expect(page.locator(".who")).to_contain_text("The plan, version 1")
    page.get_by_role("link", name="Take in a file").click()
    read_file(
        page, a_file(folder, ('dose = "12 mg"', 'dose = "1.2 mg"'), ("upright_minutes = 20", "upright_minutes = 30"))
    )
    expect(page.get_by_role("heading", name="Needs a word of the vet")).to_be_visible()
    yield "own-version-2"
    page.get_by_label("What the vet said about it").fill("A tenth from now on.")
    page.get_by_label("outside what print says").check()
    page.get_by_label("The next day").check()
    page.get_by_role("button", name="I have read it").click()
    expect(page.get_by_role("status")).to_contain_text("Version 2 begins on")
    page.get_by_role("link", name="Every version").click()
    yield "own-versions"
    page.goto("/household/")
    page.locator("summary").first.click()
    yield "own-household"
    page.get_by_label("Name, as everybody here says it").fill("Sam")
    page.get_by_label("Helper").check()
    page.get_by_role("button", name="Make the link").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("A link for Sam")
    yield "own-link"


def test_every_screen_has_no_barrier(
    phone: Phone, lead: Caregiver, evening: datetime, shots: Path | None, tmp_path: Path
) -> None:
    """From the first page of an empty household on."""
    page = phone(link=link_for(lead, now=evening))
    with no_barrier(page, shots, refused="400") as look_at:
        for name in every_screen(page, tmp_path):
            page.wait_for_load_state()
            look_at(name)


def take_in_first(page: Page, path: Path) -> None:
    """From the first page of an empty household to the plan in force."""
    page.get_by_role("link", name="Take it in").click()
    read_file(page, path)
    page.get_by_role("button", name="As in the file").click()
    page.get_by_label("Now (").check()
    page.get_by_role("button", name="I have read it").click()
    expect(page.locator(".who")).to_contain_text("The plan, version 1")


@pytest.mark.hazard("H28")
def test_from_an_empty_record_to_the_first_meal_and_to_version_2(
    phone: Phone, lead: Caregiver, evening: datetime, tmp_path: Path
) -> None:
    """The plan file, the confirmation, a meal with its four fills in the record, a changed file for tomorrow."""
    page = phone(link=link_for(lead, now=evening))
    take_in_first(page, a_file(tmp_path))

    page.get_by_role("link", name="Now", exact=True).click()
    expect(seen(page, "3 × 60 + 30 mL")).to_be_visible()
    to_the_first_fill(page)
    for number in range(1, 5):
        expect(page.get_by_role("heading", level=1)).to_have_text(f"Fill {number} of 4")
        big(page, "It is in")
    big(page, "It is in")  # the flush
    big(page, "It is closed")
    big(page, "The time is over")
    big(page, "It is clean")
    big(page, "Nothing seen. End 20:00")
    wait_until_sent(page)
    (animal,) = household.find_animals(household_id=lead.household_id)
    page.goto(f"/{animal.id}/day/")
    expect(seen(page, "by Lead · 210 of 210 mL in", exact=False).first).to_be_visible()

    page.goto(f"/{animal.id}/plan/")
    page.get_by_role("link", name="Take in a file").click()
    read_file(page, a_file(tmp_path, ("upright_minutes = 20", "upright_minutes = 30")))
    expect(page.locator("#changes + *")).to_contain_text("The vet's orders")
    expect(seen(page, "20 minutes → 30 minutes")).to_be_visible()
    page.get_by_label("What the vet said about this plan").fill("Keep her upright for longer.")
    page.get_by_label("The next day").check()
    page.get_by_role("button", name="I have read it").click()
    expect(page.get_by_role("status")).to_contain_text("Version 2 begins on Thursday 26 November at 04:00")


@pytest.mark.parametrize("scripts", [True, False], ids=["with JavaScript", "without"])
def test_a_downloaded_file_is_changed_and_taken_in_again(
    phone: Phone, lead: Caregiver, evening: datetime, tmp_path: Path, scripts: bool
) -> None:
    """What the browser saves is a care plan file."""
    page = phone(link=link_for(lead, now=evening), scripts=scripts)
    take_in_first(page, a_file(tmp_path))
    page.get_by_role("link", name="Every version").click()
    with page.expect_download() as waiting:
        page.get_by_role("link", name="The file to read and change").click()
    saved = tmp_path / waiting.value.suggested_filename
    waiting.value.save_as(saved)
    assert saved.name == "juniper-plan-1.toml"
    saved.write_text(saved.read_text().replace("flush_after_ml = 20", "flush_after_ml = 15"))

    page.locator("a.big").click()
    read_file(page, saved)
    expect(seen(page, "20 mL → 15 mL")).to_be_visible()
