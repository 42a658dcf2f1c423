"""`fillmark backup FILE`, `fillmark restore FILE`, `fillmark verify [FILE]`: the record kept whole."""

import argparse
import sys
from datetime import UTC, datetime
from pathlib import Path

from fillmark.cli.app import choose_demo, prepare_tables, read_settings
from fillmark.core.values.errors import BadArchive

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
            file, contents = backup.back_up(Path(options.file), now=now)
            print(f"Written and read back: {file}, {file.stat().st_size / 1e6:.1f} MB.")
            _tell(dict(contents.rows), dict(contents.sequences))
        case "restore":
            file = Path(options.file)
            backup.look_through(file)  # before anything is made on the disk
            home = prepare_tables()
            found = backup.restore(file, now=now)
            print(f"Restored into {home}.")
            _tell(found.rows, found.sequences)
            print("Phones sign in again; start `fillmark serve` for a link. Each phone trusts this machine once more.")
        case _:
            if options.file is None:
                backup.check_there_is_a_record()
            found = backup.look_through(Path(options.file)) if options.file else backup.look_through_record(now=now)
            _tell(found.rows, found.sequences)
            for fault in found.faults:
                print(f"MISSING OR WRONG: {fault}.", file=sys.stderr)
            if found.faults:
                print("Keep this as it is, and restore the newest whole archive elsewhere.", file=sys.stderr)
                return _SHORT
            print("Every row was read, and nothing was found missing.")
    return 0


def _tell(rows: dict[str, int], sequences: dict[str, tuple[int, int]]) -> None:
    """How many of each, and which numbers the entries have."""
    for name, count in rows.items():
        print(f"  {name:<14}{count:>9,}")
    for household, (first, last) in sequences.items():
        print(f"  entries {first:,} to {last:,} of household {household}")
