"""Batches on the pages that need no JavaScript."""

from datetime import date

import pytest
import time_machine

from fillmark.core.record.care_entries import FlowTested
from fillmark.services import record
from tests.journeys.household import Household, quarry_lane
from tests.support.builders import EVENING, an_entry
from tests.web.test_screens import TONIGHT, a_phone, kinds, press, shown


@pytest.fixture
def quarry(db: None):
    with time_machine.travel(EVENING, tick=True):
        made = quarry_lane(now=EVENING)
        test = FlowTested(
            foods=("stew",),
            food_g=820,
            water_ml=160,
            left_ml=9,
            sieved=False,
            frozen=False,
            batch="Jar 7",
            made_on=date(2026, 11, 25),
        )
        entry = an_entry(test, at=EVENING, animal_id=made.animal_id)
        record.record_entry(household_id=made.id, by=made.noor, entry=entry, now=EVENING)
        yield made


def at_the_first_fill(client, quarry: Household) -> str:
    press(client, quarry, "start")
    for step in ("wash-hands", "look", "check-mark", "check-skin", "flush-before", "stir"):
        press(client, quarry, "step", step=step)
    return shown(client.get(f"/{quarry.animal_id}/{TONIGHT}/").content.decode())


@pytest.mark.hazard("H9")
def test_a_form_cannot_feed_from_a_bad_batch_and_goes_on_with_another(quarry: Household) -> None:
    """The press is not written and the walk shows why; with another batch chosen it is."""
    client = a_phone(quarry, quarry.sam)
    page = at_the_first_fill(client, quarry)
    assert "Do not give this batch" in page
    assert "s reason to give it" not in page
    press(client, quarry, "step", step="fill-1")
    assert "fill_given" not in kinds(quarry)
    press(client, quarry, "batch", batch="2026-11-25 Batch for 20:00")
    press(client, quarry, "step", step="fill-1")

    assert kinds(quarry)[-2:] == ["batch_chosen", "fill_given"]
    assert 'From <span class="strong" data-live="batch">Batch for 20:00 of 25 November</span>' in shown(
        client.get(f"/{quarry.animal_id}/{TONIGHT}/").content.decode()
    )


@pytest.mark.hazard("H9")
@pytest.mark.hazard("H25")
def test_only_a_lead_has_a_place_for_a_reason(quarry: Household) -> None:
    """A helper's form with a reason is refused; a lead's is kept."""
    sam, noor = a_phone(quarry, quarry.sam), a_phone(quarry)
    at_the_first_fill(sam, quarry)
    bad = {"batch": "2026-11-25 Jar 7", "reason_words": "It looks thin enough"}
    assert press(sam, quarry, "batch", **bad).status_code == 403
    assert press(sam, quarry, "batch", batch="2026-11-25 Jar 7").status_code == 302
    assert "batch_chosen" not in kinds(quarry)
    press(noor, quarry, "take")
    page = shown(noor.get(f"/{quarry.animal_id}/{TONIGHT}/").content.decode())

    assert "A lead&#x27;s reason to give it" in page
    press(noor, quarry, "batch", **bad)
    press(noor, quarry, "step", step="fill-1")
    assert kinds(quarry)[-2:] == ["batch_chosen", "fill_given"]


def test_a_batch_without_a_day_is_sent_back_with_what_to_do(quarry: Household) -> None:
    """A form that was made by hand gets the message, and nothing is written."""
    client = a_phone(quarry)
    press(client, quarry, "start")
    answer = press(client, quarry, "batch", batch="Jar 7")

    assert answer.status_code == 400
    assert "batch_chosen" not in kinds(quarry)
