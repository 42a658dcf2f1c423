"""A phone-sized Chromium in front of the running app."""

import os
import shutil
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
import time_machine
from django.conf import settings
from django.contrib.staticfiles import finders
from django.contrib.staticfiles.handlers import StaticFilesHandler
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

from tests.journeys.household import Household, quarry_lane
from tests.support.builders import EVENING

# Playwright's loop runs in this thread; the tests' own database calls are as synchronous as ever.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
CHROMIUM = os.environ.get("FILLMARK_CHROMIUM") or next(
    found for name in ("chromium-headless-shell", "chromium", "chromium-browser") if (found := shutil.which(name))
)
"""The one without windows takes a quarter less of the processor for the same pages."""
Phone = Callable[..., Page]
PATIENCE_MILLIS = 60_000
"""How long a journey waits for what the page must come to: a loaded machine is slow, and no journey leans on speed."""
expect.set_options(timeout=PATIENCE_MILLIS)
ITS_CLOCK = """
const offset = OFFSET, Real = globalThis.DateOfThisMachine ??= Date;
globalThis.Date = class extends Real {
  constructor(...given) { given.length ? super(...given) : super(Real.now() + offset); }
  static now() { return Real.now() + offset; }
};
"""
"""Sets a phone's clock: to the time of the test, and off it where a test says so; it may be set again."""


UNSEEN_UNTIL_LOADED = """
new MutationObserver((_, watch) => {
  const page = document.documentElement;
  if (!page) return;
  watch.disconnect();
  if (document.readyState === "complete") return;
  page.style.visibility = "hidden";
  addEventListener("load", () => page.style.removeProperty("visibility"), { once: true });
}).observe(document, { childList: true });
"""
"""A page is seen with its style sheet, as on a phone; without it, every screen of a session would be in sight."""


GOES_ON = "setTimeout(resolve, 2500)"
"""In press.js: a phone that has a signal and no answer yet shows the next page without it."""
KEEPS_LATER = "KEEP_AFTER_MILLIS = 3000"
"""In phone.js: the line is left to the person first. No machine needs that, nor the pages that it never looks at."""
TAKES_NO_PRESS = "QUIET_MILLIS = 600"
"""In press.js: what is new on a screen takes no press for a moment, since a wet finger may land twice."""
OTHER_WAITS = """
const inTime = globalThis.setTimeout, others = new Map([[2500, 60000], [3000, KEEP], [600, QUIET]]);
globalThis.setTimeout = (what, millis, ...more) => inTime(what, others.get(millis) ?? millis, ...more);
"""
"""A machine busy with other tests is not a household out of reach: what a phone shows does not hang on its speed."""


def set_clock(context: BrowserContext, *, ahead: timedelta = timedelta(0)) -> None:
    """Let every page of this phone, loaded from now on, have the test's time, or one that runs ahead of it."""
    outside = time_machine.escape_hatch.time.time if time_machine.escape_hatch.is_travelling() else time.time
    offset = datetime.now(UTC).timestamp() - outside() + ahead.total_seconds()
    context.add_init_script(ITS_CLOCK.replace("OFFSET", str(round(offset * 1000))))


def until(page: Page, holds: Callable[[], object], *, otherwise: Callable[[], str]) -> None:
    """Wait until something holds that no locator tells; what is wrong is said where it never does."""
    for _ in range(PATIENCE_MILLIS // 50):
        if holds():
            return
        page.wait_for_timeout(100)
    raise AssertionError(otherwise())


HOW_MANY_WAIT = """async () => {
  const { queued } = await import("/static/phone/store.js");
  return (await queued()).filter((item) => item.state === "waiting").length;
}"""


def wait_until_sent(page: Page) -> None:
    """Wait until nothing waits on this phone any more."""
    page.evaluate("dispatchEvent(new Event('online'))")
    until(
        page,
        lambda: page.evaluate(HOW_MANY_WAIT) == 0,
        otherwise=lambda: f"{page.evaluate(HOW_MANY_WAIT)} entries wait: {page.locator('#phone').inner_text()}",
    )


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    for name, words in (("press", GOES_ON), ("phone", KEEPS_LATER), ("press", TAKES_NO_PRESS)):
        assert words in Path(finders.find(f"phone/{name}.js") or "").read_text(encoding="utf-8")
    with sync_playwright() as playwright:
        arguments = ["--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"]
        chromium = playwright.chromium.launch(executable_path=CHROMIUM, args=arguments)
        yield chromium
        chromium.close()


@pytest.fixture(scope="session", autouse=True)
def served_as_in_use() -> Iterator[None]:
    """What a page loads comes from where it comes in use, and a phone asks for it once.

    Years, since the time of the test, in its answers, is long past to a browser.
    """
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(settings, "WHITENOISE_MAX_AGE", 10 * 365 * 24 * 3600)
        patch.setattr(StaticFilesHandler, "_should_handle", lambda _self, _path: False)
        yield


@pytest.fixture
def evening() -> Iterator[datetime]:
    """18 minutes before Juniper's last meal of the day."""
    with time_machine.travel(EVENING, tick=True):
        yield EVENING


@pytest.fixture
def quarry(transactional_db: None, evening: datetime) -> Household:
    return quarry_lane(now=evening)


@pytest.fixture
def phone(browser: Browser, live_server) -> Iterator[Phone]:
    """Makes a phone of its own, signed in by a link where one is given; its finger may land twice."""
    contexts = []

    def make(
        *,
        link: str = "",
        scheme: str = "light",
        width: int = 360,
        height: int = 740,
        scripts: bool = True,
        worker: bool = False,
        ahead: timedelta = timedelta(0),
        lands_twice: bool = False,
    ) -> Page:
        context = browser.new_context(
            base_url=live_server.url,
            viewport={"width": width, "height": height},
            color_scheme=scheme,
            java_script_enabled=scripts,
            has_touch=True,
            device_scale_factor=2,
            service_workers="allow" if worker else "block",
        )
        set_clock(context, ahead=ahead)
        if scripts:
            context.add_init_script(UNSEEN_UNTIL_LOADED)
            quiet, keep = "600" if lands_twice else "60", "0" if worker else "2000000000"
            context.add_init_script(OTHER_WAITS.replace("QUIET", quiet).replace("KEEP", keep))
        context.set_default_timeout(PATIENCE_MILLIS)
        contexts.append(context)
        page = context.new_page()
        if link:
            page.goto(link)
            page.get_by_role("button", name="Sign in").click()
        return page

    yield make
    for context in contexts:
        context.close()


@pytest.fixture
def shots() -> Path | None:
    """Where pictures of the screens go: the folder in FILLMARK_SHOTS. Without it none is taken."""
    folder = os.environ.get("FILLMARK_SHOTS")
    return Path(folder) if folder else None
