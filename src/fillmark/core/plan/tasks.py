"""Care beside food and medicines, and the times of day this household keeps."""

from datetime import date
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from fillmark.core.plan.household import WEEKDAYS, Weekday
from fillmark.core.values.document import Clock, Id, Name, Number, Part, Stated, Words, refuse, within
from fillmark.core.values.errors import BadPlan
from fillmark.published.input_limits import (
    TASK_LIMITS_MINUTES,
)


class Task(Part):
    """Care beside food and medicines: the site, a weighing, a nebulizer with saline, a walk.

    It has times of its own, or comes with each meal; `food_minutes` is how far from the meal it stays [minutes].

    Attributes:
        id: A short handle. The program makes it from the name.
        name: What is done. Such as: wash the site.
        weighs: It is a weighing. Its step then leads to where the weight is written down.
        clocks: At these times.
        with_each_meal: With each meal.
        days: On these days.
        minutes: Takes.
        food: Before or after food.
        food_minutes: How far from the meal.
        may: Who may do it. Nobody ticked means everybody.
        how: How it is done.
    """

    id: Id
    name: Name
    weighs: bool = False
    clocks: tuple[Clock, ...] = Field(default=(), max_length=12)
    with_each_meal: bool = False
    days: tuple[Weekday, ...] = Field(default=WEEKDAYS, min_length=1, max_length=7)
    minutes: Stated[Annotated[Number, within(TASK_LIMITS_MINUTES)]] = None
    food: Literal["any", "before", "after"] = "any"
    food_minutes: Stated[Annotated[Number, within(TASK_LIMITS_MINUTES)]] = None
    may: Stated[Annotated[tuple[Id, ...], Field(min_length=1, max_length=40)]] = None
    how: Stated[Words] = None

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        if bool(self.clocks) == self.with_each_meal:
            raise refuse(
                BadPlan(
                    field="",
                    got=f"{self.name} with both clocks and with_each_meal, or with neither",
                    allowed="one of them",
                    remedy="Say at what times it is done, or that it comes with each meal.",
                )
            )
        return self

    def is_due(self, on: date) -> bool:
        """Whether it is done on a day of this weekday."""
        return WEEKDAYS[on.weekday()] in self.days


class DayTimes(Part):
    """The times of day this household keeps: the meals, and the flushes of a tube that stands idle.

    Attributes:
        meals: Times of the meals.
        flushes: Times of the flushes. Of a tube that nothing else goes through.
    """

    meals: tuple[Clock, ...] = Field(default=(), max_length=12)
    flushes: tuple[Clock, ...] = Field(default=(), max_length=12)
