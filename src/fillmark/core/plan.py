"""The care plan: one immutable document per version, read from TOML or JSON.

What nobody has said is "not stated": it is never guessed, and it makes the list of questions for the vet.
"""

import json
import re
import tomllib
from collections import Counter
from datetime import date, datetime, time
from itertools import pairwise
from typing import Annotated, Any, Literal, Self

from pydantic import AfterValidator, Field, WithJsonSchema, model_validator

from fillmark.core.document import (
    Clock,
    Day,
    Id,
    Name,
    Number,
    Part,
    Stated,
    Words,
    ZoneName,
    read_document,
    refuse,
    within,
)
from fillmark.core.energy import DailyEnergy, EnergyOrder, EnergyPerKg, RestingFactor, Species
from fillmark.core.errors import BadNumber, BadPlan, NotStated, OutOfRange
from fillmark.core.food import Analysis, EnergyUnit, LabelBasis, LabelEnergy
from fillmark.core.medicine import Medicine
from fillmark.core.quantities import KG_PER_LB, write_number
from fillmark.core.syringe import Syringe
from fillmark.core.trouble import Trouble
from fillmark.published.blend import VOLUME_LIMITS_ML
from fillmark.published.energy import FACTOR_LIMITS
from fillmark.published.input_limits import (
    CAT_WEIGHT_LIMITS_KG,
    CONDITION_LIMITS,
    DOCUMENT_LIMIT_BYTES,
    FRENCH_LIMITS,
    IDLE_FLUSH_LIMITS,
    KEEPS_LIMITS_DAYS,
    LENGTH_LIMITS_CM,
    LOAD_LIMITS_ML_PER_KG,
    MEAL_GAP_LIMITS_HOURS,
    TASK_LIMITS_MINUTES,
    UPRIGHT_LIMITS_MINUTES,
    WATER_LIMITS_ML_PER_KG,
    WEIGHT_JUMP_FRACTION,
    WEIGHT_LIMITS_KG,
)
from fillmark.published.meals import MEALS_LIMITS, PACE_LIMITS_ML_PER_MINUTE
from fillmark.published.nutrients import NUTRIENTS

FORMAT = "fillmark care plan 1"

VolumeMl = Annotated[Number, within(VOLUME_LIMITS_ML)]
Percent = Annotated[Number, Field(ge=0, le=100)]
Positive = Annotated[Number, Field(gt=0)]


Weekday = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
WEEKDAYS: tuple[Weekday, ...] = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


class Presence(Part):
    """When a person is there, by the household's clock. Hours that end before they begin run past midnight."""

    days: tuple[Weekday, ...] = Field(min_length=1, max_length=7)
    comes: Clock
    goes: Clock


class AwayDays(Part):
    """Days on which a person is away, first and last one included."""

    from_on: Day
    until_on: Day

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.until_on < self.from_on:
            raise refuse(
                BadPlan(
                    field="",
                    got=f"Away from {self.from_on} until {self.until_on}",
                    allowed="the first day, then the last",
                    remedy="Check the days.",
                )
            )
        return self


class Person(Part):
    """Someone who looks after the animal: when they are there as a rule, and on which days they are away."""

    id: Id
    name: Name
    role: Literal["lead", "helper", "sitter"]
    there: Stated[Annotated[tuple[Presence, ...], Field(min_length=1, max_length=40)]] = None
    away: tuple[AwayDays, ...] = Field(default=(), max_length=100)

    def is_away(self, on: date) -> bool:
        """Whether they are away on a day."""
        return any(days.from_on <= on <= days.until_on for days in self.away)


class Household(Part):
    """Where the animal lives, and the clock it lives by."""

    name: Name
    time_zone: ZoneName
    day_starts: Clock = time(4)
    people: tuple[Person, ...] = Field(min_length=1, max_length=40)


class Weighing(Part):
    """One weight, in the unit the scale showed. `checked` says that a surprising one was weighed again."""

    on: Day
    kg: Annotated[Number, within(WEIGHT_LIMITS_KG, remedy="If the scale showed grams, divide by 1000.")] | None = None
    lb: Positive | None = None
    scale: Stated[Name] = None
    checked: bool = False

    @model_validator(mode="after")
    def _one_unit(self) -> Self:
        if (self.kg is None) == (self.lb is None):
            raise refuse(
                BadPlan(
                    field="",
                    got="A weight with both kg and lb, or with neither",
                    allowed="one of kg and lb",
                    remedy="Keep the unit that the scale showed.",
                )
            )
        if not WEIGHT_LIMITS_KG.holds(self.weight_kg):
            raise refuse(
                OutOfRange(
                    field="",
                    got=f"A weight of {write_number(self.lb or 0)} lb",
                    allowed=f"{write_number(WEIGHT_LIMITS_KG.low)} to {write_number(WEIGHT_LIMITS_KG.high)} kg",
                    remedy="Check the number and its unit.",
                )
            )
        return self

    @property
    def weight_kg(self) -> float:
        """The weight [kg]."""
        return self.kg if self.kg is not None else (self.lb or 0) * float(KG_PER_LB)


class Condition(Part):
    """The body condition score that the vet gave, and the scale it is on."""

    score: Annotated[Number, within(CONDITION_LIMITS)]
    of: Literal[5, 9]

    @model_validator(mode="after")
    def _on_scale(self) -> Self:
        if self.score > self.of:
            raise refuse(
                OutOfRange(
                    field="",
                    got=f"A condition score of {write_number(self.score)} of {self.of}",
                    allowed=f"1 to {self.of}",
                    remedy="Check which scale the vet uses, 5 or 9 points.",
                )
            )
        return self


class Tube(Part):
    """The feeding tube: what it is, and what must be the same at every look."""

    kind: Literal["gastrostomy", "esophagostomy", "nasoesophageal", "jejunostomy"]
    french: Annotated[Number, within(FRENCH_LIMITS, remedy="French is printed on the tube: about 3 times the mm.")]
    placed_on: Stated[Day] = None
    length_cm: Stated[Annotated[Number, within(LENGTH_LIMITS_CM)]] = None
    mark_at_skin_cm: Stated[Annotated[Number, Field(ge=0), within(LENGTH_LIMITS_CM)]] = None
    inner_diameter_mm: Stated[Positive] = None
    balloon_ml: Stated[VolumeMl] = None


class Animal(Part):
    """The animal, and the tube it is fed through."""

    name: Name
    species: Species = Field(strict=False)
    born_on: Stated[Day] = None
    sex: Stated[Literal["female", "male", "female, neutered", "male, neutered"]] = None
    condition: Stated[Condition] = None
    target_weight_kg: Stated[Annotated[Number, within(WEIGHT_LIMITS_KG)]] = None
    by_mouth: Stated[Literal["nothing", "water", "food and water"]] = None
    weights: tuple[Weighing, ...] = Field(min_length=1, max_length=5000)
    tube: Tube

    @property
    def weight(self) -> Weighing:
        """The newest weighing."""
        return self.weights[-1]

    @model_validator(mode="after")
    def _believable(self) -> Self:
        for number, (before, after) in enumerate(pairwise(self.weights), start=2):
            place = f"weights[{number}]"
            if after.on < before.on:
                raise refuse(
                    BadPlan(
                        field=place,
                        got=f"A weighing of {after.on} after one of {before.on}",
                        allowed="oldest first",
                        remedy="Put the weighings in order, or check the year.",
                    )
                )
            change = after.weight_kg / before.weight_kg - 1
            if abs(change) > WEIGHT_JUMP_FRACTION.value and not after.checked:
                ratio = after.weight_kg / before.weight_kg
                pounds = float(1 / KG_PER_LB)
                slip = ratio if ratio > 1 else 1 / ratio
                hint = (
                    "It looks like pounds read as kg: write lb if the scale showed pounds. "
                    if abs(slip / pounds - 1) < 0.15
                    else ""
                )
                raise refuse(
                    OutOfRange(
                        field=place,
                        got=f"A weight of {write_number(after.weight_kg)} kg after {write_number(before.weight_kg)} kg",
                        allowed=f"a change of {WEIGHT_JUMP_FRACTION.value:.0%} or less between two weighings",
                        remedy=f"{hint}If a second weighing shows the same, add checked = true and tell the vet.",
                    )
                )
        if self.species is Species.CAT and not CAT_WEIGHT_LIMITS_KG.holds(self.weight.weight_kg):
            raise refuse(
                OutOfRange(
                    field="weights",
                    got=f"A cat of {write_number(self.weight.weight_kg)} kg",
                    allowed=f"{write_number(CAT_WEIGHT_LIMITS_KG.low)} to {write_number(CAT_WEIGHT_LIMITS_KG.high)} kg",
                    remedy="If the scale showed pounds, write lb in place of kg.",
                )
            )
        return self


class OpenHours(Part):
    """When somebody answers, by the household's clock. Hours that close before they open run past midnight."""

    days: tuple[Weekday, ...] = Field(min_length=1, max_length=7)
    opens: Clock
    closes: Clock

    def hold(self, local: datetime) -> bool:
        """Whether somebody answers at this local time."""
        today, clock = WEEKDAYS[local.weekday()], local.time()
        if self.opens < self.closes:
            return today in self.days and self.opens <= clock < self.closes
        yesterday = WEEKDAYS[local.weekday() - 1]
        return (today in self.days and clock >= self.opens) or (yesterday in self.days and clock < self.closes)


class CallNumber(Part):
    """Whom to call, and when that number answers: in words, and as hours where they are stated."""

    who: Name
    phone: Annotated[str, Field(pattern=r"^\+?[0-9][0-9 ()/-]{2,30}$")]
    when: Name
    hours: tuple[OpenHours, ...] = Field(default=(), max_length=14)

    def answers(self, local: datetime) -> bool | None:
        """Whether somebody answers at this local time; not known where no hours are stated."""
        return any(hours.hold(local) for hours in self.hours) if self.hours else None


class TroubleWords(Part):
    """What the vet said to do when this goes wrong, in the vet's own words."""

    trouble: Trouble = Field(strict=False)
    words: Words


class Vet(Part):
    """Who ordered this, when, and in which words."""

    name: Name
    practice: Stated[Name] = None
    said_on: Day
    words: Stated[Words] = None
    call: tuple[CallNumber, ...] = Field(default=(), max_length=8)
    troubles: tuple[TroubleWords, ...] = Field(default=(), max_length=len(Trouble))

    def words_for(self, trouble: Trouble) -> str | None:
        """What the vet said to do in this trouble; none where it is not stated."""
        return next((one.words for one in self.troubles if one.trouble is trouble), None)


class Energy(Part):
    """The vet's energy order, in exactly one of three ways, for the present or the target weight."""

    kcal_per_day: Positive | None = None
    factor: Annotated[Number, within(FACTOR_LIMITS, remedy="Read the vet's order again.")] | None = None
    kcal_per_kg: Positive | None = None
    weight: Literal["present", "target"] = "present"

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        given = [self.kcal_per_day, self.factor, self.kcal_per_kg]
        if sum(value is not None for value in given) != 1:
            raise refuse(
                BadPlan(
                    field="",
                    got="An energy order with none or several of kcal_per_day, factor and kcal_per_kg",
                    allowed="exactly one of them",
                    remedy="Keep the one that the vet gave.",
                )
            )
        return self

    @property
    def order(self) -> EnergyOrder:
        """The order as the core knows it."""
        if self.kcal_per_day is not None:
            return DailyEnergy(kcal_per_day=self.kcal_per_day)
        if self.factor is not None:
            return RestingFactor(factor=self.factor)
        return EnergyPerKg(kcal_per_kg=self.kcal_per_kg or 0)


class Ladder(Part):
    """Stepping up to full feeding: percent of the goal on each day from the first; full after the last rung."""

    starts_on: Day
    percent: tuple[Annotated[Number, Field(gt=0, le=100)], ...] = Field(min_length=1, max_length=14)

    @model_validator(mode="after")
    def _upward(self) -> Self:
        if any(after < before for before, after in pairwise(self.percent)):
            raise refuse(
                BadPlan(
                    field="",
                    got="A ladder that goes down",
                    allowed="each rung as high as the one before, or higher",
                    remedy="Read the vet's order again.",
                )
            )
        return self


class PerKgBand(Part):
    """A lower and an upper bound [mL/kg per day]."""

    low: Annotated[Number, within(WATER_LIMITS_ML_PER_KG)]
    high: Annotated[Number, within(WATER_LIMITS_ML_PER_KG)]

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.low > self.high:
            raise refuse(
                BadPlan(
                    field="",
                    got=f"A band from {write_number(self.low)} to {write_number(self.high)} mL/kg",
                    allowed="the lower number first",
                    remedy="Read both numbers again.",
                )
            )
        return self


class IdleFlush(Part):
    """Water that keeps a tube open while nothing else goes through it, until the vet takes it out.

    `ml` left out is the flush after a meal.
    """

    times_per_day: Annotated[int, within(IDLE_FLUSH_LIMITS)]
    ml: Stated[VolumeMl] = None


class Weaning(Part):
    """Back to eating by mouth: what the animal eats of its goal on an ordinary day, by the vet's word."""

    by_mouth_kcal_per_day: Annotated[Number, Field(ge=0)]


class Orders(Part):
    """What the vet ordered for feeding.

    `missed_meal` is the vet's rule for what a missed meal leaves out: let it go, or spread it over the meals still to
    come that day, inside the cap.
    """

    energy: Stated[Energy] = None
    ladder: Stated[Ladder] = None
    weaning: Stated[Weaning] = None
    idle_flush: Stated[IdleFlush] = None
    meals_per_day: Stated[Annotated[int, within(MEALS_LIMITS)]] = None
    meal_ml: Stated[VolumeMl] = None
    meal_gap_hours: Stated[Annotated[Number, within(MEAL_GAP_LIMITS_HOURS)]] = None
    missed_meal: Stated[Literal["let go", "spread"]] = None
    warn_ml_per_kg: Stated[Annotated[Number, within(LOAD_LIMITS_ML_PER_KG)]] = None
    cap_ml_per_kg: Stated[Annotated[Number, within(LOAD_LIMITS_ML_PER_KG)]] = None
    flush_before_ml: Stated[VolumeMl] = None
    flush_between_ml: Stated[VolumeMl] = None
    flush_after_ml: Stated[VolumeMl] = None
    pace_ml_per_minute: Stated[Annotated[Number, within(PACE_LIMITS_ML_PER_MINUTE)]] = None
    upright_minutes: Stated[Annotated[Number, within(UPRIGHT_LIMITS_MINUTES)]] = None
    water_ml_per_kg_per_day: Stated[PerKgBand] = None
    flow_limit_level: Stated[Literal[0, 1, 2, 3]] = None


class Label(Part):
    """The energy statement of a label, as printed."""

    energy: Positive
    unit: Literal["kcal", "kJ", "MJ"]
    per: Literal["can", "cup", "kg", "100 g", "mL"]

    @property
    def printed(self) -> LabelEnergy:
        """The statement as the core knows it."""
        return LabelEnergy(energy=self.energy, unit=EnergyUnit(self.unit), per=LabelBasis(self.per))


class LabelAnalysis(Part):
    """The analysis on a label, as fed [% by weight]. Many labels print no ash: energy is not worked out without it."""

    protein_percent: Percent
    fat_percent: Percent
    fiber_percent: Percent
    moisture_percent: Percent
    ash_percent: Stated[Percent] = None
    carbohydrate_percent: Stated[Percent] = None

    @property
    def printed(self) -> Analysis:
        """The analysis as the core knows it.

        Raises:
            NotStated: the label prints no ash.
        """
        if self.ash_percent is None:
            raise NotStated(
                field="analysis.ash_percent",
                got="An analysis without ash",
                allowed="the ash in %, or the energy on the label",
                remedy="Copy the energy from the label, or ask the maker for the ash.",
            )
        return Analysis(
            protein_percent=self.protein_percent,
            fat_percent=self.fat_percent,
            fiber_percent=self.fiber_percent,
            moisture_percent=self.moisture_percent,
            ash_percent=self.ash_percent,
            carbohydrate_percent=self.carbohydrate_percent,
        )


def _known_nutrient(name: str) -> str:
    if name not in NUTRIENTS:
        raise refuse(
            BadPlan(
                field="",
                got=f'"{name[:40]}" for a nutrient',
                allowed=", ".join(NUTRIENTS),
                remedy="Write it as it stands in this list; leave out what no profile names.",
            )
        )
    return name


class LabelNutrient(Part):
    """How much of one nutrient a label prints, and for how much food. A percent is g in 100 g."""

    nutrient: Annotated[str, AfterValidator(_known_nutrient), WithJsonSchema({"enum": list(NUTRIENTS)})]
    amount: Annotated[Number, Field(ge=0)]
    unit: Literal["g", "mg", "mcg", "units"]
    per: Literal["1,000 kcal", "100 g", "kg", "can"]


class Portion(Part):
    """What an additive is measured with: its name ("teaspoon"), and what it weighs and holds filled level."""

    name: Name
    g: Positive
    ml: Positive

    @property
    def g_per_ml(self) -> float:
        """How heavy a milliliter of it is [g/mL]."""
        return self.g / self.ml


class Food(Part):
    """A food, by its label. Without a printed energy it is worked out from the analysis, by the method named.

    `keeps_days` is how long an opened can, or a blend of it, keeps in the refrigerator, as the label says [days].
    `portion` is for what comes in no can: an oil, a powder. `nutrients` are those that the label prints.
    """

    id: Id
    name: Name
    label: Stated[Label] = None
    analysis: Stated[LabelAnalysis] = None
    energy_method: Literal["modified Atwater", "NRC 2006", "natural food"] = "NRC 2006"
    can_g: Stated[Positive] = None
    can_ml: Stated[VolumeMl] = None
    cup_g: Stated[Positive] = None
    keeps_days: Stated[Annotated[int, within(KEEPS_LIMITS_DAYS)]] = None
    complete: Stated[bool] = None
    portion: Stated[Portion] = None
    nutrients: tuple[LabelNutrient, ...] = Field(default=(), max_length=len(NUTRIENTS))


class BlendFood(Part):
    """How much of a food goes into one batch: whole or part cans, or grams."""

    food: Id
    cans: Positive | None = None
    g: Positive | None = None

    @model_validator(mode="after")
    def _one_measure(self) -> Self:
        if (self.cans is None) == (self.g is None):
            raise refuse(
                BadPlan(
                    field="",
                    got="A food of the blend with both cans and g, or with neither",
                    allowed="one of cans and g",
                    remedy="Say how much goes into one batch.",
                )
            )
        return self


class Measured(Part):
    """The finished batch: its volume in a jug, or its weight with a weighed syringe of it."""

    on: Day
    ml: VolumeMl | None = None
    batch_g: Positive | None = None
    sample_ml: Positive | None = None
    sample_g: Positive | None = None

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        weighed = (self.batch_g, self.sample_ml, self.sample_g)
        by_weight = all(value is not None for value in weighed)
        if (self.ml is not None) == by_weight or (self.ml is not None and any(value is not None for value in weighed)):
            raise refuse(
                BadPlan(
                    field="",
                    got="A measured blend with neither a volume nor a whole weighing, or with both",
                    allowed="ml alone, or batch_g with sample_ml and sample_g",
                    remedy="Pour the finished blend into a measuring jug and enter what it shows.",
                )
            )
        return self


class Blend(Part):
    """The recipe of one batch."""

    name: Name
    foods: tuple[BlendFood, ...] = Field(min_length=1, max_length=40)
    water_ml: VolumeMl
    measured: Stated[Measured] = None


class Task(Part):
    """Care beside food and medicines: the site, a weighing, a nebulizer with saline, a walk.

    It has times of its own, or comes with each meal; `food_minutes` is how far from the meal it stays [minutes].
    """

    id: Id
    name: Name
    clocks: tuple[Clock, ...] = Field(default=(), max_length=12)
    with_each_meal: bool = False
    days: tuple[Weekday, ...] = Field(default=WEEKDAYS, min_length=1, max_length=7)
    minutes: Stated[Annotated[Number, within(TASK_LIMITS_MINUTES)]] = None
    food: Literal["any", "before", "after"] = "any"
    food_minutes: Stated[Annotated[Number, within(TASK_LIMITS_MINUTES)]] = None
    may: Stated[Annotated[tuple[Id, ...], Field(min_length=1, max_length=40)]] = None
    how: Stated[Words] = None

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        if bool(self.clocks) == self.with_each_meal:
            raise refuse(
                BadPlan(
                    field="",
                    got=f"{self.name} with both clocks and with_each_meal, or with neither",
                    allowed="one of them",
                    remedy="Say at what times it is done, or that it comes with each meal.",
                )
            )
        return self

    def is_due(self, on: date) -> bool:
        """Whether it is done on a day of this weekday."""
        return WEEKDAYS[on.weekday()] in self.days


class Timetable(Part):
    """The times of day this household keeps: the meals, and the flushes of a tube that stands idle."""

    meals: tuple[Clock, ...] = Field(default=(), max_length=12)
    flushes: tuple[Clock, ...] = Field(default=(), max_length=12)


class CarePlan(Part):
    """One version of the care plan."""

    format: Literal["fillmark care plan 1"]
    household: Household
    animal: Animal
    vet: Vet
    orders: Orders
    foods: tuple[Food, ...] = Field(min_length=1, max_length=200)
    blend: Blend
    syringes: tuple[Syringe, ...] = Field(min_length=1, max_length=40)
    medicines: tuple[Medicine, ...] = Field(default=(), max_length=40)
    tasks: tuple[Task, ...] = Field(default=(), max_length=40)
    timetable: Timetable = Timetable()

    @model_validator(mode="after")
    def _whole(self) -> Self:
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
                raise refuse(
                    BadPlan(
                        field=place,
                        got=f'"{twice[0]}", {Counter(ids)[twice[0]]} times',
                        allowed="each one once",
                        remedy="Take one out, or give it a handle of its own."
                        if place != "medicines"
                        else "Take one out; two orders of one medicine are a question for the vet.",
                    )
                )
        known = {food.id for food in self.foods}
        for number, part in enumerate(self.blend.foods, start=1):
            if part.food not in known:
                raise refuse(
                    BadPlan(
                        field=f"blend.foods[{number}].food",
                        got=f'"{part.food}"',
                        allowed=", ".join(sorted(known)),
                        remedy="Name a food of this plan.",
                    )
                )
        if self.orders.weaning is not None and self.animal.by_mouth != "food and water":
            raise refuse(
                BadPlan(
                    field="orders.weaning",
                    got=f'Weaning to food by mouth, and by mouth "{self.animal.by_mouth or "not stated"}"',
                    allowed='animal.by_mouth = "food and water"',
                    remedy="Ask the vet whether food may be given by mouth.",
                )
            )
        people = {person.id for person in self.household.people}
        for number, task in enumerate(self.tasks, start=1):
            strangers = sorted(set(task.may or ()) - people)
            if strangers:
                raise refuse(
                    BadPlan(
                        field=f"tasks[{number}].may",
                        got=f'"{strangers[0]}"',
                        allowed=", ".join(sorted(people)),
                        remedy="Name people of this household by their handle.",
                    )
                )
        orders, clocks = self.orders, self.timetable.meals
        flushes, idle = self.timetable.flushes, orders.idle_flush
        if flushes and (idle is None or len(set(flushes)) != idle.times_per_day or len(flushes) != len(set(flushes))):
            ordered = "none are ordered" if idle is None else f"{idle.times_per_day} a day are ordered"
            raise refuse(
                BadPlan(
                    field="timetable.flushes",
                    got=f"{len(flushes)} times for flushes of the idle tube, and {ordered}",
                    allowed="a time for each flush that the vet ordered in orders.idle_flush, each once",
                    remedy="Add or take out a time, or ask the vet how often an idle tube is flushed.",
                )
            )
        if list(clocks) != sorted(clocks, key=self.since_day_start) or len(set(clocks)) != len(clocks):
            raise refuse(
                BadPlan(
                    field="timetable.meals",
                    got="Meal times that are out of order or there twice",
                    allowed=f"each once, in order from the start of the day at {self.household.day_starts:%H:%M}",
                    remedy="Put them in order.",
                )
            )
        if orders.meals_per_day is not None and clocks and len(clocks) != orders.meals_per_day:
            raise refuse(
                BadPlan(
                    field="timetable.meals",
                    got=f"{len(clocks)} meal times for {orders.meals_per_day} meals a day",
                    allowed=f"{orders.meals_per_day} times",
                    remedy="Add or take out a time, or ask the vet about the number of meals.",
                )
            )
        if orders.warn_ml_per_kg and orders.cap_ml_per_kg and orders.warn_ml_per_kg > orders.cap_ml_per_kg:
            raise refuse(
                BadPlan(
                    field="orders.warn_ml_per_kg",
                    got=f"A warning at {write_number(orders.warn_ml_per_kg)} mL/kg above the cap",
                    allowed=f"{write_number(orders.cap_ml_per_kg)} mL/kg or less",
                    remedy="Read both numbers in the vet's order again.",
                )
            )
        return self

    def since_day_start(self, clock: time) -> int:
        """Minutes from the start of the household's day to this time of day [minutes, 0 to 1439]."""
        starts = self.household.day_starts
        return (clock.hour * 60 + clock.minute - starts.hour * 60 - starts.minute) % 1440

    def food(self, food_id: str) -> Food:
        """The food with this id."""
        return next(food for food in self.foods if food.id == food_id)

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


def plan_kind(name: str) -> Literal["toml", "json"]:
    """In which format a file with this name is written.

    Raises:
        BadPlan: in none that a care plan has.
    Source:
        arithmetic only
    """
    ending = name.lower().rpartition(".")[2]
    if ending == "toml":
        return "toml"
    if ending == "json":
        return "json"
    raise BadPlan(
        field="the file",
        got=f'"{name}"',
        allowed="a file that ends in .toml or .json",
        remedy="Name a care plan; two examples come with Fillmark.",
    )


def check_plan_size(size_bytes: int) -> None:
    """Refuse what is too large for a care plan.

    Raises:
        BadPlan: it is larger than one may be.
    Source:
        input.document_bytes
    """
    if size_bytes > DOCUMENT_LIMIT_BYTES.value:
        raise BadPlan(
            field="the document",
            got=f"A plan of {size_bytes:,} bytes",
            allowed=f"{DOCUMENT_LIMIT_BYTES.value:,.0f} bytes or less",
            remedy="Take out what does not belong to the plan.",
        )


def read_plan(text: bytes, *, kind: Literal["toml", "json"]) -> CarePlan:
    """The care plan in a file's bytes.

    Raises:
        FillmarkError: what is wrong with it first; nothing is guessed or repaired.
    """
    check_plan_size(len(text))
    try:
        characters = text.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadPlan(
            field="the document",
            got=f"A plan that is not in UTF-8 (byte {error.start + 1})",
            allowed="UTF-8 text",
            remedy="Save it again as UTF-8.",
        ) from None
    values = _read_toml(characters) if kind == "toml" else _read_json(characters)
    if not isinstance(values, dict):
        raise BadPlan(
            field="the document",
            got="A plan that is a list or a single value",
            allowed="parts such as household, animal and orders",
            remedy="Look at the example plans.",
        )
    found = values.get("format", "none")
    if found != FORMAT:
        raise BadPlan(
            field="format",
            got=f'format: "{str(found)[:40]}"',
            allowed=f'"{FORMAT}"',
            remedy=f'Write format = "{FORMAT}" at the top if this is a care plan.',
        )
    return read_document(CarePlan, values)


def write_plan(plan: CarePlan) -> str:
    """The plan as JSON text, from which `read_plan` reads an equal plan."""
    return json.dumps(plan.model_dump(mode="json", exclude_unset=True), ensure_ascii=False, indent=1)


def plan_schema() -> dict[str, Any]:
    """The JSON Schema of a care plan document."""
    schema = CarePlan.model_json_schema(mode="validation")
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}


def _read_toml(text: str) -> object:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _not_readable(text, str(error), format_name="TOML") from None
    except RecursionError:
        raise _too_deep() from None


def _read_json(text: str) -> object:
    def no_twins(pairs: list[tuple[str, object]]) -> dict[str, object]:
        twice = [key for key, count in Counter(key for key, _ in pairs).items() if count > 1]
        if twice:
            raise BadPlan(
                field=twice[0][:40],
                got=f'The key "{twice[0][:40]}", more than once in one part',
                allowed="each key once",
                remedy="Keep the one that is meant.",
            )
        return dict(pairs)

    def no_constant(name: str) -> object:
        raise BadNumber(
            field="the document",
            got=f'"{name}" in place of a number',
            allowed="an ordinary number",
            remedy="Enter the number that was measured or printed.",
        )

    try:
        result: object = json.loads(text, object_pairs_hook=no_twins, parse_constant=no_constant)
    except json.JSONDecodeError as error:
        raise _not_readable(text, f"{error.msg} (at line {error.lineno})", format_name="JSON") from None
    except (RecursionError, ValueError):  # ValueError: a number of thousands of digits
        raise _too_deep() from None
    return result


def _too_deep() -> BadPlan:
    return BadPlan(
        field="the document",
        got="A plan with parts nested too deep, or with an endless number",
        allowed="the parts of a care plan",
        remedy="Look at the example plans.",
    )


def _not_readable(text: str, why: str, *, format_name: str) -> BadPlan | BadNumber:
    """What a parser said, as one message; a number without its leading zero is named as such."""
    place = why.partition("line ")[2].split(",")[0].strip(" )")
    lines = text.splitlines()
    line = lines[int(place) - 1] if place.isdigit() and 0 < int(place) <= len(lines) else ""
    lone_point = re.search(r"(?:^|[\s=:,\[{])(\.\d+)", line)
    if lone_point:
        return BadNumber(
            field="the document",
            got=f'"{lone_point[1][:20]}" on line {place}, with no zero before the point',
            allowed=f"0{lone_point[1][:20]}",
            remedy="A lone point is overlooked. Write the zero if that number is meant.",
        )
    shown = " ".join(line.split())
    return BadPlan(
        field="the document",
        got=f"A plan that is not {format_name}{f' on line {place}' if place.isdigit() else ''}"
        + (f': "{shown[:60]}"' if shown else ""),
        allowed=f"{format_name} text",
        remedy=f"The reader says: {why.partition(' (at')[0][:120]}. Mend that line.",
    )
