"""What a household may choose about its day: sleep, hours without a session, one fixed time."""

from dataclasses import dataclass
from datetime import time

from fillmark.core.timetable import (
    MEAL,
    Insisted,
    Window,
)
from fillmark.core.values.errors import BadPlan

GRID_MINUTES = (15, 5)
"""Times stand on quarters of an hour; where the present ones or a wish do not, on every fifth minute."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Wishes:
    """What a household may choose about its day; what the vet ordered is not among it.

    Attributes:
        sleep_from: When the household goes to bed.
        sleep_until: When it rises. A session in between is avoided where the vet's rules allow.
        earliest: No session before this. Alone, it holds from bedtime on.
        latest: No session after this. Alone, it holds until rising.
        fixed_at: A session at exactly this time.
        fixed_what: What that session must hold: the id of a medicine, "meal", or nothing in particular.
    """

    sleep_from: time = time(23)
    sleep_until: time = time(6)
    earliest: time | None = None
    latest: time | None = None
    fixed_at: time | None = None
    fixed_what: str | None = None

    @property
    def night(self) -> Window:
        """When the household sleeps."""
        if self.sleep_from == self.sleep_until:
            raise BadPlan(
                field="wishes.sleep_from",
                got=f"Sleep from {self.sleep_from:%H:%M} until {self.sleep_until:%H:%M}",
                allowed="two different times",
                remedy="Enter when you go to bed and when you rise.",
            )
        return Window(minutes_of(self.sleep_from), minutes_of(self.sleep_until))

    @property
    def quiet(self) -> Window | None:
        """The hours in which there is no session at all."""
        if self.earliest is None and self.latest is None:
            return None
        begins, ends = self.latest or self.sleep_from, self.earliest or self.sleep_until
        if begins == ends:
            raise BadPlan(
                field="wishes.earliest",
                got=f"No session before {ends:%H:%M} and none after {begins:%H:%M}",
                allowed="a day with room for sessions",
                remedy="Choose an earliest time that comes before the latest.",
            )
        return Window(minutes_of(begins), minutes_of(ends))


def minutes_of(clock: time) -> int:
    """A time of day in minutes after midnight."""
    return clock.hour * 60 + clock.minute


def insisted_rules(wishes: Wishes, names: dict[str, str]) -> tuple[Insisted, ...]:
    """The times that a person fixed, as rules.

    Args:
        wishes: What the household asks of its day.
        names: What each medicine is called, by its id.
    """
    at, what, finest = wishes.fixed_at, wishes.fixed_what, GRID_MINUTES[-1]
    if what is not None and what != MEAL and what not in names:
        raise BadPlan(
            field="wishes.fixed_what",
            got=f'"{what[:40]}" at a fixed time',
            allowed=f"{MEAL}, {', '.join(names)}",
            remedy="Choose a meal or a medicine of this plan.",
        )
    name = names.get(what, what) if what is not None else None
    if at is None:
        if name is None:
            return ()
        raise BadPlan(
            field="wishes.fixed_at",
            got=f"A fixed time for {'a meal' if name == MEAL else name}, and no time",
            allowed="a time of day",
            remedy="Enter the time, or choose any session.",
        )
    if minutes_of(at) % finest:
        raise BadPlan(
            field="wishes.fixed_at",
            got=f"A session fixed at {at:%H:%M}",
            allowed=f"every {finest}th minute",
            remedy=f"Choose the nearest {finest} minutes.",
        )
    return (Insisted(minutes_of(at), name),)
