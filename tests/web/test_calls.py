"""Call cards, the lock, one entry, photos, once or twice, and the search, without a browser."""

import re
from datetime import datetime, timedelta
from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from PIL import Image

from fillmark.core.plan.reading import read_plan
from fillmark.core.record.care_entries import Note
from fillmark.core.record.medicine_entries import MedicineGiven
from fillmark.core.record.session_entries import FillGiven
from fillmark.core.values.people import Role
from fillmark.core.values.trouble import Trouble
from fillmark.examples import example_plan
from fillmark.services import household, record, sign_in
from tests.journeys.household import Household, quarry_lane
from tests.support.builders import EVENING, an_entry
from tests.support.sides import side_of

TONIGHT = "2026-11-25T20:00"


def a_phone(quarry: Household, person=None) -> Client:
    client = Client()
    client.force_login(sign_in.user_of(person or quarry.noor), backend="django.contrib.auth.backends.ModelBackend")
    return client


def a_sitter(quarry: Household) -> Client:
    today = EVENING.date()
    who = {"household_id": quarry.id, "by": quarry.noor, "now": EVENING}
    return a_phone(quarry, household.add_person(**who, name="Ilse", role=Role.SITTER, from_on=today, until_on=today).id)


def page(client: Client, quarry: Household, path: str, *, status: int = 200) -> str:
    answer = client.get(f"/{quarry.animal_id}/{path}")
    assert answer.status_code == status
    return " ".join(answer.content.decode().split())


def send(client: Client, quarry: Household, path: str, **form: object):
    values = {"entry_id": str(record.new_entry_id(now=EVENING)), "zone": "Europe/Dublin", **form}
    return client.post(f"/{quarry.animal_id}/{path}", values)


def write(quarry: Household, payload: object, *, at: datetime = EVENING, **changed: object):
    entry = an_entry(payload, animal_id=quarry.animal_id, at=at, **changed)
    record.record_entry(household_id=quarry.id, by=quarry.noor, entry=entry, now=EVENING)
    return entry


def newest(quarry: Household):
    return quarry.entries(now=EVENING)[-1].payload


def a_picture() -> SimpleUploadedFile:
    written = BytesIO()
    Image.new("RGB", (40, 30), "#884422").save(written, "JPEG")
    return SimpleUploadedFile("stoma.jpg", written.getvalue(), content_type="image/jpeg")


@pytest.mark.hazard("H20")
def test_the_vets_own_number_goes_before_one_that_comes_from_heart_patients(quarry: Household) -> None:
    """The card tells what print speaks of, with its source, and puts the vet's words above it where there are some."""

    def card(shown: str) -> str:
        return re.sub(r"<[^>]*>", "", shown.partition('class="call-card" id="breathing"')[2].partition("</article>")[0])

    printed = "Over 40 a minute at rest strongly predicted heart failure in dogs. (Breathing rate at home and heart"
    without = card(page(a_phone(quarry), quarry, "calls/"))
    assert printed in without
    assert "What your vet says comes first." in without

    text = example_plan("juniper").decode()
    own = 'troubles = [\n    { trouble = "breathing", words = "Ring over 30 a minute, asleep." },\n'
    plan = read_plan(text.replace("troubles = [\n", own, 1).encode(), kind="toml")
    told = quarry_lane(now=EVENING, plan=plan)
    having = card(page(a_phone(told), told, "calls/"))
    assert having.index("Ring over 30 a minute, asleep.") < having.index(printed)


@pytest.mark.hazard("H31")
def test_all_cards_stand_on_one_small_page_with_the_number_that_answers_now(quarry: Household) -> None:
    """At 19:42 the night clinic is on top; every card can be reached by its anchor; 52 kB hold them all."""
    client = a_phone(quarry)
    shown = page(client, quarry, "calls/")

    for trouble in Trouble:
        assert f'href="#{trouble.value}"' in shown
        assert f'<article class="call-card" id="{trouble.value}"' in shown
    assert len(client.get(f"/{quarry.animal_id}/calls/").content) <= 52_000
    numbers = re.sub(r"<[^>]*>", "", shown)
    assert numbers.index("Night clinic, open now") < numbers.index("Millrace Veterinary Practice, shut now")
    assert 'href="tel:+35315550177">Call Night clinic</a>' in shown
    assert "“Stop the meal, hold her upright, and ring us before the next one.”" in shown
    assert "Went in: 210 mL from 07:02 to 07:08; 210 mL from 11:32 to 11:38; 210 mL from 15:02 to 15:08." in shown
    assert 'class="call-card chosen" id="cough"' in page(client, quarry, "calls/?what=cough")
    assert "chosen" not in page(client, quarry, "calls/?what=nothing").replace("has-chosen", "")


@pytest.mark.hazard("H12")
@pytest.mark.hazard("H13")
def test_one_tap_writes_the_trouble_and_locks_feeding_until_a_lead_clears_it(quarry: Household) -> None:
    """A sitter may lock and not clear; the vet's words stand on the record."""
    sitter, lead = a_sitter(quarry), a_phone(quarry)
    answer = send(sitter, quarry, "calls/write/", trouble="tube-out", session="")
    assert answer["Location"] == f"/{quarry.animal_id}/calls/?what=tube-out#tube-out"
    assert (newest(quarry).kind, newest(quarry).trouble) == ("feeding_locked", Trouble.TUBE_OUT)

    refused = page(sitter, quarry, "lock/")
    assert "Only a lead of this household clears it" in refused
    lock = side_of(**quarry.ids, now=EVENING).lock
    assert lock is not None
    clearing = {"lock": [str(lock.entry_ids[0])], "who": "Night clinic", "vet_words": "New tube is in. Water first."}
    assert send(sitter, quarry, "lock/", **clearing).status_code == 403
    assert "The tube is out.</strong> Written by Ilse at 19:42." in page(lead, quarry, "lock/")
    assert send(lead, quarry, "lock/", **{**clearing, "vet_words": " "}).status_code == 400
    assert send(lead, quarry, "lock/", **clearing).status_code == 302

    assert side_of(**quarry.ids, now=EVENING).lock is None
    assert "No lock holds" in page(lead, quarry, "lock/")
    assert "Feeding is cleared. Night clinic: New tube is in. Water first." in page(lead, quarry, "find/?kind=trouble")


@pytest.mark.hazard("H12")
def test_a_trouble_in_a_session_stops_it_and_asks_what_of_the_fill_had_gone_in(quarry: Household) -> None:
    """The part is written down although feeding is locked: it had gone in before."""
    client = a_phone(quarry)
    write(quarry, {"kind": "session_started", "session": TONIGHT})
    write(quarry, FillGiven(session=TONIGHT, fill=1, ml=60))
    assert f'"session": "{TONIGHT}"' in page(client, quarry, "calls/").replace("&quot;", '"')
    send(client, quarry, "calls/write/", trouble="cough", session=TONIGHT)

    assert "How many mL of fill 2 (60 mL) had gone in?" in page(client, quarry, "calls/?what=cough")
    assert "(stopped)" in page(client, quarry, "calls/?what=cough")
    assert send(client, quarry, "calls/part/", session=TONIGHT, ml="61").status_code == 400
    assert send(client, quarry, "calls/part/", session=TONIGHT, ml="25").status_code == 302
    fills = [one.payload for one in quarry.entries(now=EVENING) if one.kind == "fill_given" and one.session == TONIGHT]
    assert [(fill.fill, fill.ml) for fill in fills] == [(1, 60), (2, 25)]


def test_what_is_no_trouble_of_the_list_is_refused(quarry: Household) -> None:
    """In words, and nothing is written."""
    before = quarry.entries(now=EVENING)
    assert send(a_phone(quarry), quarry, "calls/write/", trouble="gloom").status_code == 400
    assert quarry.entries(now=EVENING) == before


@pytest.mark.hazard("H1")
def test_a_form_sent_twice_writes_once(quarry: Household) -> None:
    """The id of the form is the id of the entry."""
    client, entry_id = a_phone(quarry), str(record.new_entry_id(now=EVENING))
    for _ in range(2):
        assert send(client, quarry, "calls/write/", trouble="clog", entry_id=entry_id).status_code == 302
    assert [one.kind for one in quarry.entries(now=EVENING)].count("trouble_seen") == 1


def test_an_entry_is_put_right_and_what_it_was_stays_in_sight(quarry: Household) -> None:
    """Amount, outcome, words and time, each by a new entry; the old one is struck through with who changed it."""
    client = a_phone(quarry, quarry.sam)
    fill = write(quarry, FillGiven(session=TONIGHT, fill=1, ml=60))
    changed = send(client, quarry, f"entry/{fill.id}/change/", ml="47,5", at="2026-11-25T19:30")
    shown = page(client, quarry, changed["Location"].removeprefix(f"/{quarry.animal_id}/"))

    assert "Fill 1: 47.5 mL in" in shown
    assert "<s>Fill 1: 60 mL in</s>" in shown
    assert "19:30 · Sam · written down 19:42" in shown
    counting = [one for one in quarry.entries(now=EVENING) if one.kind == "fill_given" and one.session == TONIGHT]
    assert [(one.payload.ml, one.at, one.corrects) for one in counting] == [
        (47.5, EVENING.replace(hour=19, minute=30), fill.id)
    ]

    dose = write(quarry, MedicineGiven(session=TONIGHT, medicine="omeprazole", dose_mg="12", ml="6", outcome="given"))
    assert send(client, quarry, f"entry/{dose.id}/change/", outcome="held", reason="").status_code == 400
    send(client, quarry, f"entry/{dose.id}/change/", outcome="partial", given_mg="5.5", reason="coughed")
    doses = [one.payload for one in quarry.entries(now=EVENING) if one.session == TONIGHT and "medicine" in one.kind]
    assert [(one.outcome.value, str(one.given_mg), one.reason) for one in doses] == [("partial", "5.5", "coughed")]


def test_an_entry_taken_back_needs_a_reason_and_cannot_be_changed_any_more(quarry: Household) -> None:
    """It stays in sight, struck through."""
    client = a_phone(quarry)
    note = write(quarry, Note(text="slept well"))
    assert send(client, quarry, f"entry/{note.id}/take-back/", reason=" ").status_code == 400
    send(client, quarry, f"entry/{note.id}/take-back/", reason="It was Sorrel")

    shown = page(client, quarry, f"entry/{note.id}/")
    assert "<s>slept well</s>" in shown
    assert "Taken back: It was Sorrel" in shown
    assert "Put it right" not in shown
    assert send(client, quarry, f"entry/{note.id}/change/", text="anew").status_code == 400


@pytest.mark.hazard("H25")
def test_a_sitter_sees_and_changes_only_their_own_of_these_days(quarry: Household) -> None:
    """Others' entries show without forms; older ones and other homes' not at all."""
    sitter = a_sitter(quarry)
    note = write(quarry, Note(text="slept well"))
    old = write(quarry, Note(text="old"), at=EVENING - timedelta(days=4))

    assert "Put it right" not in page(sitter, quarry, f"entry/{note.id}/")
    assert send(sitter, quarry, f"entry/{note.id}/change/", text="mine").status_code == 403
    page(sitter, quarry, f"entry/{old.id}/", status=403)
    page(sitter, quarry, "find/", status=403)
    page(a_phone(quarry), quarry, f"entry/{record.new_entry_id(now=EVENING)}/", status=403)


def test_a_photo_is_kept_beside_its_entry_and_only_for_this_household(quarry: Household) -> None:
    """With words, shown on the entry; a stranger gets nothing; a file that is no photo is sent back."""
    client = a_phone(quarry)
    note = write(quarry, Note(text="redder at the tube"))
    bad = SimpleUploadedFile("x.jpg", b"not a photo", content_type="image/jpeg")
    refused = send(client, quarry, f"entry/{note.id}/photo/", photo=bad)
    assert refused.status_code == 400
    assert "A file that is not a photo" in refused.content.decode()
    assert send(client, quarry, f"entry/{note.id}/photo/").status_code == 400
    send(client, quarry, f"entry/{note.id}/photo/", photo=a_picture(), words="left side")

    shown = page(client, quarry, f"entry/{note.id}/")
    address = re.search(r'src="(/[^"]+/photo/[^"]+)"', shown)[1]
    assert 'alt="left side, 19:42"' in shown
    picture = client.get(address)
    assert (picture["Content-Type"], picture.content[:2]) == ("image/jpeg", b"\xff\xd8")
    assert "private" in picture["Cache-Control"]
    other = quarry_lane(now=EVENING)
    assert a_phone(other).get(address).status_code == 404
    assert Client().get(address).status_code == 302


def test_a_note_holds_words_and_a_photo(quarry: Household) -> None:
    """Either alone too; nothing at all is refused."""
    client = a_phone(quarry)
    photo_id = str(record.new_entry_id(now=EVENING))
    assert send(client, quarry, "note/", text="", photo_entry_id=photo_id).status_code == 400
    to = send(client, quarry, "note/", text="Skin redder", photo=a_picture(), photo_entry_id=photo_id)["Location"]

    shown = page(client, quarry, to.removeprefix(f"/{quarry.animal_id}/"))
    assert "Skin redder" in shown
    assert f"/photo/{photo_id}/" in shown
    alone = str(record.new_entry_id(now=EVENING))
    assert send(client, quarry, "note/", text="", photo=a_picture(), photo_entry_id=alone).status_code == 302


@pytest.mark.hazard("H17")
def test_a_lead_chooses_how_an_animal_is_told_apart(quarry: Household) -> None:
    """Shape, color and photo then stand on its screens."""
    lead = a_phone(quarry)
    assert send(lead, quarry, "emblem/", shape="star", color="red").status_code == 400
    assert send(a_phone(quarry, quarry.sam), quarry, "emblem/", shape="square", color="blue").status_code == 403
    send(lead, quarry, "emblem/", shape="octagon", color="magenta", photo=a_picture())

    shown = page(lead, quarry, "day/")
    assert 'class="emblem own-magenta"' in shown
    assert re.search(r'<image href="/[^"]+/small/"', shown)
    assert ">J</text>" in shown


@pytest.mark.hazard("H1")
def test_once_or_twice_is_asked_with_both_entries_and_answered_by_one_press(quarry: Household) -> None:
    """Who, when, how much; then the question is gone. A sitter is told who answers."""
    mine = write(quarry, FillGiven(session=TONIGHT, fill=1, ml=60))
    theirs = write(quarry, FillGiven(session=TONIGHT, fill=1, ml=55), device="sam-phone")
    client = a_phone(quarry)
    shown = page(client, quarry, "once-or-twice/")
    assert "Fill 1 of the meal: once or twice?" in shown
    assert shown.count("Once: this one") == 2
    assert "sam-phone" in shown
    assert "Once: this one" not in page(a_sitter(quarry), quarry, "once-or-twice/")

    form = {"day": "2026-11-25", "entry": [str(mine.id), str(theirs.id)], "answer": str(mine.id)}
    assert "late" not in send(client, quarry, "once-or-twice/", **form)["Location"]
    assert "No open question" in page(client, quarry, "once-or-twice/")
    late = send(client, quarry, "once-or-twice/", **{**form, "answer": "both"})["Location"]
    assert "Somebody had answered it meanwhile" in page(client, quarry, late.removeprefix(f"/{quarry.animal_id}/"))
    assert send(client, quarry, "once-or-twice/", **{**form, "answer": "perhaps"}).status_code == 400


def test_the_record_is_found_by_day_kind_person_and_words(quarry: Household) -> None:
    """Newest first, a page at a time, corrected ones struck through."""
    client = a_phone(quarry)
    for days in range(60):
        write(quarry, Note(text=f"Quiet day {days}"), at=EVENING - timedelta(days=days))
    first = page(client, quarry, "find/?kind=notes")
    assert "Quiet day 0" in first
    assert "Quiet day 50" not in first
    older = re.search(r'href="\?([^"]+)">Older ones', first)[1].replace("&amp;", "&")
    second = page(client, quarry, f"find/?{older}")
    assert "Quiet day 50" in second
    assert "Quiet day 49<" not in second
    assert "Older ones" not in second

    assert "Quiet day 7" in page(client, quarry, "find/?first=2026-11-18&last=2026-11-18")
    assert "Quiet day" not in page(client, quarry, f"find/?kind=notes&by={quarry.sam}")
    assert "Quiet day 33" in page(client, quarry, "find/?words=quiet+DAY+33")
    assert "No entry" in page(client, quarry, "find/?words=thunder")
    assert "Omeprazole" in page(client, quarry, "find/?kind=medicines")
    for bad in ("first=2026-02-30", "by=Noor"):
        page(client, quarry, f"find/?{bad}", status=400)


@pytest.mark.hazard("H27")
@pytest.mark.parametrize("role", ["lead", "helper", "sitter"])
def test_a_phone_is_asked_to_keep_only_pages_that_its_person_may_see(quarry: Household, role: str) -> None:
    """A page that is refused is none to keep, and the browser tells of it as of an error."""
    client = {"lead": a_phone, "helper": lambda home: a_phone(home, home.sam), "sitter": a_sitter}[role](quarry)
    pages = client.get("/keep").json()["pages"]

    assert f"/{quarry.animal_id}/calls/" in pages
    assert {path: client.get(path, follow=True).status_code for path in pages} == dict.fromkeys(pages, 200)
