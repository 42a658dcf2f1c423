"""Looking something up in ten years of entries (80,000), beside the bare query for the same rows."""

import subprocess
import sys
import tempfile
from pathlib import Path

from tests.support.processes import ROOT, Record

PAGE_MS = 100
"""Server time of a page of 50 entries that were found."""
WORDS_MS = 200
"""Server time of words that stand nowhere: every entry is read."""
SIDE_RATIO = 8
"""Every screen begins with the animal's side, the lock in it: so many times the one statement behind it."""
_NAMES = {
    "newest": ("the newest 50", PAGE_MS),
    "kind": ("the newest 50 of a kind", PAGE_MS),
    "person": ("two days that one person wrote, eight years ago", PAGE_MS),
    "day": ("one day, eight years ago", PAGE_MS),
    "words": ("words that stand nowhere", WORDS_MS),
}
_SIDE = "an animal's side, whether feeding is locked in it"


def rows() -> list[dict[str, object]]:
    """Each question beside its bare query."""
    with tempfile.TemporaryDirectory() as place:
        command = [sys.executable, "-m", "benchmarks._find_here"]
        done = subprocess.run(command, cwd=ROOT, env=Record(Path(place)).environment, capture_output=True, text=True)
    if done.returncode:
        raise RuntimeError(done.stderr)
    found: list[dict[str, object]] = []
    for line in done.stdout.splitlines():
        key, ours, bare = line.split()
        ratio = float(ours) / float(bare)
        name, most_ms = _NAMES.get(key, (_SIDE, None))
        found.append(
            {
                "name": name,
                "value": float(ours),
                "unit": "ms",
                "promise": f"{most_ms} ms or less" if most_ms else f"{SIDE_RATIO} × the peer or less",
                "peer": f"bare query: {float(bare):.3g} ms",
                "ratio": ratio,
                "ok": float(ours) <= most_ms if most_ms else ratio <= SIDE_RATIO,
            }
        )
    return found
