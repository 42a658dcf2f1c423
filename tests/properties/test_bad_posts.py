"""Posts and addresses that no browser of ours sends, over all fields and routes: none is our fault."""

import json
import logging
import random
import re
import sys
import traceback
from collections.abc import Iterator
from html.parser import HTMLParser
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.signals import got_request_exception
from django.db import transaction
from django.test import Client
from django.urls import URLPattern, get_resolver

from fillmark.services import record, sign_in
from tests.journeys.household import Household
from tests.support.builders import EVENING
from tests.web import conftest as of_web
from tests.web.test_who_sees import PAGES

pytestmark = pytest.mark.hazard("H42")
quarry = of_web.quarry
"""The household in the evening."""
BAD = [
    *("", " ", "\u200b", "\x00", "a\x00b", "\ud7ff\uffff", "\x85", "\u202e", "x" * 10_001, "0", "-1", "-0", "1e309"),
    *(
        "NaN",
        "inf",
        "9" * 40,
        "0.0000000000000000000000000001",
        "１２",
        "1,000",
        "½",
        "[",
        "{}",
        "null",
        "true",
        "'",
        '"',
    ),
    *("0001-01-01", "9999-12-31", "1990-01-01", "2100-12-31", "2026-02-30", "２０２６-11-25", "2026-W48-3", "20261125"),
    *("0001-01-01T00:00", "9999-12-31T23:59", "2026-11-25T20:00", "2026-11-25T24:00", "2026-03-29T01:30"),
    *("24:00", "23:59:60", "00:00", "7", "25:61", "localtime", "posixrules", "../../etc/passwd", "Mars/Olympus"),
    *("00000000-0000-0000-0000-000000000000", "ffffffff-ffff-7fff-bfff-ffffffffffff", "not known", "yes", "both"),
    *("12/9999", "EXP 00/2027", "5 mg/mL", "1000000000 mg/mL", "0 mg/mL", "1e5 kg", "%s", "<b>", "//evil.example"),
]
KEYS = [
    *("kind", "session", "medicine", "dose_mg", "ml", "made_on", "entries", "animal", "plan", "foods", "timetable"),
    *("orders", "household", "format"),
]


SESSIONS = [
    *("2026-11-25T20:00", "2026-11-26T03:59", "0001-01-01T00:00", "9999-12-31T23:59", "1990-01-01T00:00"),
    *("2100-12-31T23:59", "2026-11-25T24:00"),
]


class Forms(HTMLParser):
    """The forms of a page: where each is sent, and its fields with what they say."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {key: value or "" for key, value in attrs}
        if tag == "form" and told.get("method", "get").lower() == "post":
            self.found.append((told.get("action", ""), {}))
        name = told.get("name", "")
        if self.found and tag in ("input", "select", "textarea", "button") and name not in ("", "csrfmiddlewaretoken"):
            self.found[-1][1].setdefault(name, told.get("value", ""))


def forms_of(client: Client, pages: list[str]) -> list[tuple[str, dict[str, str]]]:
    found: dict[tuple[str, str], tuple[str, dict[str, str]]] = {}
    for page in pages:
        reader = Forms()
        reader.feed(client.get(page).content.decode(errors="replace"))
        for action, fields in reader.found:
            found[action or page, " ".join(sorted(fields))] = (action or page, fields)
    return [one for one in found.values() if not one[0].endswith("/sign-out/")]


def routes() -> Iterator[URLPattern]:
    waiting = list(get_resolver().url_patterns)
    for one in waiting:
        waiting += getattr(one, "url_patterns", [])
        if isinstance(one, URLPattern):
            yield one


def all_paths(quarry: Household, chance: random.Random) -> list[str]:
    """An address of every route, with values that its places take, and others that they do not."""
    found = []
    entries = quarry.all_ids()
    values = {
        "animal_id": lambda: chance.choice([quarry.animal_id] * 8 + [uuid4()]),
        "on": lambda: chance.choice(["2026-11-25", "1900-01-01", "2199-12-31", "1990-01-01", "2100-12-31"]),
        "first": lambda: chance.choice(["2026-11-25", "1990-01-01", "2100-12-31", "2026-02-30"]),
        "session": lambda: chance.choice(SESSIONS),
        "number": lambda: chance.choice([0, 1, 2, 2**31, 2**63, 10**30]),
    }
    prefixes: list[tuple[Any, str]] = [(get_resolver(), "")]
    for resolver, prefix in prefixes:
        for one in resolver.url_patterns:
            pattern = prefix + str(one.pattern)
            if hasattr(one, "url_patterns"):
                prefixes.append((one, pattern))
                continue
            if "sign-out" in pattern:
                continue

            def place(match: re.Match[str]) -> str:
                name = match[2]
                if name in values:
                    return str(values[name]())
                if match[1] == "uuid:":
                    return str(chance.choice([*entries, UUID(int=0), uuid4()]))
                return chance.choice(["omeprazole", "metoclopramide", "ondansetron", "x" * 300, "%00", "..", "1"])

            found.append("/" + re.sub(r"<(\w+:)?(\w+)>", place, pattern))
    return found


def document(quarry: Household, chance: random.Random, depth: int = 0) -> Any:
    """An entry, or what somebody took for one."""
    if depth > 2 or chance.random() < 0.3:
        return chance.choice([*BAD, None, 0, -1, 1e300, 10**25, True, [], {}])
    if chance.random() < 0.3:
        return [document(quarry, chance, depth + 1) for _ in range(chance.randint(0, 3))]
    return {chance.choice(KEYS): document(quarry, chance, depth + 1) for _ in range(chance.randint(0, 5))}


def entry(quarry: Household, chance: random.Random) -> Any:
    made: Any = {
        "id": str(record.new_entry_id(now=EVENING)),
        "animal_id": str(quarry.animal_id),
        "at": EVENING.isoformat(),
        "zone": "Europe/Dublin",
        "device": "x",
        "payload": document(quarry, chance),
    }
    for key in chance.sample(list(made), chance.randint(0, 2)):
        made[key] = document(quarry, chance, 1)
    return made


class Poster:
    """Posts bad things, each undone after its answer, and keeps what was a fault of ours."""

    def __init__(self, quarry: Household, chance: random.Random) -> None:
        self.quarry, self.chance = quarry, chance
        self.client = Client(raise_request_exception=False)
        self.client.force_login(sign_in.user_of(quarry.noor), backend="django.contrib.auth.backends.ModelBackend")
        self.posts, self.faults, self.seen = 0, [], ""
        got_request_exception.connect(self.see)

    def see(self, **_: Any) -> None:
        """Where the fault is, for whoever mends it."""
        kind, fault, trace = sys.exc_info()
        frames = [f"{one.filename.rpartition('/')[2]}:{one.lineno}" for one in traceback.extract_tb(trace)[-4:]]
        self.seen = f"{kind and kind.__name__}: {fault} at {' '.join(frames)}"[:400]

    def send(self, method: str, path: str, said: Any = None, **how: Any) -> None:
        self.posts += 1
        with transaction.atomic():
            answer = getattr(self.client, method)(path, said, **how)
            transaction.set_rollback(True)
        if answer.status_code >= 500:
            self.faults.append((method, path[:200], str(said)[:300], self.seen))

    def bad_fields(self, fields: dict[str, str]) -> dict[str, Any]:
        chance = self.chance
        said: dict[str, Any] = dict(fields)
        for name in chance.sample(list(said), min(len(said), chance.randint(1, 3))):
            what = chance.random()
            if what < 0.1:
                del said[name]
            elif what < 0.2:
                said[name] = [chance.choice(BAD), chance.choice(BAD)]
            else:
                said[name] = chance.choice(BAD)
        if chance.random() < 0.05:
            said["photo"] = SimpleUploadedFile("x.jpg", chance.randbytes(50), content_type="image/jpeg")
        return said


def post_all(quarry: Household, chance: random.Random, *, many: int) -> Poster:
    poster = Poster(quarry, chance)
    logging.disable(logging.CRITICAL)
    try:
        pages = [path for path in all_paths(quarry, random.Random(1)) if "%" not in path]
        pages += [f"/{quarry.animal_id}/2026-11-25T20:00/", "/", "/household/"]
        forms = forms_of(poster.client, pages)
        assert len(forms) > 40
        each = [(action, fields, name) for action, fields in forms for name in fields or [""]]
        for action, fields, name in chance.sample(each, min(len(each), many // 3)):
            poster.send("post", action, fields | ({name: chance.choice(BAD)} if name else {}))
        while poster.posts < many:
            what = chance.random()
            if what < 0.6:
                action, fields = chance.choice(forms)
                poster.send("post", action, poster.bad_fields(fields))
            elif what < 0.85:
                path = chance.choice(all_paths(quarry, chance))
                names = (
                    "day",
                    "since",
                    "first",
                    "last",
                    "before",
                    "what",
                    "in",
                    "size",
                    "version",
                    "asked_at",
                    "meals",
                )
                asked = {chance.choice(names): chance.choice(BAD) for _ in range(chance.randint(0, 3))}
                poster.send(chance.choice(["get", "get", "post"]), path, asked)
            else:
                entries = [entry(quarry, chance) for _ in range(chance.randint(1, 4))]
                body = json.dumps(
                    {"entries": entries, "fresh": chance.choice([[], ["x"], entries, 7]), "set_aside": True}
                )
                poster.send("post", "/entries", body, content_type="application/json")
    finally:
        logging.disable(logging.NOTSET)
    return poster


def test_no_bad_post_is_a_fault_of_ours(quarry: Household) -> None:
    """Every page's forms are among them, and every route."""
    poster = post_all(quarry, random.Random(11), many=250)

    assert poster.faults == []
    assert {one.name for one in routes() if one.name} >= {name for name, _, _ in PAGES}


@pytest.mark.long
@pytest.mark.parametrize("seed", range(10))
def test_no_bad_post_of_twenty_thousand_is_a_fault_of_ours(quarry: Household, seed: int) -> None:
    poster = post_all(quarry, random.Random(100 + seed), many=2_000)

    assert poster.posts >= 2_000
    assert poster.faults == []
