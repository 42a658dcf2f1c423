"""Whether a record is whole: an archive before it is restored, and the record itself whenever a person asks."""

import json
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from io import BytesIO
from typing import Any

from PIL import Image

from fillmark.core.plan.reading import read_plan
from fillmark.core.record.care_entries import PhotoTaken
from fillmark.core.record.entries import read_entry
from fillmark.core.values.errors import FillmarkError
from fillmark.records.verify import Table

Rows = Callable[[Table], Iterable[Mapping[str, Any]]]
MOST_FAULTS = 20


def find_faults(
    tables: Iterable[Table], *, rows: Rows, picture: Callable[[Table, str, str], bytes | None]
) -> list[str]:
    """What is missing or unreadable in a record, as sentences without their stop; at most 20 of them.

    Args:
        tables: All of them.
        rows: The rows of a table, entries in sequence.
        picture: The picture of a row (by its key) and a column; none where it is missing.
    """
    search = _Search()
    for table in tables:
        for row in rows(table):
            search.look_at(table, row)
            for column in table.pictures:
                search.look_at_picture(table, row, picture(table, str(row[table.key]), column))
            if len(search.faults) >= MOST_FAULTS:
                return [*search.faults[:MOST_FAULTS], "the rest was not looked at after so many"]
    return [*search.faults, *search.left_open()][:MOST_FAULTS]


class _Search:
    """One look through a record, row by row; what can be told only at the end is in `left_open`."""

    def __init__(self) -> None:
        self.faults: list[str] = []
        self._keys: dict[str, set[object]] = defaultdict(set)
        self._named: dict[tuple[str, str, str], set[object]] = defaultdict(set)
        self._last_seq: dict[object, int] = {}
        self._seq: dict[object, int] = defaultdict(int)
        self._home_of: dict[object, object] = {}
        self._plans: dict[object, set[int]] = defaultdict(set)
        self._photos: set[str] = set()

    def look_at(self, table: Table, row: Mapping[str, Any]) -> None:
        """One row of a table."""
        missing = [column for column in table.columns if column not in row and column not in table.optional]
        if missing:
            self.faults.append(f"{table.name}: a row without {missing[0]}")
            return
        key = row[table.key]
        if key in self._keys[table.name]:
            self.faults.append(f"{table.name} {key}: there twice")
        self._keys[table.name].add(key)
        for column, wanted in table.refers_to.items():
            if row.get(column) is not None:
                self._named[table.name, column, wanted].add(row[column])
        match table.name:
            case "household":
                self._last_seq[key] = row["last_seq"]
            case "animal":
                self._home_of[key] = row["household_id"]
            case "planversion":
                self._look_at_plan(row)
            case "entry":
                self._look_at_entry(row)

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
        except (FillmarkError, ValueError) as error:
            self.faults.append(f"entry {seq} of household {home} cannot be read: {error}")
            return
        if entry.kind != row["kind"] or (entry.session or "") != row["session"]:
            self.faults.append(f"entry {seq} of household {home}: it says {entry.kind} and is filed as {row['kind']}")
        if isinstance(entry.payload, PhotoTaken):
            self._photos.add(str(entry.payload.photo))

    def look_at_picture(self, table: Table, row: Mapping[str, Any], content: bytes | None) -> None:
        """One picture of a row."""
        try:
            with Image.open(BytesIO(content or b""), formats=("JPEG",)) as opened:
                opened.load()
        except (OSError, SyntaxError, ValueError):
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
        for photo in sorted(self._photos - {str(key) for key in self._keys["photo"]}):
            yield f"photo {photo}: an entry shows it, and it is not there"
