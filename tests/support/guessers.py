"""Twelve who guess passwords as fast as they are answered: `python -m tests.support.guessers PORT`.

At the end they print how many answers of each status they were given, as JSON.
"""

import contextlib
import json
import os
import random
import signal
import sys
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from http.client import HTTPConnection, HTTPException
from urllib.parse import urlencode

AT_ONCE = 12
_TOKEN = "a" * 32
answers: Counter[int] = Counter()


def guess(number: int) -> None:
    """Each guess for another name and from another address: only what is spent on all of them together holds it."""
    chance = random.Random(number)
    while True:
        form = {"csrfmiddlewaretoken": _TOKEN, "name": f"name{chance.random()}", "password": f"guess{chance.random()}"}
        headers = {
            "Cookie": f"csrftoken={_TOKEN}",
            "Content-Type": "application/x-www-form-urlencoded",
            "X-Forwarded-For": ".".join(str(chance.randint(1, 254)) for _ in range(4)),
        }
        with contextlib.suppress(OSError, HTTPException):
            connection = HTTPConnection("127.0.0.1", int(sys.argv[1]), timeout=60)
            connection.request("POST", "/sign-in/", urlencode(form), headers)
            answers[connection.getresponse().status] += 1
            connection.close()


def end(*_: object) -> None:
    print(json.dumps(answers), flush=True)
    os._exit(0)


if __name__ == "__main__":
    signal.signal(signal.SIGTERM, end)
    os.nice(15)  # they guess from machines of their own, and take nothing from this one but the answers
    pool = ThreadPoolExecutor(AT_ONCE)
    for place in range(AT_ONCE):
        pool.submit(guess, place)
    signal.pause()
