"""The server is killed while entries stream in: what it acknowledged is there, once."""

import contextlib
import os
import random
import signal
import threading
from collections.abc import Iterator
from http.client import HTTPException
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest

from tests.support.postgres import new_database, running_postgres
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


_AT_ONCE = 50
"""So many kills in one process, which then ends: none of them waits for long."""


def a_record(request: pytest.FixtureRequest, place: Path, database: str) -> Record:
    server = request.getfixturevalue("postgres_that_is_durable") if database == "postgresql" else None
    return Record(place, new_database(server, f"killed-{uuid4()}") if server else None)


@pytest.fixture(scope="module")
def postgres_that_is_durable() -> Iterator[str]:
    with running_postgres(is_durable=True) as server:
        yield server


@pytest.mark.hazard("H27")
@pytest.mark.parametrize(
    ("database", "kills"),
    [
        ("sqlite", 3),
        pytest.param("sqlite", 60, marks=pytest.mark.long),
        pytest.param("postgresql", 30, marks=pytest.mark.long),
    ],
)
def test_what_was_acknowledged_survives_every_kill(
    tmp_path: Path, request: pytest.FixtureRequest, database: str, kills: int
) -> None:
    """Every acknowledged entry under its own number, none twice, no gap; what got no answer is sent again."""
    record = a_record(request, tmp_path, database)
    opened = record.do("open_home")

    stream_until_killed(record, opened, kills=kills, chance=random.Random(kills))


@pytest.mark.hazard("H27")
@pytest.mark.parametrize(
    ("database", "kills"),
    [
        ("sqlite", 12),
        ("postgresql", 12),
        pytest.param("sqlite", 1000, marks=pytest.mark.long),
        pytest.param("postgresql", 300, marks=pytest.mark.long),
    ],
)
def test_two_writers_are_killed_in_mid_write(
    tmp_path: Path, request: pytest.FixtureRequest, database: str, kills: int
) -> None:
    """At once, at any moment of their writing: nothing lost, doubled or half-written, by the record's own check too."""
    record = a_record(request, tmp_path, database)
    opened = record.do("open_home")

    acknowledged: dict[str, int] = {}
    waiting: set[str] = set()
    in_mid_write = 0
    for number, some in enumerate([_AT_ONCE] * (kills // _AT_ONCE) + [kills % _AT_ONCE] * (kills % _AT_ONCE > 0)):
        found = record.do("kill_in_mid_write", **opened, kills=some, chance=number)
        acknowledged |= found["acknowledged"]
        waiting |= set(found["waiting"])
        in_mid_write += found["in_mid_write"]

    kept = record.do("read", **opened)
    ids = [entry_id for _, entry_id in kept]
    print(f"{kills} kills, {len(kept)} entries, {in_mid_write} writers killed with an entry on its way")
    assert in_mid_write > kills / 2
    assert len(set(ids)) == len(ids)
    assert [seq for seq, _ in kept] == list(range(1, len(kept) + 1))
    assert {entry_id: seq for seq, entry_id in kept}.items() >= acknowledged.items()
    assert set(ids) - set(acknowledged) <= waiting
    verified = record.run("verify")
    assert verified.returncode == 0, verified.stderr


@pytest.mark.hazard("H27")
@pytest.mark.parametrize("database", ["sqlite", "postgresql"])
@pytest.mark.parametrize("at", [16, *(pytest.param(one, marks=pytest.mark.long) for one in (0, 9, 22))])
def test_a_home_whose_first_start_was_killed_starts_again(
    tmp_path: Path, request: pytest.FixtureRequest, database: str, at: int
) -> None:
    """Killed between a change of its tables and the note that it was made."""
    record = a_record(request, tmp_path, database)
    assert killed_by_itself(record, at=at)

    assert record.do("read", **record.do("open_home")) == []


@pytest.mark.hazard("H27")
@pytest.mark.parametrize("database", ["sqlite", "postgresql"])
def test_a_record_whose_tables_were_being_changed_starts_again(
    tmp_path: Path, request: pytest.FixtureRequest, database: str
) -> None:
    """A version later, with entries: killed at each change, it is whole, and the last start makes them all."""
    record = a_record(request, tmp_path, database)
    opened = record.do("open_home")
    written = record.do("record", **opened, threads=1, count=10)
    assert (
        record.run("verify", "--rebuild").returncode == 0
    )  # what waits to be added up is noted by the new tables alone

    assert killed_by_itself(record, at=0, back_to="0005")
    assert killed_by_itself(record, at=1)
    assert not killed_by_itself(record, at=100)
    assert [entry_id for _, entry_id in record.do("read", **opened)] == written
    assert "nothing was found missing" in record.run("verify").stdout


def killed_by_itself(record: Record, **task: Any) -> bool:
    """Whether the start came as far as the change that it was to be killed at."""
    started = record.start("make_tables_until_killed", **task)
    _, told = started.communicate(timeout=60)
    assert started.returncode in (0, -signal.SIGKILL), told
    return started.returncode == -signal.SIGKILL
