"""What an earlier version wrote is opened by this one, and says the same: a database, an archive, a phone's queue.

The files in `made_before/` were written by the version before this test; they are never made anew. A later version adds
its own beside them. The words of messages are not held here, the facts are.
"""

import base64
import json
import sqlite3
from contextlib import closing
from datetime import datetime
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
import time_machine
from django.test import Client

from fillmark.services import backup, sign_in
from tests.support.processes import Record
from tests.support.told_record import tell_record

MADE = Path(__file__).parent / "made_before"
EXPECTED: dict[str, Any] = json.loads((MADE / "expected.json").read_text(encoding="utf-8"))
STARTED, REASON = "01a21290-7210-7000-8000-000000000051", {"reason": "The vet said so"}
NOW = datetime.fromisoformat(EXPECTED["now"])

pytestmark = pytest.mark.hazard("H27")


def restored(tmp_path: Path) -> None:
    file = tmp_path / "before.zip"
    file.write_bytes(base64.decodebytes((MADE / "archive.zip.base64").read_bytes()))
    backup.restore(file, now=NOW)


def test_a_database_written_before_says_the_same(tmp_path: Path) -> None:
    """Opened as the app opens it, with every change of the tables since: people, plans, entries, days and doses."""
    with closing(sqlite3.connect(tmp_path / "fillmark.sqlite3")) as written:
        written.executescript((MADE / "record.sql").read_text(encoding="utf-8"))

    assert Record(tmp_path).do("tell", now=EXPECTED["now"]) == EXPECTED["record"]


@pytest.mark.django_db
def test_an_archive_written_before_is_restored_to_the_same(tmp_path: Path) -> None:
    """And nothing is found missing in it."""
    restored(tmp_path)

    assert tell_record(now=NOW) == EXPECTED["record"]
    assert backup.look_through_record(now=NOW).faults == ()


@pytest.mark.django_db
def test_a_queue_written_before_is_taken_in_as_it_was(tmp_path: Path) -> None:
    """Entries of every kind, presses that are asked about, the same again, and what cannot be kept: each its answer.

    One start comes inside the time between two meals: since then it is asked about, and taken with its reason.
    """
    queue = json.loads((MADE / "queue.json").read_text(encoding="utf-8"))
    start = next(one for one in queue["body"]["entries"] if isinstance(one, dict) and one.get("id", "") == STARTED)
    restored(tmp_path)
    phone = Client()
    with time_machine.travel(datetime.fromisoformat(queue["now"]), tick=False):
        phone.force_login(sign_in.user_of(UUID(queue["by"])))
        alone = phone.post("/entries", json.dumps({"entries": [start], "fresh": [start["id"]]}), "application/json")
        assert alone.json()["entries"][0]["code"] == "needs-reason"
        start["payload"] |= REASON
        came = phone.post("/entries", json.dumps(queue["body"]), "application/json").json()

    answers = [{key: value for key, value in one.items() if key != "message"} for one in came["entries"]]
    told = tell_record(now=NOW)
    told["entries"] = told["entries"][len(EXPECTED["record"]["entries"]) :]
    assert answers == queue["answers"]
    expected = EXPECTED["after_the_queue"]
    next(one for one in expected["entries"] if one["entry"]["id"] == STARTED)["entry"]["payload"] |= REASON
    assert told == expected
