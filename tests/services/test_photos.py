"""Photos: made small, turned upright, and stripped of the place where they were taken."""

from datetime import timedelta
from io import BytesIO

import pytest
import time_machine
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from PIL import Image

from fillmark.core.record.care_entries import Note, PhotoTaken
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.record.entries import Entry
from fillmark.core.values.errors import BadEntry, BadPhoto, NotAllowed
from fillmark.core.values.people import Caregiver
from fillmark.services import household, photos, record, sign_in
from fillmark.services.pictures import read_picture
from tests.support.builders import NOON, Home, an_entry, an_id

GPS = 0x8825
ORIENTATION = 0x0112
MAKE = 0x010F


def a_photo(
    width: int = 2400, height: int = 1200, *, form: str = "JPEG", color: str = "#aa3322", turned: int = 1
) -> bytes:
    """A picture as a phone sends it: with its place, its maker, its orientation and a comment."""
    exif = Image.Exif()
    exif[ORIENTATION] = turned
    exif[MAKE] = "A phone"
    exif.get_ifd(GPS).update({1: "N", 2: (53.0, 20.0, 59.0), 3: "W", 4: (6.0, 15.0, 37.0)})
    written = BytesIO()
    more = {"comment": b"Quarry Lane 7"} if form == "JPEG" else {}
    Image.new("RGB", (width, height), color).save(written, form, exif=exif, **more)
    return written.getvalue()


def opened(data: bytes) -> Image.Image:
    return Image.open(BytesIO(data))


@pytest.mark.hazard("H34")
@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_nothing_of_the_place_or_the_camera_goes_along(form: str) -> None:
    """No EXIF, no comment, no profile: only pixels, as JPEG."""
    came = a_photo(form=form)
    assert b"A phone" in came or form == "WEBP" or opened(came).getexif()[MAKE] == "A phone"
    picture = read_picture(came)

    for data in (picture.jpeg, picture.small_jpeg):
        made = opened(data)
        assert made.format == "JPEG"
        assert len(made.getexif()) == 0
        assert not made.getexif().get_ifd(GPS)
        assert {"exif", "comment", "icc_profile", "xmp", "photoshop"}.isdisjoint(made.info)
        assert b"A phone" not in data
        assert b"Quarry Lane" not in data


def test_it_is_made_small_and_stays_as_wide_to_high_as_it_was() -> None:
    """1600 pixels on the longer side to look at, 160 for an emblem; a small one is not blown up."""
    picture = read_picture(a_photo(2400, 1200))
    assert opened(picture.jpeg).size == (1600, 800)
    assert opened(picture.small_jpeg).size == (160, 80)

    assert opened(read_picture(a_photo(300, 200)).jpeg).size == (300, 200)


def test_a_phone_held_upright_gives_an_upright_photo() -> None:
    """Orientation 6 of Exif 2.3 (row 0 is the right side): the picture is turned, and nobody has to know."""
    assert opened(read_picture(a_photo(1200, 600, turned=6)).jpeg).size == (600, 1200)


def test_what_shines_through_becomes_white() -> None:
    """A transparent PNG keeps its picture and no black ground."""
    written = BytesIO()
    Image.new("RGBA", (20, 20), (0, 0, 0, 0)).save(written, "PNG")

    assert min(opened(read_picture(written.getvalue()).jpeg).getpixel((10, 10))) > 250


@pytest.mark.parametrize(
    ("data", "got"),
    [
        (b"", "A file that is not a photo, or not a whole one"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "A file that is not a photo, or not a whole one"),
        (a_photo(800, 800)[:3000], "A file that is not a photo, or not a whole one"),
        (b"\xff" * 20_000_001, "A photo of 20 MB"),
    ],
    ids=["empty", "a drawing", "cut short", "too large"],
)
def test_what_is_no_photo_is_sent_back_with_what_to_do(data: bytes, got: str) -> None:
    """By its content, never by its name."""
    with pytest.raises(BadPhoto) as refused:
        read_picture(data)

    assert refused.value.got == got
    assert refused.value.remedy


def test_a_small_file_that_would_fill_the_memory_is_not_opened() -> None:
    """What a header says is believed before a pixel is unpacked."""
    for side, got in ((8_000, "A photo of 64 megapixels"), (14_000, "A picture of far too many pixels")):
        written = BytesIO()
        Image.new("1", (side, side)).save(written, "PNG")
        assert len(written.getvalue()) < 100_000

        with pytest.raises(BadPhoto) as refused:
            read_picture(written.getvalue())
        assert refused.value.got == got
        assert refused.value.allowed == "20 MB and 60 megapixels or less"


def keep(home: Home, **changed: object):
    values = {
        "household_id": home.id,
        "animal_id": home.animal_id,
        "by": home.sam,
        "data": a_photo(),
        "entry_id": an_id(),
        "about": None,
        "words": "Skin at the tube",
        "device": "sam-phone",
        "now": NOON,
    }
    return photos.record_photo(**{**values, **changed})


def test_a_photo_is_an_entry_like_any_other(home: Home) -> None:
    """Sent twice it is there once, and taken back it shows no more."""
    note = an_entry({"kind": "note", "text": "redder"}, animal_id=home.animal_id)
    record.record_entry(household_id=home.id, by=home.noor, entry=note, now=NOON)
    first = keep(home, about=note.id, entry_id=(entry_id := an_id()))
    again = keep(home, about=note.id, entry_id=entry_id)

    def about() -> list[str]:
        found = record.entries_about(**home.ids, entry_ids={note.id})
        return [one.entry.payload.words for one in found]

    assert first == again
    assert about() == ["Skin at the tube"]
    back = an_entry(Withdrawn(reason="the wrong photo"), animal_id=home.animal_id, corrects=first.id)
    record.record_entry(household_id=home.id, by=home.sam, entry=back, now=NOON)
    assert about() == []


@pytest.mark.hazard("H34")
def test_a_photo_is_seen_by_its_own_household_and_by_a_sitter_only_while_it_is_new(home: Home) -> None:
    """An old photo is not for a sitter's eyes, except the animal's own."""
    kept = keep(home, now=NOON - timedelta(days=3), entry_id=an_id(at=NOON - timedelta(days=3)))
    other = household.open_household(name="Other", time_zone="UTC", day_starts=NOON.time(), lead_name="Kit")
    people = {one.name: one for one in household.find_people(household_id=home.id)}

    def sees(person, *, photo_id=kept.id) -> bool:
        return photos.find_photo(caregiver=person, photo_id=photo_id, now=NOON) is not None

    assert [sees(people[name]) for name in ("Noor", "Sam", "Ilse")] == [True, True, False]
    assert not sees(other)
    assert sees(people["Ilse"], photo_id=keep(home).id)

    own_id = an_id()
    look = {**home.ids, "shape": 4, "color": "violet", "now": NOON}
    animal = photos.choose_own_look(**look, by=home.noor, data=a_photo(), photo_id=own_id)
    assert (animal.shape, animal.color, animal.photo_id) == (4, "violet", own_id)
    assert photos.find_photo(caregiver=people["Ilse"], photo_id=own_id, now=NOON + timedelta(hours=1)).is_own
    assert photos.choose_own_look(**look, by=home.noor, data=None, photo_id=an_id()).photo_id == own_id
    with pytest.raises(NotAllowed):
        photos.choose_own_look(**look, by=home.sam, data=None, photo_id=an_id())


def noor_of(home: Home) -> Caregiver:
    return next(one for one in household.find_people(household_id=home.id) if one.id == home.noor)


def a_sent_entry(home: Home, **changed: object) -> Entry:
    """The entry of a photo as a phone sends it, before the picture."""
    entry_id = an_id()
    payload = PhotoTaken(photo=changed.pop("photo", entry_id))
    entry = an_entry(payload, animal_id=home.animal_id, id=entry_id, **changed)
    record.record_entry(household_id=home.id, by=home.noor, entry=entry, now=NOON)
    return entry


@pytest.mark.hazard("H27")
def test_a_picture_follows_its_entry_and_is_there_once(home: Home) -> None:
    """Sent again, after its answer was lost, nothing changes; it is made small like every other."""
    entry = a_sent_entry(home)
    sent = {**home.ids, "by": home.noor, "photo_id": entry.id, "now": NOON}
    photos.take_in_photo(**sent, data=a_photo(2400, 1200))
    photos.take_in_photo(**sent, data=a_photo(30, 20))

    kept = photos.find_photo(caregiver=noor_of(home), photo_id=entry.id, now=NOON)
    assert kept is not None
    assert opened(kept.jpeg).size == (1600, 800)
    assert len(opened(kept.jpeg).getexif()) == 0


@pytest.mark.hazard("H34")
def test_a_picture_without_an_entry_of_ones_own_is_refused(home: Home) -> None:
    """No entry, another's entry, another photo's entry, another animal: nothing is kept."""
    entry, other = a_sent_entry(home), a_sent_entry(home, photo=an_id())
    note = an_entry(Note(text="Calm"), animal_id=home.animal_id)
    record.record_entry(household_id=home.id, by=home.noor, entry=note, now=NOON)
    sent = {**home.ids, "by": home.noor, "photo_id": entry.id, "now": NOON}
    for changed in (
        {"photo_id": an_id()},
        {"photo_id": other.id},
        {"photo_id": note.id},
        {"by": home.sam},
        {"animal_id": an_id()},
    ):
        with pytest.raises(BadEntry) as refused:
            photos.take_in_photo(**{**sent, **changed}, data=a_photo())
        assert str(refused.value) == (
            "A photo that no entry of yours names. Allowed: a photo after its entry. Send the entry first."
        )
    with pytest.raises(BadPhoto):
        photos.take_in_photo(**sent, data=b"no picture")
    assert photos.find_photo(caregiver=noor_of(home), photo_id=entry.id, now=NOON) is None


@pytest.mark.hazard("H34")
def test_a_phone_is_told_what_became_of_its_picture(home: Home) -> None:
    """Without a sign-in it keeps it, a file that is none is named, and a good one is taken."""
    entry = a_sent_entry(home)
    path = f"/{home.animal_id}/photo/{entry.id}/"

    def send(client: Client, data: bytes) -> tuple[int, dict[str, str]]:
        answer = client.post(path, {"photo": SimpleUploadedFile("photo.jpg", data, content_type="image/jpeg")})
        return answer.status_code, answer.json()

    signed_in = Client()
    signed_in.force_login(sign_in.user_of(home.noor), backend="django.contrib.auth.backends.ModelBackend")
    with time_machine.travel(NOON, tick=False):
        assert send(Client(), a_photo()) == (
            401,
            {"message": "Sign in, then send the photo again. It is still on your device."},
        )
        status, told = send(signed_in, b"no picture")
        assert (status, told["code"]) == (400, "bad-photo")
        assert told["message"].startswith("A file that is not a photo, or not a whole one.")
        assert send(signed_in, a_photo()) == (200, {"id": str(entry.id)})
        assert signed_in.post(f"{path}small/").status_code == 405
        assert signed_in.get(path)["Content-Type"] == "image/jpeg"
