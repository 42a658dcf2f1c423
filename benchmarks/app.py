"""The app at the animal's side: what a first visit costs, how fast the first screen opens, also without a signal."""

import os
import signal
import socket
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from statistics import median
from time import perf_counter

from playwright.sync_api import BrowserContext, Page, sync_playwright

from benchmarks.record import here
from tests.support.processes import ROOT, Record

PAGE_MS = 30
"""Server time that 95 of 100 openings of a page at the animal's side keep to."""
FIRST_VISIT_KB = 120
OPENS_WITHIN_SECONDS = 1.0
CHROMIUM = os.environ.get("FILLMARK_CHROMIUM", "/usr/bin/chromium")


def rows() -> list[dict[str, object]]:
    """Server time with ten years of entries beside ten days; bytes and seconds of a phone's browser."""
    with tempfile.TemporaryDirectory() as place:
        ours = here(Record(Path(place)), "pages")
    found: list[dict[str, object]] = []
    for page, name in (("first", "first screen"), ("day", "the day's record")):
        few, many = ours[f"{page}_10_days"], ours[f"{page}_10_years"]
        found.append(
            {
                "name": f"{name}, server time (95 %), ten years of entries",
                "value": many,
                "unit": "ms",
                "promise": f"1.3 times ten days, and {PAGE_MS} ms, or less",
                "peer": f"with ten days: {few:.3g} ms",
                "ratio": many / few,
                "ok": many <= min(1.3 * few, PAGE_MS),
            }
        )
    with tempfile.TemporaryDirectory() as place, _served(Path(place)) as link:
        return found + _in_a_browser(link)


@contextmanager
def _served(home: Path) -> Iterator[str]:
    """The demonstration household, served as people serve it; the sign-in link comes out."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [str(Path(sys.executable).with_name("fillmark")), "serve", "--demo", "--port", str(port)]
    environment = {**os.environ, "FILLMARK_HOME": str(home)}
    server = subprocess.Popen(
        command, cwd=ROOT, env=environment, stdout=subprocess.PIPE, text=True, start_new_session=True
    )
    assert server.stdout is not None
    try:
        yield next(line.split()[-1] for line in server.stdout if "Sign in" in line)
    finally:
        os.killpg(server.pid, signal.SIGTERM)
        server.wait(timeout=20)


def _in_a_browser(link: str) -> list[dict[str, object]]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"])
        phone = browser.new_context(viewport={"width": 360, "height": 740}, is_mobile=True)
        page = phone.new_page()
        page.goto(link)
        page.get_by_role("button", name="Sign in").click()
        page.locator(".who").wait_for()
        first = page.url
        kept = phone.storage_state()
        transferred, unpacked = _first_visit(browser.new_context(storage_state=kept, service_workers="block"), first)
        _wait_until_kept(page)
        on_line = _opening(page, first)
        phone.set_offline(True)
        off_line = _opening(page, first)
        browser.close()
    return [
        {
            "name": "first visit of the first screen, transferred",
            "value": transferred / 1000,
            "unit": "kB",
            "promise": f"{FIRST_VISIT_KB} or less",
            "peer": f"the same, not packed: {unpacked / 1000:.0f} kB",
            "ratio": transferred / unpacked,
            "ok": transferred <= FIRST_VISIT_KB * 1000,
        },
        {
            "name": "first screen opens without a signal",
            "value": off_line,
            "unit": "s",
            "promise": f"{OPENS_WITHIN_SECONDS:g} or less",
            "peer": f"with a signal: {on_line:.3g} s",
            "ratio": off_line / on_line,
            "ok": off_line <= OPENS_WITHIN_SECONDS,
        },
    ]


def _first_visit(phone: BrowserContext, address: str) -> tuple[float, float]:
    """Bytes over the line, heads included, and the bytes they unpack to, with an empty cache.

    What the phone puts by afterwards, for times without a signal, is not part of opening a screen.
    """
    page = phone.new_page()
    page.route("**/keep", lambda route: route.abort())
    session = phone.new_cdp_session(page)
    session.send("Network.enable")
    over_the_line: list[float] = []
    unpacked: list[float] = []
    session.on("Network.loadingFinished", lambda event: over_the_line.append(event["encodedDataLength"]))
    session.on("Network.dataReceived", lambda event: unpacked.append(event["dataLength"]))
    page.goto(address, wait_until="networkidle")
    return sum(over_the_line), sum(unpacked)


def _wait_until_kept(page: Page) -> None:
    """Until the worker stands and the phone has put its pages by."""
    asks = "async () => (await (await caches.open('fillmark-pages')).keys()).length"
    before = -1
    while True:
        page.wait_for_timeout(1500)
        now = page.evaluate(asks)
        if now and now == before:
            return
        before = now


def _opening(page: Page, address: str) -> float:
    """From the tap to the big button in its place, the usual of five [seconds]."""
    taken = []
    for _ in range(5):
        start = perf_counter()
        page.goto(address, wait_until="commit")
        page.locator(".big:visible").first.wait_for()
        taken.append(perf_counter() - start)
    return median(taken)
