"""The archive of ten years, beside the bare copy that SQLite itself makes of the same record."""

import tempfile
from pathlib import Path

from benchmarks.record import here
from tests.support.processes import Record

MOST_TIMES = 30
"""The archive reads every row, writes it as text, packs it, sums it, reaches the disk, and is read back."""


def rows() -> list[dict[str, object]]:
    """Our time, as a multiple of the copy's."""
    with tempfile.TemporaryDirectory() as place:
        found = here(Record(Path(place)), "archive")
    ratio = found["archive_s"] / found["vacuum_s"]
    return [
        {
            "name": f"archive of {found['entries']:,.0f} entries ({found['archive_mb']:.1f} MB)",
            "value": found["archive_s"],
            "unit": "s",
            "promise": f"{MOST_TIMES} copies or less",
            "peer": f"VACUUM INTO: {found['vacuum_s']:.2f} s",
            "ratio": ratio,
            "ok": ratio <= MOST_TIMES,
        }
    ]
