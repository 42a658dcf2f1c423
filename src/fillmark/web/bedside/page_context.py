"""What every page at the animal's side shows around its own."""

from fillmark.services import record
from fillmark.web.bedside import Bedside
from fillmark.web.bedside.day_line import line_of_day


def page_context(bedside: Bedside, *, under: str) -> dict[str, object]:
    """The animal, the line of today with its sessions, and the way to the call card.

    Args:
        bedside: Who asks, about which animal.
        under: What the page is about, under the animal's name.
    """
    ledger = record.day_ledger(bedside.side, day=bedside.today)
    return {
        "bedside": bedside,
        "line": line_of_day(bedside, day=bedside.today, records=[line.record for line in ledger.lines]),
        "day_href": bedside.href("day"),
        "calls_href": bedside.href("calls"),
        "under": under,
    }
