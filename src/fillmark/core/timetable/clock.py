"""The household's wall clock: minutes after local midnight, windows past midnight, days of 23 and 25 hours.

A timetable is written in wall-clock minutes, 0 to 1,439, because that is what hangs on the refrigerator. Gaps between
doses are real time, and are kept by the instants of the day.
"""

from dataclasses import dataclass

from fillmark.core.values.errors import BadPlan

DAY_MINUTES = 24 * 60
"""An ordinary day [minutes]."""


def write_clock(clock: int) -> str:
    """A clock time as people read it ("7:30").

    Args:
        clock: Minutes after local midnight; whole days are left off.
    Source:
        arithmetic only
    """
    hours, minutes = divmod(clock % DAY_MINUTES, 60)
    return f"{hours}:{minutes:02d}"


def write_duration(minutes: int) -> str:
    """A length of time as people say it ("2 hours", "1 hour 30 minutes", "45 minutes").

    Source:
        arithmetic only
    """
    hours, rest = divmod(minutes, 60)
    parts = [
        f"{count} {word if count == 1 else word + 's'}" for count, word in ((hours, "hour"), (rest, "minute")) if count
    ]
    return " ".join(parts) or "0 minutes"


def check_clock(*, field: str, clock: int) -> None:
    """Refuse what is no time of day.

    Args:
        field: What the message calls it.
        clock: Minutes after midnight.
    Raises:
        BadPlan: it lies outside 0 to 1,439 minutes after midnight.
    Source:
        arithmetic only
    """
    if not 0 <= clock < DAY_MINUTES:
        raise BadPlan(
            field=field,
            got=f"{clock} minutes after midnight for {field}",
            allowed="a time of day, 0:00 to 23:59",
            remedy="Write the time as the clock on the wall shows it.",
        )


@dataclass(frozen=True, slots=True)
class Window:
    """A part of the day, from one clock time until another; it may pass midnight. Both ends belong to it.

    The same time twice is the whole day.
    """

    from_clock: int
    until_clock: int

    def __post_init__(self) -> None:
        check_clock(field="window.from_clock", clock=self.from_clock)
        check_clock(field="window.until_clock", clock=self.until_clock)

    def holds(self, clock: int) -> bool:
        """Whether the clock time lies in this part of the day, ends included."""
        length = (self.until_clock - self.from_clock) % DAY_MINUTES or DAY_MINUTES
        return (clock - self.from_clock) % DAY_MINUTES <= length

    def is_inside(self, clock: int) -> bool:
        """Whether the clock time lies in this part of the day, ends left out.

        So nobody is woken by a session at bedtime, nor by one at the hour they rise.
        """
        length = (self.until_clock - self.from_clock) % DAY_MINUTES or DAY_MINUTES
        return 0 < (clock - self.from_clock) % DAY_MINUTES < length

    def __str__(self) -> str:
        return f"{write_clock(self.from_clock)} to {write_clock(self.until_clock)}"
