"""The archive of this home: written while the app serves, restored into an empty home, and looked through."""

import contextlib
import os
import secrets
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from importlib.metadata import version
from itertools import zip_longest
from pathlib import Path
from typing import Any, BinaryIO
from uuid import UUID

from django.conf import settings
from django.core.exceptions import ValidationError
from django.db import DatabaseError, transaction

from fillmark.core.values.errors import BadArchive
from fillmark.core.values.words import say_date
from fillmark.exchange.archive import Archive, ArchiveWriter, newer_archive, picture_name
from fillmark.published.record_rules import BACKUP_AFTER_DAYS
from fillmark.records import homes, rollups, standing, verify
from fillmark.records.verify import Table
from fillmark.services.home import (
    hold_alone,
    home_made_at,
    last_backup_at,
    note_backup,
    note_under_way,
    sweep_backups,
)
from fillmark.services.verify import MOST_FAULTS, find_faults


@dataclass(frozen=True, kw_only=True, slots=True)
class Examined:
    """What was looked through, and what is wrong with it.

    Attributes:
        rows: How many rows each table holds.
        sequences: The first and the last entry's number of each household.
        faults: Sentences without their stop; none where nothing was found.
        gaps: What the record itself lacks, such as a picture that has not come yet: it is restored as it is.
    """

    rows: dict[str, int]
    sequences: dict[str, tuple[int, int]]
    faults: tuple[str, ...] = ()
    gaps: tuple[str, ...] = ()


def check_there_is_a_record() -> None:
    """Refuse to go on where this home holds none, before a file is made by looking.

    Raises:
        BadArchive: there is none, or its tables are those of an earlier version.
    """
    place = settings.DATABASES["default"]["NAME"]
    if isinstance(place, Path) and not place.exists():
        raise BadArchive(
            field="home",
            got=f"No record in {place.parent}",
            allowed="a home in which the app was started before",
            remedy="Name the right one in FILLMARK_HOME, or say --demo for the invented household.",
        )
    if not verify.is_up_to_date():
        raise BadArchive(
            field="home",
            got="A record that an earlier version of Fillmark wrote",
            allowed="one that this version has opened",
            remedy="Start `fillmark serve` once, and try again.",
        )


def back_up(file: Path, *, now: datetime) -> tuple[Path, Examined]:
    """Write everything of this home into one archive, examine it as a restore does, and only then give it its name.

    Others go on recording meanwhile; the archive holds the record as it was at one moment. Where the record itself is
    not whole, the archive is kept all the same, and its faults come out: it counts as none.

    Args:
        file: The archive to be; or a folder, in which it is named by the moment.
        now: The present instant.
    Raises:
        BadArchive: the name is taken, the folder is missing, or the disk is full.
    """
    sweep_backups()
    if file.is_dir():
        file = file / f"fillmark-{now:%Y-%m-%d-%H%M%S}.zip"
    if file.exists():
        raise _cannot_write(f'"{file}", which is there already', "a name that is free, or a folder")
    beside = file.parent / ("." + file.name + "-" + secrets.token_hex(4) + ".part")
    note_under_way(beside)
    try:
        descriptor = os.open(beside, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600)
    except OSError as error:
        raise _cannot_write(f'"{file}", which cannot be written ({error.strerror})', "a folder that is there") from None
    try:
        with os.fdopen(descriptor, "w+b") as out:
            hold_alone(out)
            _write(out, now=now)
            out.flush()
            os.fsync(out.fileno())
            found = _examine(Archive(out))
        beside.replace(file)
        _reach_disk(file.parent)
    except OSError as error:
        raise _cannot_write(
            f'"{file}", which could not be written to its end ({error.strerror})', "a disk with space"
        ) from None
    finally:
        with contextlib.suppress(FileNotFoundError):
            beside.unlink()
    if not found.faults:
        note_backup(now)
    return file, found


def _with_names(table: Table, row: verify.Row) -> verify.Row:
    """A row, with the names of its pictures in the archive."""
    for column in table.pictures:
        row[column] = _name(table, str(row[table.key]), column)
    return row


def _write(out: BinaryIO, *, now: datetime) -> None:
    made_by, schema = version("fillmark"), verify.schema()
    with ArchiveWriter(out, made_at=now, made_by=made_by, schema=schema) as writer, verify.snapshot():
        for table in verify.tables():
            writer.add_table(
                table.name,
                (_with_names(table, row) for row in verify.rows(table)),
            )
        for table in verify.tables():
            for key, column, content in verify.pictures(table):
                writer.add_picture(_name(table, key, column), content)


def _name(table: Table, key: str, column: str) -> str:
    return picture_name(table=table.name, key=key, column=column)


def _reach_disk(folder: Path) -> None:
    """Let the folder's new name survive a power cut, where the system can say so."""
    with contextlib.suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


def look_through(file: Path) -> Examined:
    """Everything that an archive holds, row by row. Nothing is changed.

    Raises:
        BadArchive: it is none, it is damaged or cut, or a newer Fillmark wrote it.
    """
    with _open(file) as archive:
        return _examine(archive)


@contextlib.contextmanager
def _open(file: Path) -> Iterator[Archive]:
    try:
        opened = file.open("rb")
    except OSError as error:
        raise BadArchive(
            field="file",
            got=f'"{file}", which cannot be read ({error.strerror})',
            allowed="a file that `fillmark backup` wrote",
            remedy="Check the name and the folder. Nothing was changed.",
        ) from None
    with opened:
        archive = Archive(opened)
        if archive.contents.schema not in verify.known_schemas():
            raise newer_archive(f"its tables are those of {archive.contents.schema}")
        yield archive


def _examine(archive: Archive) -> Examined:
    def rows(table: Table) -> Iterator[dict[str, Any]]:
        for row in archive.rows(table.name):
            for column in table.pictures:
                row.pop(column, None)
            yield row

    found = find_faults(
        verify.tables(),
        rows=rows,
        picture=lambda table, key, column: archive.picture(_name(table, key, column)),
        counts=archive.contents.rows,
    )
    unknown = set(archive.contents.rows) - {table.name for table in verify.tables()}
    strange = [f"{name}: a table that this version does not know" for name in sorted(unknown)]
    return Examined(
        rows=dict(archive.contents.rows),
        sequences=dict(archive.contents.sequences),
        faults=(*found.faults, *strange),
        gaps=found.gaps,
    )


def restore(file: Path, *, now: datetime) -> Examined:
    """Fill an empty home from an archive: all of it or nothing.

    Args:
        file: The archive.
        now: The present instant.
    Raises:
        BadArchive: the archive is none, damaged, cut, newer or not whole, or this home is not empty.
    """
    with _open(file) as archive:
        found = _examine(archive)
        if found.faults:
            raise BadArchive(
                field="file",
                got=f"An archive in which something is missing: {'; '.join(found.faults)}",
                allowed="an archive that is whole",
                remedy="Take another copy or an earlier archive. Nothing was changed.",
            )
        try:
            _fill(archive, now=now)
        except (DatabaseError, ValidationError, TypeError, KeyError) as error:
            raise BadArchive(
                field="file",
                got=f"An archive that this database does not take ({error})",
                allowed="an archive that `fillmark backup` wrote",
                remedy="Nothing was changed. Keep the archive, and report this with the message.",
            ) from None
        made_at = archive.contents.made_at
    note_backup(min(made_at, now))
    return found


@transaction.atomic
def _fill(archive: Archive, *, now: datetime) -> None:
    verify.lock_all()
    if not verify.is_empty():
        raise BadArchive(
            field="home",
            got="A home that holds a record already",
            allowed="an empty one: nothing is ever mixed or overwritten",
            remedy="Name another place in FILLMARK_HOME (or another database in FILLMARK_DATABASE), and restore there.",
        )
    for table in verify.tables():

        def picture(key: str, column: str, *, table: Table = table) -> bytes:
            return archive.picture(_name(table, key, column)) or b""

        rows = (
            {column: value for column, value in row.items() if column not in table.pictures}
            for row in archive.rows(table.name)
        )
        verify.insert(table, rows, picture=picture)
    verify.end_insert()
    for home in homes.all_homes():
        _rebuild(home.id, now=now)


def _rebuild(household_id: UUID, *, now: datetime) -> None:
    rollups.rebuild_rollups(household_id=household_id, now=now)
    standing.rebuild_standing(household_id=household_id)


def rebuild(*, now: datetime) -> int:
    """Work out again whatever is kept beside the entries of every household; how many households comes out."""
    all_homes = homes.all_homes()
    for home in all_homes:
        with transaction.atomic():
            homes.find_home(household_id=home.id, lock=True)
            _rebuild(home.id, now=now)
    return len(all_homes)


def look_through_record(*, now: datetime) -> Examined:
    """Everything that this home's record holds, row by row, as it is at this moment. Nothing is changed."""
    with verify.snapshot():
        found = find_faults(verify.tables(), rows=verify.rows, picture=verify.picture)
        faults = [*verify.storage_faults(), *found.faults]
        all_homes = homes.all_homes()
        for home in all_homes if not faults else ():
            for animal, day in rollups.days_that_do_not_add_up(household_id=home.id, now=now):
                faults.append(f"{animal.name}, {say_date(day)}: the day's kept sums are not those of its entries")
            for animal, kind in standing.standing_that_differs(household_id=home.id):
                faults.append(f"{animal.name}: what is kept of the kind {kind} is not what its entries say")
        return Examined(
            rows={table.name: verify.count(table) for table in verify.tables()},
            sequences={str(home.id): (min(1, home.last_seq), home.last_seq) for home in all_homes},
            faults=tuple(faults),
            gaps=found.gaps,
        )


def find_differences(file: Path, other: Path) -> tuple[str, ...]:
    """What one archive holds otherwise than another, made of a home that was restored from it.

    Args:
        file: The archive.
        other: The one of the restored home; it may have newer columns.
    Raises:
        BadArchive: one of them cannot be read.
    """
    found: list[str] = []
    with _open(file) as archive, _open(other) as again:
        for table in verify.tables():
            for number, (one, two) in enumerate(zip_longest(archive.rows(table.name), again.rows(table.name)), start=1):
                if one is None or two is None or any(two.get(key) != value for key, value in one.items()):
                    found.append(f"{table.name}: row {number} is not the same")
        for name in archive.contents.members:
            if name.endswith(".jpg") and archive.picture(name) != again.picture(name):
                found.append(f"{name}: not the same picture")
    return tuple(found[:MOST_FAULTS])


def is_backup_due(*, now: datetime) -> bool:
    """Whether a lead is to be reminded: no archive was made for some days, or none since this home was made.

    Source:
        record.backup_after_days
    """
    since = last_backup_at() or home_made_at()
    return since is not None and now - since > timedelta(days=BACKUP_AFTER_DAYS.value)


def _cannot_write(got: str, allowed: str) -> BadArchive:
    return BadArchive(field="file", got=got, allowed=allowed, remedy="Name another file. No archive was made.")
