"""What the vet ordered about feeding and water."""

from itertools import pairwise
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from fillmark.core.food.energy import DailyEnergy, EnergyOrder, EnergyPerKg, RestingFactor
from fillmark.core.plan.animal import Positive, VolumeMl
from fillmark.core.values.document import Day, Number, Part, Stated, refuse, within
from fillmark.core.values.errors import BadPlan
from fillmark.core.values.quantities import write_number
from fillmark.published.energy import FACTOR_LIMITS
from fillmark.published.input_limits import (
    FOOD_LIMITS_CELSIUS,
    IDLE_FLUSH_LIMITS,
    LOAD_LIMITS_ML_PER_KG,
    MEAL_GAP_LIMITS_HOURS,
    UPRIGHT_LIMITS_MINUTES,
    WATER_LIMITS_ML_PER_KG,
)
from fillmark.published.meals import MEALS_LIMITS, PACE_LIMITS_ML_PER_MINUTE


class Energy(Part):
    """The vet's energy order, in exactly one of three ways, for the present or the target weight.

    Attributes:
        kcal_per_day: Energy a day.
        factor: Or: resting need times. The factor that the sheet gives, such as 1.2.
        kcal_per_kg: Or: energy for each kg.
        weight: Worked out for. The weight now, or the weight to reach.
    """

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
    """Stepping up to full feeding: percent of the goal on each day from the first; full after the last rung.

    Attributes:
        starts_on: First day.
        percent: Percent of the full amount, day by day. Such as 25, 50, 75, 100.
    """

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
    """A lower and an upper bound [mL/kg per day].

    Attributes:
        low: At least.
        high: At most.
    """

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

    Attributes:
        times_per_day: Flushes a day. Of a tube that nothing else goes through.
        ml: Water for each.
    """

    times_per_day: Annotated[int, within(IDLE_FLUSH_LIMITS)]
    ml: Stated[VolumeMl] = None


class Weaning(Part):
    """Back to eating by mouth: what the animal eats of its goal on an ordinary day, by the vet's word.

    Attributes:
        by_mouth_kcal_per_day: Eats by mouth. On an ordinary day.
    """

    by_mouth_kcal_per_day: Annotated[Number, Field(ge=0)]


class Residual(Part):
    """What is still in the stomach is drawn back before a meal: over so much the meal is left out [mL].

    Attributes:
        skip_over_ml: Leave the meal out if more than this is drawn back.
    """

    skip_over_ml: VolumeMl


class FoodTemperature(Part):
    """How warm the food is to be when it goes in [°C].

    Attributes:
        low: At least.
        high: At most.
    """

    low: Annotated[Number, within(FOOD_LIMITS_CELSIUS)]
    high: Annotated[Number, within(FOOD_LIMITS_CELSIUS)]


class Orders(Part):
    """What the vet ordered for feeding.

    `missed_meal` is the vet's rule for what a missed meal leaves out: let it go, or spread it over the meals still to
    come that day, inside the cap.

    Attributes:
        energy: Energy.
        ladder: Stepping up to full feeding. Full after the last step.
        weaning: Back to eating by mouth.
        idle_flush: Flushing an idle tube.
        meals_per_day: Meals a day.
        meal_ml: Amount of a meal. Where the sheet says it in mL.
        meal_gap_hours: From one meal to the next, at least.
        missed_meal: A missed meal. Let it go, or spread it over the meals still to come that day.
        warn_ml_per_kg: Warn from this much at once. For each kg of body weight.
        cap_ml_per_kg: Never more than this at once. For each kg of body weight, flushes and medicines counted in.
        flush_before_ml: Flush before.
        flush_between_ml: Flush between. Between two medicines.
        flush_after_ml: Flush after.
        pace_ml_per_minute: How fast, at most.
        upright_minutes: Kept upright after a meal.
        water_ml_per_kg_per_day: Water a day, in all. For each kg of body weight, the water in the food counted in.
        flow_limit_level: How thick it may be. 0 runs like water, 3 is the thickest that a flow test still passes.
        residual: What is still in the stomach. Drawn back before a meal.
        food_temperature_c: How warm the food is.
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
    residual: Stated[Residual] = None
    food_temperature_c: Stated[FoodTemperature] = None
