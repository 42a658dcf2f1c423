"""Twelve who send one thing again and again, as soon as they are answered, up to 25 times a second each.

Without that bound the processor would be theirs: they share it with the server, as no guesser in use does.

`python -m tests.support.insistent PORT guess` guesses passwords; `… PORT write COOKIE ANIMAL` writes notes. Ended, they
print how many answers of each status they were given, as JSON.
"""

import contextlib
import json
import os
import random
import signal
import sys
import time
import uuid
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from http.client import HTTPConnection, HTTPException
from urllib.parse import urlencode

AT_ONCE = 12
_PACE_SECONDS = 0.04
_TOKEN = "a" * 32
answers: Counter[int] = Counter()


def a_guess(chance: random.Random) -> tuple[str, str, dict[str, str]]:
    """For another name and from another address each time: only what is spent on all of them together holds them."""
    form = {"csrfmiddlewaretoken": _TOKEN, "name": f"name{chance.random()}", "password": f"guess{chance.random()}"}
    headers = {
        "Cookie": f"csrftoken={_TOKEN}",
        "Content-Type": "application/x-www-form-urlencoded",
        "X-Forwarded-For": ".".join(str(chance.randint(1, 254)) for _ in range(4)),
    }
    return "/sign-in/", urlencode(form), headers


def a_note(chance: random.Random) -> tuple[str, str, dict[str, str]]:
    _, _, _, cookie, animal = sys.argv
    now = datetime.now(UTC)
    entry = {
        "id": str(
            uuid.UUID(int=(int(now.timestamp() * 1000) << 80) | (0x7 << 76) | (0x2 << 62) | chance.getrandbits(60))
        ),
        "animal_id": animal,
        "at": now.isoformat(),
        "zone": "Europe/Dublin",
        "device": "noor-phone",
        "payload": {"kind": "note", "text": "slept well"},
    }
    headers = {
        "Cookie": f"sessionid={cookie}; csrftoken={_TOKEN}",
        "X-CSRFToken": _TOKEN,
        "Content-Type": "application/json",
    }
    return "/entries", json.dumps([entry]), headers


def insist(number: int) -> None:
    chance = random.Random(number)
    make = {"guess": a_guess, "write": a_note}[sys.argv[2]]
    while True:
        began = time.monotonic()
        with contextlib.suppress(OSError, HTTPException):
            connection = HTTPConnection("127.0.0.1", int(sys.argv[1]), timeout=60)
            path, body, headers = make(chance)
            connection.request("POST", path, body, headers)
            answers[connection.getresponse().status] += 1
            connection.close()
        time.sleep(max(0.0, _PACE_SECONDS - (time.monotonic() - began)))


def end(*_: object) -> None:
    print(json.dumps(answers), flush=True)
    os._exit(0)


if __name__ == "__main__":
    signal.signal(signal.SIGTERM, end)
    os.nice(15)  # they do it from machines of their own, and take nothing from this one but the answers
    pool = ThreadPoolExecutor(AT_ONCE)
    for place in range(AT_ONCE):
        pool.submit(insist, place)
    signal.pause()
