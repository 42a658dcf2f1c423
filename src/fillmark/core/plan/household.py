"""Where the animal lives: the household, its clock, and who is there when."""

from datetime import date, time
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from fillmark.core.values.document import Clock, Day, Id, Name, Part, Stated, ZoneName, refuse
from fillmark.core.values.errors import BadPlan
from fillmark.core.values.words import say_date

Weekday = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]


WEEKDAYS: tuple[Weekday, ...] = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


class Presence(Part):
    """When a person is there, by the household's clock. Hours that end before they begin run past midnight.

    Attributes:
        days: On these days.
        comes: Comes at.
        goes: Goes at. Before the hour of coming means the next morning.
    """

    days: tuple[Weekday, ...] = Field(min_length=1, max_length=7)
    comes: Clock
    goes: Clock


class AwayDays(Part):
    """Days on which a person is away, first and last one included.

    Attributes:
        from_on: Away from. The first day away.
        until_on: Until. The last day away.
    """

    from_on: Day
    until_on: Day

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.until_on < self.from_on:
            raise refuse(
                BadPlan(
                    field="",
                    got=f"Away from {say_date(self.from_on)} until {say_date(self.until_on)}",
                    allowed="the first day, then the last",
                    remedy="Check the days.",
                )
            )
        return self


class Person(Part):
    """Someone who looks after the animal: when they are there as a rule, and on which days they are away.

    Attributes:
        id: A short handle. The program makes it from the name.
        name: Name. As it stands under what they write.
        role: What they may do. A lead changes the plan; a helper writes the record; a sitter does the sessions of a few
            days.
        there: When they are there. As a rule, week by week.
        away: Days away.
    """

    id: Id
    name: Name
    role: Literal["lead", "helper", "sitter"]
    there: Stated[Annotated[tuple[Presence, ...], Field(min_length=1, max_length=40)]] = None
    away: tuple[AwayDays, ...] = Field(default=(), max_length=100)

    def is_away(self, on: date) -> bool:
        """Whether they are away on a day."""
        return any(days.from_on <= on <= days.until_on for days in self.away)


class Household(Part):
    """Where the animal lives, and the clock it lives by.

    Attributes:
        name: What this home is called.
        time_zone: Time zone. As the phone names it, such as Europe/Dublin.
        day_starts: The day starts at. A session of the small hours belongs to the day before; 4 in the morning suits
            most homes.
        people: Who looks after the animal.
    """

    name: Name
    time_zone: ZoneName
    day_starts: Clock = time(4)
    people: tuple[Person, ...] = Field(min_length=1, max_length=40)
