"""The archive of a home: the same record comes out, nothing half is left, and what is missing is named."""

import gc
import os
import re
import resource
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from io import BytesIO
from pathlib import Path
from zipfile import ZipFile

import pytest
from django.core.management import call_command
from django.db import connection, models
from django.test import Client
from PIL import Image
from time_machine import TimeMachineFixture

from fillmark.core.record.care_entries import Note, PhotoTaken
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.values.errors import BadArchive
from fillmark.core.values.people import Caregiver
from fillmark.exchange.archive import Archive, ArchiveWriter
from fillmark.records import rollups, stored_photos, verify
from fillmark.records.append_only import allow_changes, forbid_changes
from fillmark.records.homes import AnimalName
from fillmark.services import backup, demonstration, household, photos, record, sign_in
from fillmark.services.home import data_home, last_backup_at, prepare_home
from tests.journeys.household import quarry_lane
from tests.support.builders import an_entry

pytestmark = pytest.mark.django_db(transaction=True)
NOW = datetime(2026, 11, 25, 13, 0, tzinfo=UTC)
NEW_EACH_TIME = re.compile(rb'name="(csrfmiddlewaretoken|shown|entry_id)" value="[^"]+"')


@pytest.fixture(autouse=True)
def its_own_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where this home notes its newest archive."""
    place = tmp_path / "home"
    place.mkdir()
    monkeypatch.setenv("FILLMARK_HOME", str(place))
    return place


def a_photo() -> bytes:
    out = BytesIO()
    Image.effect_noise((300, 200), 50).convert("RGB").save(out, "JPEG")
    return out.getvalue()


def a_day(animal: AnimalName, lead: Caregiver) -> None:
    """A note that was taken back on the day after, an own photo that an entry shows, and a password."""
    home = {"household_id": lead.household_id, "by": lead.id, "now": NOW}
    note = an_entry(Note(text="Ö’s jar: ½ left"), at=NOW - timedelta(days=1), animal_id=animal.id)
    taken_back = an_entry(Withdrawn(reason="Another jar"), at=NOW, animal_id=animal.id, corrects=note.id)
    photo_id = record.new_entry_id(now=NOW)
    photos.choose_own_look(**home, animal_id=animal.id, shape=2, color="moss", data=a_photo(), photo_id=photo_id)
    shown = an_entry(PhotoTaken(photo=photo_id), at=NOW, animal_id=animal.id)
    for entry in (note, taken_back, shown):
        record.record_entry(**home, entry=entry)
    sign_in.choose_password(
        household_id=lead.household_id,
        now=NOW,
        person_id=lead.id,
        user_name="noor",
        password="a long walk by the quarry",
    )


@pytest.fixture
def lead() -> Caregiver:
    """Noor, of a household with one animal, its plan, what was given this morning, and `a_day`."""
    home = quarry_lane(now=NOW)
    lead = next(one for one in household.find_people(household_id=home.id) if one.id == home.noor)
    a_day(household.find_animals(household_id=home.id)[0], lead)
    return lead


_made: dict[str, bytes] = {}


@pytest.fixture
def archive(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """An archive of such a household, made once; the record is empty."""
    file = tmp_path / "one.zip"
    if not _made:
        request.getfixturevalue("lead")
        _made["archive"] = backup.back_up(file, now=NOW)[0].read_bytes()
        start_over()
        forget_last_backup()
    file.write_bytes(_made["archive"])
    return file


def forget_last_backup() -> None:
    (data_home() / "last_backup").unlink()


def start_over() -> None:
    """An empty record, as on a new machine."""
    call_command("flush", verbosity=0, interactive=False, inhibit_post_migrate=True)


def screens(lead) -> dict[str, bytes]:
    """What the pages show the lead, without what is new on every answer."""
    client = Client()
    client.force_login(sign_in.user_of(lead.id))
    found = {}
    for animal in household.find_animals(household_id=lead.household_id):
        for page in ("", "day/2026-11-24/", "day/2026-11-25/", "plan/", "chart/", "bottles/", "intake/"):
            answer = client.get(f"/{animal.id}/{page}")
            assert answer.status_code == 200
            found[f"{animal.name} {page}"] = NEW_EACH_TIME.sub(b"", answer.content)
    found["all entries"] = client.get("/entries?since=0").content.partition(b'"household"')[2]
    return found


@pytest.mark.hazard("H27")
def test_what_is_restored_is_the_same_record(
    tmp_path: Path, time_machine: TimeMachineFixture, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The demonstration household entry by entry with number and writer, picture by picture, and on every screen; then
    it goes on where it was.
    """
    time_machine.move_to(NOW, tick=False)
    monkeypatch.setattr(demonstration, "DAYS", 2)  # they show the same as ten
    lead = demonstration.bring_up_to_date(now=NOW)
    a_day(household.find_animals(household_id=lead.household_id)[0], lead)
    kept = record.entries_since(household_id=lead.household_id, seq=0, limit=10_000)
    shown = screens(lead)
    file, contents = backup.back_up(tmp_path / "one.zip", now=NOW)
    assert contents.sequences == {str(lead.household_id): (1, len(kept))}
    assert contents.rows["photo"] == 1

    start_over()
    assert household.find_first_lead() is None
    backup.restore(file, now=NOW)

    again = household.find_first_lead()
    assert again == lead
    assert record.entries_since(household_id=lead.household_id, seq=0, limit=10_000) == kept
    assert screens(lead) == shown
    assert backup.look_through_record(now=NOW).faults == ()
    assert Client().login(username="noor", password="a long walk by the quarry")
    juniper = household.find_animals(household_id=lead.household_id)[0]
    home = {"household_id": lead.household_id, "by": lead.id, "now": NOW}
    one_more = record.record_entry(**home, entry=an_entry(Note(text="On"), at=NOW, animal_id=juniper.id))
    assert one_more.seq == len(kept) + 1
    assert household.add_person(**home, name="Wim", role=lead.role) in household.find_people(
        household_id=lead.household_id
    )


def test_an_archive_of_the_restored_record_is_the_same_archive(lead, tmp_path: Path) -> None:
    """Byte by byte: nothing is added, dropped or turned around on the way."""
    first, _ = backup.back_up(tmp_path / "first.zip", now=NOW)
    start_over()
    backup.restore(first, now=NOW)
    second, _ = backup.back_up(tmp_path / "second.zip", now=NOW)

    assert first.read_bytes() == second.read_bytes()


def test_every_table_and_column_is_in_it_or_is_left_out_for_a_reason(lead, tmp_path: Path) -> None:
    """What stands in the archive is what the database holds, column by column."""
    from django.apps import apps
    from django.contrib.auth.models import User

    file, _ = backup.back_up(tmp_path / "one.zip", now=NOW)
    with file.open("rb") as opened:
        archive = Archive(opened)
        for model in (User, *apps.get_app_config("records").get_models()):
            if model in verify.LEFT_OUT:
                continue
            columns = {field.attname for field in model._meta.concrete_fields}
            rows = list(archive.rows(model._meta.model_name))
            assert len(rows) == model._default_manager.count()
            assert all(set(row) == columns for row in rows)
            for field in model._meta.concrete_fields:
                if isinstance(field, models.BinaryField):
                    assert field.attname.endswith("jpeg"), "pictures are kept as .jpg"
    left_out = {model.__name__ for model in verify.LEFT_OUT}
    assert left_out == {"SignInLink", "SignInEvent", "Passkey", "Tries", "DayRollup", "Standing"}
    page = (Path(__file__).parents[2] / "docs" / "reference" / "archive.md").read_text(encoding="utf-8")
    assert {table.name for table in verify.tables()} <= set(re.findall(r"^\| `(\w+)\.jsonl`", page, re.MULTILINE))


@pytest.mark.hazard("H34")
def test_nobody_else_may_read_it_and_it_lets_nobody_in(lead, tmp_path: Path) -> None:
    """No link, no session and no key: who finds it cannot sign in with it."""
    token = sign_in.make_link(
        household_id=lead.household_id, by=lead.id, person_id=lead.id, now=NOW, valid_for=timedelta(days=1)
    )
    client = Client()
    client.force_login(sign_in.user_of(lead.id))
    file, _ = backup.back_up(tmp_path / "one.zip", now=NOW)

    assert file.stat().st_mode & 0o777 == 0o600
    with ZipFile(file) as opened:
        everything = b"".join(opened.read(name) for name in opened.namelist())
    assert token.encode() not in everything
    assert client.session.session_key.encode() not in everything
    assert b"a long walk" not in everything


def test_a_folder_is_enough_and_nothing_is_overwritten(lead, tmp_path: Path) -> None:
    """It is named by the moment; a name that is taken is refused."""
    folder = tmp_path / "copies"
    folder.mkdir()
    file, _ = backup.back_up(folder, now=NOW)
    assert file == folder / "fillmark-2026-11-25-130000.zip"
    with pytest.raises(BadArchive) as refused:
        backup.back_up(file, now=NOW)
    assert str(refused.value) == (
        f'"{file}", which is there already. Allowed: a name that is free, or a folder. Name another file. '
        "No archive was made."
    )
    with pytest.raises(BadArchive) as refused:
        backup.back_up(tmp_path / "nowhere" / "one.zip", now=NOW)
    assert "which cannot be written (No such file or directory)" in str(refused.value)
    assert [path.name for path in folder.iterdir()] == [file.name]


def test_a_disk_that_runs_full_leaves_nothing(lead, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Not a half archive, not under another name either, and no word beside the message; the reminder stays."""
    beside: list[object] = []
    monkeypatch.setattr(sys, "unraisablehook", beside.append)
    folder = tmp_path / "copies"
    folder.mkdir()
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (4096, limits[1]))
    try:
        with pytest.raises(BadArchive) as refused:
            backup.back_up(folder / "one.zip", now=NOW)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)

    assert str(refused.value) == (
        f'"{folder / "one.zip"}", which could not be written to its end (File too large). Allowed: a disk with space. '
        "Name another file. No archive was made."
    )
    del refused
    gc.collect()
    assert beside == []
    assert list(folder.iterdir()) == []
    assert last_backup_at() is None


def test_a_home_with_a_record_is_not_touched(lead, tmp_path: Path) -> None:
    """Nothing is mixed: one message, and the record as it was."""
    file, _ = backup.back_up(tmp_path / "one.zip", now=NOW)
    before = record.last_seq(household_id=lead.household_id)
    with pytest.raises(BadArchive) as refused:
        backup.restore(file, now=NOW)

    assert str(refused.value) == (
        "A home that holds a record already. Allowed: an empty one: nothing is ever mixed or overwritten. Name another "
        "place in FILLMARK_HOME (or another database in FILLMARK_DATABASE), and restore there."
    )
    assert record.last_seq(household_id=lead.household_id) == before


def changed(file: Path, table: str, change) -> Path:
    """The same archive, whole and sealed, but one table's rows changed: what a mistake in a program could write."""
    with file.open("rb") as opened:
        archive = Archive(opened)
        target = file.with_name("changed.zip")
        with target.open("w+b") as out:
            contents = archive.contents
            writer = ArchiveWriter(out, made_at=contents.made_at, made_by="0.1.0", schema=contents.schema)
            for name in contents.rows:
                rows = list(archive.rows(name))
                writer.add_table(name, change(rows) if name == table else rows)
            for name in contents.members:
                if name.endswith(".jpg"):
                    writer.add_picture(name, archive.picture(name))
            writer.close()
    return target


def without(place: int):
    return lambda rows: rows[:place] + rows[place + 1 :]


def with_value(place: int, **values):
    return lambda rows: [row | values if number == place else row for number, row in enumerate(rows)]


@pytest.mark.hazard("H27")
@pytest.mark.parametrize(
    ("table", "change", "fault"),
    [
        ("entry", without(9), "it stands after 9, and the numbers have no gap"),
        ("entry", lambda rows: rows[:-1], " were written"),
        ("entry", with_value(5, payload='{"kind":"fill_given"}'), " cannot be read: "),
        ("entry", with_value(5, payload="{"), " cannot be read: "),
        ("entry", with_value(5, kind="note"), "and is filed as note"),
        ("person", lambda rows: [], "names no person"),
        ("animal", lambda rows: [], "names no animal"),
        ("planversion", with_value(0, document="{}"), "plan version 1 of animal"),
        ("planversion", with_value(0, number=3), "a version is missing; there are [3]"),
        ("household", with_value(0, last_seq=3), "and 3 were written"),
        ("photo", without(0), "names no photo"),
        ("photo", lambda rows: rows * 2, "there twice"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_what_is_missing_inside_is_named_and_not_restored(archive: Path, table: str, change, fault: str) -> None:
    """An archive whose bytes are right and whose record is not; the empty home stays empty."""
    wrong = changed(archive, table, change)
    found = backup.look_through(wrong)
    assert any(fault in one for one in found.faults), found.faults
    with pytest.raises(BadArchive, match="An archive in which something is missing: "):
        backup.restore(wrong, now=NOW)

    assert household.find_first_lead() is None
    assert last_backup_at() is None


def test_tables_of_a_later_version_are_refused(tmp_path: Path) -> None:
    """By the name of the change that this version does not know."""
    later = tmp_path / "later.zip"
    with later.open("w+b") as out:
        ArchiveWriter(out, made_at=NOW, made_by="9.0", schema="0999_later").close()
    with pytest.raises(BadArchive) as refused:
        backup.restore(later, now=NOW)
    assert str(refused.value).startswith("An archive that a newer Fillmark wrote (its tables are those of 0999_later).")


def test_an_older_archive_takes_the_defaults_of_new_columns(archive: Path) -> None:
    """Animals from before they had a color of their own."""
    older = changed(
        archive, "animal", lambda rows: [{key: row[key] for key in ("id", "household_id", "name")} for row in rows]
    )
    backup.restore(older, now=NOW)

    home = household.find_first_lead().household_id
    assert [(one.name, one.color, one.shape) for one in household.find_animals(household_id=home)] == [
        ("Juniper", "", None)
    ]


@contextmanager
def lifted_guard() -> Iterator[None]:
    """As if somebody had lifted the database's own guard."""
    with connection.cursor() as cursor:
        for statement in allow_changes(connection.vendor):
            cursor.execute(statement)
    yield
    with connection.cursor() as cursor:
        for statement in forbid_changes(connection.vendor):
            cursor.execute(statement)


@pytest.fixture
def unguarded() -> Iterator[None]:
    with lifted_guard():
        yield


@pytest.mark.hazard("H43")
def test_a_picture_that_never_came_is_said_and_makes_no_backup_useless(lead, tmp_path: Path) -> None:
    """A phone that was lost before it sent it: every backup after that is whole, and restores."""
    animal = household.find_animals(household_id=lead.household_id)[0]
    photo_id = record.new_entry_id(now=NOW)
    entry = an_entry(PhotoTaken(photo=photo_id), at=NOW, animal_id=animal.id, id=photo_id)
    record.record_entry(household_id=lead.household_id, by=lead.id, entry=entry, now=NOW)
    kept = record.entries_since(household_id=lead.household_id, seq=0)
    file, found = backup.back_up(tmp_path / "one.zip", now=NOW)

    said = (f"photo {photo_id}: an entry shows it, and its picture has not come yet",)
    assert (found.faults, found.gaps) == ((), said)
    assert backup.look_through_record(now=NOW).gaps == backup.look_through(file).gaps == said
    start_over()
    assert backup.restore(file, now=NOW).gaps == said
    assert record.entries_since(household_id=lead.household_id, seq=0) == kept


@pytest.mark.hazard("H43")
def test_a_backup_is_examined_as_a_restore_examines_it(lead, unguarded: None, tmp_path: Path) -> None:
    """What could not be restored is said when it is written, and does not count as a backup."""
    with connection.cursor() as cursor:
        cursor.execute("UPDATE records_planversion SET document = '[]'")
    file, found = backup.back_up(tmp_path / "one.zip", now=NOW)

    assert any("cannot be read" in fault for fault in found.faults)
    assert backup.look_through(file).faults == found.faults
    assert last_backup_at() is None


@pytest.mark.hazard("H43")
def test_what_an_earlier_version_let_in_is_restored_as_it_is(lead, tmp_path: Path) -> None:
    """Beyond today's limits it is shown as what cannot be read; it makes no backup useless."""
    with lifted_guard(), connection.cursor() as cursor:
        cursor.execute(
            "UPDATE records_entry SET kind = 'note', session = '', payload = %s WHERE seq = 7",
            ['{"kind":"note","text":"\\u200b"}'],
        )
        cursor.execute(
            "UPDATE records_person SET from_on = '0001-01-01', until_on = '9999-12-31', role = 'sitter' "
            "WHERE name = 'Sam'"
        )
        cursor.execute("UPDATE records_household SET time_zone = 'localtime'")
    rollups.rebuild_rollups(household_id=lead.household_id, now=NOW)
    file, found = backup.back_up(tmp_path / "one.zip", now=NOW)
    assert found.faults == ()
    assert len(found.gaps) == 3, found.gaps
    start_over()
    backup.restore(file, now=NOW)
    again, _ = backup.back_up(tmp_path / "two.zip", now=NOW)

    assert again.read_bytes() == file.read_bytes()


@pytest.mark.hazard("H27")
@pytest.mark.parametrize(
    ("statement", "fault"),
    [
        ("DELETE FROM records_entry WHERE seq = 7", "entry 8 of household {home}: it stands after 6"),
        (
            "UPDATE records_dayrollup SET flush_ml = 1 WHERE day = '2026-11-25'",
            "25 November 2026: the day's kept sums",
        ),
        ("DELETE FROM records_dayrollup WHERE day = '2026-11-25'", "25 November 2026: the day's kept sums"),
        ("UPDATE records_planversion SET document = '[]'", "cannot be read"),
        (
            "INSERT INTO records_standing (household_id, animal_id, entry_id, kind, until) "
            "SELECT household_id, animal_id, id, 'bottle_opened', day FROM records_entry WHERE seq = 7",
            "what is kept of the kind bottle_opened is not what its entries say",
        ),
    ],
    ids=["an entry gone", "a sum changed", "a sum gone", "a plan changed", "a bottle too many"],
)
def test_what_is_wrong_with_the_record_itself_is_named(lead, unguarded: None, statement: str, fault: str) -> None:
    """Whatever changed it; and nothing is found where nothing is wrong."""
    backup.rebuild(now=NOW)
    assert backup.look_through_record(now=NOW).faults == ()
    with connection.cursor() as cursor:
        cursor.execute(statement)
    found = backup.look_through_record(now=NOW).faults

    assert any(fault.format(home=lead.household_id) in one for one in found), found


def test_a_cut_picture_is_found(lead) -> None:
    """Half a JPEG opens in many programs, with a gray half."""
    photo = next(verify.rows(next(table for table in verify.tables() if table.name == "photo")))
    kept = stored_photos.find_photo(household_id=lead.household_id, photo_id=photo["id"])
    with connection.cursor() as cursor:
        cursor.execute("UPDATE records_photo SET jpeg = %s", [kept.jpeg[: len(kept.jpeg) // 2]])

    assert backup.look_through_record(now=NOW).faults == (f"photo {photo['id']}: its picture is not a whole picture",)


def test_the_kept_sums_made_anew_are_those_kept_on_the_way(lead) -> None:
    """Also for a day whose entry was corrected on another one."""
    animal = household.find_animals(household_id=lead.household_id)[0]
    days = {"household_id": lead.household_id, "animal_id": animal.id, "first": NOW.date() - timedelta(days=3)}
    before = rollups.rollups(**days, last=NOW.date(), now=NOW)
    rollups.rebuild_rollups(household_id=lead.household_id, now=NOW)

    assert rollups.rollups(**days, last=NOW.date(), now=NOW) == before
    assert [one.day for one in before] == [NOW.date()]  # the day before holds only what was taken back


def test_a_lead_is_reminded_after_a_week_without_an_archive(lead, tmp_path: Path) -> None:
    """Counted from when this home was made, from the newest archive, and after a restore from that archive's moment."""
    assert not backup.is_backup_due(now=NOW + timedelta(days=99))
    os.utime(prepare_home() / "secret_key", (NOW.timestamp(),) * 2)
    assert not backup.is_backup_due(now=NOW + timedelta(days=6))
    assert backup.is_backup_due(now=NOW + timedelta(days=8))
    file, _ = backup.back_up(tmp_path / "one.zip", now=NOW + timedelta(days=8))
    assert not backup.is_backup_due(now=NOW + timedelta(days=15))
    assert backup.is_backup_due(now=NOW + timedelta(days=15, minutes=1))
    start_over()
    backup.restore(file, now=NOW + timedelta(days=30))
    assert last_backup_at() == NOW + timedelta(days=8)


def test_an_empty_home_can_be_kept_and_has_nothing_to_lose(tmp_path: Path) -> None:
    """No household yet: an archive with nothing in it, and no reminder."""
    file, contents = backup.back_up(tmp_path / "one.zip", now=NOW)

    assert set(contents.rows.values()) == {0}
    assert contents.sequences == {}
    assert backup.look_through(file).faults == ()
    backup.restore(file, now=NOW)
