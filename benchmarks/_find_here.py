"""Ten years of one animal's record in a database of its own, and what looking things up in it costs; for `find`."""

import os
import random
import sqlite3
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from functools import partial
from statistics import median
from time import perf_counter

import django

from fillmark.core.record.care_entries import Note
from fillmark.core.record.entries import Payload, make_entry_id
from fillmark.core.record.medicine_entries import MedicineGiven
from fillmark.core.record.session_entries import FillGiven, FlushGiven, SessionEnded, StepDone

os.environ["DJANGO_SETTINGS_MODULE"] = "fillmark.config.settings"
os.environ["FILLMARK_HOSTS"] = "testserver"
django.setup()

from django.conf import settings  # noqa: E402
from django.core.management import call_command  # noqa: E402
from django.db import connection, transaction  # noqa: E402
from django.test import Client  # noqa: E402
from django.test.utils import CaptureQueriesContext  # noqa: E402

from fillmark.records import models  # noqa: E402
from fillmark.records.homes import find_home  # noqa: E402
from fillmark.services import bedside, household, sign_in  # noqa: E402
from tests.support.builders import Home, a_home  # noqa: E402

DAYS = 3650
PER_DAY = 22
NOW = datetime.now(UTC)
chance = random.Random(5)


def a_payload(number: int, session: str, days_ago: int) -> Payload:
    """What one of the day's entries says: fills, flushes, medicines, steps, an end, and a note every tenth day."""
    if number < 8:
        return FillGiven(session=session, fill=number + 1, ml=60)
    if number < 12:
        return FlushGiven(session=session, step=f"flush-{number}", ml=20)
    if number < 16:
        return MedicineGiven(session=session, medicine="omeprazole", dose_mg="12", outcome="given")
    if number < PER_DAY - 1:
        return StepDone(session=session, step="hands")
    return Note(text=f"Quiet {days_ago}") if days_ago % 10 == 0 else SessionEnded(session=session)


def fill(home: Home) -> None:
    """80,000 entries, put straight into the table; Ilse wrote two days of the second year."""
    rows, seq = [], 0
    for days_ago in range(DAYS, -1, -1):
        by = home.ilse if 3000 <= days_ago < 3002 else home.noor
        for number in range(PER_DAY):
            seq += 1
            at = NOW - timedelta(days=days_ago, minutes=3 * number)
            payload = a_payload(number, f"{at:%Y-%m-%d}T07:00", days_ago)
            rows.append(
                models.Entry(
                    id=make_entry_id(at=at, chance=chance.randbytes(10)),
                    **home.ids,
                    seq=seq,
                    kind=payload.kind,
                    at=at,
                    zone="Europe/Dublin",
                    day=at.date(),
                    session=getattr(payload, "session", None) or "",
                    recorded_at=at,
                    by_id=by,
                    device="noor-phone",
                    payload=payload.model_dump_json(exclude_none=True),
                )
            )
    with transaction.atomic():
        models.Entry.objects.bulk_create(rows, batch_size=500)


def typical_ms(ask: Callable[[], object]) -> float:
    ask()
    times = []
    for _ in range(15):
        start = perf_counter()
        ask()
        times.append(perf_counter() - start)
    return median(times) * 1000


def main() -> None:
    call_command("migrate", verbosity=0)
    with transaction.atomic():
        home = a_home()
    fill(home)
    phone = Client()
    phone.force_login(sign_in.user_of(home.noor))
    bare = sqlite3.connect(settings.DATABASES["default"]["NAME"])
    animal = home.animal_id.hex
    old = date.today() - timedelta(days=3000)  # noqa: DTZ011
    questions = (
        ("newest", "", "1"),
        ("kind", "kind=meals", "kind IN ('fill_given', 'meal_ended', 'came_back')"),
        ("person", f"by={home.ilse}", f"by_id = '{home.ilse.hex}'"),
        ("day", f"first={old}&last={old}", f"day = '{old}'"),
        ("words", "words=thunder", "payload LIKE '%thunder%'"),
    )
    for name, query, where in questions:
        address = f"/{home.animal_id}/find/?{query}"
        statement = f"SELECT * FROM records_entry WHERE animal_id = ? AND {where} ORDER BY day DESC, id DESC LIMIT 51"
        print(name, typical_ms(lambda address=address: ask(phone, address)), end=" ")
        print(typical_ms(lambda statement=statement: bare.execute(statement, (animal,)).fetchall()))
    lead = household.find_leads(household_id=home.id)[0]
    beside = partial(bedside.load, person=lead, home=find_home(household_id=home.id), animal_id=home.animal_id, now=NOW)
    with CaptureQueriesContext(connection) as asked:
        beside()
    (query,) = asked.captured_queries
    print("side", typical_ms(lambda: beside().lock), typical_ms(lambda: bare.execute(query["sql"]).fetchall()))


def ask(phone: Client, address: str) -> None:
    status = phone.get(address).status_code
    if status != 200:
        raise RuntimeError(f"{address} answered {status}")


main()
