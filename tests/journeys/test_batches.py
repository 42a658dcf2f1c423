"""A batch that is too thick or too old is not fed from, on the page and on a phone without a signal."""

from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from fillmark.core.record.care_entries import FlowTested
from fillmark.core.values.people import Role
from fillmark.services import household
from tests.journeys.barriers import no_barrier
from tests.journeys.conftest import Phone, wait_until_sent
from tests.journeys.household import Household
from tests.journeys.test_off_line import keep_everything
from tests.journeys.test_one_meal import big, seen, to_the_first_fill

TONIGHT = "2026-11-25T20:00"


def a_test(left_ml: float, *, batch: str, made_on: date = date(2026, 11, 25)) -> FlowTested:
    return FlowTested(
        foods=("stew",),
        food_g=820,
        water_ml=160,
        left_ml=left_ml,
        sieved=False,
        frozen=False,
        batch=batch,
        made_on=made_on,
    )


def fills_tonight(quarry: Household, now: datetime) -> list[int]:
    tonight = [entry for entry in quarry.entries(now=now) if entry.session == TONIGHT]
    return [entry.payload.fill for entry in tonight if entry.kind == "fill_given"]


def title(page: Page, words: str) -> None:
    expect(page.get_by_role("heading", level=1).filter(visible=True)).to_have_text(words)


@pytest.mark.hazard("H9")
def test_a_batch_that_is_too_thick_is_not_fed_from_until_another_is_chosen(
    phone: Phone, quarry: Household, evening: datetime
) -> None:
    """The medicine and the flush go on; at the first fill the walk asks for another batch, and goes on with it."""
    quarry.write(a_test(5.0, batch="Jar 6"), at=evening - timedelta(hours=2))
    quarry.write(a_test(9.0, batch="Jar 7"), at=evening - timedelta(hours=1))
    page = phone(link=quarry.link(quarry.sam, now=evening))
    expect(page.get_by_text("Jar 7 of 25 November: too thick, not to be given.")).to_be_visible()
    to_the_first_fill(page)

    title(page, "Do not give this batch")
    expect(seen(page, "Jar 7 of 25 November").first).to_be_visible()
    expect(page.get_by_role("button", name="It is in").filter(visible=True)).to_have_count(0)
    expect(page.get_by_label("A lead's reason to give it")).to_have_count(0)
    expect(page.get_by_role("link", name="Thin it, and test it again").filter(visible=True)).to_be_visible()
    page.get_by_role("button", name="From Jar 6 of 25 November").filter(visible=True).click()
    title(page, "Fill 1 of 4")
    expect(seen(page, "Jar 6 of 25 November").first).to_be_visible()
    big(page, "It is in")
    title(page, "Fill 2 of 4")
    wait_until_sent(page)
    assert fills_tonight(quarry, evening) == [1]


@pytest.mark.hazard("H9")
def test_a_thinned_batch_is_tested_again_from_the_walk_and_then_given(
    phone: Phone, quarry: Household, evening: datetime
) -> None:
    """The link brings the jar and its day along; when the test passes, the walk goes on where it stood."""
    quarry.write(a_test(9.0, batch="Jar 7"), at=evening - timedelta(hours=1))
    page = phone(link=quarry.link(quarry.noor, now=evening))
    to_the_first_fill(page)
    title(page, "Do not give this batch")
    page.get_by_role("link", name="Thin it, and test it again").filter(visible=True).click()
    expect(page.get_by_label("What is written on the jar")).to_have_value("Jar 7")
    expect(page.get_by_label("Made on; if it was frozen, thawed on")).to_have_value("2026-11-25")
    page.get_by_label("Water in all, mL").fill("200")
    page.evaluate("document.querySelector('[data-after]').hidden = false")  # ten seconds are counted elsewhere
    page.get_by_role("button", name="5 mL", exact=True).click()
    expect(page.get_by_role("status")).to_contain_text("It passes")
    page.goto(f"/{quarry.animal_id}/{TONIGHT}/")

    title(page, "Fill 1 of 4")


@pytest.mark.hazard("H15")
@pytest.mark.hazard("H25")
def test_a_lead_gives_an_old_batch_only_with_a_reason(phone: Phone, quarry: Household, evening: datetime) -> None:
    """Made on the 23rd, kept two days: on the 25th it takes a typed reason, which stands in the record."""
    quarry.write(a_test(5.0, batch="Jar 5", made_on=date(2026, 11, 23)), at=evening - timedelta(days=2))
    page = phone(link=quarry.link(quarry.noor, now=evening))
    to_the_first_fill(page)
    title(page, "Do not give this batch")
    expect(seen(page, "past its last day").first).to_be_visible()
    expect(page.get_by_role("link", name="Thin it, and test it again")).to_have_count(0)
    page.get_by_label("A lead's reason to give it").fill("Frozen on the 23rd, thawed this morning")
    page.get_by_role("button", name="Give it all the same").filter(visible=True).click()
    title(page, "Fill 1 of 4")
    wait_until_sent(page)

    (word,) = [entry.payload for entry in quarry.entries(now=evening) if entry.kind == "batch_chosen"]
    assert (word.batch, word.made_on, word.reason) == (
        "Jar 5",
        date(2026, 11, 23),
        "Frozen on the 23rd, thawed this morning",
    )


@pytest.mark.hazard("H9")
def test_without_a_signal_the_phone_refuses_a_bad_batch_too(phone: Phone, quarry: Household, evening: datetime) -> None:
    """What the phone kept says too thick; a new batch is chosen without a signal, and all of it arrives once."""
    quarry.write(a_test(9.0, batch="Jar 7"), at=evening - timedelta(hours=1))
    page = phone(link=quarry.link(quarry.noor, now=evening), worker=True)
    keep_everything(page, quarry)
    page.context.set_offline(True)
    to_the_first_fill(page)
    title(page, "Do not give this batch")
    page.get_by_role("button", name="From a new batch, made today").filter(visible=True).click()
    title(page, "Fill 1 of 4")
    expect(seen(page, "Batch for 20:00 of 25 November").first).to_be_visible()
    big(page, "It is in")
    title(page, "Fill 2 of 4")
    page.context.set_offline(False)
    wait_until_sent(page)

    kinds = [entry.kind for entry in quarry.entries(now=evening) if entry.session == TONIGHT]
    assert kinds.count("batch_chosen") == kinds.count("fill_given") == 1


@pytest.mark.hazard("H9")
def test_the_batch_screens_have_no_faults(
    phone: Phone, quarry: Household, evening: datetime, shots: Path | None
) -> None:
    """The refusal for a lead and for a sitter, the choice, and the fill that names its batch."""
    quarry.write(a_test(5.0, batch="Jar 6"), at=evening - timedelta(hours=2))
    quarry.write(a_test(9.0, batch="The tall jar with the blue lid"), at=evening - timedelta(hours=1))
    who = {"household_id": quarry.id, "by": quarry.noor, "now": evening}
    today = evening.date()
    ilse = household.add_person(**who, name="Ilse", role=Role.SITTER, from_on=today, until_on=today)
    page = phone(link=quarry.link(ilse.id, now=evening))
    with no_barrier(page, shots) as look_at:
        to_the_first_fill(page)
        expect(page.get_by_role("link", name="Thin it, and test it again")).to_have_count(0)
        look_at("batch-sitter")
        page.get_by_role("button", name="From Jar 6 of 25 November").filter(visible=True).click()
        title(page, "Fill 1 of 4")
        look_at("batch-fill")
        page.get_by_role("link", name="Another batch").filter(visible=True).click()
        title(page, "Which batch is it?")
        look_at("batch-choice")
        wait_until_sent(page)
    quarry.write(a_test(9.5, batch="Jar 6"), at=evening + timedelta(minutes=1))
    page = phone(link=quarry.link(quarry.noor, now=evening))
    with no_barrier(page, shots) as look_at:
        page.goto(f"/{quarry.animal_id}/{TONIGHT}/")
        big(page, "Take over 20:00")
        title(page, "Do not give this batch")
        look_at("batch-lead")
