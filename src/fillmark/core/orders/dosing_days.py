"""Which days and hours an order asks for a dose, and how much on that day."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from fillmark.core.orders.dose_text import Dose, Pieces, read_dose
from fillmark.core.orders.medicine import Medicine, order_on, read_strength
from fillmark.core.tube.syringe import exact
from fillmark.core.values.errors import NotStated
from fillmark.core.values.explain import Explained
from fillmark.core.values.limits import check_range
from fillmark.core.values.other_amounts import OtherAmount
from fillmark.core.values.quantities import Mass, write_number
from fillmark.published.input_limits import WEIGHT_LIMITS_KG
from fillmark.published.medicine import (
    DOSE_WEIGHT_MOVED_FRACTION,
    ROLLING_DAY_HOURS,
)


def dose_on(medicine: Medicine, *, on: date | None = None) -> str:
    """The dose as ordered for a day: the first one, or that of the last step that has begun.

    Args:
        medicine: The order.
        on: The household's day; none for the first dose.
    """
    if on is None:
        return medicine.dose
    return next((step.dose for step in reversed(medicine.steps) if step.from_on <= on), medicine.dose)


def amount_on(medicine: Medicine, *, on: date | None = None) -> Dose:
    """The dose of a day as it was read.

    Args:
        medicine: The order.
        on: The household's day; none for the first dose.
    Source:
        the vet's order
    """
    return read_dose(dose_on(medicine, on=on), form=medicine.form)


def rhythms(medicine: Medicine) -> tuple[Medicine, ...]:
    """The order with each rhythm that it has on its way, the first one first."""
    later = (order_on(medicine, on=step.from_on) for step in medicine.steps if step.every_hours is not None)
    return (medicine, *later)


def is_in_course(medicine: Medicine, *, on: date) -> bool:
    """Whether a medicine's course covers this day, whether or not a dose falls on it.

    Args:
        medicine: The order.
        on: The household's day.
    """
    starts, stops = medicine.start_on, medicine.stop_on
    return (starts is None or starts <= on) and (stops is None or on <= stops)


def first_day(medicine: Medicine) -> date | None:
    """The first day of a course, stated or that of its first dose; None where neither is."""
    return medicine.start_on or (medicine.first_dose.date() if medicine.first_dose else None)


def _first_at(medicine: Medicine, time_zone: str) -> datetime:
    assert medicine.first_dose is not None  # noqa: S101
    return medicine.first_dose.replace(tzinfo=ZoneInfo(time_zone)).astimezone(UTC)


def counted_doses(medicine: Medicine, *, from_at: datetime, until_at: datetime, time_zone: str) -> tuple[datetime, ...]:
    """The instants of an order whose hours are counted from its first dose, from one instant until before another.

    Hours are true hours: a changed clock neither shortens nor lengthens one, and loses or doubles no dose.

    Args:
        medicine: The order.
        from_at: Beginning, included.
        until_at: End, not included.
        time_zone: The household's time zone, an IANA name.
    Source:
        the vet's order
    """
    if medicine.first_dose is None:
        return ()
    first, apart = _first_at(medicine, time_zone), timedelta(hours=medicine.every_hours or 0)
    number = max(0, -((first - from_at.astimezone(UTC)) // apart))  # the first one that is not before
    found = []
    while (at := first + number * apart) < until_at.astimezone(UTC):
        found.append(at)
        number += 1
    return tuple(found)


def nearest_counted(medicine: Medicine, *, at: datetime, time_zone: str) -> datetime:
    """The dose of such an order that an instant is nearest to.

    Args:
        medicine: The order.
        at: The instant.
        time_zone: The household's time zone, an IANA name.
    """
    first, apart = _first_at(medicine, time_zone), timedelta(hours=medicine.every_hours or 0)
    return first + max(0, round((at.astimezone(UTC) - first) / apart)) * apart


def course_day(medicine: Medicine, *, on: date) -> int | None:
    """Which day of the course a day is, the first being 1; None before it, after it, or without a first day.

    Args:
        medicine: The order.
        on: The household's day.
    """
    first_on = first_day(medicine)
    if first_on is None or on < first_on or (medicine.stop_on and on > medicine.stop_on):
        return None
    return (on - first_on).days + 1


def is_dosing_day(medicine: Medicine, *, on: date) -> bool:
    """Whether doses fall on a day: of an order given less often than daily, on every n-th day from its first one.

    Of an order whose hours are counted from its first dose, `counted_doses` tells.

    Args:
        medicine: The order.
        on: The household's day.
    Source:
        arithmetic only
    """
    medicine = order_on(medicine, on=on)
    if medicine.every_hours is None or medicine.every_hours <= ROLLING_DAY_HOURS.value:
        return True
    if medicine.start_on is None or on < medicine.start_on:
        return False
    return not (on - medicine.start_on).days * ROLLING_DAY_HOURS.value % medicine.every_hours


def ordered_dose(medicine: Medicine, *, weight_kg: float, on: date | None = None) -> Explained[Mass | OtherAmount]:
    """What the vet ordered for one giving, as a mass or in units, mEq or mmol.

    A dose per kg is worked out for the weight it was made for, and for no other: a moved weight only asks.

    Args:
        medicine: The order.
        weight_kg: The newest weight [kg].
        on: The day it is for, where doses change by day.
    Raises:
        NotStated: a dose per kg without its weight, or a dose counted in pieces of unknown strength.
        OutOfRange: the weight can only be a slip.
    Source:
        the vet's order; medicine.weight_moved
    """
    check_range(field="weight_kg", value=weight_kg, limits=WEIGHT_LIMITS_KG)
    dose = amount_on(medicine, on=on)
    if isinstance(dose, Mass | OtherAmount):
        return Explained(value=dose, because=f"{medicine.name}: {dose} as ordered")
    if isinstance(dose, Pieces):
        strength = read_strength(medicine)
        if not isinstance(strength, Mass | OtherAmount):
            raise NotStated(
                field="strength",
                got=f"{medicine.name} in {dose}, without what one {dose.piece} holds",
                allowed=f"a mass in each {dose.piece}",
                remedy="Ask the vet or the pharmacy, if the mass matters for this medicine.",
            )
        mass = strength * dose.count
        return Explained(value=mass, because=f"{medicine.name}: {dose} × {strength} = {mass}")
    if medicine.dose_for_weight_kg is None:
        raise NotStated(
            field="dose_for_weight_kg",
            got=f"{medicine.name} at {dose}, without the weight this was made for",
            allowed="the weight in kg",
            remedy="Ask the vet which weight the dose was worked out for.",
        )
    made_for = exact(medicine.dose_for_weight_kg)
    mass = dose.amount * made_for
    moved = exact(weight_kg) / made_for - 1
    cautions: tuple[str, ...] = ()
    if abs(moved) > exact(DOSE_WEIGHT_MOVED_FRACTION.value):
        cautions = (
            f"{medicine.name} was ordered for {write_number(made_for)} kg; the weight is now {write_number(weight_kg)} "
            f"kg ({moved:+.0%}). Ask the vet whether the dose still holds.",
        )
    return Explained(
        value=mass,
        because=f"{medicine.name}: {dose} × {write_number(made_for)} kg = {mass}",
        figures=(DOSE_WEIGHT_MOVED_FRACTION,),
        cautions=cautions,
    )
