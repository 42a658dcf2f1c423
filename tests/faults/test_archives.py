"""Archives while the app serves, while they are killed, on a full disk, and from one database to the other."""

import random
import resource
import signal
import subprocess
import sys
import time
from pathlib import Path
from uuid import uuid4
from zipfile import ZipFile

import pytest

from fillmark.exchange.archive import Archive
from tests.support.postgres import new_database
from tests.support.processes import ROOT, Record, answer

ENTRIES = 60


def command(*words: str | Path) -> list[str]:
    return [sys.executable, "-m", "fillmark.cli.main", *map(str, words)]


def run(record: Record, *words: str | Path, most_bytes: int | None = None) -> subprocess.CompletedProcess[str]:
    """A command on a record; with `most_bytes`, no file of it can grow beyond."""

    def limit() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (most_bytes, most_bytes))

    return subprocess.run(
        command(*words),
        cwd=ROOT,
        env=record.environment,
        capture_output=True,
        text=True,
        preexec_fn=limit if most_bytes else None,
    )


def done(record: Record, *words: str | Path) -> str:
    finished = run(record, *words)
    assert finished.returncode == 0, finished.stderr
    return finished.stdout


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> Record:
    """A record with some entries, which these tests only read."""
    record = Record(tmp_path_factory.mktemp("read") / "home")
    opened = record.do("open_home")
    record.do("record", **opened, threads=1, count=ENTRIES)
    return record


def sequence(file: Path) -> list[int]:
    """The numbers of the entries in an archive."""
    with file.open("rb") as opened:
        return [row["seq"] for row in Archive(opened).rows("entry")]


@pytest.mark.hazard("H27")
def test_an_archive_made_while_others_record_is_the_record_at_one_moment(tmp_path: Path) -> None:
    """No gap, nobody waits, and every entry that was acknowledged before is in it."""
    record = Record(tmp_path / "home")
    opened = record.do("open_home")
    record.do("record", **opened, threads=1, count=20)
    writing = record.start("record", **opened, threads=4, count=15)
    files = []
    while writing.poll() is None and len(files) < 4:
        files.append(tmp_path / f"{len(files)}.zip")
        assert "Written and read back" in done(record, "backup", files[-1])
    assert len(answer(writing)) == 60

    found = [sequence(file) for file in files]
    assert all(one == list(range(1, len(one) + 1)) for one in found)
    assert all(len(one) >= 20 for one in found)
    assert [len(one) for one in found] == sorted(len(one) for one in found)
    assert "nothing was found missing" in done(record, "verify", files[-1])


@pytest.mark.hazard("H27")
@pytest.mark.parametrize("kills", [4, pytest.param(100, marks=pytest.mark.long)])
def test_a_killed_backup_leaves_nothing_under_the_final_name(record: Record, tmp_path: Path, kills: int) -> None:
    """It is killed while its file grows: the name is free or holds a whole archive, and the next backup works."""
    folder = tmp_path / "copies"
    folder.mkdir()
    chance = random.Random(kills)
    halves = 0
    for number in range(kills):
        file = folder / f"{number}.zip"
        running = subprocess.Popen(command("backup", file), cwd=ROOT, env=record.environment, stdout=subprocess.DEVNULL)
        while not list(folder.glob(f".{number}.zip-*.part")) and running.poll() is None:
            time.sleep(0.001)
        time.sleep(chance.uniform(0, 0.03) if number else 0)
        running.send_signal(signal.SIGKILL)
        running.wait()
        halves += len(list(folder.glob(f".{number}.zip-*.part")))
        if file.exists():
            assert len(sequence(file)) == ENTRIES
    assert halves, "no kill came in time"
    assert "Written and read back" in done(record, "backup", folder / "last.zip")
    assert [file.name for file in folder.iterdir() if file.suffix == ".part"] == [], "what was left is still there"
    assert len(sequence(folder / "last.zip")) == ENTRIES


@pytest.mark.hazard("H27")
@pytest.mark.parametrize("kills", [3, pytest.param(50, marks=pytest.mark.long)])
def test_a_killed_restore_leaves_an_empty_home_or_a_whole_one(record: Record, tmp_path: Path, kills: int) -> None:
    """It is killed while it fills the tables: the same archive then fills the same place, whole."""
    file = tmp_path / "one.zip"
    done(record, "backup", file)
    chance = random.Random(kills)
    began = time.monotonic()
    done(Record(tmp_path / "timed"), "restore", file)
    took = time.monotonic() - began
    home, count, killed = Record(tmp_path / "0"), 0, 0
    while killed < kills:
        began = time.monotonic()
        running = subprocess.Popen(
            command("restore", file), cwd=ROOT, env=home.environment, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE
        )
        while not (home.home / "fillmark.sqlite3").exists() and running.poll() is None:
            time.sleep(0.001)
        time.sleep(chance.uniform(0, max(0.05, began + took - time.monotonic())))
        is_killed = running.poll() is None
        running.send_signal(signal.SIGKILL)
        _, told = running.communicate()
        killed += is_killed
        if not is_killed:  # it, or the one before, was whole already
            assert running.returncode == 0 or b"A home that holds a record already" in told
            assert "nothing was found missing" in done(home, "verify")
            count += 1
            home = Record(tmp_path / str(count))
    finished = run(home, "restore", file)
    assert finished.returncode == 0 or "A home that holds a record already" in finished.stderr
    assert f"entry {ENTRIES:>17}\n" in done(home, "verify")


@pytest.mark.hazard("H27")
def test_a_full_disk_is_told_and_leaves_nothing(record: Record, tmp_path: Path) -> None:
    """Where not even the database can be opened: one message, exit code 2, no file; the record is as it was."""
    folder = tmp_path / "copies"
    folder.mkdir()
    refused = run(record, "backup", folder / "one.zip", most_bytes=8192)

    assert refused.returncode == 2
    assert refused.stderr == (
        "fillmark: A database that cannot be read or written (disk I/O error). Allowed: one that answers, with space "
        "on its disk. Check FILLMARK_HOME or FILLMARK_DATABASE, and the space on the disk. Nothing was changed.\n"
    )
    assert list(folder.iterdir()) == []
    assert "nothing was found missing" in done(record, "verify")


@pytest.mark.hazard("H27")
def test_a_damaged_archive_makes_no_home(record: Record, tmp_path: Path) -> None:
    """It is looked through before anything is made; a whole one then fills the same place."""
    file, home = tmp_path / "one.zip", Record(tmp_path / "elsewhere")
    done(record, "backup", file)
    content = bytearray(file.read_bytes())
    content[len(content) // 2] ^= 4
    (tmp_path / "damaged.zip").write_bytes(content)
    for words in (("restore", tmp_path / "damaged.zip"), ("verify", tmp_path / "damaged.zip"), ("backup", file)):
        refused = run(home, *words)
        assert refused.returncode == 2
        assert refused.stderr.count("\n") == 1
    assert not home.home.exists()

    assert f"entry {ENTRIES:>17}\n" in done(home, "restore", file)
    assert "nothing was found missing" in done(home, "verify")


@pytest.mark.hazard("H43")
def test_a_rehearsal_restores_into_a_home_that_is_thrown_away(record: Record, tmp_path: Path) -> None:
    """And compares; this home is as it was, and a damaged archive fails."""
    file = tmp_path / "one.zip"
    done(record, "backup", file)
    before = sorted(path.name for path in record.home.iterdir())
    assert "Rehearsed: restored into a throw-away home" in done(record, "verify", "--rehearse", file)
    assert sorted(path.name for path in record.home.iterdir()) == before
    assert run(record, "verify", "--rehearse").returncode == 2
    assert "Worked out anew beside the entries of 1 households." in done(record, "verify", "--rebuild")
    assert run(record, "verify", "--rebuild", file).returncode == 2
    content = bytearray(file.read_bytes())
    content[len(content) // 2] ^= 4
    file.write_bytes(content)
    assert run(record, "verify", "--rehearse", file).returncode == 2


def members(file: Path) -> dict[str, bytes]:
    """All that an archive holds, but not what it says about itself."""
    with ZipFile(file) as opened:
        return {name: opened.read(name) for name in opened.namelist() if name != "manifest.json"}


@pytest.mark.hazard("H27")
def test_a_home_moves_to_the_other_database_and_back(tmp_path: Path, postgres: str) -> None:
    """SQLite to PostgreSQL to SQLite: every row and every number the same, and the record goes on behind them."""
    first = Record(tmp_path / "first")
    opened = first.do("open_home")
    first.do("record", **opened, threads=1, count=20)
    second = Record(tmp_path / "second", new_database(postgres, f"moved-{uuid4()}"))
    third = Record(tmp_path / "third")
    for number, (here, there) in enumerate(((first, second), (second, third))):
        done(here, "backup", tmp_path / f"{number}.zip")
        done(there, "restore", tmp_path / f"{number}.zip")
        assert "nothing was found missing" in done(there, "verify")
        assert run(there, "restore", tmp_path / f"{number}.zip").returncode == 2
    done(third, "backup", tmp_path / "last.zip")

    assert members(tmp_path / "0.zip") == members(tmp_path / "1.zip") == members(tmp_path / "last.zip")
    for moved in (second, third):
        moved.do("record", **opened, threads=1, count=3)
        assert [seq for seq, _ in moved.do("read", **opened)] == list(range(1, 24))
