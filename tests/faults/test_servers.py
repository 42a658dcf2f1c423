"""A server among servers: its names, its proxy, its neighbors on one database, and a database that is gone."""

import contextlib
import json
import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from statistics import median
from typing import Any

import psycopg
import pytest

from tests.support.postgres import Postgres, new_database, own_postgres
from tests.support.processes import ROOT, Record
from tests.support.servers import (
    Stream,
    a_document,
    a_note,
    ask,
    free_port,
    kill,
    launch,
    send,
    start,
    wait_until_it_answers,
)

KEY = "k" * 64
YEAR = "max-age=31536000"


@contextlib.contextmanager
def serving(record: Record) -> Iterator[int]:
    port = free_port()
    server = start(record, port)
    try:
        yield port
    finally:
        kill(server)


def ask_of_home(port: int, cookie: str) -> int:
    return ask(port, "/entries?since=0", Cookie=f"sessionid={cookie}")[0]


def test_a_server_behind_a_proxy_goes_by_its_public_name(tmp_path: Path) -> None:
    """It believes the proxy on its machine that the way is encrypted, and binds only who came by that name to it."""
    settings = {"FILLMARK_HTTPS": "care.harbor.org", "FILLMARK_HOSTS": "inside", "FILLMARK_WORKERS": "1"}
    with serving(Record(tmp_path, settings=settings)) as port:
        told = {
            host: ask(port, "/sign-in/", Host=host, X_Forwarded_Proto="https", X_Forwarded_For="203.0.113.9")
            for host in ("care.harbor.org", "localhost", "inside", "elsewhere.org")
        }
        plain = ask(port, "/sign-in/", Host="care.harbor.org")

    assert {host: status for host, (status, _, _) in told.items()} == {
        "care.harbor.org": 200,
        "localhost": 200,
        "inside": 200,
        "elsewhere.org": 400,
    }
    bound = {host: headers.get("Strict-Transport-Security") for host, (_, headers, _) in told.items()}
    assert bound == {"care.harbor.org": YEAR, "localhost": None, "inside": None, "elsewhere.org": None}
    assert "Strict-Transport-Security" not in plain[1]  # the proxy did not say that it was encrypted
    assert "; Secure" in told["inside"][1]["Set-Cookie"]  # of the form's token


@pytest.mark.parametrize(
    ("name", "value", "message"),
    [
        ("FILLMARK_HTTPS", "localhost", 'FILLMARK_HTTPS is "localhost". Allowed: 1 where the pages travel encrypted'),
        ("FILLMARK_HTTPS", "kitchen.local", 'FILLMARK_HTTPS is "kitchen.local".'),
        ("FILLMARK_HTTPS", "192.168.1.20", 'FILLMARK_HTTPS is "192.168.1.20".'),
        ("FILLMARK_PROXIES", "anyone", 'FILLMARK_PROXIES names "anyone". Allowed: addresses and networks in digits'),
        ("FILLMARK_WORKERS", "0", 'FILLMARK_WORKERS is "0". Allowed: a whole number from 1 to 64.'),
        ("FILLMARK_THREADS", "many", 'FILLMARK_THREADS is "many".'),
        ("FILLMARK_SECRET_KEY", "short", "A FILLMARK_SECRET_KEY of 5 characters. Allowed: 50 characters or more"),
        ("FILLMARK_DATABASE", "host=/nowhere dbname=x", "A database that cannot be used ("),
    ],
)
def test_what_cannot_be_meant_is_told_before_anything_is_served(
    tmp_path: Path, name: str, value: str, message: str
) -> None:
    """In one message, without a traceback."""
    record = Record(tmp_path, settings={name: value})
    server = record.run("serve", "--port", str(free_port()))

    assert server.returncode == 2
    assert server.stderr.startswith(f"fillmark: {message}")
    assert "Traceback" not in server.stderr


@pytest.mark.parametrize("database", ["sqlite", "postgresql"])
def test_two_that_are_started_at_once_make_one_home(
    tmp_path: Path, request: pytest.FixtureRequest, database: str
) -> None:
    """The second waits until the tables are there, and finds the household that the first has opened."""
    address = new_database(request.getfixturevalue("postgres"), "two-at-once") if database == "postgresql" else None
    records = [Record(tmp_path / name if address else tmp_path, address) for name in "ab"]
    ports = [free_port() for _ in records]
    servers = [launch(record, port) for record, port in zip(records, ports, strict=True)]
    try:
        for server, port in zip(servers, ports, strict=True):
            wait_until_it_answers(server, port)
            assert json.loads(ask(port, "/ready")[2]) == {"ready": True}
    finally:
        for server in servers:
            kill(server)
    assert records[0].do("homes") == 1


def test_the_port_of_a_server_that_was_killed_is_free(tmp_path: Path) -> None:
    """Its workers end with it: nobody is answered by what is left of it."""
    port = free_port()
    server = start(Record(tmp_path), port)
    try:
        os.kill(server.pid, signal.SIGKILL)  # the first process alone
        server.wait()
        deadline = time.monotonic() + 6
        while True:
            with contextlib.suppress(OSError), socket.socket() as probe:
                probe.bind(("127.0.0.1", port))
                break
            assert time.monotonic() < deadline, "the port is still taken"
            time.sleep(0.05)
    finally:
        kill(server)


@pytest.fixture
def durable() -> Iterator[Postgres]:
    with own_postgres(is_durable=True) as server:
        yield server


@pytest.fixture
def two_homes(tmp_path: Path, postgres: str) -> tuple[Record, dict[str, str], dict[str, str]]:
    """A record with two households, each with somebody signed in."""
    record = Record(tmp_path, new_database(postgres, f"two-homes-{free_port()}"), {"FILLMARK_SECRET_KEY": KEY})
    return record, record.do("open_home"), record.do("open_home")


def held(record: Record, household: str) -> Any:
    """A connection that holds the row of a home until it is closed."""
    connection = psycopg.connect(record.database or "")
    connection.execute("SELECT 1 FROM records_household WHERE id = %s FOR UPDATE", [household])
    return connection


@pytest.mark.hazard("H27")
def test_one_home_that_does_not_move_stops_no_other(two_homes: tuple[Record, dict[str, str], dict[str, str]]) -> None:
    """Twelve write to it: each is told so in time; the other home, the pages and the sign-in go on meanwhile."""
    record, one, other = two_homes
    with serving(record) as port, held(record, one["household"]), ThreadPoolExecutor(12) as pool:

        def wait_in_vain(_: int) -> tuple[int, float]:
            began = time.monotonic()
            status, _ = send(port, one["cookie"], [a_document(one["animal"])])
            return status, time.monotonic() - began

        waiting = [pool.submit(wait_in_vain, number) for number in range(12)]
        time.sleep(1)
        began = time.monotonic()
        for _ in range(20):
            assert send(port, other["cookie"], [a_document(other["animal"])])[0] == 200
            assert ask(port, "/sign-in/")[0] == 200
        assert time.monotonic() - began < 3
        answers = [one.result() for one in waiting]

    assert {status for status, _ in answers} == {503}
    assert max(seconds for _, seconds in answers) < 5
    assert len(record.do("read", **other)) == 20
    assert record.do("read", **one) == []


@pytest.mark.hazard("H27")
def test_a_database_that_is_gone_is_told_and_is_used_again_when_it_is_back(tmp_path: Path, durable: Postgres) -> None:
    """As JSON to a phone, as a page to a person, each with when to come again; and nothing is written by halves."""
    record = Record(tmp_path, new_database(durable.address, "gone"), {"FILLMARK_WORKERS": "1"})
    opened = record.do("open_home")
    first, second = ([a_document(opened["animal"])] for _ in range(2))
    with serving(record) as port:
        assert send(port, opened["cookie"], first)[0] == 200
        durable.stop("immediate")
        status, answer = send(port, opened["cookie"], second)
        assert (status, answer) == (
            503,
            {"error": "The record cannot be reached now. Send it again: what was kept already is not kept twice."},
        )
        status, headers, page = ask(port, "/", Cookie=f"sessionid={opened['cookie']}", Accept="text/html")
        assert (status, headers["Retry-After"]) == (503, "2")
        assert b"The record cannot be reached" in page
        status, headers, body = ask(port, "/ready")
        assert (status, headers["Retry-After"]) == (503, "2")
        assert json.loads(body) == {"ready": False, "error": "The database does not answer."}
        assert json.loads(ask(port, "/alive", Host="10.0.0.7")[2]) == {"alive": True}
        durable.start()
        assert ask(port, "/ready")[0] == 200
        assert send(port, opened["cookie"], [*first, *second])[0] == 200
    assert [entry_id for _, entry_id in record.do("read", **opened)] == [first[0]["id"], second[0]["id"]]


def test_two_servers_of_one_database_share_who_is_signed_in(tmp_path: Path, postgres: str) -> None:
    """By one key; with another key a sign-in does not hold."""
    address = new_database(postgres, "shared-sign-in")
    ours = [Record(tmp_path / name, address, {"FILLMARK_SECRET_KEY": KEY}) for name in "ab"]
    stranger = Record(tmp_path / "c", address, {"FILLMARK_SECRET_KEY": "x" * 64})
    cookie = ours[0].do("open_home")["cookie"]

    with serving(ours[0]) as one, serving(ours[1]) as other, serving(stranger) as third:
        found = [ask_of_home(port, cookie) for port in (one, other, one, third)]

    assert found == [200, 200, 200, 401]


FAULTS = ("a server", "a restart", "kill", "fast", "immediate", "a cut", "lost answers")
"""A server is killed or started anew; how the database is stopped; all its connections are cut; one answer in five is
not read.
"""


@pytest.mark.hazard("H27")
@pytest.mark.hazard("H1")
@pytest.mark.parametrize(
    ("faults", "many"),
    [
        pytest.param(("a server",), 100, id="a server in 100 posts"),
        pytest.param(FAULTS, 400, marks=pytest.mark.long, id="each of them in 400 posts"),
        *(pytest.param((one,), 4000, marks=pytest.mark.long, id=f"{one} in 4,000 posts") for one in FAULTS),
    ],
)
def test_two_servers_of_one_database_lose_and_double_nothing(
    tmp_path: Path, durable: Postgres, faults: tuple[str, ...], many: int
) -> None:
    """Whatever stops in mid-write: each entry once, without a gap, and nobody waits longer than 5 seconds.

    Where the machine is so busy that its database is away for longer, nobody waits much longer than that.
    """
    address = new_database(durable.address, "two-servers")
    records = [Record(tmp_path / name, address, {"FILLMARK_SECRET_KEY": KEY}) for name in "ab"]
    opened = records[0].do("open_home")
    ports = [free_port() for _ in records]
    servers = [start(record, port) for record, port in zip(records, ports, strict=True)]
    away = [0.0]
    done = {fault: 0 for fault in faults if fault != "lost answers"}
    stream = Stream(
        ports=ports,
        opened=opened,
        many=many,
        goes_on=lambda: not all(done.values()),
        lost_answers=0.2 * ("lost answers" in faults),
    )

    def break_things() -> None:
        while done and not stream.is_over.wait(1.0 + max(away)):  # what was broken is whole again before the next
            fault = min(done, key=lambda one: done[one])
            place = done[fault] % 2
            if fault == "a cut":
                with psycopg.connect(f"{durable.address} dbname=postgres", autocommit=True) as one:
                    one.execute("SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = 'two-servers'")
            elif fault in ("a server", "a restart"):
                if fault == "a restart":
                    servers[place].terminate()  # what it works on is still answered
                    servers[place].wait(timeout=60)
                kill(servers[place])
                servers[place] = start(records[place], ports[place])
            else:
                began = time.monotonic()
                durable.stop(fault)
                durable.start()
                away.append(time.monotonic() - began)
            done[fault] += 1

    try:
        with ThreadPoolExecutor(2) as pool:
            sending, breaking = pool.submit(stream.run), pool.submit(break_things)
            sending.result()
            breaking.result()
    finally:
        for server in servers:
            kill(server)

    longest, usual = max(stream.waits), median(stream.waits)
    print(f"{len(stream.seqs)} posts, {done}, database away for up to {max(away):.2f} s")
    print(f"longest wait {longest:.2f} s, median {usual:.3f} s")
    stream.check(records[0].do("read", **opened))
    assert all(done.values())
    assert longest <= max(5, max(away) + 2)


def posts_per_second(port: int, opened: dict[str, str], seconds: float) -> float:
    """How many entries four clients of a home get acknowledged."""
    ends = time.monotonic() + seconds

    def one_client(_: int) -> int:
        count = 0
        while time.monotonic() < ends:
            status, _ = send(port, opened["cookie"], [a_note(opened["animal"])])
            assert status in (200, 503)
            count += status == 200
        return count

    with ThreadPoolExecutor(4) as pool:
        return sum(pool.map(one_client, range(4))) / seconds


def rates_beside(port: int, opened: dict[str, str], insistent: list[str], *, windows: int, seconds: float) -> float:
    """What is left of a home's rate beside twelve who insist: measured turn by turn in one run."""
    command = [sys.executable, "-m", "tests.support.insistent", str(port), *insistent]
    alone, beside = [], []
    twelve = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE)
    try:
        time.sleep(1)
        for _ in range(windows):
            twelve.send_signal(signal.SIGSTOP)
            time.sleep(0.3)
            alone.append(posts_per_second(port, opened, seconds))
            twelve.send_signal(signal.SIGCONT)
            time.sleep(0.3)
            beside.append(posts_per_second(port, opened, seconds))
        twelve.terminate()
        answers = json.loads(twelve.communicate(timeout=60)[0])
    finally:
        twelve.send_signal(signal.SIGCONT)
        twelve.kill()
        twelve.wait()
    print(f"alone {sum(alone) / windows:.0f}/s, beside twelve {sum(beside) / windows:.0f}/s; {answers}")
    assert set(answers) <= {"400", "429", "503"}
    assert sum(answers.values()) > 100
    return sum(beside) / sum(alone)


@pytest.mark.long
@pytest.mark.hazard("H34")
@pytest.mark.parametrize("what", ["guess", "write"])
def test_who_insists_leaves_the_other_homes_four_fifths_of_their_rate(
    two_homes: tuple[Record, dict[str, str], dict[str, str]], what: str
) -> None:
    """Twelve who guess passwords from many addresses; twelve who write to a home whose row is held."""
    record, one, other = two_homes
    proxied = Record(record.home, record.database, {**record.settings, "FILLMARK_PROXIES": "127.0.0.1"})
    insistent = [what] if what == "guess" else [what, one["cookie"], one["animal"]]
    with serving(proxied) as port, held(record, one["household"]):
        left = rates_beside(port, other, insistent, windows=10, seconds=1.0)

    assert left >= 0.8
    assert record.do("read", **one) == []
