"""Where does a dose stand in its course or taper? What a person should hear while they give it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from fillmark.core.orders.dose_text import bare_amount
from fillmark.core.orders.dosing_days import amount_on, course_day
from fillmark.core.orders.medicine import Medicine
from fillmark.core.orders.rhythm import DoseStep
from fillmark.core.values.quantities import write_number


@dataclass(frozen=True, kw_only=True, slots=True)
class CourseNotes:
    """What to say beside one dose.

    Attributes:
        changes: What is new or ends with it, each a sentence; these stand where the dose is read.
        place: "Day 5 of 14." where a course has a day to count from and something to count to.
    """

    changes: tuple[str, ...] = ()
    place: str = ""


def course_notes(medicine: Medicine, *, on: date, is_last_dose: bool) -> CourseNotes:
    """What to say beside a dose of a day about its course.

    The dose of before is not named: a number beside the new one is a number to be misread.

    Args:
        medicine: The order.
        on: The household's day of the dose.
        is_last_dose: Whether no dose comes after it.
    Source:
        the vet's order
    """
    number = course_day(medicine, on=on)
    days = course_day(medicine, on=medicine.stop_on) if medicine.stop_on else None
    place = f"Day {number} of {days}." if number and days else f"Day {number}." if number and medicine.steps else ""
    return CourseNotes(changes=tuple(_changes(medicine, on, is_last_dose=is_last_dose)), place=place)


def _changes(medicine: Medicine, on: date, *, is_last_dose: bool) -> Iterator[str]:
    tomorrow = on + timedelta(days=1)
    for step in medicine.steps:
        if step.from_on == on and on != medicine.start_on:
            yield f"New from today: {_say_step(step)}{_compared(medicine, on)}."
        elif step.from_on == tomorrow and not is_last_dose:
            yield f"From tomorrow: {_say_step(step)}."
    if is_last_dose:
        yield "This is the last dose of the course."
    elif on == medicine.stop_on:
        yield "The course ends today."
    elif tomorrow == medicine.stop_on:
        yield "The course ends tomorrow."


def _say_step(step: DoseStep) -> str:
    """ "2.5 mg every 48 hours"."""
    return f"{step.dose}{say_rhythm(step)}"


def say_rhythm(step: DoseStep) -> str:
    """ " every 48 hours"; nothing where the rhythm goes on."""
    return f" every {write_number(step.every_hours)} hours" if step.every_hours is not None else ""


def _compared(medicine: Medicine, on: date) -> str:
    """Whether the dose of a day is more or less than that of the day before; nothing where that cannot be said."""
    new, old = (amount_on(medicine, on=day) for day in (on, on - timedelta(days=1)))
    more = bare_amount(new) - bare_amount(old)
    if type(new) is not type(old) or not more:
        return ""
    return f", {'more' if more > 0 else 'less'} than before"
