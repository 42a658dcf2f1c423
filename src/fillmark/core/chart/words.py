"""How the chart of medicines says what stands in it: the same words on screen and on paper."""

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from fillmark.core.chart.chart import Cell, CellState, ChartEntry, ChartRow, Correction, CourseDay, SeenEffect, Timing
from fillmark.core.day.medicine_steps import WAYS
from fillmark.core.day.values import PlannedDose
from fillmark.core.orders.course import say_rhythm
from fillmark.core.orders.medicine import Medicine
from fillmark.core.record.medicine_entries import Outcome
from fillmark.core.record.outcomes import say_outcome_of
from fillmark.core.tube.syringe import Mark
from fillmark.core.values.quantities import Mass, Volume, write_number
from fillmark.core.values.words import say_short_day


def say_dose(dose: PlannedDose) -> str:
    """What the hand does for one dose: "5.22 mg = 5.2 mL in the 10 mL syringe"."""
    mass = f"{dose.mass} = " if dose.mass is not None else ""
    if isinstance(dose.drawn, Mark):
        return f"{mass}{dose.drawn.drawn} in the {write_number(dose.drawn.syringe.size_ml)} mL syringe"
    water = f" in {write_number(dose.drawn.water_ml)} mL water" if dose.drawn.water_ml else ""
    return f"{mass}{dose.drawn.reading}{water}"


def say_schedule(order: Medicine) -> str:
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
        if order.first_dose is not None:
            parts.append(f"counted from {say_short_day(order.first_dose.date())}, {order.first_dose:%H:%M}")
    elif order.times_per_day is not None:
        parts = [f"{order.times_per_day} times a day" if order.times_per_day > 1 else "once a day"]
    else:
        parts = ["with each meal"]
    parts += [f"from {say_short_day(step.from_on)}{say_rhythm(step)}" for step in order.steps if step.every_hours]
    food = order.food
    if food.relation == "with":
        parts.append("with food")
    elif food.relation != "any" and food.minutes is not None:
        before = f"{write_number(food.minutes)} minutes before food"
        parts.append(before if food.relation == "before" else f"on an empty stomach, {before}")
    if order.route != "tube":
        parts.append(WAYS[order.route])
    return ", ".join(parts)


def say_recorded_amount(entry: ChartEntry) -> str:
    """The recorded dose: "5.22 mg, 5.2 mL"; of one that did not go in, what was ordered and no mark."""
    mass = str(Mass(entry.dose_mg)) if entry.dose_mg is not None else entry.amount or ""
    return f"{mass}, {Volume(entry.ml)}" if entry.ml is not None and entry.went_in is not False else mass


def say_outcome(entry: ChartEntry) -> str:
    """What became of it; of a part, how much where that is known."""
    is_unknown = entry.outcome is Outcome.NOT_KNOWN
    words = "not known whether it went in" if is_unknown else say_outcome_of(entry.outcome)
    if entry.given_mg is None:
        return words
    return f"{words}: {entry.given_mg if isinstance(entry.given_mg, str) else Mass(entry.given_mg)}"


def say_timing(entry: ChartEntry) -> str:
    """ "early" or "late"; nothing for a dose on time."""
    return entry.timing.value if entry.timing in (Timing.EARLY, Timing.LATE) else ""


def say_check(entry: ChartEntry) -> str:
    """What a second person read: "checked by Ilse: 5.2 mL"; nothing where nobody did."""
    if entry.checked is None:
        return ""
    words = f"checked by {entry.checked.by_name}: {entry.checked.read}"
    return words if entry.checked.agrees else f"{words}, which is not the dose"


def say_effect(seen: SeenEffect) -> str:
    """What it was seen to do: "eased. Sleeps"."""
    return f"{seen.effect.value}. {seen.words}" if seen.words else seen.effect.value


def say_correction(correction: Correction) -> str:
    """What took the place of a record, without its time: "taken back by Sam: wrong animal"."""
    how = "taken back" if correction.is_withdrawn else "replaced"
    return f"{how} by {correction.by_name}" + (f": {correction.reason}" if correction.reason else "")


def say_course_day(day: CourseDay, *, with_dose: bool) -> str:
    """Where a day stands in its course: "day 3 of 10, 2.5 mg".

    Args:
        day: The day within its course.
        with_dose: Whether the dose is said too.
    """
    number = f"day {day.number}" + (f" of {day.of}" if day.of else "") if day.number else ""
    last = "last day" if day.is_last and not day.of else ""
    return ", ".join(part for part in (number, last, day.dose if with_dose else "") if part)


def say_short_clock(at: datetime, *, zone: ZoneInfo, beside: datetime | None = None) -> str:
    """A time of day; with its day where that is another than that of what it stands beside.

    Args:
        at: The instant.
        zone: The household's time zone.
        beside: The instant that it is read beside.
    """
    local = at.astimezone(zone)
    is_same_day = beside is None or local.date() == beside.astimezone(zone).date()
    return f"{local:%H:%M}" if is_same_day else say_short_moment(at, zone=zone)


def say_short_moment(at: datetime, *, zone: ZoneInfo) -> str:
    """A day with its time: "Wed 25 Nov, 12:00".

    Args:
        at: The instant.
        zone: The household's time zone.
    """
    local = at.astimezone(zone)
    return f"{say_short_day(local.date())}, {local:%H:%M}"


@dataclass(frozen=True, kw_only=True, slots=True)
class ToldEntry:
    """One record in words.

    Attributes:
        clock: When it happened.
        by_name: Who wrote it.
        what: How much, what became of it, early or late.
        notes: What else was said about it, in the order it was said.
        is_struck: Something took its place.
        went_in: Whether some of it went in; None where nobody knows.
    """

    clock: str
    by_name: str
    what: str
    notes: tuple[str, ...]
    is_struck: bool
    went_in: bool | None


def say_chart_entry(entry: ChartEntry, *, zone: ZoneInfo, is_alone: bool, says_given: bool) -> ToldEntry:
    """One record in words.

    Args:
        entry: The record.
        zone: The household's.
        is_alone: It stands in no square that asks "once or twice?" for it.
        says_given: Whether "given" is said in words; a mark beside it may say it.
    """
    outcome = say_outcome(entry) if says_given or entry.outcome is not Outcome.GIVEN else ""
    notes = [say_check(entry), entry.reason or ""]
    notes += [f"{say_effect(seen)} ({say_short_clock(seen.at, zone=zone, beside=entry.at)})" for seen in entry.effects]
    notes += [CellState.ONCE_OR_TWICE.value] if entry.is_open and is_alone else []
    if entry.correction:
        at = say_short_clock(entry.correction.at, zone=zone, beside=entry.at)
        notes.append(f"{say_correction(entry.correction)} ({at})")
    return ToldEntry(
        clock=say_short_clock(entry.at, zone=zone),
        by_name=entry.by_name,
        what=", ".join(part for part in (say_recorded_amount(entry), outcome, say_timing(entry)) if part),
        notes=tuple(note for note in notes if note),
        is_struck=not entry.counts,
        went_in=entry.went_in,
    )


def say_state(cell: Cell) -> str:
    """How a planned dose stands beside its records; nothing where they say it all."""
    if cell.state is CellState.RECORDED:
        return ""
    if cell.state is CellState.LEFT_OUT and cell.left_out:
        return f"left out by {cell.left_out.by_name}: {cell.left_out.reason}"
    if cell.state is CellState.HELD and cell.dose.medicine.held:
        return f"on hold: {cell.dose.medicine.held}"
    return cell.state.value


def say_lock(lock: str) -> str:
    """Why no mark of a medicine is shown: the old one would be another dose.

    Args:
        lock: Why it is locked, as a clause.
    """
    return f"draw none of it: {lock}"


def say_row(row: ChartRow, *, zone: ZoneInfo) -> tuple[str, ...]:
    """What an order says about itself; its dose only where it is the same on all days.

    Args:
        row: One order's row of the chart.
        zone: The household's time zone.
    """
    doses = say_doses(row)
    order = row.order
    notes = [*(doses if len(doses) == 1 else ()), say_schedule(order) if order else "in no plan of these days"]
    if row.lock:
        notes.append(say_lock(row.lock))
    if order and order.second_check:
        notes.append("a second person checks the mark")
    if order and order.held:
        notes.append(f"on hold: {order.held}")
    if row.from_at:
        notes.append(f"from {say_short_moment(row.from_at, zone=zone)}")
    if row.until_at:
        notes.append(f"until {say_short_moment(row.until_at, zone=zone)}")
    return tuple(notes)


def say_doses(row: ChartRow) -> tuple[str, ...]:
    """Each dose that may be drawn of an order on these days, in words, in the order they come."""
    if row.lock or (row.order and row.order.held):
        return ()
    doses = [cell.dose for cell in row.cells] or ([row.needed_dose] if row.needed_dose else [])
    return tuple({say_dose(dose): None for dose in doses})
