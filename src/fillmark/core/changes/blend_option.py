"""One way to feed a day, and which limits it breaks."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeVar

from fillmark.core.tube.water import WaterBand
from fillmark.core.values.errors import OutOfRange
from fillmark.core.values.limits import check_at_least, check_range
from fillmark.published.blend import VOLUME_LIMITS_ML, WHOLE_CAN_SLACK
from fillmark.published.input_limits import WEIGHT_LIMITS_KG
from fillmark.published.meals import MEALS_LIMITS

DUST = 1e-9


@dataclass(frozen=True, kw_only=True, slots=True)
class CannedFood:
    """One food in its can, or a recipe of several in its batch. Volumes predicted from ounces are as good as their
    caution says.

    Attributes:
        unit: What it is counted in, "can" or "batch"; the other names say "can" for both.
    """

    name: str
    kcal_per_can: float
    ml_per_can: float
    water_ml_per_can: float  # moisture of the food
    least_added_ml_per_can: float = 0.0  # from the flow tests: less does not pass this tube
    most_added_ml_per_can: float = 400.0
    keeps_days: int = 1  # how long an opened can or a batch keeps
    unit: str = "can"


@dataclass(frozen=True, kw_only=True, slots=True)
class BlendWishes:
    """What the vet ordered and the household wants, for one day of feeding."""

    kcal_per_day: float
    weight_kg: float
    cap_ml_per_kg: float  # per meal, flushes and medicine water included
    flush_ml_per_meal: float
    medicine_water_ml_per_meal: float
    water_band: WaterBand  # all water of the day
    by_mouth_water_ml: float
    syringe_ml: float
    step_ml: float
    ml_per_minute: float
    fewest_meals: int = 2
    most_meals: int = 6
    most_meals_without_night: int = 4  # more than these need a meal at night
    warn_ml_per_kg: float | None = None  # the vet wants to be asked above this; allowed, but proposed last
    medicine_water_ml_per_day: float | None = None  # of all sessions; when not given, that of each meal counts
    water_step_ml: float = 5.0  # added water per can is tried in these steps

    def __post_init__(self) -> None:
        check_range(field="weight_kg", value=self.weight_kg, limits=WEIGHT_LIMITS_KG)
        for field in ("fewest_meals", "most_meals"):
            check_range(field=field, value=getattr(self, field), limits=MEALS_LIMITS)
        if self.fewest_meals > self.most_meals:
            raise OutOfRange(
                field="fewest_meals",
                got=f"At least {self.fewest_meals} meals a day",
                allowed=f"{self.most_meals} or fewer",
                remedy="Check both numbers of meals.",
            )
        for field in ("flush_ml_per_meal", "medicine_water_ml_per_meal", "by_mouth_water_ml"):
            check_range(field=field, value=getattr(self, field), limits=VOLUME_LIMITS_ML)
        if self.medicine_water_ml_per_day is not None:
            check_range(
                field="medicine_water_ml_per_day", value=self.medicine_water_ml_per_day, limits=VOLUME_LIMITS_ML
            )
        for field, unit in (
            ("kcal_per_day", "kcal"),
            ("cap_ml_per_kg", "mL/kg"),
            ("syringe_ml", "mL"),
            ("step_ml", "mL"),
            ("ml_per_minute", "mL/min"),
            ("water_step_ml", "mL"),
        ):
            check_at_least(field=field, value=getattr(self, field), least=0.01, unit=unit, remedy="Check the plan.")


@dataclass(frozen=True, kw_only=True, slots=True)
class BlendOption:
    """One way to feed the day."""

    meals: int
    added_ml_per_can: float
    blend_ml_per_meal: float
    ml_per_kg: float  # of one session, flushes and medicine water included
    kcal_per_ml: float
    kcal_per_day: float
    water_ml: float  # all of the day
    water_due_ml: float  # up to the vet's lower end, 0 or more
    cans_per_day: float
    cans_opened: int  # whole cans over the days a can keeps
    waste_cans: float  # of these, left over
    fills: int  # of the day
    minutes: float  # of pushing, of the day
    needs_night_meal: bool

    @property
    def uses_whole_cans(self) -> bool:
        """Whether next to nothing of the opened cans is left over."""
        return is_next_to_nothing(self.waste_cans)

    @property
    def costs(self) -> tuple[float, ...]:
        """What is weighed, each the less the better."""
        return (
            self.meals,
            self.ml_per_kg,
            -self.kcal_per_ml,
            self.water_due_ml,
            self.cans_opened,
            self.fills,
            self.minutes,
        )


def is_next_to_nothing(cans: float) -> bool:
    """Whether this part of a can [cans] is too small to open one for."""
    return cans <= WHOLE_CAN_SLACK.value


def exceeds(value: float, limit: float) -> bool:
    """Whether it is more than the limit, by more than the last digits of the arithmetic.

    Args:
        value: What it comes to.
        limit: In the same unit.
    """
    return value > limit + DUST


def make_option(food: CannedFood, wishes: BlendWishes, *, meals: int, added_ml_per_can: float) -> BlendOption:
    """What feeding the day this way comes to, whether or not it is possible.

    The meal is rounded up to the syringe's next mark: a day rounded down would starve slowly.

    Args:
        food: The canned food.
        wishes: The vet's limits and the household's syringe.
        meals: Meals a day.
        added_ml_per_can: Water stirred into one can [mL].
    Source:
        arithmetic only
    """
    batch_ml = food.ml_per_can + added_ml_per_can
    kcal_per_ml = food.kcal_per_can / batch_ml
    steps = math.ceil(wishes.kcal_per_day / kcal_per_ml / meals / wishes.step_ml - DUST)
    meal_ml = steps * wishes.step_ml
    day_ml = meal_ml * meals
    cans = day_ml / batch_ml
    other_ml = wishes.flush_ml_per_meal + wishes.medicine_water_ml_per_meal
    medicine_ml = wishes.medicine_water_ml_per_day
    if medicine_ml is None:
        medicine_ml = meals * wishes.medicine_water_ml_per_meal
    beside_ml = meals * wishes.flush_ml_per_meal + medicine_ml + wishes.by_mouth_water_ml
    water_ml = cans * (food.water_ml_per_can + added_ml_per_can) + beside_ml
    opened = math.ceil(cans * food.keeps_days - DUST)
    return BlendOption(
        meals=meals,
        added_ml_per_can=added_ml_per_can,
        blend_ml_per_meal=meal_ml,
        ml_per_kg=(meal_ml + other_ml) / wishes.weight_kg,
        kcal_per_ml=kcal_per_ml,
        kcal_per_day=day_ml * kcal_per_ml,
        water_ml=water_ml,
        water_due_ml=max(0.0, wishes.water_band.low_ml - water_ml),
        cans_per_day=cans,
        cans_opened=opened,
        waste_cans=max(0.0, opened - cans * food.keeps_days),
        fills=meals * math.ceil(meal_ml / wishes.syringe_ml - DUST),
        minutes=day_ml / wishes.ml_per_minute,
        needs_night_meal=meals > wishes.most_meals_without_night,
    )


class BlendLimit(StrEnum):
    """What stands in the way of a better day: the vet's limits first, then what the food and the household set."""

    CAP = "cap per meal"
    MOST_WATER = "most water a day"
    WARNING = "warning per meal"
    FLOW = "flow limit"
    MEALS = "number of meals"
    STORAGE = "storage life"
    WHOLE_CANS = "whole cans"


def limits_broken(option: BlendOption, wishes: BlendWishes) -> tuple[BlendLimit, ...]:
    """Which of the vet's limits this way breaks; empty when none.

    Args:
        option: One way to feed the day.
        wishes: The vet's limits and the household's syringe.
    Source:
        the vet's orders
    """
    broken = []
    if exceeds(option.ml_per_kg, wishes.cap_ml_per_kg):
        broken.append(BlendLimit.CAP)
    if exceeds(option.water_ml, wishes.water_band.high_ml):
        broken.append(BlendLimit.MOST_WATER)
    return tuple(broken)


def added_water_choices(food: CannedFood, wishes: BlendWishes) -> tuple[float, ...]:
    """The amounts of added water that are tried for each can [mL]: from the flow limit up, in steps.

    Args:
        food: The canned food.
        wishes: The vet's limits and the household's syringe.
    Source:
        the household's flow tests
    """
    count = int((food.most_added_ml_per_can - food.least_added_ml_per_can + DUST) // wishes.water_step_ml)
    return tuple(food.least_added_ml_per_can + index * wishes.water_step_ml for index in range(count + 1))


Scored = TypeVar("Scored", bound=BlendOption)


def best_of_their_kind(options: Iterable[Scored]) -> tuple[Scored, ...]:
    """The options that no other beats in one respect without losing in another, cheapest first.

    Sorted first, only an option before it can beat another. Which of those are no worse is one bit each in a whole
    number, cost by cost: a thousand comparisons in one step.

    Source:
        arithmetic only
    """
    alike: dict[tuple[float, ...], list[Scored]] = {}
    for option in options:
        alike.setdefault(option.costs, []).append(option)
    costs = sorted(alike)
    no_worse = [(1 << place) - 1 for place in range(len(costs))]
    # being sorted has settled the first cost
    for of_each in list(zip(*costs, strict=True))[1:]:
        by_cost: dict[float, list[int]] = {}
        for place, cost in enumerate(of_each):
            by_cost.setdefault(cost, []).append(place)
        so_far = 0
        for cost in sorted(by_cost):
            for place in by_cost[cost]:
                so_far |= 1 << place
            for place in by_cost[cost]:
                no_worse[place] &= so_far
    return tuple(
        option for cost, beaten_by in zip(costs, no_worse, strict=True) if not beaten_by for option in alike[cost]
    )
