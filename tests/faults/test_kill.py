"""The server is killed while entries stream in: what it acknowledged is there, once."""

import contextlib
import os
import random
import signal
import threading
from http.client import HTTPException
from pathlib import Path
from typing import Any

import pytest

from tests.support.postgres import new_database
from tests.support.processes import Record
from tests.support.servers import a_document, free_port, kill, send, start


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
