"""`fillmark backup FILE`, `restore FILE`, `verify [--rehearse | --rebuild] [FILE]`: the record kept whole."""

import argparse
import os
import subprocess
import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from fillmark.cli.app import choose_demo, prepare_tables, read_settings
from fillmark.core.values.errors import BadArchive

if TYPE_CHECKING:  # after the settings are read
    from fillmark.services.backup import Examined

_SHORT = 1


def run(options: argparse.Namespace) -> int:
    """Do one of the three; 1 where `verify` finds something missing."""
    if options.demo:
        choose_demo()
    read_settings()
    from django.db import DatabaseError

    try:
        return _run(options)
    except DatabaseError as error:
        raise BadArchive(
            field="home",
            got=f"A database that cannot be read or written ({' '.join(str(error).split())})",
            allowed="one that answers, with space on its disk",
            remedy="Check FILLMARK_HOME or FILLMARK_DATABASE, and the space on the disk. Nothing was changed.",
        ) from None


def _run(options: argparse.Namespace) -> int:
    from fillmark.services import backup

    now = datetime.now(UTC)
    match options.command:
        case "backup":
            backup.check_there_is_a_record()
            file, found = backup.back_up(Path(options.file), now=now)
            size = f"{file}, {file.stat().st_size / 1e6:.1f} MB"
            print(f"Written: {size}. It is NOT WHOLE." if found.faults else f"Written and read back: {size}.")
            _tell(found.rows, found.sequences)
            return _say_found(found)
        case "restore":
            file = Path(options.file)
            backup.look_through(file)  # before anything is made on the disk
            home = prepare_tables()
            found = backup.restore(file, now=now)
            print(f"Restored into {home}.")
            _tell(found.rows, found.sequences)
            print("Phones sign in again; start `fillmark serve` for a link. Each phone trusts this machine once more.")
        case _:
            if options.rehearse and options.file is None:
                raise BadArchive(
                    field="file",
                    got="A rehearsal without an archive",
                    allowed="fillmark verify --rehearse FILE",
                    remedy="Name the archive to rehearse with.",
                )
            if options.rebuild and options.file is not None:
                raise BadArchive(
                    field="file",
                    got="An archive whose sums are to be worked out anew",
                    allowed="fillmark verify --rebuild, for this home's own record",
                    remedy="Leave the archive out. What is restored from one is worked out anew by itself.",
                )
            if options.file is None:
                backup.check_there_is_a_record()
            if options.rebuild:
                print(f"Worked out anew beside the entries of {backup.rebuild(now=now)} households.")
            found = backup.look_through(Path(options.file)) if options.file else backup.look_through_record(now=now)
            _tell(found.rows, found.sequences)
            if _say_found(found):
                return _SHORT
            print("Every row was read, and nothing was found missing.")
            if options.rehearse:
                return _rehearse(Path(options.file))
    return 0


def _say_found(found: "Examined") -> int:
    """The exit code: 1 where something is missing or wrong."""
    for gap in found.gaps:
        print(f"NOT HERE, OR NO LONGER READ; kept as it is: {gap}.", file=sys.stderr)
    for fault in found.faults:
        print(f"MISSING OR WRONG: {fault}.", file=sys.stderr)
    if found.faults:
        print("Keep this as it is, and restore the newest whole archive elsewhere.", file=sys.stderr)
    return _SHORT if found.faults else 0


def _rehearse(file: Path) -> int:
    """Restore into a home that is thrown away, as another person would on another machine, and compare."""
    from fillmark.services import backup

    with tempfile.TemporaryDirectory(prefix="fillmark-rehearsal-") as place:
        again = Path(place) / "again.zip"
        environment = {key: value for key, value in os.environ.items() if key != "FILLMARK_DATABASE"}
        environment["FILLMARK_HOME"] = str(Path(place) / "home")
        for words in (("restore", str(file.absolute())), ("verify",), ("backup", str(again))):
            done = subprocess.run(  # noqa: S603 - our own commands
                [sys.executable, "-m", "fillmark.cli.main", *words], env=environment, capture_output=True, text=True
            )
            if done.returncode:
                print(f"The rehearsal failed at `fillmark {words[0]}`: {done.stderr.strip()}", file=sys.stderr)
                return _SHORT
        different = backup.find_differences(file, again)
    for one in different:
        print(f"NOT THE SAME AFTER A RESTORE: {one}.", file=sys.stderr)
    if different:
        return _SHORT
    print("Rehearsed: restored into a throw-away home, and every row and picture was the same.")
    return 0


def _tell(rows: dict[str, int], sequences: dict[str, tuple[int, int]]) -> None:
    """How many of each, and which numbers the entries have."""
    for name, count in rows.items():
        print(f"  {name:<14}{count:>9,}")
    for household, (first, last) in sequences.items():
        print(f"  entries {first:,} to {last:,} of household {household}")
