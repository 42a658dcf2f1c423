"""Whether a record is whole: an archive before it is restored, and the record itself whenever a person asks."""

import json
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from io import BytesIO
from typing import Any
from zoneinfo import ZoneInfo

from PIL import Image

from fillmark.core.plan.reading import read_plan
from fillmark.core.record.care_entries import PhotoTaken
from fillmark.core.record.entries import is_only_beyond_limits, read_entry
from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.people import Role
from fillmark.core.values.typed import read_day, time_zones
from fillmark.published.record_rules import PHOTO_LIMIT_MEGAPIXELS
from fillmark.records.verify import Table, fault_in_columns

Rows = Callable[[Table], Iterable[Mapping[str, Any]]]
MOST_FAULTS = 20


@dataclass(frozen=True, kw_only=True, slots=True)
class LookedThrough:
    """What is wrong with a record, and what is not here yet or no longer read; sentences without their stop.

    Attributes:
        faults: What is missing or wrong: nothing is restored from it.
        gaps: What the record itself lacks or cannot show: it is restored as it is.
    """

    faults: tuple[str, ...] = ()
    gaps: tuple[str, ...] = ()


def find_faults(
    tables: Iterable[Table],
    *,
    rows: Rows,
    picture: Callable[[Table, str, str], bytes | None],
    counts: Mapping[str, int] | None = None,
) -> LookedThrough:
    """What is missing or unreadable in a record; at most 20 of each kind.

    Args:
        tables: All of them.
        rows: The rows of a table, entries in sequence.
        picture: The picture of a row (by its key) and a column; none where it is missing.
        counts: How many rows each table is said to have.
    """
    search = _Search()
    for table in tables:
        count = 0
        for row in rows(table):
            count += 1
            search.look_at(table, row)
            for column in table.pictures:
                search.look_at_picture(table, row, picture(table, str(row[table.key]), column))
            if len(search.faults) >= MOST_FAULTS:
                faults = (*search.faults[:MOST_FAULTS], "the rest was not looked at after so many")
                return LookedThrough(faults=faults, gaps=tuple(search.gaps[:MOST_FAULTS]))
        if counts is not None and counts.get(table.name, 0) != count:
            search.faults.append(
                f"{table.name}: {count:,} rows, and {counts.get(table.name, 0):,} are said to be there"
            )
    faults = (*search.faults, *search.left_open())
    return LookedThrough(faults=faults[:MOST_FAULTS], gaps=tuple(search.gaps[:MOST_FAULTS]))


class _Search:
    """One look through a record, row by row; what can be told only at the end is in `left_open`."""

    def __init__(self) -> None:
        self.faults: list[str] = []
        self.gaps: list[str] = []
        self._is_led: dict[object, bool] = {}
        self._keys: dict[str, set[object]] = defaultdict(set)
        self._named: dict[tuple[str, str, str], set[object]] = defaultdict(set)
        self._last_seq: dict[object, int] = {}
        self._seq: dict[object, int] = defaultdict(int)
        self._home_of: dict[object, object] = {}
        self._plans: dict[object, set[int]] = defaultdict(set)
        self._photos: set[str] = set()

    def look_at(self, table: Table, row: Mapping[str, Any]) -> None:
        """One row of a table."""
        if not table.needed <= row.keys():
            missing = next(column for column in table.columns if column in table.needed - row.keys())
            self.faults.append(f"{table.name}: a row without {missing}")
            return
        key, keys = row[table.key], self._keys[table.name]
        wrong = fault_in_columns(table, row)
        if wrong is not None:
            self.faults.append(f"{table.name} {str(key)[:60]}: {wrong}")
            return
        if key in keys:
            self.faults.append(f"{table.name} {key}: there twice")
        keys.add(key)
        for column, wanted in table.refers_to.items():
            if row.get(column) is not None:
                self._named[table.name, column, wanted].add(row[column])
        match table.name:
            case "household":
                self._last_seq[key] = row["last_seq"]
                self._look_at_clock(row)
            case "person":
                self._look_at_person(row)
            case "animal":
                self._home_of[key] = row["household_id"]
            case "planversion":
                self._look_at_plan(row)
            case "entry":
                self._look_at_entry(row)

    def _look_at_clock(self, row: Mapping[str, Any]) -> None:
        zone = row["time_zone"]
        if zone in time_zones():
            return
        try:
            ZoneInfo(zone)
        except (ValueError, OSError, KeyError):
            self.faults.append(f"household {row['id']}: no machine has the time zone {zone!r}")
            return
        self.gaps.append(f"household {row['id']}: the time zone {zone!r} means another time on another machine")

    def _look_at_person(self, row: Mapping[str, Any]) -> None:
        home, role = row["household_id"], row["role"]
        if role not in {one.value for one in Role}:
            self.faults.append(f"person {row['id']}: {role!r} for their role")
        self._is_led[home] = self._is_led.get(home, False) or role == Role.LEAD.value
        days = [row.get("from_on"), row.get("until_on")]
        if role == Role.SITTER.value and any(day is None or read_day(day) is None for day in days):
            self.gaps.append(f"person {row['id']}: a pass from {days[0]} to {days[1]}")

    def _look_at_plan(self, row: Mapping[str, Any]) -> None:
        self._plans[row["animal_id"]].add(row["number"])
        try:
            read_plan(row["document"].encode(), kind="json")
        except FillmarkError as error:
            self.faults.append(f"plan version {row['number']} of animal {row['animal_id']} cannot be read: {error}")

    def _look_at_entry(self, row: Mapping[str, Any]) -> None:
        home, seq = row["household_id"], row["seq"]
        if seq != self._seq[home] + 1:
            self.faults.append(
                f"entry {seq} of household {home}: it stands after {self._seq[home]}, and the numbers have no gap"
            )
        self._seq[home] = seq
        if self._home_of.get(row["animal_id"], home) != home:
            self.faults.append(f"entry {seq} of household {home}: it is about an animal of another one")
        document = {column: row[column] for column in ("id", "animal_id", "at", "zone", "device", "corrects")}
        try:
            entry = read_entry({**document, "payload": json.loads(row["payload"])})
        except (FillmarkError, ValueError, RecursionError) as error:
            said = f"entry {seq} of household {home} cannot be read: {error}"
            with suppress(ValueError, RecursionError):
                if is_only_beyond_limits({**document, "payload": json.loads(row["payload"])}):
                    self.gaps.append(said)
                    return
            self.faults.append(said)
            return
        if entry.kind != row["kind"] or (entry.session or "") != row["session"]:
            self.faults.append(f"entry {seq} of household {home}: it says {entry.kind} and is filed as {row['kind']}")
        if isinstance(entry.payload, PhotoTaken):
            self._photos.add(str(entry.payload.photo))

    def look_at_picture(self, table: Table, row: Mapping[str, Any], content: bytes | None) -> None:
        """One picture of a row."""
        try:
            with Image.open(BytesIO(content or b""), formats=("JPEG",)) as opened:
                if opened.width * opened.height > PHOTO_LIMIT_MEGAPIXELS.value * 1_000_000:
                    raise ValueError("more pixels than a picture of ours has")
                opened.load()
        except (OSError, SyntaxError, ValueError, Image.DecompressionBombError):
            state = "is not there" if content is None else "is not a whole picture"
            self.faults.append(f"{table.name} {row[table.key]}: its picture {state}")

    def left_open(self) -> Iterator[str]:
        """What is wrong when every row has been looked at."""
        for (name, column, wanted), keys in self._named.items():
            for key in sorted(map(str, keys - self._keys[wanted])):
                yield f"{name}: its {column} {key} names no {wanted}"
        for home, last in self._last_seq.items():
            if self._seq[home] != last:
                yield f"household {home}: its last entry has the number {self._seq[home]}, and {last} were written"
        for animal, numbers in self._plans.items():
            if numbers != set(range(1, len(numbers) + 1)):
                yield f"the plan of animal {animal}: a version is missing; there are {sorted(numbers)}"
        for home in self._is_led:
            if not self._is_led[home]:
                yield f"household {home}: nobody leads it"
        # a phone sends its picture after its entry, and may have lost it
        missing = sorted(self._photos - {str(key) for key in self._keys["photo"]})
        self.gaps += [f"photo {photo}: an entry shows it, and its picture has not come yet" for photo in missing]
