"""Photos: made small, turned upright, and stripped of the place where they were taken."""

from datetime import timedelta
from io import BytesIO

import pytest
from PIL import Image

from fillmark.core.entries import Withdrawn
from fillmark.core.errors import BadPhoto, NotAllowed
from fillmark.services import households, photos, record
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
        found = record.entries_about(household_id=home.id, animal_id=home.animal_id, entry_ids={note.id})
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
    other = households.open_household(name="Other", time_zone="UTC", day_starts=NOON.time(), lead_name="Kit")
    people = {one.name: one for one in households.find_people(household_id=home.id)}

    def sees(person, *, photo_id=kept.id) -> bool:
        return photos.find_photo(caregiver=person, photo_id=photo_id, now=NOON) is not None

    assert [sees(people[name]) for name in ("Noor", "Sam", "Ilse")] == [True, True, False]
    assert not sees(other)
    assert sees(people["Ilse"], photo_id=keep(home).id)

    own_id = an_id()
    look = {"household_id": home.id, "animal_id": home.animal_id, "shape": 4, "color": "violet", "now": NOON}
    animal = photos.choose_own_look(**look, by=home.noor, data=a_photo(), photo_id=own_id)
    assert (animal.shape, animal.color, animal.photo_id) == (4, "violet", own_id)
    assert photos.find_photo(caregiver=people["Ilse"], photo_id=own_id, now=NOON + timedelta(hours=1)).is_own
    assert photos.choose_own_look(**look, by=home.noor, data=None, photo_id=an_id()).photo_id == own_id
    with pytest.raises(NotAllowed):
        photos.choose_own_look(**look, by=home.sam, data=None, photo_id=an_id())
