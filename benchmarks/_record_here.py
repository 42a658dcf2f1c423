"""The figures of the record on the database that the environment names; `benchmarks.record` runs it."""

import os
import random
import sys
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from statistics import median, quantiles
from time import perf_counter, process_time

import django

os.environ["DJANGO_SETTINGS_MODULE"] = "fillmark.config.settings"
os.environ["FILLMARK_HOSTS"] = "testserver"
django.setup()

from django.core.management import call_command  # noqa: E402
from django.db import connection  # noqa: E402
from django.test import Client  # noqa: E402

from fillmark.core.record.entries import Entry, make_entry_id  # noqa: E402
from fillmark.core.record.session_entries import FillGiven  # noqa: E402
from fillmark.records import models  # noqa: E402
from fillmark.services import backup, record, sign_in  # noqa: E402
from tests.support.builders import Home, a_home, adopt, junipers_plan  # noqa: E402

NOW = datetime.now(UTC)  # the screens ask for today
CLOCKS = ("07:00", "11:30", "15:00", "20:00")
PER_DAY = 22
chance = random.Random(11)


def a_fill(home: Home, *, at: datetime, number: int) -> Entry:
    session = f"{at:%Y-%m-%d}T{CLOCKS[number % len(CLOCKS)]}"
    entry_id = make_entry_id(at=at, chance=chance.randbytes(10))
    payload = FillGiven(session=session, fill=number // len(CLOCKS) + 1, ml=60)
    return Entry(
        id=entry_id, animal_id=home.animal_id, at=at, zone="Europe/Dublin", device="noor-phone", payload=payload
    )


def fill_days(home: Home, *, first: int, last: int) -> None:
    """Entries of whole days, that many days ago, put straight into the table: it is reading that is measured."""
    seq = models.Household.objects.get(pk=home.id).last_seq
    rows = []
    for days_ago in range(first, last, -1):
        for number in range(PER_DAY):
            seq += 1
            at = NOW - timedelta(days=days_ago, minutes=number)
            entry = a_fill(home, at=at, number=number)
            rows.append(
                models.Entry(
                    id=entry.id,
                    **home.ids,
                    seq=seq,
                    kind=entry.kind,
                    at=at,
                    zone=entry.zone,
                    day=at.date(),
                    session=entry.session,
                    recorded_at=at,
                    by_id=home.noor,
                    device=entry.device,
                    payload=entry.payload.model_dump_json(),
                )
            )
    models.Entry.objects.bulk_create(rows, batch_size=500)
    models.Household.objects.filter(pk=home.id).update(last_seq=seq)


def slow_ms(read: Callable[[], object]) -> float:
    """The time that 95 of 100 readings keep to."""
    read()
    times = []
    for _ in range(100):
        start = perf_counter()
        read()
        times.append(perf_counter() - start)
    return quantiles(times, n=20)[-1] * 1000


LIST = 25
"""What a phone sends after a session without a signal."""


def record_them(count: int) -> None:
    """How many entries a second are kept, one after the other; and as a phone's lists."""
    for name, at_once in (("recorded_per_second", 1), ("listed_per_second", LIST)):
        home = a_home()
        entries = [
            a_fill(home, at=NOW - timedelta(days=number // PER_DAY), number=number % PER_DAY) for number in range(count)
        ]
        start, cpu_start = perf_counter(), process_time()
        for place in range(0, count, at_once):
            some = entries[place : place + at_once]
            record.record_entries(household_id=home.id, by=home.noor, entries=some, now=NOW)
        print(name, count / (perf_counter() - start))
        print(name.replace("per_second", "cpu_ms"), (process_time() - cpu_start) * 1000 / count)


def read_pages() -> None:
    """What the pages cost with ten days of entries, and with ten years of them."""
    home = a_home(name="Mill Lane")
    adopt(home, junipers_plan(), from_at=NOW - timedelta(days=11), now=NOW)
    phone = Client()
    phone.force_login(sign_in.user_of(home.noor))
    for name, first, last in (("10_days", 10, -1), ("10_years", 3650, 10)):
        fill_days(home, first=first, last=last)
        for page, address in (
            ("first", f"/{home.animal_id}/"),
            ("day", f"/{home.animal_id}/day/{NOW:%Y-%m-%d}/"),
        ):
            print(f"{page}_{name}", slow_ms(lambda address=address: ask(phone, address)))


def ask(phone: Client, address: str) -> None:
    status = phone.get(address).status_code
    if status != 200:
        raise RuntimeError(f"{address} answered {status}")


def time_archives(place: Path) -> None:
    """How long the archive of ten years takes, and what SQLite itself takes for a bare copy."""
    fill_days(a_home(), first=3650, last=10)
    ours, bare = [], []
    for number in range(3):
        start = perf_counter()
        file, contents = backup.back_up(place / f"{number}.zip", now=NOW)
        middle = perf_counter()
        with connection.cursor() as cursor:
            cursor.execute("VACUUM INTO %s", [str(place / f"{number}.sqlite3")])
        ours.append(middle - start)
        bare.append(perf_counter() - middle)
    print("entries", contents.rows["entry"])
    print("archive_s", median(ours))
    print("vacuum_s", median(bare))
    print("archive_mb", file.stat().st_size / 1e6)


if __name__ == "__main__":
    call_command("migrate", verbosity=0)
    match sys.argv[1]:
        case "pages":
            read_pages()
        case "archive":
            time_archives(Path(os.environ["FILLMARK_HOME"]))
        case count:
            record_them(int(count))
