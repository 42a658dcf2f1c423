"""A phone without a signal that holds the pages of the version before: their addresses and files had other names."""

from datetime import datetime

import pytest
from playwright.sync_api import expect

from fillmark.web.old_addresses import OLD_FILES, OLD_PAGES
from tests.journeys.conftest import HOW_MANY_WAIT, Phone, until, wait_until_sent
from tests.journeys.household import Household
from tests.journeys.test_off_line import keep_everything
from tests.journeys.test_one_meal import big

AS_BEFORE = """async ([animal, files, pages]) => {
  const cache = await caches.open("fillmark-pages");
  for (const request of await cache.keys()) {
    let text = await (await cache.match(request)).text();
    for (const [was, is] of files) text = text.replaceAll(`/static/${is}"`, `/static/fillmark/${was}"`);
    let address = new URL(request.url).pathname;
    for (const [was, is] of pages) {
      text = text.replaceAll(`/${animal}/${is}`, `/${animal}/${was}`);
      if (address.startsWith(`/${animal}/${is}`)) address = address.replace(is, was);
    }
    await cache.delete(request);
    await cache.put(address, new Response(text, { headers: { "Content-Type": "text/html" } }));
  }
}"""
"""Renames what this phone holds, as the version before had it."""
HAS_KEPT_ALL = "async () => Boolean(await (await import('/static/phone/store.js')).recall('pages'))"
"""Whether it has put by the last of its pages: it keeps none of them anew then."""


@pytest.mark.hazard("H27")
def test_the_call_cards_kept_by_the_version_before_work_without_a_signal(
    phone: Phone, quarry: Household, evening: datetime
) -> None:
    """From an old page to an old card, by its new address too; what is pressed is written once, and sent."""
    page = phone(link=quarry.link(quarry.noor, now=evening), worker=True)
    keep_everything(page, quarry)
    until(page, lambda: page.evaluate(HAS_KEPT_ALL), otherwise=lambda: "not every page was kept")
    before = len(quarry.all_ids())
    page.evaluate(AS_BEFORE, [str(quarry.animal_id), list(OLD_FILES.items()), list(OLD_PAGES.items())])
    page.context.set_offline(True)

    page.goto("/")
    assert "/static/fillmark/now.js" in page.content()
    big(page, "Start 20:00")
    expect(page.get_by_text("Step 1 of 14")).to_be_visible()
    assert page.evaluate(HOW_MANY_WAIT) == 1
    for place in ("wrong", "calls"):
        page.goto(f"/{quarry.animal_id}/{place}/?what=cough#cough")
        expect(page.locator("#cough")).to_be_visible()
    page.locator("#cough button.wrong").click()
    expect(page.get_by_text("2 entries are on this phone and not sent yet")).to_be_visible()
    assert page.evaluate(HOW_MANY_WAIT) == 2

    page.context.set_offline(False)
    wait_until_sent(page)
    assert len(quarry.all_ids()) == before + 2
