"""`make bench [NAME=...] [JSON=1]`: one table; exits 1 when a promise falls short."""

import argparse
import json
import sys
from importlib import import_module
from pathlib import Path

NAMES = sorted(
    path.stem
    for path in Path(__file__).parent.glob("*.py")
    if not path.stem.startswith("_") and "def rows(" in path.read_text(encoding="utf-8")
)


def main() -> int:
    parser = argparse.ArgumentParser(prog="make bench", description=__doc__)
    parser.add_argument("names", nargs="*", metavar="NAME", help=f"one of {', '.join(NAMES)} (default: all)")
    parser.add_argument("--json", action="store_true")
    options = parser.parse_args()
    unknown = set(options.names) - set(NAMES)
    if unknown:
        parser.error(f"no benchmark called {', '.join(sorted(unknown))}; there are {', '.join(NAMES)}")
    found = []
    for name in options.names or NAMES:
        print(f"measuring {name} …", file=sys.stderr, flush=True)
        found += [{"bench": name, **row} for row in import_module(f"benchmarks.{name}").rows()]
    if options.json:
        print(json.dumps(found, indent=1, default=str))
    else:
        _print_table(found)
    return 1 if any(row["ok"] is False for row in found) else 0


def _print_table(found: list[dict[str, object]]) -> None:
    heads = ("bench", "name", "value", "unit", "promise", "peer", "ratio", "ok")
    cells = [heads] + [tuple(_show(row.get(head)) for head in heads) for row in found]
    widths = [max(len(row[column]) for row in cells) for column in range(len(heads))]
    for row in cells:
        print("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip())


def _show(value: object) -> str:
    if isinstance(value, bool):
        return "kept" if value else "FELL SHORT"
    if value is None:
        return "-"
    return f"{value:.3g}" if isinstance(value, float) else str(value)


if __name__ == "__main__":
    sys.exit(main())
