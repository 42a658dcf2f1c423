"""A passkey signs its person in on their device, and on no other; the browser's virtual device makes and uses it."""

from datetime import datetime

import pytest
from playwright.sync_api import Page, expect

from fillmark.services import passkeys, sign_in
from tests.journeys.barriers import no_barrier
from tests.journeys.conftest import Phone
from tests.journeys.household import Household

pytestmark = pytest.mark.hazard("H34")


def with_a_lock(page: Page, *, unlocks: bool = True) -> None:
    """Give this phone a lock that makes and keeps passkeys (Web Authentication, W3C: virtual authenticators)."""
    devtools = page.context.new_cdp_session(page)
    devtools.send("WebAuthn.enable")
    options = {"protocol": "ctap2", "transport": "internal", "hasResidentKey": True, "hasUserVerification": True}
    devtools.send(
        "WebAuthn.addVirtualAuthenticator",
        {"options": {**options, "isUserVerified": unlocks, "automaticPresenceSimulation": True}},
    )


def make_a_passkey(page: Page) -> None:
    page.goto("/household/")
    page.get_by_role("button", name="Make a passkey on this device").click()
    expect(page.get_by_role("button", name="End it")).to_be_visible()


def sign_out_and_in(page: Page) -> None:
    page.goto("/household/")
    page.get_by_role("button", name="Sign out", exact=True).click()
    expect(page.get_by_role("heading", name="Sign in")).to_be_visible()
    page.get_by_role("button", name="Sign in with a passkey").click()


def test_a_passkey_signs_in_until_it_is_ended(phone: Phone, quarry: Household, evening: datetime) -> None:
    """A lead reads of each step; another phone, and this one after the end, is refused in words."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    with_a_lock(page)
    with no_barrier(page, None) as look_at:
        make_a_passkey(page)
        look_at("household")
        sign_out_and_in(page)
        page.wait_for_url(lambda address: "/sign-in/" not in address)
        page.goto("/household/sign-ins/")
        expect(page.get_by_text("Noor signed in by a passkey")).to_be_visible()
        expect(page.get_by_text("Noor made a passkey")).to_be_visible()
        look_at("sign-ins")
    page.goto("/household/")
    page.get_by_role("button", name="End it").click()
    expect(page.get_by_role("button", name="End it")).to_have_count(0)
    sign_out_and_in(page)
    expect(page.get_by_role("alert")).to_contain_text("A passkey that is not known here")


def test_a_lost_phone_signs_in_by_its_passkey_no_more(phone: Phone, quarry: Household, evening: datetime) -> None:
    """Nor where the phone's own lock was not opened; and what was sent once is not taken a second time."""
    page = phone(link=quarry.link(quarry.sam, now=evening))
    with_a_lock(page)
    make_a_passkey(page)
    sent = []
    page.on("request", lambda request: sent.append(request) if request.url.endswith("/sign-in/passkey/") else None)
    sign_out_and_in(page)
    page.wait_for_url(lambda address: "/sign-in/" not in address)
    again = page.request.post(
        "/sign-in/passkey/",
        data=sent[0].post_data,
        headers={"X-CSRFToken": page.context.cookies()[0]["value"], "Content-Type": "application/json"},
    )
    assert again.status == 403

    sign_in.sign_out_everywhere(household_id=quarry.id, by=quarry.noor, person_id=quarry.sam, now=evening)
    assert passkeys.find_passkeys(quarry.sam) == ()
    page.goto("/sign-in/")
    page.get_by_role("button", name="Sign in with a passkey").click()
    expect(page.get_by_role("alert")).to_contain_text("A passkey that is not known here")


def test_a_lock_that_stays_shut_makes_no_passkey(phone: Phone, quarry: Household, evening: datetime) -> None:
    """It is told, and the password and the link are there as before."""
    page = phone(link=quarry.link(quarry.noor, now=evening))
    with_a_lock(page, unlocks=False)
    page.goto("/household/")
    page.get_by_role("button", name="Make a passkey on this device").click()

    expect(page.get_by_role("alert").filter(visible=True)).to_contain_text("Nothing was done")
    assert passkeys.find_passkeys(quarry.noor) == ()
