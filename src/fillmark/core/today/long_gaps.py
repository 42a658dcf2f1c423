"""Where new times of today leave too long between two doses."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import UTC, date, datetime
from itertools import pairwise
from zoneinfo import ZoneInfo

from fillmark.core.doses.giving import longest_gap
from fillmark.core.orders.medicine import Medicine, order_on
from fillmark.core.timetable import Event, write_duration
from fillmark.core.values.words import say_date


def long_gaps(
    medicines: Iterable[Medicine],
    *,
    names: Mapping[str, str],
    beside: Iterable[Event],
    old: Iterable[Event],
    new: Iterable[Event],
    on: date,
    zone: ZoneInfo,
) -> Iterator[str]:
    """Each gap between two doses that only the new times make longer than the order allows, in words.

    Args:
        medicines: The orders.
        names: What each is called, by its id.
        beside: What went in, or may have, and what the next days bring.
        old: What was still to come today, at its times before.
        new: What is still to come of it, at its new times.
        on: The household's day.
        zone: The household's.
    Source:
        the vet's orders; medicine.window_*
    """
    stands, before, after = list(beside), list(old), list(new)
    for medicine in medicines:
        longest = longest_gap(order_on(medicine, on=on))
        if longest is None or medicine.when_needed is not None or medicine.held is not None:
            continue
        name = names[medicine.id]
        known = set(pairwise(_times(name, [*stands, *before])))
        for one, other in pairwise(_times(name, [*stands, *after])):
            if other - one > longest and (one, other) not in known:
                most, gap = (round(span.total_seconds() / 60) for span in (longest, other - one))
                yield (
                    f"{name}: {write_duration(gap)} from the dose {_say(one, zone)} to the next one {_say(other, zone)}"
                    f", more than {write_duration(most)}. Call the vet before you take these times."
                )


def _times(name: str, events: Iterable[Event]) -> list[datetime]:
    return sorted(event.at.astimezone(UTC) for event in events if event.what == name)


def _say(at: datetime, zone: ZoneInfo) -> str:
    local = at.astimezone(zone)
    return f"at {local:%H:%M} on {say_date(local)}"
