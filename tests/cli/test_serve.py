"""`fillmark serve`: it answers, says where, and comes back quickly."""

import contextlib
import os
import re
import signal
import socket
import stat
import subprocess
import sys
import time
from collections.abc import Iterator
from http.client import HTTPConnection
from pathlib import Path

import pytest

from tests.support.processes import Record


@contextlib.contextmanager
def serving(record: Record, *words: str) -> Iterator[tuple[str, int, float]]:
    """A running server: what it printed when it was ready, its port, and how long that took [s]."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    started = time.monotonic()
    command = [sys.executable, "-m", "fillmark.cli.main", "serve", "--port", str(port), *words]
    server = subprocess.Popen(
        command, env=record.environment, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    )
    assert server.stdout is not None
    try:
        said = ""
        while "Ctrl-C" not in said:
            line = server.stdout.readline()
            assert line, said
            said += line
        yield said, port, time.monotonic() - started
    finally:
        server.send_signal(signal.SIGINT)
        server.wait(timeout=120)
        server.stdout.close()
    assert server.returncode in (0, 130, -signal.SIGINT)


def ask(port: int, path: str) -> tuple[int, bytes]:
    connection = HTTPConnection("127.0.0.1", port, timeout=60)
    try:
        connection.request("GET", path)
        answer = connection.getresponse()
        return answer.status, answer.read()
    finally:
        connection.close()


def test_the_demonstration_answers_and_the_second_start_takes_under_five_seconds(tmp_path: Path) -> None:
    """It prints its address, a link to sign in and where the data lie; the files of the screens come with it."""
    record = Record(tmp_path)
    with serving(record, "--demo") as (said, port, _):
        assert f"http://localhost:{port}\n" in said
        assert "No animal yet" not in said
        assert re.search(rf"http://localhost:{port}/sign-in/[\w-]{{40,}}\n", said)
        assert str(tmp_path / "demo") in said
        assert ask(port, "/entries")[0] == 401
        assert ask(port, "/static/shared/base.css")[0] == 200

    seconds = []
    while len(seconds) < 3 and min(seconds, default=5) >= 5:  # a busy machine does not decide
        with serving(record, "--demo") as (_, port, one):
            assert ask(port, "/entries")[0] == 401
            seconds.append(one)
    assert min(seconds) < 5


def test_an_empty_record_opens_a_household(tmp_path: Path) -> None:
    """Without the demonstration, in its own place."""
    with serving(Record(tmp_path)) as (said, port, _):
        assert "/sign-in/" in said
        assert "No animal yet: sign in and take in your care plan file, or run `fillmark take-in FILE`." in said
        assert ask(port, "/entries")[0] == 401
    assert (tmp_path / "fillmark.sqlite3").exists()


@pytest.mark.hazard("H34")
def test_only_this_user_may_read_the_record(tmp_path: Path) -> None:
    """Also where an earlier version let others, and what the database keeps beside its file."""
    (tmp_path / "fillmark.sqlite3").touch(mode=0o644)
    with serving(Record(tmp_path)) as (_, port, _):
        assert ask(port, "/entries")[0] == 401
        modes = {one.name: stat.S_IMODE(one.stat().st_mode) for one in tmp_path.glob("fillmark.sqlite3*")}

    assert modes == dict.fromkeys(("fillmark.sqlite3", "fillmark.sqlite3-wal", "fillmark.sqlite3-shm"), 0o600)


def test_a_name_that_is_not_this_machines_is_refused(tmp_path: Path) -> None:
    """A page elsewhere that points its name here learns nothing."""
    with serving(Record(tmp_path)) as (_, port, _):
        connection = HTTPConnection("127.0.0.1", port, timeout=60)
        connection.request("GET", "/entries", headers={"Host": "elsewhere.example"})
        assert connection.getresponse().status == 400
        connection.close()


def test_a_taken_port_is_told_in_one_message(tmp_path: Path) -> None:
    """With another one to try; nothing is made on the disk."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        done = subprocess.run(
            [sys.executable, "-m", "fillmark.cli.main", "serve", "--port", str(port)],
            env={**os.environ, "FILLMARK_HOME": str(tmp_path / "data")},
            capture_output=True,
            text=True,
        )

    assert done.returncode == 2
    assert done.stderr.startswith(f"Port {port} on 127.0.0.1 is taken or may not be used. Allowed: a free port")
    assert not (tmp_path / "data").exists()
