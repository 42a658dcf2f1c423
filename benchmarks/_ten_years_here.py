"""Ten days and ten years of one household on the database that the environment names; `benchmarks.ten_years` runs it.

The ten years are the demonstration's own days, one after the other, with what a household does besides: new bottles and
counts, locks and clearings, sheets, labels of foods, corrections of the days before, new versions of the plan.
"""

import json
import os
import random
import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from statistics import median
from time import perf_counter
from typing import Any
from uuid import UUID

import django

os.environ["DJANGO_SETTINGS_MODULE"] = "fillmark.config.settings"
os.environ["FILLMARK_HOSTS"] = "testserver"
django.setup()

from django.core.management import call_command  # noqa: E402
from django.db import connection, transaction  # noqa: E402
from django.test import Client  # noqa: E402

from fillmark.core.record.entries import Entry, make_entry_id  # noqa: E402
from fillmark.core.record.session_entries import FillGiven  # noqa: E402
from fillmark.records import models, rollups, standing  # noqa: E402
from fillmark.records.sql import marks, to_database  # noqa: E402
from fillmark.services import demonstration, household, plans, record, sign_in  # noqa: E402
from tests.support.builders import Home, a_home, adopt  # noqa: E402

NOW = datetime.now(UTC)  # the screens ask for today
TEN_DAYS, TEN_YEARS = 1, 332
SPAN = timedelta(days=demonstration.DAYS + 1)
chance = random.Random(14)
_DAY = re.compile(r"(?<!\d)\d{4}-\d{2}-\d{2}(?!\d)")
_ID = re.compile(r"\b[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[0-9a-f]{4}-[0-9a-f]{12}\b")


@dataclass(frozen=True, kw_only=True)
class Row:
    """One entry of the demonstration, as the table holds it."""

    id: UUID
    kind: str
    at: datetime
    session: str
    payload: str
    corrects: UUID | None


def template() -> tuple[list[Row], str, UUID]:
    """Ten days and today of the demonstration's dog, with the plan that they follow, and the dog."""
    with transaction.atomic():
        lead = demonstration.bring_up_to_date(now=NOW)
    animal = next(one for one in household.find_animals(household_id=lead.household_id) if one.name == "Juniper")
    rows = [
        Row(**values)
        for values in models.Entry.objects.filter(animal_id=animal.id)
        .order_by("seq")
        .values("id", "kind", "at", "session", "payload", "corrects")
    ]
    stored = plans.current_plan(household_id=lead.household_id, animal_id=animal.id, at=NOW)
    return rows, stored.document, animal.id


def besides(number: int, begins_at: datetime, food: dict[str, Any]) -> Iterator[Row]:
    """What a household writes now and then, in the ten days with this number; foods come and go."""

    def row(kind: str, payload: dict[str, Any], *, hours: float, corrects: UUID | None = None) -> Row:
        at = begins_at + timedelta(hours=hours)
        entry_id = make_entry_id(at=at, chance=chance.randbytes(10))
        return Row(
            id=entry_id, kind=kind, at=at, session="", payload=json.dumps({"kind": kind} | payload), corrects=corrects
        )

    first = begins_at.date()
    yield row(
        "sheet_printed",
        {"version": 1, "first_on": f"{first}", "last_on": f"{first + timedelta(days=6)}"},
        hours=20,
    )
    if number % 6 == 1:
        lock = row("feeding_locked", {"trouble": "cough"}, hours=30)
        yield lock
        cleared = {"locks": [str(lock.id)], "who": "Dr. Marsh", "vet_words": "Go on, slower."}
        yield row("feeding_cleared", cleared, hours=33)
    if number % 6 == 3:
        label = row("food_kept", {"food": food | {"id": f"tin-{number}", "name": f"Tin {number}"}}, hours=50)
        yield label
        yield row("withdrawn", {"reason": "No longer on hand"}, hours=60, corrects=label.id)
    if number % 3 == 2:
        note = row("note", {"text": f"Quiet, number {number}."}, hours=40)
        yield note
        yield row("withdrawn", {"reason": "Written for Sorrel."}, hours=41, corrects=note.id)


_COLUMNS = (
    "id, household_id, animal_id, seq, kind, at, zone, day, session, recorded_at, by_id, device, payload, corrects"
)


def fill(home: Home, rows: list[Row], document: str, *, times: int) -> int:
    """The template so many times, the last time as it is, put straight into the tables: reading is measured."""
    food, seq = json.loads(document)["foods"][0], 0
    statement = f"INSERT INTO records_entry ({_COLUMNS}) VALUES ({marks(len(_COLUMNS.split(', ')))})"
    first = min(one.at for one in rows)
    with transaction.atomic(), connection.cursor() as cursor:
        for number in range(times - 1, -1, -1):
            back, made = SPAN * number, []
            for one in (*_moved(rows, back=back), *besides(number, first - back, food)):
                seq += 1
                day = date.fromisoformat(one.session[:10]) if one.session else one.at.date()
                by = home.noor if chance.random() < 0.5 else home.sam
                placed = (one.id, home.id, home.animal_id, seq, one.kind, one.at, "Europe/Dublin", day, one.session)
                made.append([*placed, one.at, by, "kitchen-phone", one.payload, one.corrects])
            cursor.executemany(statement, [[to_database(value) for value in row] for row in made])
        models.Household.objects.filter(pk=home.id).update(last_seq=seq)
    return seq


def _moved(rows: list[Row], *, back: timedelta) -> Iterator[Row]:
    ids = {one.id: make_entry_id(at=one.at - back, chance=chance.randbytes(10)) for one in rows}
    said = {str(one): str(other) for one, other in ids.items()}
    days: dict[str, str] = {}

    def earlier(text: str) -> str:
        def moved(found: re.Match[str]) -> str:
            if found[0] not in days:
                days[found[0]] = f"{date.fromisoformat(found[0]) - back}"
            return days[found[0]]

        return _DAY.sub(moved, text)

    for one in rows:
        payload = earlier(one.payload)
        if "-7" in payload:
            payload = _ID.sub(lambda found: said.get(found[0], found[0]), payload)
        yield Row(
            id=ids[one.id],
            kind=one.kind,
            at=one.at - back,
            session=earlier(one.session),
            payload=payload,
            corrects=one.corrects and ids[one.corrects],
        )


def copy_sums(home: Home, animal_id: UUID, *, times: int) -> None:
    """What the days of the template add up to, for each time it was put in."""
    template = list(models.DayRollup.objects.filter(animal_id=animal_id).values("day", *rollups.ROLLED))
    made = [
        models.DayRollup(
            **home.ids, **one | {"day": one["day"] - SPAN * number, "last_at": one["last_at"] - SPAN * number}
        )
        for number in range(times)
        for one in template
    ]
    models.DayRollup.objects.bulk_create(made, batch_size=500)


def a_household(name: str, rows: list[Row], document: str, animal_id: UUID, *, times: int) -> tuple[Home, Client, int]:
    """A household with so many times ten days behind it, and a new version of its plan each quarter."""
    with transaction.atomic():
        home = a_home(name=name)
    plan = plans.read_plan(document.encode(), kind="json")
    since = NOW - SPAN * times
    with transaction.atomic():
        for quarter in range(max(1, times // 9)):
            adopt(home, plan, from_at=since + quarter * SPAN * 9, asked=False)
    count = fill(home, rows, document, times=times)
    copy_sums(home, animal_id, times=times)
    started = perf_counter()
    with transaction.atomic():
        standing.rebuild_standing(household_id=home.id)
    print(f"rebuild_{name}", perf_counter() - started)
    phone = Client()
    phone.force_login(sign_in.user_of(home.noor))
    return home, phone, count


PAGES = {
    "first": "",
    "day": "day/",
    "chart": "chart/",
    "bottles": "bottles/",
    "flow": "flow/",
    "mixes": "mixes/",
    "find": "find/",
    "words": "find/?words=thunder",
}


def ask(phone: Client, address: str) -> float:
    """The time of one page [ms]."""
    started = perf_counter()
    status = phone.get(address).status_code
    if status != 200:
        raise RuntimeError(f"{address} answered {status}")
    return (perf_counter() - started) * 1000


def read_pages(homes: dict[str, tuple[Home, Client]], *, times: int) -> None:
    """Each page of either household in turn: the quickest of each, and the typical ratio of two one after the other.

    What else this machine does falls on both of a pair.
    """
    for page, path in PAGES.items():
        found: dict[str, list[float]] = {name: [] for name in homes}
        for _ in range(times + 2):
            for name, (home, phone) in homes.items():
                found[name].append(ask(phone, f"/{home.animal_id}/{path}"))
        for name, taken in found.items():
            print(f"{page}_{name}", min(taken[2:]))
        pairs = zip(found["10_years"][2:], found["10_days"][2:], strict=True)
        print(f"{page}_ratio", median(long / short for long, short in pairs))


def a_fill(home: Home, *, number: int) -> Entry:
    at = NOW - timedelta(seconds=number % 3000)
    payload = FillGiven(session=f"{at:%Y-%m-%d}T{number % 24:02}:{number // 24 % 60:02}", fill=1, ml=60)
    return Entry(
        id=make_entry_id(at=at, chance=chance.randbytes(10)),
        animal_id=home.animal_id,
        at=at,
        zone="Europe/Dublin",
        device="noor-phone",
        payload=payload,
    )


def press_them(home: Home) -> None:
    """What one more fill costs on a day that holds few, and on one that holds a thousand and two thousand [ms]."""
    number = 0
    for held in (0, 1000, 2000):
        while number < held:
            some = [a_fill(home, number=number + place) for place in range(100)]
            record.record_entries(household_id=home.id, by=home.noor, entries=some, now=NOW)
            number += 100
        taken = []
        for _ in range(30):
            entry = a_fill(home, number=number)
            number += 1
            started = perf_counter()
            record.record_entry(household_id=home.id, by=home.noor, entry=entry, now=NOW)
            taken.append((perf_counter() - started) * 1000)
        print(f"entry_{held}", median(taken))


def main() -> None:
    call_command("migrate", verbosity=0)
    started = perf_counter()
    rows, document, animal_id = template()
    homes = {}
    for name, times in (("10_days", TEN_DAYS), ("10_years", TEN_YEARS)):
        home, phone, count = a_household(name, rows, document, animal_id, times=times)
        homes[name] = home, phone
        print(f"entries_{name}", count)
    if connection.vendor == "postgresql":  # as its own housekeeping does within a minute
        with connection.cursor() as cursor:
            cursor.execute("ANALYZE")
    print("built_s", perf_counter() - started)
    read_pages(homes, times=int(sys.argv[1]))
    press_them(a_household("busy", rows[:1], document, animal_id, times=1)[0])


if __name__ == "__main__":
    main()
