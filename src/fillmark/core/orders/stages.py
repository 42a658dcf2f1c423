"""An order as it stands at first and after each step, and how many doses a day that is."""

from collections.abc import Iterator
from dataclasses import dataclass

from fillmark.core.orders.medicine import Medicine, interval_hours, order_on
from fillmark.published.medicine import ROLLING_DAY_HOURS


@dataclass(frozen=True, kw_only=True, slots=True)
class OrderStage:
    """An order between two of its steps, an order of its own.

    Attributes:
        medicine: The order with the dose and the rhythm of this stage, and without steps.
        step: The number of the step it begins with, 0 for the order as it begins.
    """

    medicine: Medicine
    step: int = 0

    @property
    def label(self) -> str:
        """How it is called in a sentence."""
        return f"{self.medicine.name}, step {self.step}" if self.step else self.medicine.name

    def field(self, key: str) -> str:
        """Where a key of this stage stands in the order."""
        return ".".join((f"steps[{self.step}]", key)) if self.step else key


def stages(medicine: Medicine) -> Iterator[OrderStage]:
    """The order as it begins, and as each step leaves it.

    Args:
        medicine: The order.
    Source:
        the vet's order
    """
    yield OrderStage(medicine=medicine.model_copy(update={"steps": ()}))
    for number, step in enumerate(medicine.steps, start=1):
        changed = order_on(medicine, on=step.from_on).model_copy(update={"dose": step.dose, "steps": ()})
        yield OrderStage(medicine=changed, step=number)


def doses_per_day(medicine: Medicine, *, meals_a_day: int = 0) -> float | None:
    """How many doses a day an order comes to at most, by the times that stand in it; None when it says nothing.

    Args:
        medicine: The order.
        meals_a_day: Meals a day of the plan, for what is given with each of them; 0 where that is not said.
    Source:
        the vet's order
    """
    if medicine.when_needed is not None:
        return medicine.when_needed.max_per_day
    hours = interval_hours(medicine)
    if medicine.clocks and (hours is None or hours <= ROLLING_DAY_HOURS.value):
        return len(medicine.clocks)
    if medicine.with_each_meal:
        return meals_a_day or None
    return ROLLING_DAY_HOURS.value / hours if hours else None
