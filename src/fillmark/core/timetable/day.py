"""A day's timetable as it leaves this room: its sessions, and how good each stage is proven to be."""

from dataclasses import dataclass
from enum import StrEnum

from fillmark.core.timetable.clock import write_clock
from fillmark.core.timetable.regimen import MEAL, Attendant, Regimen


@dataclass(frozen=True, kw_only=True, slots=True)
class Session:
    """One trip to the animal, at a clock time [minutes after midnight]."""

    clock: int
    has_meal: bool = False
    duties: tuple[str, ...] = ()

    @property
    def is_flush_only(self) -> bool:
        """Whether water is all that goes through the tube."""
        return not self.has_meal and not self.duties

    def holds(self, name: str) -> bool:
        """Whether this meal or duty happens here."""
        return self.has_meal if name == MEAL else name in self.duties

    def __str__(self) -> str:
        parts = [*self.duties, *([MEAL] if self.has_meal else [])]
        return f"{write_clock(self.clock)} {', '.join(parts) or 'flush'}"


class Aim(StrEnum):
    """What a day is made good for, in this order; each is held while the next is sought."""

    SESSIONS = "fewest sessions"
    NIGHT = "fewest sessions at night"
    PEOPLE = "fewest sessions that nobody can come to"
    MEALS = "number of meals nearest to the usual"
    MOVED = "nearest to the usual times"
    EVEN = "most even spacing"


@dataclass(frozen=True, kw_only=True, slots=True)
class Stage:
    """How far one aim was reached.

    Attributes:
        aim: What was sought.
        value: What this timetable reaches: a count, or minutes for the last two.
        bound: What no timetable can go below, the earlier stages held.
    """

    aim: Aim
    value: int
    bound: int

    @property
    def is_proven(self) -> bool:
        """Whether nothing better exists."""
        return self.value == self.bound

    @property
    def because(self) -> str:
        """One line for a person."""
        unit = " minutes" if self.aim in (Aim.MOVED, Aim.EVEN) else ""
        proof = "nothing better exists" if self.is_proven else f"perhaps {self.bound}{unit} is possible"
        return f"{self.aim.value}: {self.value}{unit}; {proof}"


@dataclass(frozen=True, kw_only=True, slots=True)
class Timetable:
    """A day that breaks no rule, sessions in the order of the clock."""

    sessions: tuple[Session, ...]
    stages: tuple[Stage, ...] = ()

    def clocks_of(self, name: str) -> tuple[int, ...]:
        """The clock times of a meal or duty."""
        return tuple(session.clock for session in self.sessions if session.holds(name))

    @property
    def is_proven(self) -> bool:
        """Whether every stage that was sought is proven best."""
        return all(stage.is_proven for stage in self.stages)


def who_can_come(*, regimen: Regimen, session: Session, weekday: int) -> tuple[Attendant, ...]:
    """The people who are free then and trained for all that this session holds; first those named first.

    Args:
        regimen: What the day must hold.
        session: One trip to the animal.
        weekday: 0 for Monday to 6.
    Source:
        arithmetic only
    """
    needed = {regimen.duty(name).skill for name in session.duties} - {None}
    stays_minutes = 0
    if session.has_meal and regimen.meals is not None:
        needed |= {regimen.meals.skill} - {None}
        stays_minutes = regimen.meals.upright_minutes
    return tuple(
        person
        for person in regimen.people
        if needed <= person.skills and person.is_available(weekday=weekday, clock=session.clock, minutes=stays_minutes)
    )
