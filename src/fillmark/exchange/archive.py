"""The archive of a whole home: one ZIP file of plain text and pictures that finds any damage to itself.

Inside stand a `manifest.json`, one file of lines per table (`entry.jsonl`: one JSON object a line) and the pictures.
The manifest names every member with its length and its SHA-256. Around it all is a seal: the file ends with the SHA-256
of every byte before, so that a flipped, lost or added byte anywhere is found, also between the members. The format is
described in docs/reference/archive.md.
"""

import json
import zlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import sha256
from io import TextIOWrapper
from typing import IO, Any, BinaryIO
from zipfile import ZIP_DEFLATED, ZIP_STORED, BadZipFile, ZipFile, ZipInfo

from fillmark.core.values.errors import BadArchive
from fillmark.core.values.typed import is_in_these_years

FORMAT = "fillmark archive"
VERSION = 1
_MANIFEST = "manifest.json"
_SEAL = b"fillmark archive, sha256 "
_DIGITS = 64
_BLOCK = 1 << 20
_ENCRYPTED = 1
_NOT_WHOLE = (
    *(BadZipFile, zlib.error, KeyError, ValueError, TypeError, AttributeError),
    *(EOFError, RecursionError, OverflowError),
)
MOST_MEMBERS = 1_000_000
MOST_BYTES = 200_000_000_000
MOST_MANIFEST_BYTES = 300_000_000
MOST_PICTURE_BYTES = 50_000_000
MOST_LINE_CHARACTERS = 4_000_000
"""No home comes near: what is larger was made to fill a disk or a memory."""

Row = Mapping[str, Any]


@dataclass(frozen=True, kw_only=True, slots=True)
class Contents:
    """What an archive says about itself.

    Attributes:
        version: Of the format.
        made_at: When it was made.
        made_by: By which version of Fillmark.
        schema: The newest change of the tables that its writer knew.
        rows: How many rows of each table it holds.
        sequences: The first and the last entry's number of each household, by its id; 0 and 0 where there are none.
        members: The length [bytes] and the SHA-256 of every member but the manifest.
    """

    version: int
    made_at: datetime
    made_by: str
    schema: str
    rows: Mapping[str, int]
    sequences: Mapping[str, tuple[int, int]]
    members: Mapping[str, tuple[int, str]]


def picture_name(*, table: str, key: str, column: str) -> str:
    """Where a picture stands inside an archive."""
    return f"{table}/{key}-{column.replace('_', '-')}.jpg"


class ArchiveWriter:
    """Writes an archive from front to back; nothing is an archive before `close`, which the end of a `with` calls.

    Args:
        out: An empty file, open for writing and reading.
        made_at: The present instant.
        made_by: The version of Fillmark.
        schema: The newest change of the tables.
    """

    def __init__(self, out: BinaryIO, *, made_at: datetime, made_by: str, schema: str) -> None:
        self._out = out
        self._zip = ZipFile(out, "w")
        self._made_at, self._made_by, self._schema = made_at, made_by, schema
        self._rows: dict[str, int] = {}
        self._sequences: dict[str, list[int]] = {}
        self._members: dict[str, dict[str, Any]] = {}

    def __enter__(self) -> "ArchiveWriter":
        return self

    def __exit__(self, kind: type[BaseException] | None, *_: object) -> None:
        if kind is None:
            self.close()
        else:
            self._zip.fp = None  # else it would try to end the file when it is thrown away

    def add_table(self, name: str, rows: Iterable[Row]) -> None:
        """One line for each row."""
        count = 0
        with self._member(f"{name}.jsonl", ZIP_DEFLATED) as member:
            for row in rows:
                member.write(_line(row))
                count += 1
                if "seq" in row:
                    span = self._sequences.setdefault(row["household_id"], [row["seq"], row["seq"]])
                    span[1] = row["seq"]
        self._rows[name] = count

    def add_picture(self, name: str, content: bytes) -> None:
        """A picture under its `picture_name`, as it is."""
        with self._member(name, ZIP_STORED) as member:
            member.write(content)

    def close(self) -> None:
        """The manifest, and the seal around all."""
        manifest = {
            "format": FORMAT,
            "version": VERSION,
            "made_at": self._made_at.astimezone(UTC).isoformat(),
            "made_by": self._made_by,
            "schema": self._schema,
            "rows": self._rows,
            "sequences": self._sequences,
            "members": self._members,
        }
        text = json.dumps(manifest, ensure_ascii=False, indent=1).encode() + b"\n"
        self._zip.writestr(self._info(_MANIFEST, ZIP_DEFLATED), text, compresslevel=6)
        self._zip.comment = _SEAL + b"0" * _DIGITS
        self._zip.close()
        self._out.seek(-_DIGITS, 2)
        end = self._out.tell()
        self._out.seek(0)
        seal = _hash(self._out, length=end)
        self._out.seek(end)
        self._out.write(seal.encode())

    def _member(self, name: str, compression: int) -> "_Member":
        return _Member(self._zip.open(self._info(name, compression), "w", force_zip64=True), self._members, name)

    def _info(self, name: str, compression: int) -> ZipInfo:
        info = ZipInfo(name, self._made_at.astimezone(UTC).timetuple()[:6])
        info.compress_type = compression
        return info


class _Member:
    """One file of an archive that is being written, and what the manifest will say of it."""

    def __init__(self, out: IO[bytes], members: dict[str, dict[str, Any]], name: str) -> None:
        self._out, self._members, self._name = out, members, name
        self._hash, self._length = sha256(), 0

    def __enter__(self) -> "_Member":
        return self

    def write(self, content: bytes) -> None:
        self._hash.update(content)
        self._length += len(content)
        self._out.write(content)

    def __exit__(self, *_: object) -> None:
        self._out.close()
        self._members[self._name] = {"bytes": self._length, "sha256": self._hash.hexdigest()}


class Archive:
    """An archive that was looked through: every byte is as it was written.

    Args:
        file: The open file.
    Raises:
        BadArchive: it is none, it is damaged or cut, or a newer version of Fillmark wrote it.
    """

    def __init__(self, file: BinaryIO) -> None:
        _check_seal(file)
        try:
            self._zip = ZipFile(file)
            _check_sizes(self._zip.infolist())
            self.contents = _read_manifest(json.loads(self._zip.read(_MANIFEST)))
            self._check_members()
        except (*_NOT_WHOLE, NotImplementedError, RuntimeError):
            raise _damaged() from None

    def rows(self, table: str) -> Iterator[dict[str, Any]]:
        """The rows of one table, in the order they were written; none where the archive does not know it."""
        if table not in self.contents.rows:
            return
        with self._zip.open(f"{table}.jsonl") as member, TextIOWrapper(member, "utf-8", newline="\n") as lines:
            for number in range(1, self.contents.rows[table] + 2):
                line = lines.readline(MOST_LINE_CHARACTERS + 1)
                if not line:
                    break
                yield _read_line(line, f"line {number} of {table}")

    def picture(self, name: str) -> bytes | None:
        """A picture by its `picture_name`; none where the archive lacks it."""
        return self._zip.read(name) if name in self.contents.members else None

    def _check_members(self) -> None:
        names = self._zip.namelist()
        if len(names) != len({*names}) or {*names} != {*self.contents.members, _MANIFEST}:
            raise ValueError
        if not {f"{table}.jsonl" for table in self.contents.rows} <= {*names}:
            raise ValueError
        for name, (length, digest) in self.contents.members.items():
            with self._zip.open(name) as member:
                if _hash(member) != digest or self._zip.getinfo(name).file_size != length:
                    raise ValueError


def _check_sizes(members: Sequence[ZipInfo]) -> None:
    """Refuse what would fill the memory or the disk before it is read, and what only a password opens."""
    if any(one.flag_bits & _ENCRYPTED for one in members):
        raise _beyond("An archive with a password", "an archive without one: `fillmark backup` never sets one")
    if len(members) > MOST_MEMBERS:
        raise _beyond(f"An archive of {len(members):,} members", f"{MOST_MEMBERS:,} or fewer")
    size = sum(one.file_size for one in members)
    if size > MOST_BYTES:
        raise _beyond(f"An archive that unpacks to {size / 1e9:,.0f} GB", f"{MOST_BYTES / 1e9:,.0f} GB or less")
    for one in members:
        if one.filename == _MANIFEST and one.file_size > MOST_MANIFEST_BYTES:
            raise _beyond("A manifest of too many bytes", f"{MOST_MANIFEST_BYTES / 1e6:,.0f} MB or less")
        if one.filename.endswith(".jpg") and one.file_size > MOST_PICTURE_BYTES:
            raise _beyond(f"A picture of {one.file_size / 1e6:,.0f} MB", f"{MOST_PICTURE_BYTES / 1e6:,.0f} MB or less")


def _read_line(line: str, place: str) -> dict[str, Any]:
    if len(line) > MOST_LINE_CHARACTERS:
        raise _beyond(f"A row of too many characters ({place})", f"{MOST_LINE_CHARACTERS:,} or fewer")
    try:
        row = json.loads(line)
    except (ValueError, RecursionError):
        row = None
    if not isinstance(row, dict):
        raise _beyond(f"A row that is none ({place})", "one JSON object a line")
    return row


def _beyond(got: str, allowed: str) -> BadArchive:
    return BadArchive(
        field="file",
        got=got,
        allowed=allowed,
        remedy="Take another copy or an earlier archive. Nothing was changed.",
    )


def _check_seal(file: BinaryIO) -> None:
    length = file.seek(0, 2)
    if length < len(_SEAL) + _DIGITS:
        raise _no_archive()
    file.seek(length - len(_SEAL) - _DIGITS)
    end = file.read()
    file.seek(0)
    if not end.startswith(_SEAL):
        raise _damaged() if file.read(4) == b"PK\x03\x04" else _no_archive()
    if _hash(file, length=length - _DIGITS).encode() != end[-_DIGITS:]:
        raise _damaged()


def _hash(file: IO[bytes], *, length: int | None = None) -> str:
    """The SHA-256 of a file from where it stands, or of its next bytes."""
    digest, left = sha256(), length
    while block := file.read(_BLOCK if left is None else min(_BLOCK, left)):
        digest.update(block)
        if left is not None:
            left -= len(block)
    return digest.hexdigest()


def _is_count(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value < 2**63


def _read_manifest(found: dict[str, Any]) -> Contents:
    if found["format"] != FORMAT or not _is_count(found["version"]):
        raise ValueError
    if found["version"] > VERSION:
        raise newer_archive(f"version {found['version']} of the archive's format")
    made_at = datetime.fromisoformat(found["made_at"])
    counts = [*found["rows"].values(), *(one for pair in found["sequences"].values() for one in pair)]
    texts = [found["made_by"], found["schema"]]
    if made_at.tzinfo is None or not is_in_these_years(made_at) or not all(map(_is_count, counts)):
        raise ValueError
    if not all(isinstance(text, str) for text in texts):
        raise ValueError
    return Contents(
        version=found["version"],
        made_at=made_at,
        made_by=found["made_by"],
        schema=found["schema"],
        rows=found["rows"],
        sequences={household: (first, last) for household, (first, last) in found["sequences"].items()},
        members={name: (member["bytes"], member["sha256"]) for name, member in found["members"].items()},
    )


def newer_archive(what: str) -> BadArchive:
    """The refusal of what only a newer version of Fillmark can read."""
    return BadArchive(
        field="file",
        got=f"An archive that a newer Fillmark wrote ({what})",
        allowed="archives of this version and of earlier ones",
        remedy="Install the newer version of Fillmark, and try again with it. Nothing was changed.",
    )


def _no_archive() -> BadArchive:
    return BadArchive(
        field="file",
        got="A file that is not an archive",
        allowed="a file that `fillmark backup` wrote",
        remedy="Check the name and the folder. Nothing was changed.",
    )


def _damaged() -> BadArchive:
    return BadArchive(
        field="file",
        got="An archive that is damaged or cut: its bytes are not those that were written",
        allowed="an archive that is whole",
        remedy="Take another copy or an earlier archive. Nothing was changed.",
    )


_JSON = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"))


def _line(row: Row) -> bytes:
    return _JSON.encode(row).encode() + b"\n"
