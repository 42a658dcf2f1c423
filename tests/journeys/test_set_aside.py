"""One entry that cannot be kept does not hold up a phone: it lies on the household's machine, and the rest is sent."""

from datetime import datetime

import pytest
from playwright.sync_api import expect

from fillmark.core.record.care_entries import Note
from tests.journeys.conftest import Phone, wait_until_sent
from tests.journeys.household import Household
from tests.journeys.test_off_line import keep_everything, seen
from tests.support.builders import an_entry, an_id
from tests.support.phone_model import as_document

LEAVE_IN_QUEUE = """async ([entries, me, animal]) => {
  const { enqueue } = await import("/static/phone/store.js");
  const item = (entry) => ({ id: entry.id, entry, by: me, state: "waiting", isFresh: false, pressedAt: 0,
    shown: { ...entry, animal, at: Date.now(), told: `a ${entry.payload.kind}`, byName: "Noor", day: "2026-11-25",
      session: null } });
  await enqueue(entries.map(item));
}"""


@pytest.mark.hazard("H27")
@pytest.mark.hazard("H42")
def test_the_queue_goes_on_past_what_cannot_be_kept(phone: Phone, quarry: Household, evening: datetime) -> None:
    """An entry of a clock that lost its date, and one of a version to come, before one that can be kept."""
    page = phone(link=quarry.link(quarry.noor, now=evening), worker=True)
    keep_everything(page, quarry)
    notes = [as_document(an_entry(Note(text=text), at=evening, animal_id=quarry.animal_id, id=an_id(at=evening)))
             for text in ("first", "second", "Sleeps on her left side")]  # fmt: skip
    notes[0]["at"] = "2001-01-01T00:00:00+00:00"
    notes[1]["payload"] = {"kind": "of_next_year", "ml": 60}
    page.evaluate(LEAVE_IN_QUEUE, [notes, str(quarry.noor), str(quarry.animal_id)])
    wait_until_sent(page)

    left = "async () => (await (await import('/static/phone/store.js')).queued()).length"
    assert page.evaluate(left) == 0
    expect(
        seen(page, "Set aside for a lead, who decides what becomes of it: a note · a of_next_year.", exact=False)
    ).to_be_visible()
    assert [one.payload.text for one in quarry.entries(now=evening) if isinstance(one.payload, Note)] == [
        "Sleeps on her left side"
    ]
    page.get_by_role("button", name="I have read it").click()
    expect(page.get_by_role("button", name="I have read it")).to_have_count(0)
    page.goto("/set-aside/")
    expect(page.get_by_role("button", name="Keep it as a note")).to_have_count(2)
