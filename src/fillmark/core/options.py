"""Which ways of feeding the day are possible, and which are the best of their kind?

One food, mixed with water: every way is looked at, so nothing is missed. Several foods with nutrient limits: a
mixed-integer program.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from fillmark.core.errors import FillmarkError, OutOfRange
from fillmark.core.explain import Explained
from fillmark.core.limits import check_at_least, check_range
from fillmark.core.quantities import write_number
from fillmark.core.water import WaterBand
from fillmark.published.blend import VOLUME_LIMITS_ML, WHOLE_CAN_SLACK
from fillmark.published.input_limits import WEIGHT_LIMITS_KG
from fillmark.published.meals import MEALS_LIMITS

_TINY = 1e-9


@dataclass(frozen=True, kw_only=True, slots=True)
class CannedFood:
    """One food in its can. Volumes predicted from ounces are as good as their caution says."""

    name: str
    kcal_per_can: float
    ml_per_can: float
    water_ml_per_can: float  # moisture of the food
    least_added_ml_per_can: float = 0.0  # from the flow tests: less does not pass this tube
    most_added_ml_per_can: float = 400.0
    keeps_days: int = 1  # how long an opened can or a batch keeps


@dataclass(frozen=True, kw_only=True, slots=True)
class Wishes:
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
        return self.waste_cans <= WHOLE_CAN_SLACK.value

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


def make_option(food: CannedFood, wishes: Wishes, *, meals: int, added_ml_per_can: float) -> BlendOption:
    """What feeding the day this way comes to, whether or not it is possible.

    The meal is rounded up to the syringe's next mark: a day rounded down would starve slowly.

    Source:
        arithmetic only
    """
    batch_ml = food.ml_per_can + added_ml_per_can
    kcal_per_ml = food.kcal_per_can / batch_ml
    steps = math.ceil(wishes.kcal_per_day / kcal_per_ml / meals / wishes.step_ml - _TINY)
    meal_ml = steps * wishes.step_ml
    day_ml = meal_ml * meals
    cans = day_ml / batch_ml
    other_ml = wishes.flush_ml_per_meal + wishes.medicine_water_ml_per_meal
    medicine_ml = wishes.medicine_water_ml_per_day
    if medicine_ml is None:
        medicine_ml = meals * wishes.medicine_water_ml_per_meal
    beside_ml = meals * wishes.flush_ml_per_meal + medicine_ml + wishes.by_mouth_water_ml
    water_ml = cans * (food.water_ml_per_can + added_ml_per_can) + beside_ml
    opened = math.ceil(cans * food.keeps_days - _TINY)
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
        fills=meals * math.ceil(meal_ml / wishes.syringe_ml - _TINY),
        minutes=day_ml / wishes.ml_per_minute,
        needs_night_meal=meals > wishes.most_meals_without_night,
    )


def limits_broken(option: BlendOption, wishes: Wishes) -> tuple[str, ...]:
    """Which of the vet's limits this way breaks, in words; empty when none.

    Source:
        the vet's orders
    """
    broken = []
    if option.ml_per_kg > wishes.cap_ml_per_kg + _TINY:
        broken.append("cap per meal")
    if option.water_ml > wishes.water_band.high_ml + _TINY:
        broken.append("most water a day")
    return tuple(broken)


def added_water_choices(food: CannedFood, wishes: Wishes) -> tuple[float, ...]:
    """The amounts of added water that are tried for each can [mL]: from the flow limit up, in steps.

    Source:
        the household's flow tests
    """
    count = int((food.most_added_ml_per_can - food.least_added_ml_per_can + _TINY) // wishes.water_step_ml)
    return tuple(food.least_added_ml_per_can + index * wishes.water_step_ml for index in range(count + 1))


Scored = TypeVar("Scored", bound=BlendOption)


def best_of_their_kind(options: Iterable[Scored]) -> tuple[Scored, ...]:
    """The options that no other beats in one respect without losing in another, cheapest first.

    Sorted first, an option can only be beaten by one before it, so each is held against those already kept.

    Source:
        arithmetic only
    """
    kept: list[Scored] = []
    kept_costs: list[tuple[float, ...]] = []
    for option in sorted(options, key=lambda option: option.costs):
        costs = option.costs
        for other in kept_costs:
            if other != costs and all(theirs <= ours for theirs, ours in zip(other, costs, strict=True)):
                break
        else:
            kept.append(option)
            kept_costs.append(costs)
    return tuple(kept)


@dataclass(frozen=True, kw_only=True, slots=True)
class Loosened:
    """What one limit, loosened, would buy."""

    limit: str
    ml_per_kg: float
    meals: int


@dataclass(frozen=True, kw_only=True, slots=True)
class BlendChoice:
    """All ways worth choosing from, the one proposed, and what stands in the way of a better one."""

    best: tuple[BlendOption, ...]
    proposed: BlendOption | None
    binding: tuple[str, ...]
    loosened: tuple[Loosened, ...]


def _preference(option: BlendOption, wishes: Wishes) -> tuple[float, ...]:
    # inside the vet's limits first (done by the search), below the vet's warning → water met → whole cans → fewer meals
    # → fewer fills → no night meal; then the thicker mix
    return (
        wishes.warn_ml_per_kg is not None and option.ml_per_kg > wishes.warn_ml_per_kg + _TINY,
        option.water_due_ml > _TINY,
        not option.uses_whole_cans,
        option.meals,
        option.fills,
        option.needs_night_meal,
        *option.costs,
    )


def find_blend_options(food: CannedFood, wishes: Wishes) -> Explained[BlendChoice]:
    """Every way to feed the day with this food that keeps the vet's limits and is the best of its kind.

    Args:
        food: The canned food.
        wishes: The vet's limits and the household's.
    Returns:
        The best of their kind, exactly; the one proposed by the order safe → whole cans → fewer meals → fewer fills →
        no night meal; the limits that bind; and what a higher cap per meal would buy. Nothing is proposed when no way
        keeps the limits.
    Raises:
        OutOfRange: a number can only be a slip.
    Source:
        the vet's orders; arithmetic only
    """
    check_at_least(field="kcal_per_can", value=food.kcal_per_can, least=1, unit="kcal", remedy="Check the label.")
    check_at_least(field="ml_per_can", value=food.ml_per_can, least=1, unit="mL", remedy="Measure the can's volume.")
    everything = [
        make_option(food, wishes, meals=meals, added_ml_per_can=added)
        for meals in range(wishes.fewest_meals, wishes.most_meals + 1)
        for added in added_water_choices(food, wishes)
    ]
    inside = []
    outside = []
    for option in everything:
        broken = limits_broken(option, wishes)
        if broken:
            outside.append((option, broken))
        else:
            inside.append(option)
    best = best_of_their_kind(inside)
    proposed = min(best, key=lambda option: _preference(option, wishes), default=None)
    fewer_than = proposed.meals if proposed else wishes.most_meals + 1
    only_cap = [option for option, broken in outside if broken == ("cap per meal",) and option.meals < fewer_than]
    loosened = tuple(
        Loosened(
            limit="cap per meal",
            ml_per_kg=min(option.ml_per_kg for option in only_cap if option.meals == meals),
            meals=meals,
        )
        for meals in sorted({option.meals for option in only_cap}, reverse=True)
    )
    binding = tuple(sorted({limit for option, broken in outside if option.meals < fewer_than for limit in broken}))
    if proposed is None:
        because = f"none of {len(everything)} ways keeps every limit: {', '.join(binding) or 'no way was allowed'}"
        cautions: tuple[str, ...] = ("No way of feeding keeps the vet's limits: show this to the vet.",)
    else:
        because = (
            f"{len(best)} of {len(everything)} ways are worth choosing from; proposed: {proposed.meals} meals of "
            f"{write_number(proposed.blend_ml_per_meal)} mL, {write_number(proposed.added_ml_per_can)} mL water a can, "
            f"{proposed.kcal_per_ml:.2f} kcal/mL, {write_number(proposed.ml_per_kg, digits=3)} mL/kg"
        )
        cautions = (
            (f"{proposed.water_due_ml:,.0f} mL of the day's water is not in this plan: give it as extra flushes.",)
            if proposed.water_due_ml > _TINY
            else ()
        )
    if loosened:
        first = loosened[0]
        cautions += (
            f"At {write_number(math.ceil(first.ml_per_kg * 10) / 10)} mL/kg there could be {first.meals} meals: "
            "only the vet may raise the cap.",
        )
    return Explained(
        value=BlendChoice(best=best, proposed=proposed, binding=binding, loosened=loosened),
        because=because,
        cautions=cautions,
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class Change:
    """One question of "what if": the plan as it is beside the plan as it would be."""

    old: BlendOption
    new: BlendOption
    new_breaks: tuple[str, ...]


def _in_short(option: BlendOption) -> str:
    return (
        f"{option.meals} × {write_number(option.blend_ml_per_meal)} mL "
        f"({write_number(option.ml_per_kg, digits=3)} mL/kg)"
    )


def what_if(
    food: CannedFood, wishes: Wishes, old: BlendOption, *, meals: int | None = None, new_food: CannedFood | None = None
) -> Explained[Change]:
    """The plan as it is beside the plan with another number of meals or another can; nothing is changed.

    Source:
        arithmetic only
    """
    new_wishes = replace(wishes, fewest_meals=1) if meals is not None else wishes
    kind = new_food or food
    new = make_option(
        kind,
        new_wishes,
        meals=meals or old.meals,
        added_ml_per_can=max(old.added_ml_per_can, kind.least_added_ml_per_can),
    )
    broken = limits_broken(new, wishes)
    return Explained(
        value=Change(old=old, new=new, new_breaks=broken),
        because=f"{_in_short(old)} → {_in_short(new)}",
        cautions=(f"This breaks the vet's limit: {', '.join(broken)}.",) if broken else (),
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class MixFood:
    """One food or additive of a mix, in portions that are measured whole (a quarter can, a teaspoon, 10 g)."""

    name: str
    kcal_per_portion: float
    ml_per_portion: float
    most_portions: int
    nutrients_per_portion: Mapping[str, float]


@dataclass(frozen=True, kw_only=True, slots=True)
class NutrientLimit:
    """Least and most of a nutrient for each 1,000 kcal of the mix, in the unit the foods use."""

    least: float | None = None
    most: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Mix:
    """Whole portions of each food, by name."""

    portions: Mapping[str, int]
    kcal: float
    ml: float


class NoMix(FillmarkError):
    """No mix of these foods keeps the limits."""

    code = "no-mix"
    exit_code = 3


def find_mix(
    foods: Sequence[MixFood],
    *,
    least_kcal: float,
    most_kcal: float,
    limits: Mapping[str, NutrientLimit],
) -> Explained[Mix]:
    """The mix of whole portions with the least volume before water that keeps the energy and every nutrient limit.

    Args:
        foods: What may go in.
        least_kcal: Least energy of the mix [kcal].
        most_kcal: Most energy of the mix [kcal].
        limits: For each nutrient, least and most for each 1,000 kcal.
    Raises:
        NoMix: nothing keeps all limits; the vet or a nutritionist is asked.
    Source:
        the limits given; solved to proven optimality
    """
    from ortools.linear_solver import pywraplp

    check_at_least(field="least_kcal", value=least_kcal, least=0, unit="kcal", remedy="Check the energy goal.")
    check_at_least(field="most_kcal", value=most_kcal, least=least_kcal, unit="kcal", remedy="Check the energy goal.")
    solver = pywraplp.Solver.CreateSolver("SCIP")
    portions = {food.name: solver.IntVar(0, food.most_portions, food.name) for food in foods}
    energy = sum((food.kcal_per_portion * portions[food.name] for food in foods), 0)
    solver.Add(energy >= least_kcal)
    solver.Add(energy <= most_kcal)
    for nutrient, limit in limits.items():
        # linear, since the limit goes with the energy: Σ (nutrient − limit × kcal / 1000) × portions
        for bound, sign in ((limit.least, 1), (limit.most, -1)):
            if bound is not None:
                surplus = sum(
                    (
                        sign
                        * (food.nutrients_per_portion.get(nutrient, 0.0) - bound * food.kcal_per_portion / 1000)
                        * portions[food.name]
                        for food in foods
                    ),
                    0,
                )
                solver.Add(surplus >= 0)
    solver.Minimize(sum((food.ml_per_portion * portions[food.name] for food in foods), 0))
    parameters = pywraplp.MPSolverParameters()
    parameters.SetDoubleParam(pywraplp.MPSolverParameters.RELATIVE_MIP_GAP, 0.0)
    if solver.Solve(parameters) != pywraplp.Solver.OPTIMAL:
        raise NoMix(
            field="blend.foods",
            got=f"Foods of which no mix keeps every limit ({', '.join(food.name for food in foods)})",
            allowed=f"a mix of {write_number(least_kcal)} to {write_number(most_kcal)} kcal inside every limit",
            remedy="Add a food, or ask the vet which limit may be loosened.",
        )
    counts = {name: round(variable.solution_value()) for name, variable in portions.items()}
    chosen = {name: count for name, count in counts.items() if count}
    kcal = sum(food.kcal_per_portion * counts[food.name] for food in foods)
    ml = sum(food.ml_per_portion * counts[food.name] for food in foods)
    return Explained(
        value=Mix(portions=chosen, kcal=kcal, ml=ml),
        because=f"{', '.join(f'{count} × {name}' for name, count in chosen.items()) or 'nothing'}: {kcal:,.0f} kcal in "
        f"{ml:,.0f} mL before water, the least volume inside every limit",
        cautions=("A mix of several foods is not shown to be complete: ask the vet.",),
    )
