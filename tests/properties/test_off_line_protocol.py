"""The protocol between phones and record, without a browser: whatever is lost on the way, each entry is kept once."""

import random
from datetime import datetime, timedelta
from uuid import UUID

import pytest
import time_machine
from django.db import transaction
from django.test import Client

from fillmark.core.record.care_entries import Note, PhotoTaken
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.record.entries import make_entry_id
from fillmark.core.record.ledger import read_day
from fillmark.core.record.session_entries import (
    CameBack,
    FillGiven,
    FlushGiven,
    MealEnded,
    SessionEnded,
    SessionPaused,
    SessionStarted,
)
from fillmark.core.record.sessions import read_session
from fillmark.records import rollups, stored_photos
from fillmark.services import record, sign_in
from tests.services.test_photos import a_photo
from tests.support.builders import NOON, SEVEN, Home, a_home, an_entry
from tests.support.phone_model import Line, PhoneModel

pytestmark = pytest.mark.django_db
DAY = NOON.date()


def a_phone(person_id: object, name: str) -> PhoneModel:
    client = Client()
    client.force_login(sign_in.user_of(person_id), backend="django.contrib.auth.backends.ModelBackend")
    return PhoneModel(client=client, name=name)


def a_payload(chance: random.Random) -> object:
    ml = chance.choice([10.0, 60.0])
    return chance.choice(
        [
            SessionStarted(session=SEVEN),
            *[FillGiven(session=SEVEN, fill=chance.randint(1, 3), ml=ml)] * 3,
            FlushGiven(session=SEVEN, step="flush-before", ml=ml),
            MealEnded(session=SEVEN, total_ml=ml, fills=0),
            CameBack(session=SEVEN, ml=ml),
            SessionPaused(session=SEVEN),
            SessionEnded(session=SEVEN),
            Note(text="Calm"),
        ]
    )


class Interleaving:
    """Three phones of two people, pressing and sending in an order that chance decides."""

    def __init__(self, home: Home, chance: random.Random) -> None:
        self.home, self.chance, self.now = home, chance, NOON
        self.phones = [
            a_phone(home.noor, "noor-phone"),
            a_phone(home.noor, "kitchen-tablet"),
            a_phone(home.sam, "sam-phone"),
        ]
        self.pressed: list[UUID] = []

    def run(self, steps: int) -> None:
        for _ in range(steps):
            self.now += timedelta(seconds=self.chance.randint(1, 90))
            phone = self.chance.choice(self.phones)
            with time_machine.travel(self.now, tick=False):
                what = self.chance.random()
                if what < 0.5:
                    self.press(phone)
                elif what < 0.85:
                    phone.flush(self.chance.choice(list(Line)))
                else:
                    phone.pull()
        with time_machine.travel(self.now + timedelta(hours=1), tick=False):
            for phone in self.chance.sample(self.phones, 3):
                phone.flush(Line.ANSWER_LOST)
                phone.flush(Line.ARRIVES)
            for phone in self.phones:
                phone.pull()

    def press(self, phone: PhoneModel) -> None:
        skew = timedelta(minutes=self.chance.choice([0, 0, -10, 4]))
        at: datetime = self.now + skew
        corrects = self.chance.choice(self.pressed) if self.pressed and self.chance.random() < 0.15 else None
        payload = Withdrawn(reason="Not so") if corrects else a_payload(self.chance)
        entry = an_entry(
            payload,
            animal_id=self.home.animal_id,
            at=at,
            id=make_entry_id(at=at, chance=self.chance.randbytes(10)),
            device=phone.name,
            corrects=corrects,
        )
        phone.press(entry)
        self.pressed.append(entry.id)


@pytest.mark.hazard("H27")
@pytest.mark.hazard("H1")
@pytest.mark.parametrize(
    "many", [60, pytest.param(1000, marks=pytest.mark.long)], ids=["60 interleavings", "1,000 interleavings"]
)
def test_every_interleaving_keeps_each_entry_once_and_ends_in_one_state(many: int) -> None:
    """Nothing lost, nothing doubled, no gap in the numbers; all phones agree; sums do not depend on the order."""
    chance = random.Random(72)
    for _ in range(many):
        with transaction.atomic():
            home = a_home()
            story = Interleaving(home, chance)
            story.run(chance.randint(12, 30))
            kept = record.entries_since(household_id=home.id, seq=0)
            assert sorted(one.entry.id for one in kept) == sorted(story.pressed)
            assert [one.seq for one in kept] == list(range(1, len(kept) + 1))
            for phone in story.phones:
                assert phone.queue == {}
                assert sorted(phone.kept) == sorted(map(str, story.pressed))

            shuffled = chance.sample(kept, len(kept))
            later = story.now + timedelta(hours=2)
            asked = {"day": DAY, "planned_ml": {SEVEN: 180.0}, "now": later}
            assert read_day(entries=shuffled, **asked) == read_day(entries=kept, **asked)
            clashes = [clash.what for clash in read_session(session=SEVEN, entries=kept, now=later).clashes]
            assert len(clashes) == len(set(clashes))

            assert rollups.days_that_do_not_add_up(household_id=home.id, now=later) == ()
            transaction.set_rollback(True)


@pytest.mark.hazard("H1")
def test_a_fresh_press_that_was_overtaken_is_asked_and_kept_when_the_person_says_so(home: Home) -> None:
    """Two phones of one person press fill 1 at once; the second is asked, and its answer is a fact like any other."""
    noor, tablet = a_phone(home.noor, "noor-phone"), a_phone(home.noor, "kitchen-tablet")
    start, first, second = (
        an_entry(payload, animal_id=home.animal_id)
        for payload in (SessionStarted(session=SEVEN), *[FillGiven(session=SEVEN, fill=1, ml=60)] * 2)
    )
    with time_machine.travel(NOON, tick=False):
        for entry in (start, first):
            noor.press(entry)
            noor.flush(Line.ARRIVES, fresh={str(entry.id)})
        tablet.press(second)
        tablet.flush(Line.ARRIVES, fresh={str(second.id)})
        assert tablet.asked == {str(second.id): "already-recorded"}
        assert len(record.entries_since(household_id=home.id, seq=0)) == 2

        tablet.write_after_all(second.id)
        tablet.flush(Line.ARRIVES)
    assert tablet.queue == {}
    kept = record.entries_since(household_id=home.id, seq=0)
    state = read_session(session=SEVEN, entries=kept, now=NOON)
    assert [clash.what for clash in state.clashes] == ["fill 1 of the meal"]


@pytest.mark.hazard("H25")
def test_a_sitter_is_given_today_and_yesterday_only(home: Home) -> None:
    """What a phone keeps is what its person may see."""
    with time_machine.travel(NOON, tick=False):
        for days in (0, 1, 2, 6):
            at = NOON - timedelta(days=days)
            entry = an_entry(Note(text=f"{days} days ago"), animal_id=home.animal_id, at=at)
            record.record_entry(household_id=home.id, by=home.noor, entry=entry, now=NOON)
        noor, ilse = a_phone(home.noor, "noor-phone"), a_phone(home.ilse, "ilse-phone")
        for phone in (noor, ilse):
            phone.pull()

    assert sorted(one["told"] for one in noor.kept.values()) == [f"{days} days ago" for days in (0, 1, 2, 6)]
    assert sorted(one["told"] for one in ilse.kept.values()) == ["0 days ago", "1 days ago"]


@pytest.mark.hazard("H25")
@pytest.mark.hazard("H34")
def test_a_sitter_whose_pass_has_ended_is_told_nothing_but_may_still_send(home: Home) -> None:
    """What they wrote on the last day still arrives; what others write they are no longer given."""
    ilse = a_phone(home.ilse, "ilse-phone")
    last_day, after = NOON + timedelta(days=1), NOON + timedelta(days=2)
    entry = an_entry(Note(text="Asleep at ten"), animal_id=home.animal_id, at=last_day)
    ilse.press(entry)
    with time_machine.travel(after, tick=False):
        ilse.flush(Line.ARRIVES)
        answer = ilse.client.get("/entries?since=0")

    assert ilse.queue == {}
    assert answer.status_code == 403
    assert answer.json() == {"error": "Ilse's pass does not hold on 27 November. Ask a lead."}


@pytest.mark.hazard("H27")
def test_every_photo_follows_its_entry_over_a_line_that_fails(home: Home) -> None:
    """Whatever is lost on the way, each entry and each picture is there once, and none before its entry."""
    chance = random.Random(40)
    picture = a_photo(64, 48)
    phone, taken = a_phone(home.noor, "noor-phone"), []
    for _ in range(12):
        entry_id = make_entry_id(at=NOON, chance=chance.randbytes(10))
        entry = an_entry(PhotoTaken(photo=entry_id), animal_id=home.animal_id, id=entry_id)
        phone.take_photo(entry, picture)
        taken.append(entry_id)
    with time_machine.travel(NOON, tick=False):
        for _ in range(60):
            send = chance.choice([phone.flush, phone.send_photos])
            send(chance.choice(list(Line)))
            there = {one for one in taken if stored_photos.find_photo(household_id=home.id, photo_id=one)}
            assert there <= {one.entry.id for one in record.entries_since(household_id=home.id, seq=0)}
        phone.flush(Line.ARRIVES)
        phone.send_photos(Line.ANSWER_LOST)
        phone.send_photos(Line.ARRIVES)

    assert (phone.queue, phone.photos) == ({}, {})
    assert sorted(one.entry.id for one in record.entries_since(household_id=home.id, seq=0)) == sorted(taken)
    assert all(stored_photos.find_photo(household_id=home.id, photo_id=one) for one in taken)


def test_a_phone_that_knows_more_than_the_record_starts_anew(home: Home) -> None:
    """After a restore, or with another household's number, it is given the whole of what it keeps."""
    phone = a_phone(home.noor, "noor-phone")
    phone.seq = 4711
    phone.kept = {"old": {}}
    with time_machine.travel(NOON, tick=False):
        phone.pull()

    assert (phone.seq, phone.kept) == (0, {})


@pytest.mark.parametrize("since", ["-1", "x", "1" * 16, "１"])
def test_a_number_that_is_none_is_refused(home: Home, since: str) -> None:
    """With what came and what is allowed."""
    answer = a_phone(home.noor, "noor-phone").client.get("/entries", {"since": since})

    assert answer.status_code == 400
    assert answer.json()["error"] == f'"{since}" for since. Allowed: a number, 0 or more.'
