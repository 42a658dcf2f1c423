"""A server in a process of its own, entries sent to it, and what became of them."""

import contextlib
import json
import os
import random
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from http.client import HTTPConnection, HTTPException, HTTPMessage
from typing import Any

from fillmark.services.record import new_entry_id
from tests.support.processes import ROOT, Record

TOKEN = "a" * 32
SERVE = (
    "import argparse; from fillmark.cli import serve; parser = argparse.ArgumentParser(); "
    "serve.add_arguments(parser); raise SystemExit(serve.run(parser.parse_args()))"
)


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def launch(record: Record, port: int) -> subprocess.Popen[bytes]:
    """A server in a group of its own, which does not answer yet."""
    command = [sys.executable, "-c", SERVE, "--port", str(port)]
    return subprocess.Popen(
        command, cwd=ROOT, env=record.environment, stdout=subprocess.DEVNULL, start_new_session=True
    )


def start(record: Record, port: int) -> subprocess.Popen[bytes]:
    """A server in a group of its own, answering."""
    server = launch(record, port)
    wait_until_it_answers(server, port)
    return server


def wait_until_it_answers(server: subprocess.Popen[bytes], port: int) -> None:
    deadline = time.monotonic() + 120
    while time.monotonic() < deadline:
        with contextlib.suppress(OSError, HTTPException):
            ask(port, "/alive")
            return
        assert server.poll() is None, "the server did not start"
        time.sleep(0.05)
    raise AssertionError("the server did not answer within 120 s")


def kill(server: subprocess.Popen[bytes]) -> None:
    """All of it at once, without a chance to finish anything."""
    with contextlib.suppress(ProcessLookupError):
        os.killpg(server.pid, signal.SIGKILL)
    server.wait()


def ask(port: int, path: str, **headers: str) -> tuple[int, HTTPMessage, bytes]:
    """GET a path: status, headers and body."""
    connection = HTTPConnection("127.0.0.1", port, timeout=60)
    try:
        connection.request("GET", path, headers={name.replace("_", "-"): value for name, value in headers.items()})
        answer = connection.getresponse()
        return answer.status, answer.headers, answer.read()
    finally:
        connection.close()


def send(port: int, cookie: str, entries: list[dict[str, Any]]) -> tuple[int, Any]:
    """POST entries, signed in: status and the answer."""
    connection = HTTPConnection("127.0.0.1", port, timeout=60)
    try:
        answer = post(connection, cookie, entries)
        return answer.status, json.loads(answer.read())
    finally:
        connection.close()


def post(connection: HTTPConnection, cookie: str, entries: list[dict[str, Any]]) -> Any:
    """The same over a connection that is open."""
    headers = {"Cookie": f"sessionid={cookie}; csrftoken={TOKEN}", "X-CSRFToken": TOKEN}
    connection.request("POST", "/entries", json.dumps(entries), {**headers, "Content-Type": "application/json"})
    return connection.getresponse()


def a_note(animal: str) -> dict[str, Any]:
    """An entry that costs the same however many its day holds."""
    return a_document(animal) | {"payload": {"kind": "note", "text": "slept well"}}


def a_document(animal: str, *, days_ago: int = 0) -> dict[str, Any]:
    now = datetime.now(UTC)
    at = now - timedelta(days=days_ago)
    return {
        "id": str(new_entry_id(now=now)),
        "animal_id": animal,
        "at": at.isoformat(),
        "zone": "Europe/Dublin",
        "device": "noor-phone",
        "payload": {"kind": "flush_given", "session": f"{at:%Y-%m-%dT%H:%M}", "step": "flush-before", "ml": 10},
    }


@dataclass
class Stream:
    """Entries that several clients send to several servers until each is acknowledged.

    Attributes:
        ports: Of the servers; a client that has no answer goes on to the next one.
        opened: The home, and the cookie of who is signed in.
        many: How many entries in all, at least.
        goes_on: Whether more are sent then.
        lost_answers: The share of posts whose answer is not read.
        seqs: The number under which each was acknowledged.
        waits: From the first sending of an entry to its acknowledgement [s].
        is_over: Every one is acknowledged, or a client gave up.
    """

    ports: list[int]
    opened: dict[str, str]
    many: int
    goes_on: Callable[[], bool] = lambda: False
    lost_answers: float = 0.0
    seqs: dict[str, int] = field(default_factory=dict)
    waits: list[float] = field(default_factory=list)
    is_over: threading.Event = field(default_factory=threading.Event)

    def run(self, *, clients: int = 8) -> None:
        """Send all of them."""
        with ThreadPoolExecutor(clients) as pool:
            try:
                list(pool.map(self._client, range(clients), [self.many // clients] * clients))
            finally:
                self.is_over.set()

    def _client(self, number: int, count: int) -> None:
        chance = random.Random(number)
        turn = number
        sent = 0
        while sent < count or self.goes_on():
            sent += 1
            document = a_document(self.opened["animal"], days_ago=chance.randrange(40))
            began = time.monotonic()
            while (seq := self._sent(self.ports[turn % len(self.ports)], document, chance)) is None:
                turn += 1
                time.sleep(0.05)
                assert time.monotonic() - began < 60, "no server has answered for a minute"
            self.seqs[document["id"]] = seq
            self.waits.append(time.monotonic() - began)

    def _sent(self, port: int, document: dict[str, Any], chance: random.Random) -> int | None:
        """The number it was acknowledged under; none where there was no answer, or none was read."""
        if chance.random() < self.lost_answers:
            connection = HTTPConnection("127.0.0.1", port, timeout=10)
            with contextlib.suppress(OSError, HTTPException):
                post(connection, self.opened["cookie"], [document])
            connection.close()
            return None
        try:
            status, answer = send(port, self.opened["cookie"], [document])
        except (OSError, HTTPException, ValueError):
            return None
        if status == 503:
            return None
        assert status == 200, answer
        assert answer["entries"][0]["ok"], answer
        return int(answer["entries"][0]["seq"])

    def check(self, kept: list[tuple[int, str]]) -> None:
        """Nothing lost, nothing twice, no gap, and each under the number it was acknowledged under."""
        ids = [entry_id for _, entry_id in kept]
        assert len(self.seqs) >= self.many
        assert len(set(ids)) == len(ids)
        assert [seq for seq, _ in kept] == list(range(1, len(kept) + 1))
        assert {entry_id: seq for seq, entry_id in kept} == self.seqs
