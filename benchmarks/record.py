"""Recording one entry, beside the bare insert of the same row."""

import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from time import perf_counter

import psycopg

from tests.support.postgres import find_binaries, new_database, running_postgres
from tests.support.processes import ROOT, Record

ENTRIES = 400
PEAK_PER_SECOND = 150
"""Entries a second at the morning peak of 100,000 animals: what one server must take."""
LISTED_PER_SECOND = 750
"""Entries a second in lists of 25, when a network comes back: five times the peak."""
_COLUMNS = "id, household, animal, seq, kind, at, zone, day, session, recorded_at, by, device, payload, corrects"


def _row(number: int) -> tuple[object, ...]:
    """The same facts as one entry has, as a bare row."""
    at = "2026-11-25 07:00:00.000000+00:00"
    ids = (f"{number:032x}", "b" * 32, "c" * 32)
    payload = '{"kind":"fill_given","session":"2026-11-25T07:00","fill":1,"ml":60.0}'
    tail = (at, "Europe/Dublin", "2026-11-25", "2026-11-25T07:00", at, "d" * 32, "noor-phone", payload, None)
    return (*ids, number, "fill_given", *tail)


def _per_second(insert: Callable[[int], object]) -> float:
    start = perf_counter()
    for number in range(ENTRIES):
        insert(number)
    return ENTRIES / (perf_counter() - start)


def _bare_sqlite(place: Path) -> float:
    """One durable transaction for each row, in the same mode."""
    connection = sqlite3.connect(place / "bare.sqlite3", isolation_level=None)
    connection.executescript(
        f"PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; CREATE TABLE entry ({_COLUMNS}, PRIMARY KEY (id));"
        "CREATE UNIQUE INDEX entry_seq ON entry (household, seq); CREATE INDEX entry_day ON entry (animal, day);"
    )
    marks = ", ".join("?" * 14)

    def insert(number: int) -> None:
        connection.execute("BEGIN IMMEDIATE")
        connection.execute(f"INSERT INTO entry VALUES ({marks})", _row(number))
        connection.execute("COMMIT")

    rate = _per_second(insert)
    connection.close()
    return rate


def _bare_postgres(server: str) -> float:
    with psycopg.connect(new_database(server, "bare"), autocommit=True) as connection:
        columns = ", ".join(f'"{name.strip()}" text' for name in _COLUMNS.split(","))
        connection.execute(f"CREATE TABLE entry ({columns}, PRIMARY KEY (id), UNIQUE (household, seq))")  # type: ignore[call-overload]
        connection.execute("CREATE INDEX ON entry (animal, day)")
        marks = ", ".join(["%s"] * 14)
        return _per_second(lambda number: connection.execute(f"INSERT INTO entry VALUES ({marks})", _row(number)))  # type: ignore[call-overload]


def here(record: Record, what: str) -> dict[str, float]:
    """Our own figures, in a process of their own."""
    command = [sys.executable, "-m", "benchmarks._record_here", what]
    done = subprocess.run(command, cwd=ROOT, env=record.environment, capture_output=True, text=True)
    if done.returncode:
        raise RuntimeError(done.stderr)
    return {name: float(value) for name, value in (line.split() for line in done.stdout.splitlines())}


def rows() -> list[dict[str, object]]:
    """Each figure beside its peer."""
    found: list[dict[str, object]] = []

    def add(kind: str, ours: dict[str, float], bare: float) -> None:
        for name, what, promise in (
            ("one by one", "recorded", PEAK_PER_SECOND),
            ("lists of 25", "listed", LISTED_PER_SECOND),
        ):
            value, cpu_ms = ours[f"{what}_per_second"], ours[f"{what}_cpu_ms"]
            found.append(
                {
                    "name": f"entries, {name}, {kind}",
                    "value": value,
                    "unit": f"per second ({cpu_ms:.2f} ms of processor each)",
                    "promise": f"{promise} or more",
                    "peer": f"bare durable insert: {bare:.0f}",
                    "ratio": value / bare,
                    "ok": value >= promise,
                }
            )

    with tempfile.TemporaryDirectory() as place:
        add("SQLite", here(Record(Path(place)), str(ENTRIES)), _bare_sqlite(Path(place)))
    if find_binaries():
        with tempfile.TemporaryDirectory() as place, running_postgres(is_durable=True) as server:
            add(
                "PostgreSQL",
                here(Record(Path(place), new_database(server, "ours")), str(ENTRIES)),
                _bare_postgres(server),
            )
    return found
