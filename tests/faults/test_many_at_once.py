"""Twelve at once: no error, nothing lost, nothing twice, on both databases."""

import json
from pathlib import Path
from uuid import uuid4

import pytest

from fillmark.core.record.entries import write_payload
from fillmark.core.record.session_entries import FillGiven
from tests.support.builders import SEVEN, an_entry
from tests.support.postgres import new_database
from tests.support.processes import Record

AT_ONCE = 12


@pytest.fixture(params=["sqlite", "postgresql"])
def shared(request: pytest.FixtureRequest, tmp_path: Path) -> Record:
    """A record that many open at once."""
    if request.param == "sqlite":
        return Record(tmp_path)
    server = request.getfixturevalue("postgres")
    return Record(tmp_path, new_database(server, f"shared-{uuid4()}"))


def one_entry(animal: str) -> str:
    """One entry as JSON, which all of them send."""
    entry = an_entry(FillGiven(session=SEVEN, fill=1, ml=60))
    document = {"id": str(entry.id), "animal_id": animal, "at": entry.at.isoformat(), "zone": entry.zone}
    return json.dumps({**document, "device": entry.device, "payload": json.loads(write_payload(entry))})


@pytest.mark.hazard("H1")
@pytest.mark.hazard("H27")
@pytest.mark.parametrize("each", [8, pytest.param(20, marks=pytest.mark.long)])
@pytest.mark.parametrize("at_once", [1, 7], ids=["one by one", "in lists"])
@pytest.mark.parametrize(("processes", "threads"), [(1, AT_ONCE), (AT_ONCE, 1)], ids=["threads", "processes"])
def test_twelve_recording_at_once_lose_and_double_nothing(
    shared: Record, processes: int, threads: int, each: int, at_once: int
) -> None:
    """Each writes entries of its own and the one that all write; they are numbered without gaps."""
    opened = shared.do("open_home")
    same = one_entry(opened["animal"])

    written = shared.do(
        "together", **opened, processes=processes, threads=threads, count=each, same=same, at_once=at_once
    )

    kept = shared.do("read", **opened)
    assert len(written) == AT_ONCE * (each + 1)
    assert sorted(entry_id for _, entry_id in kept) == sorted(set(written))
    assert [seq for seq, _ in kept] == list(range(1, AT_ONCE * each + 2))
