"""The archive: what goes in comes out, other tools read it, and one wrong byte anywhere is found."""

import json
import subprocess
import sys
from datetime import UTC, datetime
from hashlib import sha256
from io import BytesIO
from zipfile import ZipFile

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fillmark.core.values.errors import BadArchive
from fillmark.exchange.archive import VERSION, Archive, ArchiveWriter, picture_name

MADE_AT = datetime(2026, 11, 28, 3, 15, 42, tzinfo=UTC)
HOME = "00000000-0000-4000-8000-000000000001"
ENTRIES = [
    {"id": f"e{seq}", "household_id": HOME, "seq": seq, "ml": 0.1 * seq, "text": "Ö’s jar\n\u2028 \\", "corrects": None}
    for seq in range(1, 8)
]
PICTURE = picture_name(table="photo", key="p1", column="small_jpeg")
DAMAGED = (
    "An archive that is damaged or cut: its bytes are not those that were written. Allowed: an archive that is whole. "
    "Take another copy or an earlier archive. Nothing was changed."
)


def written(entries=ENTRIES, *, picture: bytes = b"\xff\xd8 a picture \xff\xd9") -> bytes:
    """An archive of one household's entries and one picture."""
    out = BytesIO()
    writer = ArchiveWriter(out, made_at=MADE_AT, made_by="0.1.0", schema="0003_third")
    writer.add_table("household", [{"id": HOME, "last_seq": len(entries)}])
    writer.add_table("entry", entries)
    writer.add_table("photo", [])
    writer.add_picture(PICTURE, picture)
    writer.close()
    return out.getvalue()


WHOLE = written()


def test_what_went_in_comes_out() -> None:
    """Every value as it was, in order, with what the archive says about itself."""
    archive = Archive(BytesIO(WHOLE))

    assert list(archive.rows("entry")) == ENTRIES
    assert list(archive.rows("photo")) == list(archive.rows("no such table")) == []
    assert archive.picture(PICTURE) == b"\xff\xd8 a picture \xff\xd9"
    assert archive.picture("photo/p2-jpeg.jpg") is None
    contents = archive.contents
    assert (contents.version, contents.made_at, contents.made_by) == (VERSION, MADE_AT, "0.1.0")
    assert contents.schema == "0003_third"
    assert contents.rows == {"household": 1, "entry": 7, "photo": 0}
    assert contents.sequences == {HOME: (1, 7)}


def test_other_tools_read_it(tmp_path) -> None:
    """Python's own zip command; the sums are those of sha256sum; the text is JSON, line by line."""
    file = tmp_path / "one.zip"
    file.write_bytes(WHOLE)
    tested = subprocess.run([sys.executable, "-m", "zipfile", "-t", file], capture_output=True, text=True)
    assert tested.stdout == "Done testing\n"
    with ZipFile(file) as opened:
        manifest = json.loads(opened.read("manifest.json"))
        opened.extractall(tmp_path / "out")
    for name, member in manifest["members"].items():
        summed = subprocess.run(["sha256sum", tmp_path / "out" / name], capture_output=True, text=True).stdout.split()[
            0
        ]
        assert summed == member["sha256"], name
        assert (tmp_path / "out" / name).stat().st_size == member["bytes"]
    lines = (tmp_path / "out" / "entry.jsonl").read_bytes().split(b"\n")
    assert [json.loads(line) for line in lines[:-1]] == ENTRIES
    (tmp_path / "all but the seal").write_bytes(WHOLE[:-64])
    summed = subprocess.run(["sha256sum", tmp_path / "all but the seal"], capture_output=True, text=True).stdout
    assert WHOLE[-64:].decode() == summed.split()[0]


def test_the_same_record_gives_the_same_bytes() -> None:
    """Nothing of chance, and nothing of the machine, is in it."""
    assert written() == WHOLE


@pytest.mark.hazard("H27")
def test_one_wrong_byte_anywhere_is_found() -> None:
    """Every single position: in the text, the pictures, the manifest, between them, and in the seal itself."""
    for place in range(len(WHOLE)):
        damaged = bytearray(WHOLE)
        damaged[place] ^= 1 << (place % 8)
        with pytest.raises(BadArchive):
            Archive(BytesIO(damaged))


@pytest.mark.hazard("H27")
@given(place=st.integers(0, len(WHOLE) - 1), value=st.integers(0, 255), length=st.integers(1, 300))
def test_a_run_of_wrong_bytes_is_found(place: int, value: int, length: int) -> None:
    """As a bad block of a disk leaves it."""
    damaged = bytearray(WHOLE)
    damaged[place : place + length] = bytes([value]) * len(damaged[place : place + length])
    if bytes(damaged) == WHOLE:
        return
    with pytest.raises(BadArchive) as refused:
        Archive(BytesIO(damaged))
    assert str(refused.value) in (DAMAGED, NO_ARCHIVE)


NO_ARCHIVE = (
    "A file that is not an archive. Allowed: a file that `fillmark backup` wrote. Check the name and the folder. "
    "Nothing was changed."
)


@pytest.mark.hazard("H27")
def test_a_cut_or_lengthened_archive_is_found() -> None:
    """At every length: a disk that ran full, a copy that was broken off, something behind its end."""
    for length in range(len(WHOLE)):
        with pytest.raises(BadArchive):
            Archive(BytesIO(WHOLE[:length]))
    for longer in (WHOLE + b"\0", WHOLE + b"\n", WHOLE + WHOLE, b"\0" + WHOLE):
        with pytest.raises(BadArchive):
            Archive(BytesIO(longer))


@pytest.mark.parametrize("content", [b"", b"a plan", b"%PDF-1.7" + bytes(500)], ids=["nothing", "text", "another kind"])
def test_what_is_no_archive_is_told_apart(content: bytes) -> None:
    """From a damaged one: the wrong file was named."""
    with pytest.raises(BadArchive) as refused:
        Archive(BytesIO(content))
    assert str(refused.value) == NO_ARCHIVE


def resealed(manifest: dict[str, object]) -> BytesIO:
    """An archive with this manifest and a seal that fits."""
    out = BytesIO()
    with ZipFile(out, "w") as made:
        made.writestr("manifest.json", json.dumps(manifest))
        made.comment = b"fillmark archive, sha256 " + b"0" * 64
    content = out.getvalue()[:-64]
    return BytesIO(content + sha256(content).hexdigest().encode())


def test_a_newer_format_is_refused_by_name() -> None:
    """Not read as far as it may go."""
    with pytest.raises(BadArchive) as refused:
        Archive(resealed({"format": "fillmark archive", "version": VERSION + 1}))

    assert str(refused.value) == (
        "An archive that a newer Fillmark wrote (version 2 of the archive's format). Allowed: archives of this version "
        "and of earlier ones. Install the newer version of Fillmark, and try again with it. Nothing was changed."
    )


@pytest.mark.parametrize(
    "manifest",
    [
        {"format": "another", "version": 1},
        {"format": "fillmark archive", "version": 1},
        {"format": "fillmark archive", "version": "1"},
        [],
    ],
    ids=["another format", "half a manifest", "a text for a number", "a list"],
)
def test_a_seal_alone_makes_no_archive(manifest: dict[str, object]) -> None:
    """What stands inside must be what an archive holds."""
    with pytest.raises(BadArchive) as refused:
        Archive(resealed(manifest))
    assert str(refused.value) == DAMAGED


def test_a_member_that_the_manifest_does_not_know_is_found() -> None:
    """Also when somebody packed and sealed the archive anew."""
    with ZipFile(BytesIO(WHOLE)) as opened:
        manifest = json.loads(opened.read("manifest.json"))
    with pytest.raises(BadArchive):
        Archive(resealed(manifest))
