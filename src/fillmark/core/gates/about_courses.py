"""What stands against the orders of a plan beside each other, and against the days of their courses."""

from collections.abc import Iterator
from datetime import date, timedelta
from itertools import combinations

from fillmark.core.orders.medicine import Medicine
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.values.finding import Finding, Weight
from fillmark.core.values.words import say_date
from fillmark.published.input_limits import FAR_DAYS
from fillmark.published.medicine_names import read_name


def check_courses(plan: CarePlan, *, on: date) -> Iterator[Finding]:
    """What to ask about orders of one medicine, and about days that are far off.

    Args:
        plan: The plan.
        on: The household's day on which it would begin to hold.
    Source:
        medicine_name.*, input.far_days
    """
    for number, medicine in enumerate(plan.medicines, start=1):
        yield from _about_far_days(medicine, field=f"medicines[{number}]", on=on)
    for (_, one), (number, other) in combinations(enumerate(plan.medicines, start=1), 2):
        substance = read_name(one.name).substance
        if substance is not None and substance == read_name(other.name).substance and _overlap(one, other):
            yield Finding(
                code="ordered-twice",
                about=f"{one.id} and {other.id}",
                weight=Weight.ASKED,
                field=f"medicines[{number}].name",
                text=f"{one.name}, {one.dose}, and {other.name}, {other.dose}, are one medicine, {substance}, ordered "
                "twice. Ask the vet whether both are meant.",
            )


def _overlap(one: Medicine, other: Medicine) -> bool:
    """Whether there is a day on which both are given."""
    starts = max(one.start_on or date.min, other.start_on or date.min)
    return starts <= min(one.stop_on or date.max, other.stop_on or date.max)


def _about_far_days(medicine: Medicine, *, field: str, on: date) -> Iterator[Finding]:
    far = timedelta(days=FAR_DAYS.value)
    days = [("start_on", f"{medicine.name} begins on", medicine.start_on)]
    days += [
        (f"steps[{number}].from_on", f"step {number} of {medicine.name} begins on", step.from_on)
        for number, step in enumerate(medicine.steps, start=1)
    ]
    said = [(key, words, day) for key, words, day in days if day is not None and day - on > far]
    if medicine.stop_on is not None and on - medicine.stop_on > far:
        said.append(("stop_on", f"{medicine.name} ended on", medicine.stop_on))
    for key, words, day in said:
        yield Finding(
            code="far-day",
            about=f"{medicine.id} {key.translate(_KEY_LETTERS)}",
            weight=Weight.ASKED,
            field=f"{field}.{key}",
            text=f"{words[0].upper()}{words[1:]} {say_date(day)}, more than half a year from now. Check its year.",
            figures=(FAR_DAYS,),
        )


_KEY_LETTERS = str.maketrans({"_": "-", ".": " ", "[": " ", "]": ""})
