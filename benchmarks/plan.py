"""`fillmark plan` from a cold start, beside a Python that only starts and reads the same file."""

import subprocess
import sys
import time
from pathlib import Path
from statistics import median
from typing import Any

EXAMPLE = Path(__file__).parent.parent / "src/fillmark/examples/juniper.toml"
PROMISE_SECONDS = 0.5
RUNS = 15


def _seconds(command: list[str]) -> float:
    taken = []
    for _ in range(RUNS):
        start = time.perf_counter()
        subprocess.run(command, check=True, capture_output=True)
        taken.append(time.perf_counter() - start)
    return median(taken)


def rows() -> list[dict[str, Any]]:
    """One row: the median of fresh processes."""
    bare = [sys.executable, "-c", f"import tomllib; tomllib.load(open({str(EXAMPLE)!r}, 'rb'))"]
    ours = [str(Path(sys.executable).with_name("fillmark")), "plan", str(EXAMPLE), "--on", "2026-11-25"]
    peer, value = _seconds(bare), _seconds(ours)
    return [
        {
            "name": "fillmark plan, cold process",
            "value": value,
            "unit": "s",
            "promise": f"<= {PROMISE_SECONDS}",
            "peer": f"bare Python reading the file {peer:.3f} s",
            "ratio": value / peer,
            "ok": value <= PROMISE_SECONDS,
        }
    ]
