"""How the chart of medicines says what stands in it: the same words on screen and on paper."""

from fillmark.core.day import PlannedDose
from fillmark.core.entries import Outcome
from fillmark.core.mar import ChartEntry, Correction, CourseDay, SeenEffect, Timing
from fillmark.core.medicine import Medicine
from fillmark.core.quantities import Mass, Volume, write_number
from fillmark.core.syringe import Mark

_OUTCOMES = {
    Outcome.PARTIAL: "part of it given",
    Outcome.MISSED: "not given",
    Outcome.NOT_KNOWN: "not known whether it went in",
}

_ROUTES = {"mouth": "by mouth", "nebulizer": "by nebulizer", "ear": "in the ear", "skin": "on the skin"}


def tell_dose(dose: PlannedDose) -> str:
    """What the hand does for one dose: "5.22 mg = 5.2 mL in the 10 mL syringe"."""
    mass = f"{dose.mass} = " if dose.mass is not None else ""
    if isinstance(dose.drawn, Mark):
        return f"{mass}{dose.drawn.drawn} in the {write_number(dose.drawn.syringe.size_ml)} mL syringe"
    water = f" in {write_number(dose.drawn.water_ml)} mL water" if dose.drawn.water_ml else ""
    return f"{mass}{dose.drawn.reading}{water}"


def tell_schedule(order: Medicine) -> str:
    """How often, for what, and how it stands to food: "every 12 hours, 30 minutes before food"."""
    if order.when_needed is not None:
        needed = order.when_needed
        parts = [
            f"when needed: {needed.reason.rstrip('.')}",
            f"at least {write_number(needed.min_gap_hours)} hours apart",
            f"at most {needed.max_per_day} in 24 hours",
        ]
    elif order.every_hours is not None:
        parts = [f"every {write_number(order.every_hours)} hours"]
    elif order.times_per_day is not None:
        parts = [f"{order.times_per_day} times a day" if order.times_per_day > 1 else "once a day"]
    else:
        parts = ["with each meal"]
    food = order.food
    if food.relation == "with":
        parts.append("with food")
    elif food.relation != "any" and food.minutes is not None:
        before = f"{write_number(food.minutes)} minutes before food"
        parts.append(before if food.relation == "before" else f"on an empty stomach, {before}")
    if order.route != "tube":
        parts.append(_ROUTES[order.route])
    return ", ".join(parts)


def tell_amount(entry: ChartEntry) -> str:
    """The recorded dose: "5.22 mg, 5.2 mL"."""
    mass = str(Mass(entry.dose_mg)) if entry.dose_mg is not None else entry.amount or ""
    return f"{mass}, {Volume(entry.ml)}" if entry.ml is not None else mass


def tell_outcome(entry: ChartEntry) -> str:
    """What became of it; of a part, how much where that is known."""
    words = _OUTCOMES.get(entry.outcome, entry.outcome.value)
    if entry.outcome is not Outcome.PARTIAL or entry.given_mg is None:
        return words
    return f"{words}: {entry.given_mg if isinstance(entry.given_mg, str) else Mass(entry.given_mg)}"


def tell_timing(entry: ChartEntry) -> str:
    """ "early" or "late"; nothing for a dose on time."""
    return entry.timing.value if entry.timing in (Timing.EARLY, Timing.LATE) else ""


def tell_check(entry: ChartEntry) -> str:
    """What a second person read: "checked by Ilse: 5.2 mL"; nothing where nobody did."""
    if entry.checked is None:
        return ""
    words = f"checked by {entry.checked.by_name}: {entry.checked.read}"
    return words if entry.checked.agrees else f"{words}, which is not the dose"


def tell_effect(seen: SeenEffect) -> str:
    """What it was seen to do: "eased. Sleeps"."""
    return f"{seen.effect.value}. {seen.words}" if seen.words else seen.effect.value


def tell_correction(correction: Correction) -> str:
    """What took the place of a record, without its time: "taken back by Sam: wrong animal"."""
    how = "taken back" if correction.is_withdrawn else "replaced"
    return f"{how} by {correction.by_name}" + (f": {correction.reason}" if correction.reason else "")


def tell_course_day(day: CourseDay, *, with_dose: bool) -> str:
    """Where a day stands in its course: "day 3 of 10, 2.5 mg"."""
    number = f"day {day.number}" + (f" of {day.of}" if day.of else "") if day.number else ""
    last = "last day" if day.is_last and not day.of else ""
    return ", ".join(part for part in (number, last, day.dose if with_dose else "") if part)
