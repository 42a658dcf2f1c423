"""One medicine as the vet ordered it."""

from datetime import date, timedelta
from typing import Annotated, Literal

from pydantic import Field, model_validator

from fillmark.core.orders.dose_text import (
    Form,
    Pieces,
    Route,
    StrengthRead,
    read_dose,
    read_strength_text,
    unit_of,
)
from fillmark.core.orders.rhythm import ApartFrom, DoseStep, FoodRule, Hours, TimesADay, WhenNeeded
from fillmark.core.values.document import Clock, Day, DayAndClock, Id, Name, Number, Part, Stated, Words, refuse, within
from fillmark.core.values.errors import BadPlan, FillmarkError
from fillmark.core.values.limits import check_range
from fillmark.core.values.quantities import write_number
from fillmark.core.values.words import say_date
from fillmark.published.input_limits import WEIGHT_LIMITS_KG
from fillmark.published.medicine import (
    CARRIER_WATER_LIMITS_ML,
    COUNTED_LIMITS_HOURS,
    FOOD_MINUTES_LIMITS,
    ROLLING_DAY_HOURS,
)


class Medicine(Part):
    """One medicine as the vet ordered it.

    Attributes:
        id: A short handle. The program makes it from the name.
        name: Name of the medicine. As on the bottle.
        purpose: What it is for.
        form: Form.
        strength: Strength. Copied from the bottle: 1 mg/mL, 125 mg/5 mL, 5 mg/tablet.
        counts_as: What the mg count. Only where the sheet says it: a salt or its base, one part or the sum of two.
        dose: Dose. As ordered: 12 mg, 0.3 mg/kg, 3 units, 5 drops.
        dose_for_weight_kg: For this weight. The weight that a dose for each kg was worked out for.
        route: How it is given.
        every_hours: Every. In hours.
        times_per_day: Or: times a day.
        with_each_meal: Or: with each meal.
        when_needed: Or: only when needed.
        clocks: At these times. Times of day that suit your home.
        first_dose: Counted from. The first dose, for a rhythm that no times of day can keep, such as every 36 hours.
        food: Food.
        apart_from: Apart from other medicines.
        start_on: First day.
        stop_on: Last day.
        steps: Doses of later days. A taper or a build-up, the oldest first.
        carrier_water_ml: Water to give it in. For a crushed tablet or a powder.
        crush: Crushing. Ask before you crush: a coating can be there for a reason.
        tablet_parts: A tablet may be split into. As its score lines allow.
        late_window_minutes: How late it may be given. As the vet said.
        missed_dose_words: A missed dose. What the vet said to do.
        min_gap_hours: From one dose to the next, at least.
        max_per_day: Doses a day, at most.
        time_critical: The time matters.
        second_check: A second person reads the amount.
        held: Stopped for now, because. Why the vet has it stopped.
        hold_if: Not given if. In the vet's words: she vomits.
        ordered_by: Ordered by.
        ordered_on: Ordered on.
        words: In the vet's words.
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
    every_hours: Hours | None = None
    times_per_day: TimesADay | None = None
    with_each_meal: bool = False
    when_needed: WhenNeeded | None = None
    clocks: tuple[Clock, ...] = Field(default=(), max_length=24)
    first_dose: Stated[DayAndClock] = None
    food: FoodRule = FoodRule(relation="any")
    apart_from: tuple[ApartFrom, ...] = Field(default=(), max_length=40)
    start_on: Stated[Day] = None
    stop_on: Stated[Day] = None
    steps: tuple[DoseStep, ...] = Field(default=(), max_length=60)
    carrier_water_ml: Stated[Annotated[Number, within(CARRIER_WATER_LIMITS_ML)]] = None
    crush: Literal["allowed", "not allowed", "ask"] = "ask"
    tablet_parts: Literal[1, 2, 4] = 1
    late_window_minutes: Stated[Annotated[Number, within(FOOD_MINUTES_LIMITS)]] = None
    missed_dose_words: Stated[Words] = None
    min_gap_hours: Stated[Hours] = None
    max_per_day: Stated[TimesADay] = None
    time_critical: bool = False
    second_check: bool = False
    held: Words | None = None
    hold_if: Stated[Words] = None
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
                field="every_hours",
                got=f"{self.name} with {' and '.join(given) or 'no word on how often'}",
                allowed="exactly one of every_hours, times_per_day, with_each_meal and when_needed",
                remedy="Keep the one that the vet gave.",
            )
        self._check_clocks()
        if self.first_dose is not None:
            self._check_counted()
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

    def _check_clocks(self) -> None:
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
        if len(set(self.clocks)) != len(self.clocks):
            raise BadPlan(
                field="clocks",
                got=f"{self.name} twice at the same time of day",
                allowed="each time of day once",
                remedy="Take one out.",
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
        strength = read_strength(self)
        for number, text in enumerate((self.dose, *(step.dose for step in self.steps))):
            field = f"steps[{number}].dose" if number else "dose"
            dose = read_dose(text, form=self.form, field=field)
            if strength is not None and not isinstance(dose, Pieces) and unit_of(dose) != unit_of(strength):
                raise BadPlan(
                    field=field,
                    got=f"{self.name}, {dose}, from what holds {strength}",
                    allowed="a dose in what the label counts: mg, units, mEq or mmol in both",
                    remedy="Copy the strength from the label, and ask the vet for the dose in the same. Never turn one "
                    "into the other at home.",
                )
        if self.form in ("tablet", "capsule") and self.route in ("nebulizer", "ear", "skin", "eye", "under the skin"):
            raise BadPlan(
                field="route",
                got=f"A {self.form} by the route {self.route}",
                allowed="tube, mouth or patch",
                remedy="Check the form and the route in the vet's order.",
            )

    def _check_days(self) -> None:
        if self.start_on and self.stop_on and self.stop_on < self.start_on:
            raise BadPlan(
                field="stop_on",
                got=f"{self.name} from {say_date(self.start_on)} to {say_date(self.stop_on)}",
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
                    got=f"{self.name} first given on {say_date(first_on)}, with a course from "
                    f"{say_date(self.start_on)} to {say_date(self.stop_on)}",
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
    """How long two medicines must be kept apart, whichever of them says so [hours], 0 for not at all.

    Args:
        one: The one order.
        other: The other order.
    """
    found = 0.0
    for first, second in ((one, other), (other, one)):
        for apart in first.apart_from:
            if apart.medicine == second.id:
                found = max(found, apart.hours)
    return found


def read_strength(medicine: Medicine) -> StrengthRead | None:
    """What the bottle holds in each mL, or one piece holds in all; None where it is not stated.

    Raises:
        WrongUnit: the unit does not fit the form.
        BadNumber: the number is none, or invites a tenfold slip.
    Source:
        arithmetic only
    """
    return None if medicine.strength is None else read_strength_text(medicine.strength, medicine.form)


def order_on(medicine: Medicine, *, on: date) -> Medicine:
    """The order with the rhythm of a day: of the last step that has begun and names one, counted from its day.

    Args:
        medicine: The order.
        on: The household's day.
    """
    begun = [step for step in medicine.steps if step.from_on <= on and step.every_hours is not None]
    if not begun:
        return medicine
    clocks = next((step.clocks for step in reversed(begun) if step.clocks), medicine.clocks)
    rhythm = {"every_hours": begun[-1].every_hours, "times_per_day": None, "clocks": clocks}
    return medicine.model_copy(update={**rhythm, "start_on": begun[-1].from_on})


def interval_hours(medicine: Medicine) -> float | None:
    """How far apart two doses stand by the order [hours]; None when it has no interval."""
    if medicine.every_hours is not None:
        return medicine.every_hours
    if medicine.times_per_day is not None:
        return ROLLING_DAY_HOURS.value / medicine.times_per_day
    return None
