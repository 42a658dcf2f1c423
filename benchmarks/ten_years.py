"""A page with ten years of entries behind it, beside the same page with ten days; and one more entry on a full day."""

import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.support.postgres import find_binaries, new_database, running_postgres
from tests.support.processes import ROOT, Record

MOST_TIMES = 1.2
"""Ten years beside ten days: what is left between them is noise, and an index that is one step deeper."""
WORDS_MS = 100
"""Words that stand nowhere: the whole record is looked through."""
READINGS = 25
_PAGES = {
    "first": "the first screen",
    "day": "the day",
    "chart": "the chart",
    "bottles": "the bottles",
    "flow": "what the flow tests teach",
    "mixes": "the mixes",
    "find": "the newest entries",
}


def here(record: Record) -> dict[str, float]:
    """Our own figures, in a process of their own."""
    command = [sys.executable, "-m", "benchmarks._ten_years_here", str(READINGS)]
    done = subprocess.run(command, cwd=ROOT, env=record.environment, capture_output=True, text=True)
    if done.returncode:
        raise RuntimeError(done.stderr)
    return {name: float(value) for name, value in (line.split() for line in done.stdout.splitlines())}


def _rows(kind: str, found: dict[str, float]) -> Iterator[dict[str, object]]:
    for page, name in _PAGES.items():
        ours, short, ratio = (found[f"{page}_{one}"] for one in ("10_years", "10_days", "ratio"))
        yield {
            "name": f"{name}, {found['entries_10_years']:,.0f} entries, {kind}",
            "value": ours,
            "unit": "ms",
            "promise": f"{MOST_TIMES} × ten days or less",
            "peer": f"ten days: {short:.3g} ms",
            "ratio": ratio,
            "ok": ratio <= MOST_TIMES,
        }
    words = found["words_10_years"]
    yield {
        "name": f"words that stand nowhere, {kind}",
        "value": words,
        "unit": "ms",
        "promise": f"{WORDS_MS} ms or less",
        "peer": f"ten days: {found['words_10_days']:.3g} ms",
        "ratio": words / found["words_10_days"],
        "ok": words <= WORDS_MS,
    }
    for held in (1000, 2000):
        ratio = found[f"entry_{held}"] / found["entry_0"]
        yield {
            "name": f"one more entry on a day of {held:,}, {kind}",
            "value": found[f"entry_{held}"],
            "unit": "ms",
            "promise": f"{MOST_TIMES} × a new day or less",
            "peer": f"a new day: {found['entry_0']:.3g} ms",
            "ratio": ratio,
            "ok": ratio <= MOST_TIMES,
        }
    yield {
        "name": f"what is kept beside ten years, worked out anew, {kind}",
        "value": found["rebuild_10_years"],
        "unit": f"s (the whole row of benchmarks: {found['built_s']:.0f} s to build)",
    }


def rows() -> list[dict[str, object]]:
    """Each page of ten years beside that of ten days, on either database."""
    found: list[dict[str, object]] = []
    with tempfile.TemporaryDirectory() as place:
        found += _rows("SQLite", here(Record(Path(place))))
    if find_binaries():
        with tempfile.TemporaryDirectory() as place, running_postgres(is_durable=True) as server:
            found += _rows("PostgreSQL", here(Record(Path(place), new_database(server, "ours"))))
    return found
