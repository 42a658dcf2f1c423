"""The server is killed while entries stream in: what it acknowledged is there, once."""

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
from datetime import UTC, datetime
from http.client import HTTPConnection, HTTPException
from pathlib import Path
from typing import Any

import pytest

from fillmark.services.record import new_entry_id
from tests.support.postgres import new_database
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


def start(record: Record, port: int) -> subprocess.Popen[bytes]:
    """A server in a group of its own, answering."""
    command = [sys.executable, "-c", SERVE, "--port", str(port)]
    server = subprocess.Popen(
        command, cwd=ROOT, env=record.environment, stdout=subprocess.DEVNULL, start_new_session=True
    )
    deadline = time.monotonic() + 120
    while time.monotonic() < deadline:
        with contextlib.suppress(OSError, HTTPException):
            send(port, "none", [])
            return server
        assert server.poll() is None, "the server did not start"
        time.sleep(0.05)
    raise AssertionError("the server did not answer within 120 s")


def kill(server: subprocess.Popen[bytes]) -> None:
    """All of it at once, without a chance to finish anything."""
    with contextlib.suppress(ProcessLookupError):
        os.killpg(server.pid, signal.SIGKILL)
    server.wait()


def send(port: int, cookie: str, entries: list[dict[str, Any]]) -> tuple[int, Any]:
    connection = HTTPConnection("127.0.0.1", port, timeout=60)
    try:
        headers = {"Cookie": f"sessionid={cookie}; csrftoken={TOKEN}", "X-CSRFToken": TOKEN}
        connection.request("POST", "/entries", json.dumps(entries), {**headers, "Content-Type": "application/json"})
        answer = connection.getresponse()
        return answer.status, json.loads(answer.read())
    finally:
        connection.close()


def a_document(animal: str) -> dict[str, Any]:
    now = datetime.now(UTC)
    return {
        "id": str(new_entry_id(now=now)),
        "animal_id": animal,
        "at": now.isoformat(),
        "zone": "Europe/Dublin",
        "device": "noor-phone",
        "payload": {"kind": "flush_given", "session": f"{now:%Y-%m-%dT%H:%M}", "step": "flush-before", "ml": 10},
    }


def stream_until_killed(record: Record, opened: dict[str, str], *, kills: int, chance: random.Random) -> None:
    """Send entries by twos, kill the server at a random moment, send again what had no answer; `kills` times."""
    acknowledged: dict[str, int] = {}
    waiting: list[dict[str, Any]] = []
    for _ in range(kills):
        port = free_port()
        server = start(record, port)
        try:
            # It strikes while this thread is in the middle of whatever it does, once the server has answered.
            killer = threading.Timer(chance.uniform(0.0, 0.4), os.killpg, (server.pid, signal.SIGKILL))
            with contextlib.suppress(OSError, HTTPException, ValueError):
                while True:
                    waiting += [a_document(opened["animal"]) for _ in range(2)]
                    status, answer = send(port, opened["cookie"], waiting)
                    assert status == 200, answer
                    for one in answer["entries"]:
                        assert one["ok"], one
                        acknowledged[one["id"]] = one["seq"]
                    waiting = []
                    if killer.ident is None:
                        killer.start()
            if killer.ident is not None:
                killer.join()
        finally:
            kill(server)
    kept = record.do("read", **opened)
    ids = [entry_id for _, entry_id in kept]
    assert len(acknowledged) > kills
    assert len(set(ids)) == len(ids)
    assert [seq for seq, _ in kept] == list(range(1, len(kept) + 1))
    assert {entry_id: seq for seq, entry_id in kept}.items() >= acknowledged.items()
    assert set(ids) - set(acknowledged) <= {one["id"] for one in waiting}


@pytest.mark.hazard("H27")
@pytest.mark.parametrize(
    ("database", "kills"),
    [
        ("sqlite", 15),
        pytest.param("sqlite", 200, marks=pytest.mark.long),
        pytest.param("postgresql", 60, marks=pytest.mark.long),
    ],
)
def test_what_was_acknowledged_survives_every_kill(
    tmp_path: Path, request: pytest.FixtureRequest, database: str, kills: int
) -> None:
    """Every acknowledged entry under its own number, none twice, no gap; what got no answer is sent again."""
    server = request.getfixturevalue("postgres") if database == "postgresql" else None
    record = Record(tmp_path, new_database(server, f"killed-{kills}") if server else None)
    opened = record.do("open_home")

    stream_until_killed(record, opened, kills=kills, chance=random.Random(kills))
