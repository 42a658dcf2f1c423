"""How a pasted sheet is read: seconds a sheet, what of it is right, and the pages on which it is checked.

The peer is a person who types: one page of the plan for each page that the sheet says something for.
"""

import time
from statistics import median
from typing import Any

from fillmark.core.plan.from_sheet import group_of
from fillmark.core.plan.sheet import read_sheet
from fillmark.core.plan.sheet_found import spot_and_name
from tests.support.sheet import PASTED
from tests.support.sheets import score, sheets

MOST_SECONDS, LEAST_RIGHT, LEAST_PRECISE, MOST_PAGES = 0.3, 0.95, 0.98, 15
SETS = ("held_out", "second_held_out", "third_held_out", "fourth_held_out", "fifth_held_out", "tuned")


def rows() -> list[dict[str, Any]]:
    """One row for the time, two for each set of sheets, one for the pages of checking."""
    read_sheet(PASTED)
    read_sheet.cache_clear()
    taken = []
    for sheet in (one for name in SETS for one in sheets(name)):
        start = time.perf_counter()
        read_sheet(sheet.text)
        taken.append(time.perf_counter() - start)
    found = [
        _row("a sheet read, median", median(taken), "s", f"<= {MOST_SECONDS}", median(taken) <= MOST_SECONDS),
        _row("the slowest sheet", max(taken), "s", f"<= {MOST_SECONDS}", max(taken) <= MOST_SECONDS),
    ]
    for name in SETS:
        got = score(sheets(name))
        is_whole = not got.not_asked and not got.without_words
        what = f"{name}: stated fields right, {got.stated} of them"
        found.append(_row(what, got.share, "share", f">= {LEAST_RIGHT}", got.share >= LEAST_RIGHT and is_whole))
        what = f"{name}: doses and strengths right, {got.amounts} proposed"
        found.append(_row(what, got.precision, "share", f">= {LEAST_PRECISE}", got.precision >= LEAST_PRECISE))
    spots = [spot_and_name(one.key)[0] for one in read_sheet(PASTED)[0].answers]
    pages, typed = len({group_of(spot) for spot in spots}), len({spot.id for spot in spots})
    row = _row("pages of checking, four medicines", pages, "pages", f"<= {MOST_PAGES}", pages <= MOST_PAGES)
    return [*found, row | {"peer": f"typed, {typed} pages", "ratio": pages / typed}]


def _row(name: str, value: float, unit: str, promise: str, ok: bool) -> dict[str, Any]:
    return {"name": name, "value": value, "unit": unit, "promise": promise, "peer": None, "ratio": None, "ok": ok}
