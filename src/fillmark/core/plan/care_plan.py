"""The care plan: one immutable document per version.

What nobody has said is "not stated": it is never guessed, and it makes the list of questions for the vet.
"""

from collections import Counter
from collections.abc import Iterator
from datetime import date, time
from typing import Literal, Self

from pydantic import Field, model_validator

from fillmark.core.orders.medicine import Medicine
from fillmark.core.plan.animal import Animal
from fillmark.core.plan.ends import Ends
from fillmark.core.plan.feeding_orders import Orders
from fillmark.core.plan.foods import Blend, Food
from fillmark.core.plan.household import Household
from fillmark.core.plan.tasks import DayTimes, Task
from fillmark.core.plan.vet import Vet
from fillmark.core.tube.syringe import Syringe
from fillmark.core.values.document import Part, refuse
from fillmark.core.values.errors import BadPlan, FillmarkError
from fillmark.core.values.quantities import write_number

FORMATS = ("fillmark care plan 1", "fillmark care plan 2")
"""The formats that can be read, the newest last."""
FORMAT = FORMATS[-1]
"""The format that new documents are written in."""


class CarePlan(Part):
    """One version of the care plan.

    Attributes:
        format: The format of this document. Written by the program.
        household: Your home.
        animal: The animal.
        vet: The vet.
        orders: The vet's orders.
        foods: Foods.
        blend: The blend.
        syringes: Syringes.
        medicines: Medicines.
        tasks: Other care.
        timetable: Times of day.
        ends: Orders that end by themselves.
    """

    format: Literal["fillmark care plan 1", "fillmark care plan 2"]
    household: Household
    animal: Animal
    vet: Vet
    orders: Orders
    foods: tuple[Food, ...] = Field(min_length=1, max_length=200)
    blend: Blend
    syringes: tuple[Syringe, ...] = Field(min_length=1, max_length=40)
    medicines: tuple[Medicine, ...] = Field(default=(), max_length=40)
    tasks: tuple[Task, ...] = Field(default=(), max_length=40)
    timetable: DayTimes = DayTimes()
    ends: Ends | None = None

    @model_validator(mode="after")
    def _whole(self) -> Self:
        faults = [*self._twice(), *self._strangers(), *self._order_faults(), *self._time_faults()]
        if faults:
            raise refuse(*faults)
        return self

    def _twice(self) -> Iterator[FillmarkError]:
        for place, ids in (
            ("household.people", [person.id for person in self.household.people]),
            ("foods", [food.id for food in self.foods]),
            ("syringes", [syringe.id for syringe in self.syringes]),
            ("medicines", [medicine.id for medicine in self.medicines]),
            ("tasks", [task.id for task in self.tasks]),
            ("tasks", [*{one.name.lower() for one in self.medicines}, *(task.name.lower() for task in self.tasks)]),
            ("medicines", [f"{medicine.name.lower()} {medicine.strength}" for medicine in self.medicines]),
        ):
            twice = [name for name, count in Counter(ids).items() if count > 1]
            if twice:
                yield BadPlan(
                    field=place,
                    got=f'"{twice[0]}", {Counter(ids)[twice[0]]} times',
                    allowed="each one once",
                    remedy="Take one out, or give it a handle of its own."
                    if place != "medicines"
                    else "Take one out; two orders of one medicine are a question for the vet.",
                )

    def _strangers(self) -> Iterator[FillmarkError]:
        """What names a food or a person of this plan names one that there is."""
        known = {food.id for food in self.foods}
        for number, part in enumerate(self.blend.foods, start=1):
            if part.food not in known:
                yield BadPlan(
                    field=f"blend.foods[{number}].food",
                    got=f'"{part.food}"',
                    allowed=", ".join(sorted(known)),
                    remedy="Name a food of this plan.",
                )
        people = {person.id for person in self.household.people}
        for number, task in enumerate(self.tasks, start=1):
            strangers = sorted(set(task.may or ()) - people)
            if strangers:
                yield BadPlan(
                    field=f"tasks[{number}].may",
                    got=f'"{strangers[0]}"',
                    allowed=", ".join(sorted(people)),
                    remedy="Name people of this household by their handle.",
                )

    def _order_faults(self) -> Iterator[FillmarkError]:
        orders = self.orders
        if orders.weaning is not None and self.animal.by_mouth != "food and water":
            yield BadPlan(
                field="orders.weaning",
                got=f'Weaning to food by mouth, and by mouth "{self.animal.by_mouth or "not stated"}"',
                allowed='animal.by_mouth = "food and water"',
                remedy="Ask the vet whether food may be given by mouth.",
            )
        if orders.warn_ml_per_kg and orders.cap_ml_per_kg and orders.warn_ml_per_kg > orders.cap_ml_per_kg:
            yield BadPlan(
                field="orders.warn_ml_per_kg",
                got=f"A warning at {write_number(orders.warn_ml_per_kg)} mL/kg above the cap",
                allowed=f"{write_number(orders.cap_ml_per_kg)} mL/kg or less",
                remedy="Read both numbers in the vet's order again.",
            )

    def _time_faults(self) -> Iterator[FillmarkError]:
        flushes, idle = self.timetable.flushes, self.orders.idle_flush
        if flushes and (idle is None or len(set(flushes)) != idle.times_per_day or len(flushes) != len(set(flushes))):
            ordered = "none are ordered" if idle is None else f"{idle.times_per_day} a day are ordered"
            yield BadPlan(
                field="timetable.flushes",
                got=f"{len(flushes)} times for flushes of the idle tube, and {ordered}",
                allowed="a time for each flush that the vet ordered in orders.idle_flush, each once",
                remedy="Add or take out a time, or ask the vet how often an idle tube is flushed.",
            )
        clocks, ordered_meals = self.timetable.meals, self.orders.meals_per_day
        if list(clocks) != sorted(clocks, key=self.since_day_start) or len(set(clocks)) != len(clocks):
            yield BadPlan(
                field="timetable.meals",
                got="Meal times that are out of order or there twice",
                allowed=f"each once, in order from the start of the day at {self.household.day_starts:%H:%M}",
                remedy="Put them in order.",
            )
        if ordered_meals is not None and clocks and len(clocks) != ordered_meals:
            yield BadPlan(
                field="timetable.meals",
                got=f"{len(clocks)} meal times for {ordered_meals} meals a day",
                allowed=f"{ordered_meals} times",
                remedy="Add or take out a time, or ask the vet about the number of meals.",
            )

    def since_day_start(self, clock: time) -> int:
        """Minutes from the start of the household's day to this time of day [minutes, 0 to 1439]."""
        starts = self.household.day_starts
        return (clock.hour * 60 + clock.minute - starts.hour * 60 - starts.minute) % 1440

    def food(self, food_id: str) -> Food:
        """The food with this id."""
        return next(food for food in self.foods if food.id == food_id)

    @property
    def meals_a_day(self) -> int:
        """How many meals a day: as ordered, else as many as have a time; 0 where nobody has said."""
        return self.orders.meals_per_day or len(self.timetable.meals)

    @property
    def blend_keeps_days(self) -> int | None:
        """How long a batch keeps, by the label that says the least [days]; none where none says so."""
        stated = [days for days in (self.food(part.food).keeps_days for part in self.blend.foods) if days is not None]
        return min(stated, default=None)

    @property
    def feeding_syringe(self) -> Syringe:
        """The syringe that meals are pushed with: the largest this household owns."""
        return max(self.syringes, key=lambda syringe: syringe.size_ml)

    @property
    def medicine_syringes(self) -> tuple[Syringe, ...]:
        """What medicines are drawn with: the syringe for blend is left out where there is another."""
        others = tuple(syringe for syringe in self.syringes if syringe != self.feeding_syringe)
        return others or self.syringes


def ladder_fraction(plan: CarePlan, *, on: date) -> float:
    """The share of the energy goal that the vet's ladder allows on this day [fraction, 0 to 1].

    Args:
        plan: The care plan.
        on: The household's day.
    Source:
        the vet's ladder
    """
    ladder = plan.orders.ladder
    if ladder is None:
        return 1.0
    rung = (on - ladder.starts_on).days
    if rung < 0:
        return 0.0
    return ladder.percent[rung] / 100 if rung < len(ladder.percent) else 1.0
