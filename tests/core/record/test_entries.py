"""What can be recorded, and what is sent back with which words."""

import json
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from typing import Any

import pytest

from fillmark.core.record.entries import (
    Entry,
    check_clock,
    entry_day,
    household_day,
    make_entry_id,
    read_entry,
    read_payload,
    write_payload,
)
from fillmark.core.record.medicine_entries import MedicineGiven
from fillmark.core.record.session_entries import CameBack, FillGiven
from fillmark.core.values.errors import BadEntry
from tests.support.builders import JUNIPER, NOON, SEVEN, an_entry, an_id


def document(payload: dict[str, Any], **changed: Any) -> dict[str, Any]:
    values = {"id": str(an_id()), "animal_id": str(JUNIPER), "at": "2026-11-25T12:00:00+00:00"}
    return {**values, "zone": "Europe/Dublin", "device": "noor-phone", "payload": payload, **changed}


ONE_OF_EACH_KIND: tuple[dict[str, Any], ...] = (
    {"kind": "session_started", "session": SEVEN},
    {"kind": "step_done", "session": SEVEN, "step": "wash-hands"},
    {"kind": "step_skipped", "session": SEVEN, "step": "weigh", "reason": "scale is flat"},
    {"kind": "fill_given", "session": SEVEN, "fill": 1, "ml": 58.5},
    {"kind": "flush_given", "session": SEVEN, "step": "flush-before", "ml": 10},
    {"kind": "medicine_given", "session": SEVEN, "medicine": "omeprazole", "dose_mg": "17.5", "outcome": "given"},
    {"kind": "medicine_given", "medicine": "salve", "amount": "one drop", "outcome": "refused", "reason": "fled"},
    {"kind": "effect_seen", "of": str(an_id()), "effect": "eased a little", "words": "breathes slower"},
    {"kind": "meal_ended", "session": SEVEN, "total_ml": 240, "fills": 4},
    {"kind": "meal_ended", "session": SEVEN, "total_ml": "not known", "fills": 0},
    {"kind": "came_back", "session": SEVEN, "ml": "not known"},
    {"kind": "session_paused", "session": SEVEN},
    {"kind": "session_resumed", "session": SEVEN},
    {"kind": "session_stopped", "session": SEVEN, "reason": "she coughed"},
    {"kind": "session_ended", "session": SEVEN},
    {"kind": "session_skipped", "session": SEVEN, "reason": "the vet said so"},
    {"kind": "feeding_locked", "session": SEVEN, "trouble": "cough", "words": "at the second fill"},
    {"kind": "feeding_locked", "trouble": "tube-out"},
    {"kind": "feeding_cleared", "locks": [str(an_id())], "who": "Dr. Marsh", "vet_words": "half a meal, slowly"},
    {"kind": "trouble_seen", "trouble": "clog", "session": SEVEN},
    {"kind": "photo_taken", "photo": str(an_id()), "about": str(an_id()), "words": "redder than yesterday"},
    {"kind": "weight", "weight_kg": 17.2, "scale": "hall", "meal": "before", "checked": True},
    {"kind": "drank", "ml": 40},
    {"kind": "drank", "ml": "not known"},
    {
        "kind": "flow_test",
        "foods": ["stew"],
        "food_g": 820,
        "water_ml": 160,
        "left_ml": 3.5,
        "has_flowed": True,
        "sieved": True,
        "frozen": False,
        "batch": "B7",
        "made_on": "2026-11-24",
    },
    {
        "kind": "batch_made",
        "foods": [{"food": "stew", "cans": 2}, {"food": "fish-oil", "ml": 5}],
        "water_ml": 290,
        "ml": 1062.5,
        "batch": "B8",
        "made_on": "2026-11-24",
    },
    {
        "kind": "batch_made",
        "foods": [{"food": "puree", "g": 400}],
        "water_ml": 100,
        "batch_g": 500,
        "sample_ml": 60,
        "sample_g": 62,
        "made_on": "2026-11-24",
    },
    {"kind": "batch_chosen", "session": SEVEN, "batch": "B7", "made_on": "2026-11-24", "reason": "the vet allowed it"},
    {"kind": "sheet_printed", "version": 3, "first_on": "2026-11-30", "last_on": "2026-12-06"},
    {"kind": "sheet_thrown_away", "version": 3},
    {"kind": "note", "text": "slept well"},
    {"kind": "both_given", "session": SEVEN, "entries": [str(an_id()), str(an_id())]},
    {"kind": "both_given", "entries": [str(an_id()), str(an_id())], "reason": "the first came back up"},
    {"kind": "second_check", "session": SEVEN, "medicine": "omeprazole", "ml": "5.2"},
    {"kind": "second_check", "medicine": "salve", "pieces": "0.5"},
    {
        "kind": "bottle_opened",
        "medicine": "omeprazole",
        "strength": "2 mg/mL",
        "ml": "100",
        "expires_on": "2027-03-31",
        "discard_on": "2026-12-20",
        "filled_on": "2026-11-24",
        "lot": "K7",
    },
    {"kind": "bottle_opened", "medicine": "salve", "strength": "5 mg/tablet", "pieces": "30"},
    {"kind": "strength_confirmed", "medicine": "salve", "bottle": str(an_id()), "old": "1 mg/mL", "new": "2 mg/mL"},
    {"kind": "stock_counted", "medicine": "salve", "bottle": str(an_id()), "ml": "41.5"},
    {
        "kind": "medicine_given",
        "medicine": "salve",
        "amount": "one drop",
        "outcome": "given",
        "reason": "the first ran out again",
        "despite": [str(an_id())],
    },
)


@pytest.mark.parametrize("payload", ONE_OF_EACH_KIND, ids=lambda payload: payload["kind"])
def test_every_kind_survives_the_way_through_json(payload: dict[str, Any]) -> None:
    """What is read, written and read again is the same value, and holds what came."""
    entry = read_entry(document(payload))

    again = read_entry(document(json.loads(write_payload(entry)), id=str(entry.id)))

    assert again == entry
    assert {key: json.loads(write_payload(entry))[key] for key in payload} == payload


@pytest.mark.parametrize(
    ("payload", "message"),
    [
        (
            {"kind": "fill_given", "session": SEVEN, "fill": 1, "ml": -3},
            '"-3" for fill_given.ml. Allowed: 0 or more. Correct it and send the entry again.',
        ),
        (
            {"kind": "fill_given", "session": SEVEN, "fill": 1, "ml": "60"},
            '"60" for fill_given.ml. Allowed: a valid number. Correct it and send the entry again.',
        ),
        (
            {"kind": "fill_given", "session": SEVEN, "fill": 1},
            "An entry without fill_given.ml. Allowed: an entry with fill_given.ml. "
            "Correct it and send the entry again.",
        ),
        (
            {"kind": "fill_given", "session": "seven", "fill": 1, "ml": 60},
            '"seven" for fill_given.session. Allowed: a day and a planned time, such as "2026-11-25T07:00". '
            "Correct it and send the entry again.",
        ),
        (
            {"kind": "session_ended", "session": "2026-02-30T07:00"},
            '"2026-02-30T07:00" for session_ended.session. Allowed: a day and a planned time, such as '
            '"2026-11-25T07:00". Correct it and send the entry again.',
        ),
        (
            {"kind": "note", "text": "x", "color": "red"},
            "An entry with note.color. Allowed: the keys of its kind. Correct it and send the entry again.",
        ),
        (
            {"kind": "medicine_given", "medicine": "a", "dose_mg": 5, "outcome": "given"},
            '"5" for medicine_given.dose_mg. Allowed: a decimal in quotes, 0 or more, such as "0.5". '
            "Correct it and send the entry again.",
        ),
        (
            {"kind": "medicine_given", "medicine": "a", "outcome": "given"},
            "Something else for medicine_given. Allowed: the dose in dose_mg, or in words in amount. "
            "Correct it and send the entry again.",
        ),
        (
            {"kind": "medicine_given", "medicine": "a", "dose_mg": "5", "outcome": "held"},
            "Something else for medicine_given. Allowed: a reason with an outcome of held, refused or missed. "
            "Correct it and send the entry again.",
        ),
        (
            {"kind": "medicine_given", "medicine": "a", "dose_mg": "5", "outcome": "partial"},
            'Something else for medicine_given. Allowed: given_mg with the outcome "partial" (or "not known"), and '
            "with no other. Correct it and send the entry again.",
        ),
        (
            {"kind": "medicine_given", "medicine": "a", "dose_mg": "5", "outcome": "partial", "given_mg": "6"},
            "Something else for medicine_given. Allowed: a part no larger than the dose. "
            "Correct it and send the entry again.",
        ),
        (
            {"kind": "medicine_given", "medicine": "a", "dose_mg": "5", "outcome": "given", "despite": [str(an_id())]},
            "Something else for medicine_given. Allowed: a reason beside the givings named in despite. "
            "Correct it and send the entry again.",
        ),
        (
            {"kind": "second_check", "medicine": "a", "ml": "5", "pieces": "1"},
            "Something else for second_check. Allowed: one of ml and pieces. Correct it and send the entry again.",
        ),
        (
            {"kind": "bottle_opened", "medicine": "a", "strength": "5.0 mg/mL", "ml": "5"},
            '"5.0" for strength, with nothing but zeros after the point. Allowed: 5. An overlooked point makes it ten '
            'times as much. Write "5" if that is meant.',
        ),
        (
            {"kind": "bottle_opened", "medicine": "a", "strength": "0 mg/tablet", "pieces": "5"},
            '"0 mg/tablet" for strength. Allowed: a strength above 0, such as "5 mg/tablet". '
            "Copy the strength from the label.",
        ),
        (
            {"kind": "withdrawn", "reason": "a slip"},
            "Something else for entry. Allowed: the id of what is withdrawn in corrects. "
            "Correct it and send the entry again.",
        ),
        (
            {"kind": "feeding_locked", "trouble": "clog"},
            "Something else for feeding_locked. Allowed: a trouble that locks feeding, or the kind trouble_seen. "
            "Correct it and send the entry again.",
        ),
        (
            {"kind": "weight", "weight_kg": 1700},
            '"1700" for weight.weight_kg. Allowed: 100 or less. Correct it and send the entry again.',
        ),
    ],
)
def test_a_bad_entry_is_sent_back_with_what_came_what_is_allowed_and_what_to_do(
    payload: dict[str, Any], message: str
) -> None:
    """The whole message, word for word."""
    with pytest.raises(BadEntry) as refused:
        read_entry(document(payload))

    assert str(refused.value) == message


@pytest.mark.parametrize(
    "changed",
    [
        {"id": "550e8400-e29b-41d4-a716-446655440000"},
        {"id": "7"},
        {"at": "2026-11-25T12:00:00"},
        {"at": "yesterday"},
        {"zone": "Mars/Olympus"},
        {"device": ""},
        {"device": "x" * 81},
        {"corrects": "none"},
        {"by": "Noor"},
    ],
)
def test_an_envelope_must_be_whole(changed: dict[str, Any]) -> None:
    """An id of another version, a time without its zone, an unknown zone or key: refused by name."""
    with pytest.raises(BadEntry) as refused:
        read_entry(document({"kind": "note", "text": "x"}, **changed))

    assert refused.value.field.startswith(next(iter(changed)))


@pytest.mark.parametrize("came", ["", "[]", "7", "{", "null", b"\xff\xfe", '{"id": NaN}', "[" * 100_000])
def test_what_is_no_entry_at_all_is_refused(came: str | bytes) -> None:
    """No text makes it fail in any other way."""
    with pytest.raises(BadEntry):
        read_entry(came)


def test_an_entry_cannot_correct_itself() -> None:
    """The id of what is corrected is another one."""
    same = str(an_id())

    with pytest.raises(BadEntry, match="another entry in corrects"):
        read_entry(document({"kind": "note", "text": "x"}, id=same, corrects=same))


def test_a_dose_keeps_every_digit() -> None:
    """A dose is an exact decimal from the device to the record and back."""
    payload = MedicineGiven(medicine="digoxin", dose_mg=Decimal("0.0625"), outcome="given")

    assert json.loads(write_payload(an_entry(payload)))["dose_mg"] == "0.0625"
    assert (
        json.loads(write_payload(an_entry(payload.model_copy(update={"dose_mg": Decimal("1E+2")}))))["dose_mg"] == "100"
    )


def test_an_id_is_a_uuid_of_version_7_and_sorts_by_time() -> None:
    """RFC 9562: 48 bits of milliseconds first, then version 7 and variant 2, the rest chance."""
    first = make_entry_id(at=NOON, chance=b"\xff" * 10)
    second = make_entry_id(at=NOON + timedelta(milliseconds=1), chance=b"\x00" * 10)

    assert (first.version, second.version) == (7, 7)
    assert first.variant == "specified in RFC 4122"
    assert first < second
    assert first.int >> 80 == int(NOON.timestamp() * 1000)


def test_the_id_of_the_standards_example_is_made_from_its_parts() -> None:
    """RFC 9562, appendix A.6 (from memory): 2022-02-22 19:22:22 UTC and its random bits."""
    at = datetime(2022, 2, 22, 19, 22, 22, tzinfo=UTC)
    chance = (0xCC3 << 64 | 0x18C4DC0C0C07398F).to_bytes(10, "big")

    assert str(make_entry_id(at=at, chance=chance)) == "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"


@pytest.mark.hazard("H26")
def test_a_device_a_day_ahead_must_set_its_clock() -> None:
    """Minutes ahead are kept and measured; a wrong date is sent back."""
    slightly = an_entry(FillGiven(session=SEVEN, fill=1, ml=60), at=NOON + timedelta(minutes=7))
    far = an_entry(FillGiven(session=SEVEN, fill=1, ml=60), at=NOON + timedelta(hours=25))

    assert check_clock(slightly, now=NOON) == timedelta(minutes=7)
    assert check_clock(slightly, now=NOON + timedelta(hours=1)) == timedelta(0)
    with pytest.raises(BadEntry) as refused:
        check_clock(far, now=NOON)
    assert str(refused.value) == (
        "An entry dated 26 November 2026, 13:00 UTC, when it is 25 November 2026, 12:00 UTC. Allowed: no more than "
        "24 hours ahead. Set the clock of the device, correct the time of the entry and send it again."
    )


@pytest.mark.hazard("H26")
@pytest.mark.parametrize(
    ("at", "day"),
    [
        ("2026-10-25T00:30:00+00:00", date(2026, 10, 24)),  # 1:30 summer time
        ("2026-10-25T01:30:00+00:00", date(2026, 10, 24)),  # 1:30 once more, an hour later
        ("2026-10-25T03:59:00+00:00", date(2026, 10, 24)),
        ("2026-10-25T04:00:00+00:00", date(2026, 10, 25)),
        ("2026-03-29T02:59:00+00:00", date(2026, 3, 28)),  # 3:59 on the day that has no 1:30
        ("2026-03-29T03:00:00+00:00", date(2026, 3, 29)),
    ],
)
def test_the_day_starts_at_its_hour_on_days_of_23_and_25_hours_too(at: str, day: date) -> None:
    """Dublin, the day from 4:00."""
    assert household_day(at=datetime.fromisoformat(at), time_zone="Europe/Dublin", day_starts=time(4)) == day


def test_an_entry_counts_for_the_day_of_its_session_however_late_it_was() -> None:
    """The 23:00 meal given at half past four belongs to the day it was planned for."""
    late: Entry = an_entry(CameBack(session="2026-11-25T23:00", ml=5), at=datetime(2026, 11, 26, 4, 30, tzinfo=UTC))

    assert entry_day(late, time_zone="Europe/Dublin", day_starts=time(4)) == date(2026, 11, 25)
    assert entry_day(
        an_entry(CameBack(session="2026-11-26T01:00", ml=5)), time_zone="Europe/Dublin", day_starts=time(4)
    ) == date(2026, 11, 25)


def test_a_food_on_hand_survives_the_way_through_json() -> None:
    """Its label is in the plan's format, in which what nobody said is "not stated"."""
    entry = read_entry(document({"kind": "food_kept", "food": {"id": "oil", "name": "Fish oil", "complete": False}}))
    written = json.loads(write_payload(entry))

    assert read_entry(document(written, id=str(entry.id))) == entry
    assert (written["food"]["name"], written["food"]["complete"]) == ("Fish oil", False)


def test_an_amount_over_its_limit_is_refused_in_words():
    """Which type a library tried last is nobody's business."""
    with pytest.raises(BadEntry) as refused:
        read_payload({"kind": "meal_ended", "session": "2026-11-25T20:00", "total_ml": 9000, "fills": 4})

    assert str(refused.value) == (
        '"9000" for meal_ended.total_ml. Allowed: 5,000 or less. Correct it and send the entry again.'
    )
