"""What stands against two orders of a plan beside each other."""

from collections.abc import Iterator
from datetime import date
from itertools import combinations

from fillmark.core.orders.medicine import Medicine
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.values.finding import Finding, Weight
from fillmark.published.medicine_names import read_name


def check_substances(plan: CarePlan, *, on: date) -> Iterator[Finding]:
    """Orders that give one substance twice, by whatever names.

    Args:
        plan: The plan.
        on: The household's day on which it would begin to hold.
    Source:
        medicine_name.*
    """
    numbered = [
        (number, medicine)
        for number, medicine in enumerate(plan.medicines, start=1)
        if medicine.stop_on is None or medicine.stop_on >= on
    ]
    for (_, one), (number, other) in combinations(numbered, 2):
        shared = read_name(one.name).parts & read_name(other.name).parts
        if not shared or not _overlap(one, other):
            continue
        yield Finding(
            code="same-substance",
            about=f"{one.id} and {other.id}",
            weight=Weight.NEEDS_VET,
            field=f"medicines[{number}].name",
            text=f"{one.name} and {other.name} both give {' and '.join(sorted(shared))}: both orders together may be "
            "twice the dose that is meant. Ask the vet whether both are to be given.",
        )


def _overlap(one: Medicine, other: Medicine) -> bool:
    """Whether some day belongs to the courses of both."""
    starts = max((day for day in (one.start_on, other.start_on) if day is not None), default=None)
    stops = min((day for day in (one.stop_on, other.stop_on) if day is not None), default=None)
    return starts is None or stops is None or starts <= stops
