"""Rows that an older door let in, or another version wrote, straight in the tables: no page fails because of one."""

import json
import random
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from typing import Any
from uuid import UUID

import pytest
from django.test import Client
from django.urls import reverse

from fillmark.core.record.care_entries import Note
from fillmark.core.record.entries import kinds, make_entry_id
from fillmark.records import models
from fillmark.services import sign_in
from tests.journeys.household import Household
from tests.support.builders import EVENING
from tests.web import conftest as of_web
from tests.web.test_who_sees import PAGES

pytestmark = pytest.mark.hazard("H42")
quarry = of_web.quarry
"""The household in the evening."""
DAYS = [date(1, 1, 1), date(9999, 12, 31), date(1969, 12, 31), date(2101, 1, 1)]
INSTANTS = [
    datetime(1, 1, 2, tzinfo=UTC),
    datetime(9999, 12, 30, tzinfo=UTC),
    datetime(1970, 1, 1, tzinfo=UTC),
    datetime(2100, 12, 31, 23, 59, tzinfo=UTC),
]
VALUES: list[Any] = [
    None,
    -1,
    1e308,
    10**30,
    "9" * 40,
    "9999-12-31",
    "0001-01-01",
    "0001-01-01T00:00",
    "9999-12-31T23:59",
    "１２",
    "\u200b",
    "x" * 20_000,
    [],
    {},
    True,
    "../..",
]
WHOLE: dict[str, dict[str, Any]] = {
    "fill_given": {"session": "2026-11-25T07:00", "fill": 1, "ml": 60.0},
    "flush_given": {"session": "2026-11-25T07:00", "step": "flush-before", "ml": 5.0},
    "meal_ended": {"session": "2026-11-25T07:00", "total_ml": 60.0, "fills": 1},
    "came_back": {"ml": 5.0},
    "session_started": {"session": "2026-11-25T07:00"},
    "session_stopped": {"session": "2026-11-25T07:00", "reason": "x"},
    "medicine_given": {"medicine": "omeprazole", "dose_mg": "12", "outcome": "given"},
    "bottle_opened": {"medicine": "omeprazole", "strength": "2 mg/mL", "ml": "100", "expires_on": "2027-01-31"},
    "stock_counted": {"medicine": "omeprazole", "bottle": "01a21293-b600-7000-8000-000000000001", "ml": "5"},
    "second_check": {"medicine": "omeprazole", "ml": "6"},
    "weight": {"weight_kg": 17.2},
    "flow_test": {
        "foods": ["stew"],
        "food_g": 300.0,
        "water_ml": 20.0,
        "left_ml": 3.0,
        "sieved": True,
        "frozen": False,
        "made_on": "2026-11-25",
    },
    "batch_chosen": {"session": "2026-11-25T07:00", "made_on": "2026-11-25"},
    "day_replanned": {
        "sessions": [{"session": "2026-11-25T20:00", "at": "2026-11-25T20:30:00+00:00"}],
        "reason": "late",
    },
    "feeding_locked": {"trouble": "cough_during_meal"},
    "sheet_printed": {"version": 1, "first_on": "2026-11-25", "last_on": "2026-12-01"},
    "both_given": {"entries": ["01a21293-b600-7000-8000-000000000001", "01a21293-b600-7000-8000-000000000002"]},
    "note": {"text": "x"},
    "photo_taken": {"photo": "01a21293-b600-7000-8000-000000000001"},
    "withdrawn": {"reason": "x"},
    "ate": {"food": "stew", "g": 20.0},
    "effect_seen": {"of": "01a21293-b600-7000-8000-000000000001", "effect": "eased"},
}


def payloads(chance: random.Random) -> list[tuple[str, str]]:
    """The kind that a row is filed under, and its payload: each field of each kind missing, and out of its limits."""
    found = [("note", "{"), ("note", "null"), ("note", "[]"), ("of_next_year", '{"kind":"of_next_year"}'), ("", "")]
    for kind, whole in WHOLE.items():
        found.append((kind, json.dumps({"kind": kind, **whole, "new_key": 1})))
        for field in whole:
            found.append((kind, json.dumps({"kind": kind, **{key: whole[key] for key in whole if key != field}})))
            found += [(kind, json.dumps({"kind": kind, **whole, field: value})) for value in chance.sample(VALUES, 9)]
    return found + [(kind, json.dumps({"kind": kind})) for kind in kinds()]


def plant(quarry: Household, chance: random.Random) -> int:
    """Every kind of hostile entry, in the columns too; how many."""
    home = models.Household.objects.get(pk=quarry.id)
    found = payloads(chance)
    known = list(models.Entry.objects.values_list("pk", flat=True))
    rows = []
    for number, (kind, payload) in enumerate(found):
        at = EVENING - timedelta(minutes=chance.randint(0, 2000))
        row = models.Entry(
            id=make_entry_id(at=at, chance=chance.randbytes(10)),
            household_id=quarry.id,
            animal_id=quarry.animal_id,
            seq=home.last_seq + number + 1,
            kind=kind,
            at=at,
            zone="Europe/Dublin",
            day=at.date(),
            session="",
            recorded_at=at,
            by_id=quarry.noor,
            device="old",
            payload=payload,
            corrects=chance.choice(known) if chance.random() < 0.2 else None,
        )
        for column, values in (("at", INSTANTS), ("day", DAYS), ("recorded_at", INSTANTS), ("zone", ["localtime", ""])):
            if chance.random() < 0.15:
                setattr(row, column, chance.choice(values))
        rows.append(row)
    models.Entry.objects.bulk_create(rows)
    models.Household.objects.filter(pk=quarry.id).update(last_seq=home.last_seq + len(rows))
    return len(rows)


def person(quarry: Household, number: int, **changed: Any) -> None:
    user = sign_in.User.objects.create_user(username=f"old-{number}")
    models.Person.objects.create(
        household_id=quarry.id, user=user, **{"name": f"Old {number}", "role": "sitter"} | changed
    )


def people(quarry: Household, _chance: random.Random) -> int:
    days = [(None, None), (DAYS[0], DAYS[1]), (DAYS[1], DAYS[0]), (None, DAYS[1]), (DAYS[0], None)]
    for number, (first, last) in enumerate(days):
        person(quarry, number, from_on=first, until_on=last)
    person(quarry, 8, role="owner")
    person(quarry, 9, name="")
    return len(days) + 2


def plans(quarry: Household, _chance: random.Random) -> int:
    """Newer than the one in force, and in force: nothing is worked out of it, and the rest is shown."""
    documents = ["{}", "[]", "", "{", '{"format": 99}', json.dumps({"animal": {"name": "x" * 5000}})]
    for number, document in enumerate(documents):
        models.PlanVersion(
            household_id=quarry.id,
            animal_id=quarry.animal_id,
            number=number + 2,
            document=document,
            effective_from=(EVENING - timedelta(days=3), *INSTANTS)[number % 5],
            confirmed_by_id=quarry.noor,
            vet_words="",
            vet_said_on=DAYS[number % len(DAYS)],
            recorded_at=INSTANTS[number % len(INSTANTS)],
        ).save()
    return len(documents)


def sums(quarry: Household, _chance: random.Random) -> int:
    """Of days that nobody lived."""
    for number, day in enumerate([*DAYS, EVENING.date() - timedelta(days=40)]):
        values = dict.fromkeys(("blend_low_ml", "blend_high_ml", "flush_ml"), (-1.0, 1e308, 0.0, None)[number % 4])
        models.DayRollup.objects.create(
            household_id=quarry.id,
            animal_id=quarry.animal_id,
            day=day,
            entries=0,
            last_at=INSTANTS[number % len(INSTANTS)],
            **values,
        )
    return len(DAYS) + 1


def pictures(quarry: Household, _chance: random.Random) -> int:
    """That are none, of an animal whose look nobody can choose."""
    photo = models.Photo(
        id=UUID(int=7),
        household_id=quarry.id,
        animal_id=quarry.animal_id,
        by_id=quarry.noor,
        recorded_at=INSTANTS[1],
        jpeg=b"",
        small_jpeg=b"\x00",
    )
    photo.save()
    models.Animal.objects.filter(pk=quarry.animal_id).update(
        photo=photo, shape=999, color="of-next-year", name="\u200b"
    )
    return 2


def asides(quarry: Household, _chance: random.Random) -> int:
    for number, document in enumerate(
        ("", "{", "null", "[]", '{"payload": 7}', '{"at": {}, "payload": {"\\u0000": []}}')
    ):
        models.SetAside.objects.create(
            household_id=quarry.id,
            by_id=quarry.noor,
            recorded_at=INSTANTS[number % len(INSTANTS)],
            digest=f"{number}",
            document=document,
            code="x",
            message="",
        )
    return 6


DRAFTS = (
    *("", "null", "[]", "{", '"x"', '{"animal": []}', '{"animal": {"weights": [7]}}', '{"foods": {"name": {}}}'),
    *(
        '{"medicines": [{"steps": [[]]}]}',
        '{"vet": {"call": [{"hours": "always"}]}}',
        '{"animal": {"tube": "not stated"}}',
    ),
    *(
        '{"animal": {"name": 7, "born_on": [1, 2], "by_mouth": ["x"]}}',
        '{"household": {"people": [{"there": [{"days": 3}]}]}}',
    ),
)


SPOTS = ("", "tube/", "weight-0/", "weight-7/", "dose-0/", "later-dose-0-0/", "food-all/", "call-hours-0-all/", "x/")


def drafts_of_plans(quarry: Household, _chance: random.Random) -> int:
    """Drafts that are none, and one with every kind of value in the wrong place."""
    for number, document in enumerate(DRAFTS):
        models.PlanDraft.objects.create(
            id=UUID(int=number + 1),
            household_id=quarry.id,
            animal_id=quarry.animal_id if number % 2 else None,
            base_number=number,
            document=document,
            progress='{"answered": [], "later": ["x"]}' if number else '{"answered": 7}',
            changed_by_id=quarry.noor,
            changed_at=INSTANTS[number % len(INSTANTS)],
        )
    return len(DRAFTS)


def clocks(quarry: Household, _chance: random.Random) -> int:
    """A household in a time zone that this machine does not have."""
    return models.Household.objects.filter(pk=quarry.id).update(time_zone="Mars/Olympus_Mons")


def addresses(quarry: Household) -> list[str]:
    """Every page, and those of the days and sessions at the edges."""
    found = []
    entries = list(models.Entry.objects.order_by("-seq").values_list("pk", flat=True))
    for name, kwargs, _ in PAGES:
        values = {key: value for key, value in kwargs.items() if not key.startswith("?")}
        asked = "&".join(f"{key[1:]}={value}" for key, value in kwargs.items() if key.startswith("?"))
        some = entries[:: max(1, len(entries) // 12)] if {"entry_id", "bottle"} & set(values) else [None]
        for one in some:
            here = {key: one if key in ("entry_id", "bottle") else value for key, value in values.items()}
            for beside in ({}, {"animal_id": quarry.animal_id}):
                try:
                    found.append(f"{reverse(name, kwargs=here | beside)}?{asked}")
                except Exception:
                    continue
    for number in range(len(DRAFTS)):
        found += [f"/make-plan/{UUID(int=number + 1)}/{spot}" for spot in SPOTS]
    found += ["/entries?since=0", "/entries?since=1", "/photo/00000000-0000-0000-0000-000000000007/"]
    return list(dict.fromkeys(found))


def failing(quarry: Household) -> list[str]:
    client = Client(raise_request_exception=False)
    client.force_login(sign_in.user_of(quarry.noor), backend="django.contrib.auth.backends.ModelBackend")
    return [path for path in addresses(quarry) if client.get(path).status_code >= 500]


def test_no_page_fails_because_of_one_of_five_hundred_hostile_entries(quarry: Household) -> None:
    """Each is shown as what cannot be read, beside what can be; what it would have corrected still counts."""
    before = len(quarry.entries(now=EVENING))
    mine = quarry.write(Note(text="Calm, and warm"), at=EVENING)
    assert plant(quarry, random.Random(4)) >= 500

    assert failing(quarry) == []
    client = Client()
    client.force_login(sign_in.user_of(quarry.noor), backend="django.contrib.auth.backends.ModelBackend")
    day = client.get(reverse("day", args=[quarry.animal_id])).content.decode()
    assert "Calm, and warm" in day
    assert day.count("Cannot be read here (") > 50
    assert mine.id in {one.id for one in quarry.entries(now=EVENING)}
    assert len(quarry.entries(now=EVENING)) > before


@pytest.mark.parametrize("rows", [people, plans, sums, pictures, asides, drafts_of_plans, clocks])
def test_no_page_fails_because_of_a_hostile_row_of_another_table(
    quarry: Household,
    rows: Callable[[Household, random.Random], int],
) -> None:
    """A pass of 8,000 years, a plan that is none, sums of no day, a picture that is none, a zone of no world."""
    assert rows(quarry, random.Random(5))

    assert failing(quarry) == []


@pytest.mark.long
@pytest.mark.parametrize("seed", range(40))
def test_no_page_fails_because_of_twenty_thousand_hostile_rows(quarry: Household, seed: int) -> None:
    """All tables at once."""
    chance = random.Random(seed)
    rows = [plant, *chance.sample([people, plans, sums, pictures, asides, drafts_of_plans], chance.randint(0, 6))]
    assert sum(one(quarry, chance) for one in rows) >= 500

    assert failing(quarry) == []


def test_a_plan_that_cannot_be_read_is_said_on_the_first_screen(quarry: Household) -> None:
    """No older version takes its place in silence, nothing is worked out, and the record and the call cards stay."""
    plans(quarry, random.Random(6))
    client = Client()
    client.force_login(sign_in.user_of(quarry.noor), backend="django.contrib.auth.backends.ModelBackend")
    first = client.get("/").content.decode()

    assert "The plan needs an answer first" in first
    assert "Start" not in first.partition("data-next")[2]
    assert client.get(reverse("calls", args=[quarry.animal_id])).status_code == 200
    assert client.get(reverse("day", args=[quarry.animal_id])).status_code == 200
    assert "Fill 1" in client.get(reverse("day_on", args=[quarry.animal_id, EVENING.date()])).content.decode()
