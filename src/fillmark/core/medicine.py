"""What did the vet order, and what is that in mL or tablet parts?

An order is a mass; the bottle is a mass in a volume; the mL is always worked out, so that another bottle gives another
mark.
"""

import re
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from math import ceil
from typing import Annotated, Literal
from zoneinfo import ZoneInfo

from pydantic import Field, model_validator

from fillmark.core.document import Clock, Day, DayAndClock, Id, Name, Number, Part, Stated, Words, refuse, within
from fillmark.core.errors import BadPlan, CannotDraw, FillmarkError, NotStated, WrongUnit
from fillmark.core.explain import Explained
from fillmark.core.limits import check_at_least, check_range
from fillmark.core.quantities import Mass, Strength, Volume, read_amount, write_number
from fillmark.core.syringe import Mark, Syringe, exact, find_mark, rounding_caution, tip_misfit
from fillmark.published import Fact
from fillmark.published.input_limits import WEIGHT_LIMITS_KG
from fillmark.published.medicine import (
    CARRIER_WATER_LIMITS_ML,
    COUNTED_LIMITS_HOURS,
    DOSE_WEIGHT_MOVED_FRACTION,
    FOOD_MINUTES_LIMITS,
    GAP_LIMITS_HOURS,
    PERCENT_LIMITS,
    ROLLING_DAY_HOURS,
    TIMES_PER_DAY_LIMITS,
)
from fillmark.published.syringe import REFUSED_ERROR_FRACTION, SILENT_ERROR_FRACTION

Form = Literal["liquid", "tablet", "capsule", "powder", "drops", "nebulizer vial"]
Route = Literal["tube", "mouth", "nebulizer", "ear", "skin"]

PIECE_NAMES: dict[Form, str] = {
    "tablet": "tablet",
    "capsule": "capsule",
    "powder": "sachet",
    "drops": "drop",
    "nebulizer vial": "vial",
}
"""What is counted when a medicine is not drawn up: the last word of its strength, and of a dose counted in pieces."""

_hours = Annotated[Number, within(GAP_LIMITS_HOURS, remedy="Read the vet's order again.")]
_food_minutes = Annotated[Number, within(FOOD_MINUTES_LIMITS, remedy="Write minutes, not hours.")]
_times = Annotated[int, within(TIMES_PER_DAY_LIMITS, remedy="Read the vet's order again.")]


class WhenNeeded(Part):
    """A medicine that is given only for a reason, and the gate it must pass."""

    reason: Words
    min_gap_hours: _hours
    max_per_day: _times


class Food(Part):
    """How a medicine stands to food.

    Attributes:
        minutes: How long before food [minutes]; needed for "before" and "empty stomach".
        after_minutes: How long after food an empty stomach begins [minutes].
    """

    relation: Literal["before", "with", "empty stomach", "any"]
    minutes: Stated[_food_minutes] = None
    after_minutes: Stated[_food_minutes] = None


class Apart(Part):
    """Another medicine this one must be kept apart from."""

    medicine: Id
    hours: _hours


class DoseStep(Part):
    """From this day on another dose: one step of a taper or a build-up, as the vet wrote it.

    Attributes:
        every_hours: From this day on another rhythm too, counted from this day; without it the one before goes on.
        clocks: The times of day of that rhythm; without them those before go on.
    """

    from_on: Day
    dose: Name
    every_hours: _hours | None = None
    clocks: tuple[Clock, ...] = Field(default=(), max_length=24)


class Medicine(Part):
    """One medicine as the vet ordered it.

    Attributes:
        strength: As on the label: "1 mg/mL", "125 mg/5 mL", "1 %", "5 mg/tablet"; one piece for what is only counted.
        counts_as: What the mg count where it matters: a salt or its base, one part or the sum of two.
        dose: A mass ("1.8 mg"), a mass per kg ("0.1 mg/kg"), or a count where no mass is ordered ("5 drops").
        dose_for_weight_kg: The weight that a dose per kg was made for [kg].
        clocks: The household's own times of day for it.
        first_dose: Where the hours are counted from, for a rhythm that no times of day can keep ("every 36 hours").
        steps: Doses, and rhythms, of later days, oldest first.
        carrier_water_ml: Water that a crushed tablet or a powder is given in [mL].
        tablet_parts: Into how many parts the score lines let a tablet be split.
        late_window_minutes: How late it may be given by the vet's word [minutes].
        held: Why the vet has it stopped for now.
    """

    id: Id
    name: Name
    purpose: Stated[Name] = None
    form: Form
    strength: Stated[Name] = None
    counts_as: Stated[Name] = None
    dose: Name
    dose_for_weight_kg: Stated[Annotated[Number, within(WEIGHT_LIMITS_KG)]] = None
    route: Route
    every_hours: _hours | None = None
    times_per_day: _times | None = None
    with_each_meal: bool = False
    when_needed: WhenNeeded | None = None
    clocks: tuple[Clock, ...] = Field(default=(), max_length=24)
    first_dose: Stated[DayAndClock] = None
    food: Food = Food(relation="any")
    apart_from: tuple[Apart, ...] = Field(default=(), max_length=40)
    start_on: Stated[Day] = None
    stop_on: Stated[Day] = None
    steps: tuple[DoseStep, ...] = Field(default=(), max_length=60)
    carrier_water_ml: Stated[Annotated[Number, within(CARRIER_WATER_LIMITS_ML)]] = None
    crush: Literal["allowed", "not allowed", "ask"] = "ask"
    tablet_parts: Literal[1, 2, 4] = 1
    late_window_minutes: Stated[Annotated[Number, within(FOOD_MINUTES_LIMITS)]] = None
    missed_dose_words: Stated[Words] = None
    min_gap_hours: Stated[_hours] = None
    max_per_day: Stated[_times] = None
    time_critical: bool = False
    second_check: bool = False
    held: Words | None = None
    ordered_by: Stated[Name] = None
    ordered_on: Stated[Day] = None
    words: Stated[Words] = None

    @model_validator(mode="after")
    def _consistent(self) -> "Medicine":
        try:
            self._check_schedule()
            self._check_amounts()
            self._check_days()
        except FillmarkError as error:
            raise refuse(error) from None
        return self

    def _check_schedule(self) -> None:
        ways = {
            "every_hours": self.every_hours is not None,
            "times_per_day": self.times_per_day is not None,
            "with_each_meal": self.with_each_meal,
            "when_needed": self.when_needed is not None,
        }
        given = [name for name, is_given in ways.items() if is_given]
        if len(given) != 1:
            raise BadPlan(
                field="",
                got=f"{self.name} with {' and '.join(given) or 'no word on how often'}",
                allowed="exactly one of every_hours, times_per_day, with_each_meal and when_needed",
                remedy="Keep the one that the vet gave.",
            )
        if self.times_per_day is not None and self.clocks and len(self.clocks) != self.times_per_day:
            raise BadPlan(
                field="clocks",
                got=f"{self.name} {self.times_per_day} times a day, with {len(self.clocks)} times of day",
                allowed="one time of day for each dose",
                remedy="Add or take out a time, or read the vet's order again.",
            )
        if self.clocks and self.every_hours is not None and self.every_hours <= ROLLING_DAY_HOURS.value:
            doses = ROLLING_DAY_HOURS.value / self.every_hours
            if doses == int(doses) and len(self.clocks) != doses:
                raise BadPlan(
                    field="clocks",
                    got=f"{self.name} every {write_number(self.every_hours)} hours, "
                    f"with {len(self.clocks)} times of day",
                    allowed=f"{write_number(doses)} times of day",
                    remedy="Add or take out a time, or read the vet's order again.",
                )
        day, hours = ROLLING_DAY_HOURS.value, self.every_hours or 0.0
        # a time of day comes back after whole days only: anything else would lose or double doses
        if self.clocks and hours > day and (hours % day or len(self.clocks) != 1):
            raise BadPlan(
                field="clocks",
                got=f"{self.name} every {write_number(hours)} hours, with {len(self.clocks)} times of day",
                allowed="one time of day, and a whole number of days (48 or 72 hours) from one dose to the next",
                remedy="Take the times out, and write in first_dose on which day and at what time it is given first: "
                "the hours are counted from there.",
            )
        if self.clocks and (self.with_each_meal or self.when_needed):
            raise BadPlan(
                field="clocks",
                got=f"{self.name} {'with each meal' if self.with_each_meal else 'when needed'}, with times of day",
                allowed="no times of day",
                remedy="Take the times out, or read the vet's order again.",
            )
        if self.first_dose is not None:
            self._check_counted()
        if len(set(self.clocks)) != len(self.clocks):
            raise BadPlan(
                field="clocks",
                got=f"{self.name} twice at the same time of day",
                allowed="each time of day once",
                remedy="Take one out.",
            )
        if self.food.relation in ("before", "empty stomach") and self.food.minutes is None:
            raise BadPlan(
                field="food.minutes",
                got=f'{self.name} "{self.food.relation}", without how long before food',
                allowed="minutes before food",
                remedy="Ask the vet how long, and add minutes.",
            )
        if any(apart.medicine == self.id for apart in self.apart_from):
            raise BadPlan(
                field="apart_from",
                got=f"{self.name} apart from itself",
                allowed="another medicine",
                remedy="Write the id of the other medicine; the gap between two doses is min_gap_hours.",
            )

    def _check_counted(self) -> None:
        """Hours that are counted from a first dose leave no room for another rhythm beside them."""
        if self.every_hours is None or self.clocks or any(step.every_hours is not None for step in self.steps):
            beside = "times of day" if self.clocks else "another rhythm than every_hours"
            raise BadPlan(
                field="first_dose",
                got=f"{self.name} counted from its first dose, with {beside}",
                allowed="first_dose with every_hours alone",
                remedy="Keep first_dose where the hours are counted through, or else the times of day.",
            )
        check_range(
            field="every_hours",
            value=self.every_hours,
            limits=COUNTED_LIMITS_HOURS,
            remedy="Give a shorter rhythm by its times of day, and take first_dose out.",
        )

    def _check_amounts(self) -> None:
        read_strength(self)
        for number, text in enumerate((self.dose, *(step.dose for step in self.steps))):
            read_dose(text, form=self.form, field=f"steps[{number}].dose" if number else "dose")
        if self.form in ("tablet", "capsule") and self.route in ("nebulizer", "ear", "skin"):
            raise BadPlan(
                field="route",
                got=f"A {self.form} by the route {self.route}",
                allowed="tube or mouth",
                remedy="Check the form and the route in the vet's order.",
            )

    def _check_days(self) -> None:
        if self.start_on and self.stop_on and self.stop_on < self.start_on:
            raise BadPlan(
                field="stop_on",
                got=f"{self.name} from {self.start_on} to {self.stop_on}",
                allowed="a last day on or after the first",
                remedy="Check both days.",
            )
        if self.first_dose is not None:
            first_on = self.first_dose.date()
            # a household's day may begin in the night before
            is_early = self.start_on is not None and first_on < self.start_on
            is_late = self.start_on is not None and first_on > self.start_on + timedelta(days=1)
            if is_early or is_late or (self.stop_on is not None and first_on > self.stop_on + timedelta(days=1)):
                raise BadPlan(
                    field="first_dose",
                    got=f"{self.name} first given on {first_on}, with a course from "
                    f"{self.start_on or 'a day not stated'} to {self.stop_on or 'a day not stated'}",
                    allowed="a first dose on the first day of the course",
                    remedy="Check both days.",
                )
        days = [step.from_on for step in self.steps]
        if days != sorted(set(days)):
            raise BadPlan(
                field="steps",
                got=f"Steps of {self.name} that are not in order",
                allowed="the oldest first, each day once",
                remedy="Put the steps in the order of their days.",
            )
        for number, step in enumerate(self.steps, start=1):
            self._check_step(number, step)

    def _check_step(self, number: int, step: DoseStep) -> None:
        if step.clocks and step.every_hours is None:
            raise BadPlan(
                field=f"steps[{number}].clocks",
                got=f"Times of day in a step of {self.name}, without every_hours",
                allowed="clocks beside every_hours",
                remedy="Add how often it is given from that day on, or take the times out.",
            )
        if step.every_hours is None:
            return
        if self.every_hours is None and self.times_per_day is None:
            raise BadPlan(
                field=f"steps[{number}].every_hours",
                got=f"{self.name} with another rhythm in a step, when it has none to begin with",
                allowed="every_hours in a step of an order by every_hours or times_per_day",
                remedy="Write a new order for the new rhythm.",
            )
        try:
            order_on(self, on=step.from_on)._check_schedule()
        except BadPlan as error:
            place = ".".join((f"steps[{number}]", error.field))
            raise BadPlan(field=place, got=error.got, allowed=error.allowed, remedy=error.remedy) from None

    @property
    def is_drawn(self) -> bool:
        """Whether it is drawn up in a syringe."""
        return self.form == "liquid"


def hours_apart(one: Medicine, other: Medicine) -> float:
    """How long two medicines must be kept apart, whichever of them says so [hours], 0 for not at all."""
    found = 0.0
    for first, second in ((one, other), (other, one)):
        for apart in first.apart_from:
            if apart.medicine == second.id:
                found = max(found, apart.hours)
    return found


@dataclass(frozen=True, kw_only=True, slots=True)
class PerKg:
    """A dose as a mass for each kg of the animal."""

    mass: Mass

    def __str__(self) -> str:
        return f"{self.mass}/kg"


@dataclass(frozen=True, kw_only=True, slots=True)
class Pieces:
    """A dose as a number of drops, vials, sachets or capsules, where no mass was ordered."""

    count: Decimal
    piece: str

    def __str__(self) -> str:
        return f"{write_number(self.count)} {self.piece}{'' if self.count == 1 else 's'}"


def read_dose(text: str, *, form: Form, field: str = "dose") -> Mass | PerKg | Pieces:
    """A dose as a person writes it; never mL alone, since the bottle's strength may change.

    Raises:
        WrongUnit: mL, no unit, or a piece that this form has none of.
        BadNumber: the number is none, invites a tenfold slip, or is 0.
    Source:
        arithmetic only
    """
    piece = PIECE_NAMES.get(form)
    # a number of tablets is no order: another strength would be another dose
    if piece and (counted := re.fullmatch(rf"\s*(\S+)\s+{piece}s?\s*", text)) and form != "tablet":
        amount = read_amount(f"{counted[1]} {piece}", field=field, units={piece: Decimal(1)})
        dose: Mass | PerKg | Pieces = Pieces(count=amount, piece=piece)
    elif re.search(r"\d\s*(mL|ml|cc|L)\s*(/.*)?$", text):
        raise WrongUnit(
            field=field,
            got=f'"{text[:40]}" for {field}, in a volume',
            allowed="mg, mcg, g, or one of them per kg, such as 1.8 mg or 0.1 mg/kg",
            remedy="The same mL of another bottle can be ten times as much: ask the vet for the dose in mg.",
        )
    elif re.fullmatch(r".*/\s*kg\s*", text):
        dose = PerKg(mass=Mass.read(text[: text.rindex("/")], field=field))
        amount = dose.mass.mg
    else:
        dose = Mass.read(text, field=field)
        amount = dose.mg
    if amount == 0:
        raise WrongUnit(
            field=field,
            got=f'"{text[:40]}" for {field}',
            allowed="more than 0",
            remedy="Read the vet's order again; a medicine that is stopped is taken out or held.",
        )
    return dose


def bare_amount(dose: Mass | PerKg | Pieces) -> Decimal:
    """A dose as a bare number, to hold doses of one kind against each other."""
    match dose:
        case Pieces(count=count):
            return count
        case PerKg(mass=mass) | (Mass() as mass):
            return mass.mg


def read_strength(medicine: Medicine) -> Strength | Mass | None:
    """What the bottle holds in each mL, or one piece holds in all; None where it is not stated.

    Raises:
        WrongUnit: the unit does not fit the form.
        BadNumber: the number is none, or invites a tenfold slip.
    Source:
        arithmetic only
    """
    if medicine.strength is None:
        return None
    piece = PIECE_NAMES.get(medicine.form)
    if piece and (match := re.fullmatch(rf"(.*)/\s*{piece}\s*", medicine.strength)):
        mass = Mass.read(match[1], field="strength")
        if mass.mg == 0:
            raise WrongUnit(
                field="strength",
                got=f'"{medicine.strength}" for strength',
                allowed="more than 0 mg",
                remedy="Copy the strength from the label.",
            )
        return mass
    if medicine.form in ("tablet", "capsule"):
        raise WrongUnit(
            field="strength",
            got=f'"{medicine.strength}" for strength of a {medicine.form}',
            allowed=f"a mass in each {piece}, such as 5 mg/{piece}",
            remedy="Copy the strength from the label.",
        )
    return Strength.read(medicine.strength, field="strength")


def dose_on(medicine: Medicine, *, on: date | None = None) -> str:
    """The dose as ordered for a day: the first one, or that of the last step that has begun."""
    if on is None:
        return medicine.dose
    return next((step.dose for step in reversed(medicine.steps) if step.from_on <= on), medicine.dose)


def plan_taper(
    *, first: Mass, cut_percent: float, every_days: int, first_on: date, steps: int
) -> Explained[tuple[DoseStep, ...]]:
    """The steps of a taper that the vet ordered by percent, each cut from the one before, for the vet to confirm.

    Args:
        first: The dose on the first day.
        cut_percent: By how much each step is less than the one before [%].
        every_days: How long each step lasts [days].
        first_on: The first day.
        steps: How many doses there are, the first one counted.
    Raises:
        OutOfRange: a percentage, or a number of days or steps, that can only be a slip.
    Source:
        the vet's order; medicine.percent_limits
    """
    check_range(field="cut_percent", value=cut_percent, limits=PERCENT_LIMITS, remedy="Read the vet's order again.")
    check_at_least(field="every_days", value=every_days, least=1, unit="days", remedy="Read the vet's order again.")
    check_at_least(field="steps", value=steps, least=1, unit="doses", remedy="Read the vet's order again.")
    kept = 1 - exact(cut_percent) / 100
    doses = [Mass(first.mg * kept**number) for number in range(steps)]
    return Explained(
        value=tuple(
            DoseStep(from_on=first_on + timedelta(days=every_days * number), dose=f"{write_number(dose.mg)} mg")
            for number, dose in enumerate(doses)
        ),
        because=f"{write_number(cut_percent)}% less every {every_days} days: {', '.join(str(dose) for dose in doses)}",
        cautions=("Confirm each step with the vet before the first one: some medicines must not be cut like this.",),
    )


def order_on(medicine: Medicine, *, on: date) -> Medicine:
    """The order with the rhythm of a day: of the last step that has begun and names one, counted from its day."""
    begun = [step for step in medicine.steps if step.from_on <= on and step.every_hours is not None]
    if not begun:
        return medicine
    clocks = next((step.clocks for step in reversed(begun) if step.clocks), medicine.clocks)
    rhythm = {"every_hours": begun[-1].every_hours, "times_per_day": None, "clocks": clocks}
    return medicine.model_copy(update={**rhythm, "start_on": begun[-1].from_on})


def rhythms(medicine: Medicine) -> tuple[Medicine, ...]:
    """The order with each rhythm that it has on its way, the first one first."""
    later = (order_on(medicine, on=step.from_on) for step in medicine.steps if step.every_hours is not None)
    return (medicine, *later)


def is_in_course(medicine: Medicine, *, on: date) -> bool:
    """Whether a medicine's course covers this day, whether or not a dose falls on it."""
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
    """The dose of such an order that an instant is nearest to."""
    first, apart = _first_at(medicine, time_zone), timedelta(hours=medicine.every_hours or 0)
    return first + max(0, round((at.astimezone(UTC) - first) / apart)) * apart


def course_day(medicine: Medicine, *, on: date) -> int | None:
    """Which day of the course a day is, the first being 1; None before it, after it, or without a first day."""
    first_on = first_day(medicine)
    if first_on is None or on < first_on or (medicine.stop_on and on > medicine.stop_on):
        return None
    return (on - first_on).days + 1


def is_dosing_day(medicine: Medicine, *, on: date) -> bool:
    """Whether doses fall on a day: of an order given less often than daily, on every n-th day from its first one.

    Of an order whose hours are counted from its first dose, `counted_doses` tells.

    Source:
        arithmetic only
    """
    medicine = order_on(medicine, on=on)
    if medicine.every_hours is None or medicine.every_hours <= ROLLING_DAY_HOURS.value:
        return True
    if medicine.start_on is None or on < medicine.start_on:
        return False
    return not (on - medicine.start_on).days * ROLLING_DAY_HOURS.value % medicine.every_hours


def ordered_dose(medicine: Medicine, *, weight_kg: float, on: date | None = None) -> Explained[Mass]:
    """What the vet ordered for one giving, as a mass.

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
    text = dose_on(medicine, on=on)
    dose = read_dose(text, form=medicine.form)
    if isinstance(dose, Mass):
        return Explained(value=dose, because=f"{medicine.name}: {dose} as ordered")
    if isinstance(dose, Pieces):
        strength = read_strength(medicine)
        if not isinstance(strength, Mass):
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
    mass = dose.mass * made_for
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


def dose_volume(medicine: Medicine, *, weight_kg: float, on: date | None = None) -> Explained[Volume]:
    """What one dose is in this bottle, exact.

    Raises:
        NotStated: the strength, or what the dose hangs on, is not stated.
        WrongUnit: the medicine is not measured by volume.
    Source:
        the vet's order and the bottle
    """
    dose = ordered_dose(medicine, weight_kg=weight_kg, on=on)
    strength = read_strength(medicine)
    if strength is None:
        raise _no_strength(medicine)
    if isinstance(strength, Mass):
        raise WrongUnit(
            field="strength",
            got=f"{medicine.name} of {medicine.strength}, to be drawn up",
            allowed="a mass in each mL",
            remedy=f"It is given by the {PIECE_NAMES[medicine.form]}.",
        )
    volume = dose.value / strength
    return Explained(value=volume, because=f"{dose.value} ÷ {strength} = {volume}", parts=(dose,))


def _no_strength(medicine: Medicine) -> NotStated:
    return NotStated(
        field="strength",
        got=f"{medicine.name} without a strength",
        allowed="the strength on the label",
        remedy="Read it on the bottle or the box; if it is not there, ask the vet or the pharmacy.",
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class TabletParts:
    """Whole and part tablets, or whole capsules, sachets, vials or drops, for one dose.

    Attributes:
        count: How many, such as 3/2.
        piece: What is counted: "tablet", "capsule", "sachet", "vial" or "drop".
        exact: The dose that was ordered, where it is a mass.
        given: The mass that these hold, where it is known.
        error_fraction: How far that is off; above 0 when it is more.
        reading: The same in words ("one and a half tablets").
        water_ml: Water to give it in [mL], where the order names it.
        cautions: What a person must be told with it.
    """

    count: Fraction
    piece: str
    exact: Mass | None
    given: Mass | None
    error_fraction: float
    reading: str
    water_ml: float | None = None
    cautions: tuple[str, ...] = ()


_WHOLE = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_PART = {Fraction(1, 4): "a quarter", Fraction(1, 2): "a half", Fraction(3, 4): "three quarters"}


def _count_in_words(count: Fraction, piece: str) -> str:
    whole, rest = divmod(count, 1)
    if rest and not whole:
        return f"{'half' if rest == Fraction(1, 2) else _PART[rest] + ' of'} a {piece}"
    words = _WHOLE[whole] if whole < len(_WHOLE) else write_number(whole)
    return f"{words}{f' and {_PART[rest]}' if rest else ''} {piece}{'' if count == 1 else 's'}"


def tablet_parts(medicine: Medicine, *, weight_kg: float, on: date | None = None) -> Explained[TabletParts]:
    """How many tablets, halves or quarters one dose is; only parts that the score lines allow.

    Raises:
        NotStated: the strength, or what the dose hangs on, is not stated.
        CannotDraw: the nearest count is further off than a dose may be, or the tablet would have to be crushed and
            may not be.
        WrongUnit: the medicine is drawn up, not counted.
    Source:
        the vet's order; syringe.silent_error, syringe.refused_error
    """
    piece = PIECE_NAMES.get(medicine.form)
    if piece is None:
        raise WrongUnit(
            field="form",
            got=f"{medicine.name}, a {medicine.form}, counted in pieces",
            allowed=", ".join(PIECE_NAMES),
            remedy="Draw it up in a syringe.",
        )
    if medicine.form in ("tablet", "capsule") and medicine.route == "tube" and medicine.crush != "allowed":
        _refuse_crushing(medicine)
    ordered = read_dose(dose_on(medicine, on=on), form=medicine.form)
    water = (
        medicine.carrier_water_ml
        if medicine.route == "tube" and medicine.form in ("tablet", "capsule", "powder")
        else None
    )
    if isinstance(ordered, Pieces):
        count = Fraction(ordered.count)
        if count.denominator != 1:
            raise CannotDraw(
                field="dose",
                got=f"{medicine.name}: {ordered}",
                allowed=f"a whole number of {piece}s",
                remedy="Read the vet's order again.",
            )
        reading = _count_in_words(count, piece)
        return Explained(
            value=TabletParts(
                count=count, piece=piece, exact=None, given=None, error_fraction=0.0, reading=reading, water_ml=water
            ),
            because=f"{medicine.name}: {ordered} as ordered",
        )
    dose = ordered_dose(medicine, weight_kg=weight_kg, on=on)
    strength = read_strength(medicine)
    if strength is None:
        raise _no_strength(medicine)
    if isinstance(strength, Strength):
        raise WrongUnit(
            field="strength",
            got=f"{medicine.name} of {strength}, counted in {piece}s",
            allowed=f"a mass in each {piece}, such as 5 mg/{piece}",
            remedy=f"Write what one {piece} holds, or order it as a liquid.",
        )
    parts = medicine.tablet_parts if medicine.form == "tablet" else 1
    wanted = Fraction(dose.value.mg) / Fraction(strength.mg)
    count = Fraction(ceil(wanted * parts - Fraction(1, 2)), parts)  # half way between two, the lower one
    error_fraction = float((count - wanted) / wanted)
    given = Mass(strength.mg * count.numerator / count.denominator)
    reading = _count_in_words(count, piece)
    cautions = rounding_caution(error_fraction=error_fraction, asked=str(dose.value), came=f"{given} in {reading}")
    if count.denominator != 1:
        cautions += ("Split it along its line just before it is given; halves are rarely equal.",)
    if water is not None:
        cautions += ("Give all of it and rinse the cup: a part of it may hold too much or too little.",)
    return Explained(
        value=TabletParts(
            count=count,
            piece=piece,
            exact=dose.value,
            given=given,
            error_fraction=error_fraction,
            reading=reading,
            water_ml=water,
            cautions=cautions,
        ),
        because=f"{dose.value} ÷ {strength} in each {piece} = {reading}"
        + (
            f" ({given}, {abs(error_fraction):.1%} {'more' if error_fraction > 0 else 'less'})"
            if error_fraction
            else ""
        ),
        figures=(SILENT_ERROR_FRACTION, REFUSED_ERROR_FRACTION),
        parts=(dose,),
        cautions=cautions,
    )


def _refuse_crushing(medicine: Medicine) -> None:
    if medicine.crush == "not allowed":
        raise CannotDraw(
            field="crush",
            got=f"{medicine.name}, a {medicine.form} that must not be crushed or opened, through a tube",
            allowed="a liquid",
            remedy="Do not crush it. Ask the vet for a liquid, or for another medicine.",
        )
    raise NotStated(
        field="crush",
        got=f"{medicine.name}, a {medicine.form} through a tube, with no word on crushing or opening it",
        allowed='crush = "allowed" or "not allowed"',
        remedy="Do not crush it. Ask the vet or the pharmacy first.",
    )


def draw(
    medicine: Medicine, *, weight_kg: float, syringes: Sequence[Syringe], on: date | None = None
) -> Explained[Mark | TabletParts]:
    """What the hand does for one dose: the line to fill a syringe to, or how many pieces to take.

    Args:
        medicine: The order.
        weight_kg: The newest weight [kg].
        syringes: What this household owns.
        on: The day it is for, where doses change by day.
    Raises:
        CannotDraw: nothing this household has comes near enough.
        NotStated: the vet's answer is missing.
    Source:
        the vet's order and the figures of the mark
    """
    measured = isinstance(read_strength(medicine), Strength)
    counted = isinstance(read_dose(dose_on(medicine, on=on), form=medicine.form), Pieces)
    if not medicine.is_drawn and not (
        measured and not counted and medicine.form in ("drops", "nebulizer vial", "powder")
    ):
        return tablet_parts(medicine, weight_kg=weight_kg, on=on)
    volume = dose_volume(medicine, weight_kg=weight_kg, on=on)
    found, misfit = _mark_for_route(volume.value, syringes=syringes, route=medicine.route)
    value, cautions = found.value, found.cautions
    if misfit:
        cautions = (
            *cautions,
            f"Does the {value.syringe.name} fit? {misfit.says} Ask for {_TIP_OF_ROUTE[medicine.route]}.",
        )
        value = replace(value, cautions=cautions)
    return Explained(
        value=value,
        because=found.because,
        figures=(*found.figures, misfit) if misfit else found.figures,
        parts=(volume, *found.parts),
        cautions=cautions,
    )


_TIP_OF_ROUTE = {"tube": "a syringe with a low-dose enteral tip", "mouth": "an oral syringe"}


def _mark_for_route(
    volume: Volume, *, syringes: Sequence[Syringe], route: Route
) -> tuple[Explained[Mark], Fact | None]:
    """A syringe whose tip goes with the route where one measures the dose; else any, with what speaks against it."""
    fitting = [syringe for syringe in syringes if tip_misfit(tip=syringe.tip, route=route) is None]
    with suppress(CannotDraw):
        return find_mark(volume=volume, syringes=fitting), None
    found = find_mark(volume=volume, syringes=syringes)
    return found, tip_misfit(tip=found.value.syringe.tip, route=route)
