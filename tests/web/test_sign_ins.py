"""Signing in: guessing is slow, a person who mistypes is not kept out, and a lead reads who came in."""

import re
import time
from datetime import datetime, timedelta
from types import SimpleNamespace
from typing import Any

import pytest
import time_machine
from django.test import Client, RequestFactory

from fillmark.core.values.people import Role
from fillmark.services import household, passwords, sign_in
from fillmark.web import turned_away
from tests.journeys.household import Household
from tests.support.builders import EVENING
from tests.web.test_screens import a_phone

PASSWORD = "warm water first"


@pytest.fixture(autouse=True)
def no_rest(monkeypatch: pytest.MonkeyPatch, settings: Any) -> None:
    """What a process spends on guessers is measured in tests/faults/test_servers.py; here nobody waits for it."""
    monkeypatch.setattr(passwords, "_RESTS", 0.0)
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture
def sam(quarry: Household) -> Household:
    """A household in which Sam has a password."""
    sign_in.choose_password(
        household_id=quarry.id, person_id=quarry.sam, user_name="sam", password=PASSWORD, now=EVENING
    )
    return quarry


def try_to_sign_in(
    name: str, password: str, *, at: datetime = EVENING, address: str = "192.0.2.7", **headers: str
) -> Any:
    with time_machine.travel(at, tick=False):
        return Client(REMOTE_ADDR=address).post("/sign-in/", {"name": name, "password": password}, headers=headers)


@pytest.mark.hazard("H34")
def test_guessing_one_name_becomes_slow_and_its_owner_waits_no_longer_than_a_minute(sam: Household) -> None:
    """From many addresses too; while it waits, the right password is not looked at either."""
    for number in range(5):
        assert try_to_sign_in("sam", f"guess {number}", address=f"192.0.2.{number}").status_code == 400

    refused = try_to_sign_in("Sam", PASSWORD, address="192.0.2.99")
    assert (refused.status_code, refused["Retry-After"]) == (429, "2")
    assert "Allowed: the next one in 2 seconds." in refused.content.decode()
    at = EVENING
    for _ in range(12):
        at += timedelta(seconds=60)
        assert try_to_sign_in("sam", "a guess", at=at).status_code == 400
    assert int(try_to_sign_in("sam", PASSWORD, at=at + timedelta(seconds=1))["Retry-After"]) in (59, 60)
    assert try_to_sign_in("sam", PASSWORD, at=at + timedelta(seconds=61)).status_code == 302
    assert try_to_sign_in("sam", "mistyped", at=at + timedelta(seconds=62)).status_code == 400  # begins anew


@pytest.mark.hazard("H34")
def test_guessing_many_names_from_one_address_becomes_slow(sam: Household) -> None:
    """Of an IPv6 address the half that a visitor chooses freely does not count; a link works meanwhile."""
    for number in range(20):
        address = f"2001:db8:0:1::{number:x}"
        assert try_to_sign_in(f"name{number}", "a guess", address=address).status_code == 400

    assert try_to_sign_in("sam", PASSWORD, address="2001:db8:0:1:ffff::1").status_code == 429
    assert try_to_sign_in("sam", PASSWORD, address="2001:db8:0:2::1").status_code == 302
    token = sign_in.make_link(
        household_id=sam.id, by=sam.noor, person_id=sam.sam, now=EVENING, valid_for=timedelta(days=1)
    )
    with time_machine.travel(EVENING, tick=False):
        assert Client(REMOTE_ADDR="2001:db8:0:1::1").post(f"/sign-in/{token}/").status_code == 302


def test_a_household_that_signs_in_all_day_is_never_slowed(sam: Household) -> None:
    """The right password does not count against its address."""
    for number in range(25):
        assert try_to_sign_in("sam", PASSWORD, at=EVENING + timedelta(seconds=number)).status_code == 302


def test_a_clock_that_is_set_back_keeps_nobody_out_for_longer(sam: Household) -> None:
    """The tries of a year ahead, before the machine's clock was put right."""
    for _ in range(5):
        try_to_sign_in("sam", "a guess", at=EVENING + timedelta(days=365))

    assert int(try_to_sign_in("sam", PASSWORD)["Retry-After"]) <= 2


@pytest.mark.hazard("H34")
def test_two_tries_at_once_do_not_count_as_one(sam: Household, monkeypatch: pytest.MonkeyPatch) -> None:
    """Both have read the same count; the second is sent away unlooked at."""
    tries = passwords.sign_ins.tries
    monkeypatch.setattr(passwords.sign_ins, "tries", lambda key, since: None)
    assert try_to_sign_in("sam", "a guess").status_code == 400
    assert try_to_sign_in("sam", PASSWORD).status_code == 429
    monkeypatch.setattr(passwords.sign_ins, "tries", tries)
    assert try_to_sign_in("sam", PASSWORD).status_code == 302


@pytest.mark.parametrize(
    ("content_type", "is_signed_in", "length", "status"),
    [
        ("multipart/form-data; boundary=x", True, 21_000_001, 413),
        ("multipart/form-data; boundary=x", False, 2_700_000, 413),
        ("application/json", True, 2_700_000, 413),
        ("application/json", True, 1, 400),  # it is read, and is no JSON
        ("application/x-www-form-urlencoded", False, 10**17, 413),
    ],
)
def test_what_declares_more_than_anything_here_can_mean_is_not_read(
    quarry: Household, content_type: str, is_signed_in: bool, length: int, status: int
) -> None:
    """By its declared length: not a byte of it is waited for."""
    phone = a_phone(quarry) if is_signed_in else Client()

    answer = phone.generic("POST", "/entries", b"x", content_type, CONTENT_LENGTH=str(length))

    assert answer.status_code == status
    if status == 413:
        assert "Nothing of it was read." in answer.json()["error"]


@pytest.mark.hazard("H25")
def test_a_lead_reads_who_came_in_and_who_let_whom_in(sam: Household) -> None:
    """Links, passwords, passes, wrong passwords and ends; with the device and the address."""
    phone = "Mozilla/5.0 (iPhone; CPU iPhone OS 18_1 like Mac OS X)"
    days = {"from_on": EVENING.date(), "until_on": EVENING.date() + timedelta(days=1)}
    who = {"household_id": sam.id, "by": sam.noor, "now": EVENING}
    ilse = household.add_person(**who, name="Ilse", role=Role.SITTER, **days)
    try_to_sign_in("sam", "a guess", user_agent=phone)
    try_to_sign_in("sam", PASSWORD, user_agent=phone)
    token = sign_in.make_link(**who, person_id=ilse.id, valid_for=timedelta(days=1))
    with time_machine.travel(EVENING, tick=False):
        Client(REMOTE_ADDR="192.0.2.8").post(f"/sign-in/{token}/")
    sign_in.end_sign_in(**who, person_id=ilse.id)

    page = a_phone(sam).get("/household/sign-ins/").content.decode()

    told = [re.sub("<[^>]+>", " ", one).split() for one in re.findall("<li>(.*?)</li>", page)]
    assert [" ".join(one[1:]) for one in told][:8] == [
        "Ilse signs in no more by Noor",
        "Ilse was signed out everywhere by Noor",
        "Ilse signed in by a link from 192.0.2.8",
        "Ilse got a new link by Noor",
        "Sam signed in by a password iPhone, from 192.0.2.7",
        "Sam was refused: a wrong password iPhone, from 192.0.2.7",
        "Ilse may come in sitter from 25 November 2026 to 26 November 2026, by Noor",
        "Sam chose a password",
    ]
    assert "Who came in" in a_phone(sam).get("/household/").content.decode()
    assert "Who came in" not in a_phone(sam, sam.sam).get("/household/").content.decode()


def test_whoever_insists_is_turned_away_before_anything_is_looked_up(monkeypatch: pytest.MonkeyPatch) -> None:
    """A third guess while two are being tried; entries of somebody who was just told that their home does not move."""
    reached = []
    guarded = turned_away.guard(lambda environ, start: [reached.append(environ["PATH_INFO"]) or b"in"])

    def send(path: str, cookie: str = "") -> str:
        said = ["200"]
        list(
            guarded(
                {"REQUEST_METHOD": "POST", "PATH_INFO": path, "HTTP_COOKIE": cookie},
                lambda status, headers: said.append(f"{status}, {dict(headers)['Retry-After']}"),
            )
        )
        return said[-1]

    with passwords._turn():
        assert send("/sign-in/") == "200"
        with passwords._waiting:
            assert send("/sign-in/") == "429 Too Many Requests, 2"
            assert send("/entries") == "200"
    assert send("/sign-in/") == "200"

    now = time.monotonic()
    turned_away.tell_to_come_again(RequestFactory().post("/entries", headers={"Cookie": "sessionid=sam"}))
    assert send("/entries", "sessionid=sam") == "503 Service Unavailable, 2"
    assert send("/entries", "sessionid=noor") == "200"
    assert send("/sign-in/", "sessionid=sam") == "200"
    monkeypatch.setattr(turned_away.time, "monotonic", lambda: now + 2.1)
    assert send("/entries", "sessionid=sam") == "200"
    assert reached == ["/sign-in/", "/entries", "/sign-in/", "/entries", "/sign-in/", "/entries"]


@pytest.mark.hazard("H34")
def test_after_a_wrong_password_the_next_one_waits(sam: Household, monkeypatch: pytest.MonkeyPatch) -> None:
    """So many times as long as the trying took, whoever comes next; after the right one nobody waits."""
    monkeypatch.setattr(passwords, "_RESTS", 9.0)
    clock, slept = [100.0], []
    monkeypatch.setattr(passwords, "time", SimpleNamespace(monotonic=lambda: clock[0], sleep=slept.append))

    def takes_a_tenth(**_: str) -> None:
        clock[0] += 0.1

    with monkeypatch.context() as patched:
        patched.setattr(passwords, "authenticate", takes_a_tenth)
        assert try_to_sign_in("sam", "a guess").status_code == 400
    assert try_to_sign_in("sam", PASSWORD, address="192.0.2.8").status_code == 302
    assert try_to_sign_in("sam", PASSWORD, address="192.0.2.8").status_code == 302

    assert slept == [0.0, pytest.approx(0.9), 0.0]
