"""Archives that somebody else made, or a mistake: whole by their sums, and refused with the row named, or restored."""

import io
import json
import warnings
from collections.abc import Callable
from pathlib import Path
from typing import Any
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

import pytest
from PIL import Image

from fillmark.core.values.errors import BadArchive
from fillmark.exchange import archive as format_of
from fillmark.exchange.archive import Archive, ArchiveWriter
from fillmark.services import backup, household, record
from tests.services.test_backup import (
    NOW,
    a_photo,
    archive,
    changed,
    its_own_place,
    last_backup_at,
    lead,
    with_value,
    without,
)

__all__ = ["archive", "its_own_place", "lead"]
pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.hazard("H43")]


def twice(place: int) -> Callable[[list[Any]], list[Any]]:
    return lambda rows: [*rows, rows[place]]


def lacking(column: str) -> Callable[[list[Any]], list[Any]]:
    return lambda rows: [{key: value for key, value in row.items() if key != column} for row in rows]


SOME_ID = "01a21293-b600-7000-8000-000000000001"
WRONG: list[tuple[str, Callable[[list[Any]], list[Any]], str]] = [
    *(
        ("household", with_value(0, **{column: value}), f" for {column}")
        for column, value in (
            ("id", "7"),
            ("id", None),
            ("name", 7),
            ("name", "x" * 81),
            ("name", "a\x00b"),
            ("time_zone", ["Europe/Dublin"]),
            ("day_starts_clock", "25:00:00"),
            ("day_starts_clock", 4),
            ("last_seq", "12"),
            ("last_seq", 1.5),
            ("last_seq", True),
            ("last_seq", 2**70),
        )
    ),
    ("household", with_value(0, time_zone="Mars/Olympus"), "no machine has the time zone 'Mars/Olympus'"),
    ("household", with_value(0, time_zone="../../etc/passwd"), "no machine has the time zone"),
    ("household", twice(0), "there twice"),
    ("household", lambda rows: [], "names no household"),
    ("household", with_value(0, last_seq=-3), "were written"),
    ("household", with_value(0, owner="me"), "a column owner, which its table does not have"),
    ("household", lacking("time_zone"), "a row without time_zone"),
    *(
        ("person", with_value(0, **{column: value}), words)
        for column, value, words in (
            ("role", "owner", "'owner' for their role"),
            ("role", 7, "7 for role"),
            ("name", None, "null for name"),
            ("from_on", "2026-02-30", '"2026-02-30" for from_on'),
            ("until_on", 20261231, "20261231 for until_on"),
            ("user_id", "1", '"1" for user_id'),
            ("user_id", 999, "names no user"),
            ("household_id", "00000000-0000-4000-8000-000000000009", "names no household"),
        )
    ),
    ("person", lambda rows: [row | {"role": "helper"} for row in rows], "nobody leads it"),
    ("user", with_value(0, is_active="yes"), '"yes" for is_active'),
    ("user", with_value(0, last_login="yesterday"), '"yesterday" for last_login'),
    ("user", with_value(0, last_login="2026-11-25T07:00:00"), "for last_login"),
    ("user", lacking("password"), "a row without password"),
    ("animal", with_value(0, shape=-1), "-1 for shape"),
    ("animal", with_value(0, color="x" * 17), "for color"),
    ("animal", with_value(0, photo_id="01a21293-b600-7000-8000-000000000001"), "names no photo"),
    *(
        ("planversion", with_value(0, **{column: value}), words)
        for column, value, words in (
            ("number", 0, "a version is missing"),
            ("number", "1", '"1" for number'),
            ("document", 7, "7 for document"),
            ("document", "[" * 5_000, "cannot be read"),
            ("document", '{"format": 99}', "cannot be read"),
            ("effective_from", "0001-01-01T00:00:00+23:00", "for effective_from"),
            ("effective_from", "9999-12-31T23:59:59-23:00", "for effective_from"),
            ("vet_said_on", "25 November", "for vet_said_on"),
            ("confirmed_by_id", "00000000-0000-4000-8000-000000000009", "names no person"),
        )
    ),
    *(
        ("entry", with_value(3, **{column: value}), words)
        for column, value, words in (
            ("seq", "4", '"4" for seq'),
            ("seq", 9, "the numbers have no gap"),
            ("day", "2026-11-31", '"2026-11-31" for day'),
            ("at", "2026-11-25", "for at"),
            ("at", 1764054000, "for at"),
            ("kind", "x" * 41, "for kind"),
            ("session", "2026-11-25T07:00:00", "for session"),
            ("payload", {"kind": "note"}, "for payload"),
            ("payload", "[" * 5_000, "cannot be read"),
            ("payload", '{"kind":"of_next_year"}', "cannot be read"),
            ("by_id", None, "null for by_id"),
            ("corrects", "x", '"x" for corrects'),
            ("animal_id", "00000000-0000-4000-8000-000000000009", "names no animal"),
        )
    ),
    ("entry", twice(3), "the numbers have no gap"),
    ("entry", lambda rows: rows[::-1], "the numbers have no gap"),
    ("entry", without(0), "the numbers have no gap"),
    ("photo", with_value(0, recorded_at="x"), "for recorded_at"),
    (
        "photo",
        lambda rows: [*rows, rows[0] | {"id": "01a21293-b600-7000-8000-000000000001"}],
        "its picture is not there",
    ),
]


def test_there_are_sixty_of_them() -> None:
    assert len(WRONG) + len(FILES) >= 60


@pytest.mark.parametrize(("table", "change", "fault"), WRONG, ids=lambda value: value if isinstance(value, str) else "")
def test_what_is_wrong_by_sense_is_refused_with_its_row(
    archive: Path,
    table: str,
    change: Callable[[list[Any]], list[Any]],
    fault: str,
) -> None:
    """And the empty home stays empty."""
    wrong = changed(archive, table, change)
    found = backup.look_through(wrong).faults
    assert any(fault in one for one in found), found
    with pytest.raises(BadArchive, match="An archive in which something is missing: "):
        backup.restore(wrong, now=NOW)

    assert household.find_first_lead() is None
    assert last_backup_at() is None


def sealed(content: bytes) -> bytes:
    """The same members under a seal that is right."""
    from hashlib import sha256

    return content + sha256(content).hexdigest().encode()


def rebuilt(file: Path, *, manifest: Callable[[dict[str, Any]], Any] = lambda one: one, **beside: Any) -> Path:
    """The archive with another manifest, or with members of another kind; its seal is right."""
    out = io.BytesIO()
    with ZipFile(file) as old, ZipFile(out, "w") as new:
        for name in old.namelist():
            content = old.read(name)
            if name == "manifest.json":
                content = json.dumps(manifest(json.loads(content))).encode()
            info = ZipInfo(name)
            info.compress_type = ZIP_STORED if name.endswith(".jpg") else ZIP_DEFLATED
            new.writestr(info, content)
        for name, content in beside.get("members", ()):
            with warnings.catch_warnings(action="ignore"):
                new.writestr(ZipInfo(name), content)
        new.comment = b"fillmark archive, sha256 " + b"0" * 64
    made = out.getvalue()
    if beside.get("is_encrypted"):
        made = made.replace(b"PK\x01\x02\x14\x03\x14\x00\x00\x00", b"PK\x01\x02\x14\x03\x14\x00\x01\x00")
    target = file.with_name("rebuilt.zip")
    target.write_bytes(sealed(made[:-64]))
    return target


def bomb() -> bytes:
    """A small file that opens to four hundred million pixels."""
    out = io.BytesIO()
    Image.new("L", (20_000, 20_000)).save(out, "JPEG", quality=1)
    return out.getvalue()


def with_picture(file: Path, content: bytes) -> Path:
    with file.open("rb") as opened:
        old = Archive(opened)
        target = file.with_name("picture.zip")
        with target.open("w+b") as out:
            writer = ArchiveWriter(out, made_at=NOW, made_by="0.1.0", schema=old.contents.schema)
            for name in old.contents.rows:
                writer.add_table(name, list(old.rows(name)))
            for name in old.contents.members:
                if name.endswith(".jpg"):
                    writer.add_picture(name, content)
            writer.close()
    return target


FILES: dict[str, tuple[Callable[[Path], Path], str]] = {
    "a picture of 400 megapixels": (lambda file: with_picture(file, bomb()), "its picture is not a whole picture"),
    "a picture that is a text": (lambda file: with_picture(file, b"<svg/>"), "its picture is not a whole picture"),
    "half a picture": (lambda file: with_picture(file, a_photo()[:900]), "its picture is not a whole picture"),
    "a password": (lambda file: rebuilt(file, is_encrypted=True), "An archive with a password"),
    "a member too many": (lambda file: rebuilt(file, members=[("../../x", b"x")]), "damaged or cut"),
    "a member twice": (lambda file: rebuilt(file, members=[("entry.jsonl", b"{}")]), "damaged or cut"),
    "no manifest that is one": (lambda file: rebuilt(file, manifest=lambda one: []), "damaged or cut"),
    "a version that is none": (
        lambda file: rebuilt(file, manifest=lambda one: one | {"version": "1"}),
        "damaged or cut",
    ),
    "a version to come": (lambda file: rebuilt(file, manifest=lambda one: one | {"version": 99}), "newer Fillmark"),
    "tables to come": (lambda file: rebuilt(file, manifest=lambda one: one | {"schema": "0999_x"}), "newer Fillmark"),
    "tables that are none": (
        lambda file: rebuilt(file, manifest=lambda one: one | {"schema": ["x"]}),
        "damaged or cut",
    ),
    "a moment without a zone": (
        lambda file: rebuilt(file, manifest=lambda one: one | {"made_at": "2026-11-25T07:00:00"}),
        "damaged or cut",
    ),
    "a moment of no time": (
        lambda file: rebuilt(file, manifest=lambda one: one | {"made_at": "9999-12-31T00:00:00+00:00"}),
        "damaged or cut",
    ),
    "rows that are not counted": (
        lambda file: rebuilt(file, manifest=lambda one: one | {"rows": one["rows"] | {"entry": "many"}}),
        "damaged or cut",
    ),
    "fewer rows than said": (
        lambda file: rebuilt(file, manifest=lambda one: one | {"rows": one["rows"] | {"entry": 999}}),
        "999 are said to be there",
    ),
    "more rows than said": (
        lambda file: rebuilt(file, manifest=lambda one: one | {"rows": one["rows"] | {"entry": 2}}),
        "2 are said to be there",
    ),
    "a table without its member": (
        lambda file: rebuilt(file, manifest=lambda one: one | {"rows": one["rows"] | {"jar": 1}}),
        "damaged or cut",
    ),
}


@pytest.mark.parametrize("name", FILES)
def test_a_file_that_would_fill_a_memory_or_lies_about_itself_is_refused(archive: Path, name: str) -> None:
    """Before anything is written, with what is wrong."""
    make, fault = FILES[name]
    file = make(archive)
    with pytest.raises(BadArchive) as refused:
        backup.restore(file, now=NOW)

    assert fault in str(refused.value)
    assert household.find_first_lead() is None


def test_sizes_have_limits(archive: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of the whole, of its members, of a picture, of a row; shown at limits that a small archive passes."""
    for limit, value, fault in (
        ("MOST_MEMBERS", 3, "An archive of"),
        ("MOST_BYTES", 100, "An archive that unpacks to"),
        ("MOST_MANIFEST_BYTES", 10, "A manifest of too many bytes"),
        ("MOST_PICTURE_BYTES", 10, "A picture of"),
        ("MOST_LINE_CHARACTERS", 20, "A row of too many characters (line 1 of user)"),
    ):
        with monkeypatch.context() as patch:
            patch.setattr(format_of, limit, value)
            with pytest.raises(BadArchive) as refused:
                backup.restore(archive, now=NOW)
            assert fault in str(refused.value)


def test_the_same_archive_untouched_is_restored(archive: Path) -> None:
    """What refuses the others lets this one through, to the last row."""
    assert backup.restore(rebuilt(archive), now=NOW).faults == ()
    lead = household.find_first_lead()
    assert lead is not None
    assert len(record.entries_since(household_id=lead.household_id, seq=0)) > 10
    assert backup.look_through_record(now=NOW).faults == ()
