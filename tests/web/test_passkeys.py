"""What is no passkey is refused in words, whatever it is."""

import json
from typing import Any

import pytest
from django.test import Client

from tests.journeys.household import Household
from tests.web.test_screens import a_phone

HALF = {"id": "AA", "rawId": "AA", "type": "public-key", "response": {}}
BAD = [
    b"",
    b"{",
    b"[]",
    b"7",
    b'"x"',
    b"\xff",
    b"[" * 50_000,
    json.dumps(HALF).encode(),
    b'{"id": null}',
    b"x" * 30_000,
]


@pytest.mark.hazard("H34")
@pytest.mark.parametrize("body", BAD)
@pytest.mark.parametrize("path", ["/sign-in/passkey/", "/household/passkey/"])
@pytest.mark.parametrize("is_asked", [True, False])
def test_what_no_device_says_is_refused(quarry: Household, path: str, body: bytes, is_asked: bool) -> None:
    """Never a fault of ours, asked before or not."""
    phone: Any = a_phone(quarry)
    if is_asked:
        assert phone.post(f"{path}ask/").json()["challenge"]

    answer = phone.generic("POST", path, body, "application/json")

    assert answer.status_code == 403
    assert "A passkey that is not known here" in answer.json()["error"]


def test_a_challenge_is_another_each_time_and_holds_the_name_of_the_server(quarry: Household) -> None:
    """And whoever is not signed in makes none."""
    asked = [a_phone(quarry).post("/household/passkey/ask/").json() for _ in range(2)]
    assert asked[0]["challenge"] != asked[1]["challenge"]
    assert asked[0]["rp"] == {"name": "Fillmark", "id": "testserver"}
    assert asked[0]["user"]["name"] == "Noor"
    assert asked[0]["authenticatorSelection"]["userVerification"] == "required"
    assert Client().post("/household/passkey/ask/").status_code == 302
