"""A disk that runs full while entries stream in: it is told, nothing is lost, and with space it goes on."""

import subprocess
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any

import pytest

from tests.support.postgres import Postgres, new_database, own_postgres
from tests.support.processes import Record
from tests.support.servers import a_document, ask, free_port, kill, send, start


@contextmanager
def small_disk(place: Path, *, mb: int) -> Iterator[None]:
    """A disk of its own, in memory."""
    made = subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={mb}m,mode=755", "none", place], capture_output=True)
    if made.returncode:
        pytest.skip("this user may not make a small disk")
    try:
        yield
    finally:
        subprocess.run(["umount", "--lazy", place], check=True)


def a_long_note(animal: str) -> dict[str, Any]:
    return a_document(animal) | {"payload": {"kind": "note", "text": "slept well " * 150}}


@pytest.mark.hazard("H27")
@pytest.mark.parametrize("database", ["sqlite", pytest.param("postgresql", marks=pytest.mark.long)])
def test_a_disk_that_runs_full_loses_nothing_and_goes_on_with_space(tmp_path: Path, database: str) -> None:
    """SQLite beside the record, PostgreSQL on its own: 503 while it is full, and each entry once in the end."""
    with ExitStack() as stack:
        server: Postgres | None = None
        if database == "postgresql":
            server = stack.enter_context(own_postgres(is_durable=True, disk=lambda place: small_disk(place, mb=75)))
            place, grown = server.place, 200
            record = Record(tmp_path / "home", new_database(server.address, "full"))
        else:
            place, grown = tmp_path / "home", 40
            place.mkdir()
            stack.enter_context(small_disk(place, mb=3))
            record = Record(place)
        opened = record.do("open_home")
        port = free_port()
        app = start(record, port)
        stack.callback(kill, app)
        acknowledged: dict[str, int] = {}
        for _ in range(400):
            waiting = [a_long_note(opened["animal"]) for _ in range(100)]
            status, answer = send(port, opened["cookie"], waiting)
            if status != 200:
                break
            acknowledged |= {one["id"]: one["seq"] for one in answer["entries"]}
        assert status == 503, "the disk never ran full"
        assert ask(port, "/alive")[0] == 200
        assert send(port, opened["cookie"], waiting)[0] == 503

        subprocess.run(["mount", "-o", f"remount,size={grown}m", place], check=True)
        deadline = time.monotonic() + 60
        while ask(port, "/ready")[0] != 200:
            assert time.monotonic() < deadline, "it does not go on"
            if server is not None:
                server.bring_back()
            time.sleep(0.1)
        status, answer = send(port, opened["cookie"], waiting)
        assert status == 200, answer
        acknowledged |= {one["id"]: one["seq"] for one in answer["entries"]}
        assert {entry_id: seq for seq, entry_id in record.do("read", **opened)} == acknowledged
        assert len(set(acknowledged.values())) == len(acknowledged) == max(acknowledged.values())
        assert record.run("verify").returncode == 0
