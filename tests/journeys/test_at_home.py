"""A phone on the home network: over a trusted connection it keeps the app; without one it works on and says so."""

import base64
import re
from collections.abc import Iterator
from datetime import datetime
from hashlib import sha256
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from playwright.sync_api import Browser, Page, expect

from tests.cli.test_serve import serving
from tests.journeys.conftest import CHROMIUM, HOW_MANY_WAIT, set_clock, wait_until_sent
from tests.journeys.household import Household
from tests.journeys.test_off_line import wait_until_kept
from tests.journeys.test_one_meal import big, seen, to_the_first_fill
from tests.support.processes import Record
from tests.support.servers import free_port

A_PHONE = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "device_scale_factor": 2}
NOT_KEPT = "cannot be kept here for times without a signal"
SECURE = "[isSecureContext, 'serviceWorker' in navigator, 'locks' in navigator, 'randomUUID' in crypto]"


@pytest.fixture
def at_home(tmp_path: Path) -> Iterator[tuple[Path, str]]:
    """The app as `serve --lan` serves it: where its data lie, and a link to sign in."""
    words = ("--demo", "--lan", "--host", "127.0.0.1", "--trust-port", str(free_port()))
    with serving(Record(tmp_path), *words) as (said, _, _):
        yield tmp_path / "demo", re.search(r"https://\S+/sign-in/\S+", said)[0] + "/"


def sign_in(page: Page, link: str) -> None:
    page.goto(link)
    page.get_by_role("button", name="Sign in").click()
    expect(page.locator(".who").first).to_be_visible()


def test_a_phone_that_trusts_the_certificate_keeps_the_app(browser: Browser, at_home: tuple[Path, str]) -> None:
    """The worker registers, and the first screen opens while the household's machine cannot be reached."""
    home, link = at_home
    certificate = x509.load_pem_x509_certificate((home / "server.pem").read_bytes())
    key = certificate.public_key().public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)
    trusted = base64.b64encode(sha256(key).digest()).decode()
    # Stands for the press on "install" in the phone's settings: this one key is trusted, whoever else asks is not.
    arguments = ["--no-sandbox", "--disable-gpu", f"--ignore-certificate-errors-spki-list={trusted}"]
    trusting = browser.browser_type.launch(executable_path=CHROMIUM, args=arguments)
    try:
        context = trusting.new_context(**A_PHONE)
        page = context.new_page()
        sign_in(page, link)
        assert page.evaluate(SECURE) == [True] * 4
        wait_until_kept(page, "/")
        expect(page.locator("#phone")).not_to_contain_text(NOT_KEPT)
        context.set_offline(True)
        page.reload()
        expect(page.locator(".who").first).to_be_visible()
        expect(page.locator("#phone")).to_contain_text("No answer from the household's machine")
    finally:
        trusting.close()


def test_a_phone_that_clicked_the_warning_away_is_told(browser: Browser, at_home: tuple[Path, str]) -> None:
    """The browser refuses the worker; the app works while it is connected, and says what it cannot do."""
    _, link = at_home
    context = browser.new_context(**A_PHONE, ignore_https_errors=True)
    try:
        page = context.new_page()
        sign_in(page, link)
        expect(page.locator("#phone")).to_contain_text("This phone does not trust this address yet")
        expect(page.locator("#phone")).to_contain_text(NOT_KEPT)
        assert page.evaluate("async () => (await navigator.serviceWorker.getRegistrations()).length") == 0
    finally:
        context.close()


@pytest.mark.hazard("H27")
def test_over_plain_http_a_phone_works_on_and_loses_nothing(
    browser: Browser, live_server, quarry: Household, evening: datetime, settings
) -> None:
    """No worker, no locks, no ready-made ids: presses are kept in the open page and sent once, and the page says so."""
    settings.ALLOWED_HOSTS = ["kitchen.example"]
    arguments = ["--no-sandbox", "--disable-gpu", "--host-resolver-rules=MAP kitchen.example 127.0.0.1"]
    plain = browser.browser_type.launch(executable_path=CHROMIUM, args=arguments)
    try:
        address = f"http://kitchen.example:{live_server.url.rpartition(':')[2]}"
        context = plain.new_context(**A_PHONE, base_url=address)
        set_clock(context)
        page = context.new_page()
        sign_in(page, quarry.link(quarry.noor, now=evening))
        assert page.evaluate(SECURE) == [False] * 4
        expect(page.locator("#phone")).to_contain_text(f"This address is not encrypted, so the app {NOT_KEPT}")
        to_the_first_fill(page)
        wait_until_sent(page)
        before = quarry.all_ids()

        context.set_offline(True)
        for _ in range(3):
            big(page, "It is in")
        expect(seen(page, "180 of 210 mL in")).to_be_visible()
        expect(page.locator("#phone")).to_contain_text("3 entries are on this phone and not sent yet")
        assert page.evaluate(HOW_MANY_WAIT) == 3
        assert quarry.all_ids() == before

        context.set_offline(False)
        wait_until_sent(page)
        now = quarry.all_ids()
        assert len(now) == len(set(now)) == len(before) + 3
        assert all(entry_id.version == 7 for entry_id in now)
    finally:
        plain.close()
