"""What a test does to a record from another process: `python -m tests.support.other_process TASK JSON`."""

import contextlib
import json
import multiprocessing
import os
import random
import signal
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from itertools import count
from multiprocessing.connection import Connection
from typing import Any
from uuid import UUID

import django

forking = multiprocessing.get_context("fork")
os.environ["DJANGO_SETTINGS_MODULE"] = "fillmark.config.settings"


def open_home() -> dict[str, str]:
    """Tables, a household, and Noor signed in."""
    from django.contrib.sessions.backends.db import SessionStore
    from django.core.management import call_command

    from fillmark.services import sign_in
    from fillmark.services.home import prepare_home
    from tests.support.builders import a_home

    call_command("migrate", verbosity=0)
    prepare_home()
    home = a_home()
    user = sign_in.user_of(home.noor)
    store = SessionStore()
    store["_auth_user_id"] = str(user.pk)
    store["_auth_user_backend"] = "django.contrib.auth.backends.ModelBackend"
    store["_auth_user_hash"] = user.get_session_auth_hash()
    store.create()
    return {
        "household": str(home.id),
        "animal": str(home.animal_id),
        "noor": str(home.noor),
        "cookie": str(store.session_key),
    }


def record(task: dict[str, Any]) -> list[str]:
    """Record `count` new entries from each of `threads` threads, and `same` too, `at_once` together; their ids."""
    from django.db import connection

    from fillmark.core.record.entries import read_entry
    from fillmark.core.record.session_entries import FillGiven
    from fillmark.services import record as service
    from tests.support.builders import an_entry

    household_id, by, animal_id = UUID(task["household"]), UUID(task["noor"]), UUID(task["animal"])

    def one_thread(_: int) -> list[str]:
        now = datetime.now(UTC)
        entries = [read_entry(task["same"])] if task.get("same") else []
        for number in range(task["count"]):
            payload = FillGiven(session=now.strftime("%Y-%m-%dT%H:%M"), fill=number % 100 + 1, ml=60)
            fresh = service.new_entry_id(now=now)
            entries.append(an_entry(payload, at=now, animal_id=animal_id, id=fresh))
        at_once = task.get("at_once", 1)
        for place in range(0, len(entries), at_once):
            some = entries[place : place + at_once]
            service.record_entries(household_id=household_id, by=by, entries=some, now=now)
        connection.close()
        return [str(entry.id) for entry in entries]

    with ThreadPoolExecutor(task["threads"]) as pool:
        return [entry_id for ids in pool.map(one_thread, range(task["threads"])) for entry_id in ids]


def record_in_processes(task: dict[str, Any]) -> list[str]:
    """The same from each of `processes` processes, which have loaded all that they need and begin together."""
    import fillmark.services.record  # noqa: F401

    many = task["processes"]
    begin, ends = forking.Barrier(many), []

    def one_process(end: Connection) -> None:
        begin.wait()
        end.send(record(task))

    for _ in range(many):
        here, there = forking.Pipe(duplex=False)
        forking.Process(target=one_process, args=(there,)).start()
        there.close()
        ends.append(here)
    return [entry_id for end in ends for entry_id in end.recv()]


def kill_in_mid_write(task: dict[str, Any]) -> dict[str, Any]:
    """Fork two writers, kill both at a random moment, and go on with what had no answer; `kills` times.

    A writer says the number of each entry once it is acknowledged. Nothing is loaded anew for a kill, so that there can
    be many.
    """
    from django.db import connections

    chance = random.Random(task["chance"])
    first = record({**task, "threads": 1, "count": 1})  # loads all that writing needs
    acknowledged = {one: seq for seq, one in read(task) if one in first}
    waiting: list[list[str]] = [[], []]
    in_mid_write = 0
    connections.close_all()
    for _ in range(task["kills"]):
        ends = []
        for place in range(2):
            here, there = forking.Pipe(duplex=False)
            writer = forking.Process(target=_write_until_killed, args=(task, waiting[place], there))
            writer.start()
            there.close()
            ends.append((place, writer, here))
        for _, _, here in ends:
            here.recv()  # it is connected
        heard: list[tuple[str, str, int]] = []
        while chance.random() < 0.9 and not any(what == "acknowledged" for what, _, _ in heard):
            heard.append(ends[0][2].recv())  # most of them when they have written, some before
        time.sleep(chance.uniform(0, 0.05))
        for _, writer, _ in ends:
            writer.kill()
        for place, writer, here in ends:
            writer.join()
            assert writer.exitcode == -signal.SIGKILL, "a writer ended by itself"
            sent: list[str] = waiting[place]
            with contextlib.suppress(EOFError):
                while True:
                    heard.append(here.recv())
            for what, entry_id, seq in heard:
                if what == "sent":
                    sent.append(entry_id)
                else:
                    acknowledged[entry_id] = seq
            heard.clear()
            waiting[place] = [entry_id for entry_id in dict.fromkeys(sent) if entry_id not in acknowledged]
            in_mid_write += bool(waiting[place])
    return {"acknowledged": acknowledged, "waiting": [*waiting[0], *waiting[1]], "in_mid_write": in_mid_write}


def _write_until_killed(task: dict[str, Any], again: list[str], end: Connection) -> None:
    """Write what had no answer again, then new entries, by ones and by lists."""
    from django.db import connection

    from fillmark.core.record.session_entries import FillGiven
    from fillmark.services import record as service
    from tests.support.builders import an_entry

    who = {"household_id": UUID(task["household"]), "by": UUID(task["noor"])}
    connection.ensure_connection()
    end.send("connected")
    ids = [UUID(one) for one in again]
    for number in count():
        now = datetime.now(UTC)
        if not ids:
            ids = [service.new_entry_id(now=now) for _ in range(number % 3 + 1)]
            for one in ids:
                end.send(("sent", str(one), 0))
        at = datetime.fromtimestamp((ids[0].int >> 80) / 1000, UTC)
        payload = FillGiven(session=at.strftime("%Y-%m-%dT%H:%M"), fill=1, ml=60)
        entries = [an_entry(payload, at=at, animal_id=UUID(task["animal"]), id=one) for one in ids]
        for one, answer in zip(ids, service.record_entries(**who, entries=entries, now=now), strict=True):
            end.send(("acknowledged", str(one), answer.seq))
        ids = []


def make_tables_until_killed(task: dict[str, Any]) -> None:
    """Change the tables, as every start does; the machine goes off before change number `at` is noted as made.

    With `back_to`, they stand first as they stood after that change.
    """
    from django.core.management import call_command
    from django.db.migrations.recorder import MigrationRecorder

    from fillmark.cli.app import prepare_tables

    if task.get("back_to"):
        call_command("migrate", "records", task["back_to"], verbosity=0)
    left, note = count(-task["at"]), MigrationRecorder.record_applied

    def note_or_end(*words: Any) -> None:
        if next(left) == 0:
            os.kill(os.getpid(), signal.SIGKILL)
        note(*words)

    MigrationRecorder.record_applied = note_or_end  # type: ignore[method-assign]
    prepare_tables()


def count_homes() -> int:
    from fillmark.records import homes

    return len(homes.all_homes())


def read(task: dict[str, Any]) -> list[tuple[int, str]]:
    """Number and id of every entry of the household, in sequence."""
    from fillmark.services import record as service

    found = service.entries_since(household_id=UUID(task["household"]), seq=0, limit=1_000_000)
    return [(kept.seq, str(kept.entry.id)) for kept in found]


def tell(task: dict[str, Any]) -> dict[str, Any]:
    """Open a record that an earlier version wrote, as `serve` does, and tell what it says."""
    from django.core.management import call_command

    from tests.support.told_record import tell_record

    call_command("migrate", verbosity=0)
    return tell_record(now=datetime.fromisoformat(task["now"]))


if __name__ == "__main__":
    if sys.argv[1] == "open_home":
        from fillmark.services.home import prepare_home

        prepare_home()
    django.setup()
    task = json.loads(sys.argv[2])
    tasks = {
        "open_home": lambda _: open_home(),
        "kill_in_mid_write": kill_in_mid_write,
        "make_tables_until_killed": make_tables_until_killed,
        "homes": lambda _: count_homes(),
        "record": record,
        "together": record_in_processes,
        "read": read,
        "tell": tell,
    }
    answer: object = tasks[sys.argv[1]](task)
    print(json.dumps(answer))
