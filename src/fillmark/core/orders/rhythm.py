"""How often a medicine is given, and how it stands to food and to other medicines."""

from typing import Annotated, Literal

from pydantic import Field

from fillmark.core.values.document import Clock, Day, Id, Name, Number, Part, Stated, Words, within
from fillmark.published.medicine import FOOD_MINUTES_LIMITS, GAP_LIMITS_HOURS, TIMES_PER_DAY_LIMITS

Hours = Annotated[Number, within(GAP_LIMITS_HOURS, remedy="Read the vet's order again.")]


FoodMinutes = Annotated[Number, within(FOOD_MINUTES_LIMITS, remedy="Write minutes, not hours.")]


TimesADay = Annotated[int, within(TIMES_PER_DAY_LIMITS, remedy="Read the vet's order again.")]


class WhenNeeded(Part):
    """A medicine that is given only for a reason, and the gate it must pass.

    Attributes:
        reason: For what. The sign that it is given for.
        min_gap_hours: From one to the next, at least.
        max_per_day: Times a day, at most.
    """

    reason: Words
    min_gap_hours: Hours
    max_per_day: TimesADay


class FoodRule(Part):
    """How a medicine stands to food.

    Attributes:
        relation: With food or without.
        minutes: So long before food.
        after_minutes: So long after food. For an empty stomach.
    """

    relation: Literal["before", "with", "empty stomach", "any"]
    minutes: Stated[FoodMinutes] = None
    after_minutes: Stated[FoodMinutes] = None


class ApartFrom(Part):
    """Another medicine this one must be kept apart from.

    Attributes:
        medicine: Apart from.
        hours: By at least.
    """

    medicine: Id
    hours: Hours


class DoseStep(Part):
    """From this day on another dose: one step of a taper or a build-up, as the vet wrote it.

    Attributes:
        from_on: From this day on.
        dose: Dose.
        every_hours: Every. Where the rhythm changes too, counted from this day.
        clocks: At these times. Where the rhythm changes too.
    """

    from_on: Day
    dose: Name
    every_hours: Hours | None = None
    clocks: tuple[Clock, ...] = Field(default=(), max_length=24)
