"""What new times of today would cost: too long between two doses, and doses before food that lose their meal."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

from fillmark.core.doses.giving import longest_gap
from fillmark.core.orders.medicine import Medicine, order_on
from fillmark.core.timetable import MEAL, Event, Movable, Rest, write_duration
from fillmark.core.today.duties import before_meal_reach
from fillmark.core.values.words import say_date


@dataclass(frozen=True, kw_only=True, slots=True)
class TimesBeside:
    """What is to come today, before and after, and what stands beside it.

    Attributes:
        stands: What went in, or may have, and what the next days bring.
        movable: What was still to come today, at its times before.
        rest: Its new times.
    """

    stands: Sequence[Event]
    movable: Sequence[Movable]
    rest: Rest

    def old(self, what: str) -> dict[str, datetime]:
        """When each of a name was to come, by its session."""
        return {one.session: one.usual_at.astimezone(UTC) for one in self.movable if one.what == what}

    def new(self, what: str) -> dict[str, datetime]:
        """When each of a name that is kept comes now, by its session."""
        gone = {one.session for one in self.rest.let_go if one.what == what}
        return {one: self.rest.at[one].astimezone(UTC) for one in self.old(what) if one not in gone}

    def with_stands(self, what: str, times: Mapping[str, datetime]) -> list[datetime]:
        """Some times of a name, and those that stand.

        Args:
            what: The name.
            times: Times of it.
        """
        return sorted([*times.values(), *(one.at.astimezone(UTC) for one in self.stands if one.what == what)])


def new_times_cautions(
    medicines: Sequence[Medicine], times: TimesBeside, *, names: Mapping[str, str], on: date, zone: ZoneInfo
) -> Iterator[str]:
    """What only the new times do to the doses of today, in words.

    Args:
        medicines: The orders.
        times: Today before and after.
        names: What each medicine is called, by its id.
        on: The household's day.
        zone: The household's.
    Source:
        the vet's orders; medicine.window_*, timetable.before_meal_reach
    """
    for medicine in medicines:
        if medicine.when_needed is None and medicine.held is None and not medicine.with_each_meal:
            order, name = order_on(medicine, on=on), names[medicine.id]
            yield from _long_gaps(order, name, times, zone)
            yield from _lost_meals(order, name, times, zone)


def _long_gaps(order: Medicine, name: str, times: TimesBeside, zone: ZoneInfo) -> Iterator[str]:
    longest = longest_gap(order)
    if longest is None:
        return
    known = set(pairwise(times.with_stands(name, times.old(name))))
    for one, other in pairwise(times.with_stands(name, times.new(name))):
        if other - one > longest and (one, other) not in known:
            most, gap = (round(span.total_seconds() / 60) for span in (longest, other - one))
            yield (
                f"{name}: {write_duration(gap)} from the dose {_say(one, zone)} to the next one {_say(other, zone)}, "
                f"more than {write_duration(most)}. Call the vet before you take these times."
            )


def _lost_meals(order: Medicine, name: str, times: TimesBeside, zone: ZoneInfo) -> Iterator[str]:
    if order.food.relation != "before":
        return
    reach = timedelta(minutes=before_meal_reach(order))
    old, new = times.old(name), times.new(name)
    meals_before, meals_now = (times.with_stands(MEAL, found) for found in (times.old(MEAL), times.new(MEAL)))
    for session, at in new.items():
        had = any(old[session] <= meal <= old[session] + reach for meal in meals_before)
        if had and not any(at <= meal <= at + reach for meal in meals_now):
            yield (
                f"{name} {_say(at, zone)} is ordered before food, and by these times no meal follows within "
                f"{write_duration(before_meal_reach(order))}. Call the vet before you take these times."
            )


def _say(at: datetime, zone: ZoneInfo) -> str:
    local = at.astimezone(zone)
    return f"at {local:%H:%M} on {say_date(local)}"
