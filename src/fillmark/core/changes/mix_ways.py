"""Mixes of several foods inside the nutrient profile."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import ceil

from fillmark.core.changes.blend_option import BlendWishes, CannedFood, limits_broken, make_option
from fillmark.core.changes.canned_food import canned_food, foods_as_measured
from fillmark.core.changes.feeding_change import MixChange
from fillmark.core.changes.feeding_ways import limits_of_day
from fillmark.core.changes.mix_parts import Binding, Measure, MixWay, MixWays, ingredient_of, measure_of, nutrients_of
from fillmark.core.day.plan_day import plan_day
from fillmark.core.day.values import DayPlan
from fillmark.core.food.mixes import (
    LoosenedLimit,
    Mix,
    MixChoice,
    MixFood,
    NoMix,
    NutrientLimit,
    find_mixes,
    loosen_limits,
)
from fillmark.core.food.nutrients import check_nutrients, eats_little
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.foods import Food
from fillmark.core.record.flow_check import most_left_ml
from fillmark.core.tube.flow_tests import FlowTest, propose_water, water_for_next_batch
from fillmark.core.values.errors import BadPlan
from fillmark.core.values.explain import Explained
from fillmark.core.values.quantities import write_number
from fillmark.published.blend import MIX_SURPLUS_FRACTION
from fillmark.published.nutrients import AAFCO_LEAST, AAFCO_MOST

VOLUME, WATER = "volume of a session", "water of the day"
"""What the vet's cap and the upper end of the water band come to, kept like a nutrient: so much for 1,000 kcal [mL]."""


_MOST_SHOWN = 6


def find_mix_ways(
    plan: CarePlan,
    *,
    foods: Sequence[Food],
    most_a_day: Mapping[str, int],
    days: int,
    on: date,
    tests: Mapping[tuple[str, ...], tuple[FlowTest, ...]],
    with_binding: bool = True,
) -> MixWays:
    """The mixes of these foods that carry the day's energy inside the vet's limits and the profile's bounds.

    Only nutrients that every one of the labels states can be kept; the others are named. An additive goes in only up
    to what is said for a day: how much of it, the vet decides.

    Args:
        plan: The plan: its energy, cap, water band, meals and syringe are kept.
        foods: What may go in.
        most_a_day: For a food that is no complete canned food, the most portions of a day, by its id.
        days: For how long a batch is made [days].
        on: A day of the plan to work from.
        tests: The household's flow tests, by the foods of the batch.
        with_binding: Whether to work out, bound by bound, what holds the proposed mix: that takes the longest.
    Raises:
        NoMix: nothing keeps every limit; the message says which one would have to give way.
        FillmarkError: something nobody has said stands in the way.
    Source:
        the labels, the vet's orders; nutrients.aafco.*; blend.mix_surplus; solved to proven optimality
    """
    _check_names(foods)
    day = plan_day(plan, on=on)
    wishes = limits_of_day(plan, day=day)
    known = {food.id: food for food in foods_as_measured(plan, on=on)}
    measures = [measure_of(known.get(food.id, food), species=plan.animal.species) for food in foods]
    ratio = _water_for_food_ml(plan, day=day)
    limits, kept, unknown = _limits(measures, plan=plan, wishes=wishes.value)
    program = _program(
        measures, limits=limits, ratio=ratio, most_a_day=most_a_day, days=days, goal_kcal=day.energy.value
    )
    meals = len(plan.timetable.meals) or plan.orders.meals_per_day or 1
    says = _Says(goal=day.energy.value, meals=meals, wishes=wishes.value, proposed=None, days=days)
    try:
        found = program.find()
    except NoMix as refused:
        raise _what_gives_way(refused, [says.one(one, limits) for one in program.loosen(None)]) from None
    proposed = found.value.proposed
    loosened = program.loosen(proposed) if with_binding else ()
    by_name = {one.food.name: one for one in measures}
    make = _Maker(plan=plan, wishes=wishes.value, ratio=ratio, meals=meals, days=days, tests=tests)
    ways = tuple(make.way(mix, by_name) for mix in found.value.best)
    return MixWays(
        days=days,
        ways=tuple(way for way in ways if not limits_broken(way.option, wishes.value)),
        is_all=found.value.is_all,
        binding=tuple(replace(says, proposed=proposed).one(one, limits) for one in loosened),
        kept=kept,
        unknown=unknown,
        wishes=wishes,
        working=found,
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class _Program:
    """What is solved: the foods, the batch's energy [kcal], and the bounds for each 1,000 kcal."""

    pool: Sequence[MixFood]
    least_kcal: float
    most_kcal: float
    limits: Mapping[str, NutrientLimit]

    def find(self) -> Explained[MixChoice]:
        return find_mixes(
            self.pool,
            least_kcal=self.least_kcal,
            most_kcal=self.most_kcal,
            limits=self.limits,
            most_mixes=_MOST_SHOWN,
        )

    def loosen(self, proposed: Mix | None) -> tuple[LoosenedLimit, ...]:
        return loosen_limits(
            self.pool,
            least_kcal=self.least_kcal,
            most_kcal=self.most_kcal,
            limits=self.limits,
            proposed=proposed,
        )


def _program(
    measures: Sequence[Measure],
    *,
    limits: Mapping[str, NutrientLimit],
    ratio: float,
    most_a_day: Mapping[str, int],
    days: int,
    goal_kcal: float,
) -> _Program:
    least_kcal = goal_kcal * days
    # whole portions rarely come to just the day's energy
    smallest = min((one.kcal for one in measures if one.parts > 1), default=0.0)
    most_kcal = max(least_kcal * (1 + MIX_SURPLUS_FRACTION.value), least_kcal + smallest)
    pool = [
        _mix_food(one, limits=limits, ratio=ratio, most=_most(one, most_a_day, days=days, most_kcal=most_kcal))
        for one in measures
    ]
    return _Program(pool=pool, least_kcal=least_kcal, most_kcal=most_kcal, limits=limits)


def _check_names(foods: Sequence[Food]) -> None:
    twice = [name for name, count in Counter(food.name for food in foods).items() if count > 1]
    if twice:
        raise BadPlan(
            field="foods",
            got=f'Two foods that are both called "{twice[0]}"',
            allowed="each food by a name of its own",
            remedy="Give one of them another name.",
        )


def _what_gives_way(refused: NoMix, binding: Sequence[Binding]) -> NoMix:
    """The refusal, with the limit that would have to give way first where one is known."""
    if not binding:
        return refused
    remedy = f"{binding[0].words} Or add a food."
    return NoMix(field=refused.field, got=refused.got, allowed=refused.allowed, remedy=remedy)


def _water_for_food_ml(plan: CarePlan, *, day: DayPlan) -> float:
    """Water stirred into each mL of food in the present blend: a new mix begins as thin."""
    food = canned_food(plan, day=day).value
    return plan.blend.water_ml / (day.batch.value[0] / food.kcal_per_can * food.ml_per_can)


def _limits(
    measures: Sequence[Measure], *, plan: CarePlan, wishes: BlendWishes
) -> tuple[dict[str, NutrientLimit], tuple[str, ...], tuple[str, ...]]:
    """The vet's cap and water, and each bound of the profile that every label lets keep; then which, and which not."""
    species = plan.animal.species
    per_1000 = 1000 / wishes.kcal_per_day
    meals = len(plan.timetable.meals) or plan.orders.meals_per_day or 1
    beside_ml = wishes.flush_ml_per_meal + wishes.medicine_water_ml_per_meal
    cap_ml = wishes.cap_ml_per_kg * wishes.weight_kg - beside_ml - wishes.step_ml
    other_water_ml = wishes.flush_ml_per_meal * meals + (wishes.medicine_water_ml_per_day or 0.0)
    limits = {
        VOLUME: NutrientLimit(most=max(0.0, cap_ml) * meals * per_1000),
        WATER: NutrientLimit(most=max(0.0, wishes.water_band.high_ml - other_water_ml) * per_1000),
    }
    kept, unknown = [], []
    for (kind, nutrient), bound in AAFCO_LEAST.items():
        if kind != species:
            continue
        unit = bound.unit.split("/")[0]
        if all(_in_unit(one, nutrient, unit) is not None for one in measures):
            most = AAFCO_MOST.get((kind, nutrient))
            limits[nutrient] = NutrientLimit(least=bound.value, most=most.value if most else None)
            kept.append(nutrient)
        else:
            unknown.append(nutrient)
    return limits, tuple(kept), tuple(unknown)


_MICROS = {"g": 1_000_000.0, "mg": 1000.0, "mcg": 1.0}


def _in_unit(measure: Measure, nutrient: str, unit: str) -> float | None:
    """What one portion holds of a nutrient in this unit; none where its label does not tell."""
    stated = nutrients_of(measure.food, g=measure.g, kcal=measure.kcal).get(nutrient)
    if stated is None:
        return None
    amount, has = stated
    if has == unit:
        return amount
    return amount * _MICROS[has] / _MICROS[unit] if has in _MICROS and unit in _MICROS else None


def _most(measure: Measure, most_a_day: Mapping[str, int], *, days: int, most_kcal: float) -> int:
    """The most portions of a food: of a complete canned food as much as carries everything, else what was said."""
    all_of_it = ceil(most_kcal / measure.kcal) if measure.kcal else 0
    if measure.food.id in most_a_day:
        said = most_a_day[measure.food.id] * measure.parts * days
        return min(said, all_of_it) if measure.kcal else said
    return all_of_it if measure.food.complete and measure.parts > 1 else 0


def _mix_food(measure: Measure, *, limits: Mapping[str, NutrientLimit], ratio: float, most: int) -> MixFood:
    water_ml = ratio * measure.ml
    held = {VOLUME: measure.ml + water_ml, WATER: measure.water_ml + water_ml}
    for nutrient in limits:
        if nutrient not in held:
            unit = next(bound.unit.split("/")[0] for (_, name), bound in AAFCO_LEAST.items() if name == nutrient)
            held[nutrient] = _in_unit(measure, nutrient, unit) or 0.0
    return MixFood(
        name=measure.food.name,
        kcal_per_portion=measure.kcal,
        ml_per_portion=measure.ml,
        most_portions=most,
        nutrients_per_portion=held,
        portions_per_can=measure.parts if measure.parts > 1 else None,
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class _Maker:
    """Makes of a mix the batch and the day."""

    plan: CarePlan
    wishes: BlendWishes
    ratio: float
    meals: int
    days: int
    tests: Mapping[tuple[str, ...], tuple[FlowTest, ...]]

    def way(self, mix: Mix, by_name: Mapping[str, Measure]) -> MixWay:
        amounts = [(by_name[name], count) for name, count in mix.portions.items()]
        amounts.sort(key=lambda one: -one[0].kcal * one[1])
        water_ml = self._water_ml(mix, amounts)
        batch = CannedFood(
            name=str(mix),
            kcal_per_can=mix.kcal,
            ml_per_can=mix.ml,
            water_ml_per_can=sum(one.water_ml * count for one, count in amounts),
            keeps_days=self.days,
            unit="batch",
        )
        return MixWay(
            mix=mix,
            amounts=tuple(amounts),
            water_ml=water_ml,
            option=make_option(batch, self.wishes, meals=self.meals, added_ml_per_can=water_ml),
            nutrients=check_nutrients(
                [ingredient_of(one.food, g=one.g * count, kcal=one.kcal * count) for one, count in amounts],
                species=self.plan.animal.species,
                is_eating_little=eats_little(
                    species=self.plan.animal.species,
                    kcal_per_day=self.wishes.kcal_per_day,
                    weight_kg=self.wishes.weight_kg,
                ),
            ),
            change=MixChange(
                parts=tuple(one.part(count) for one, count in amounts),
                water_ml=water_ml,
                foods=tuple(one.food for one, _ in amounts),
            ),
        )

    def _water_ml(self, mix: Mix, amounts: Sequence[tuple[Measure, int]]) -> float:
        """By the household's tests of just this mix, else as thin as now; on a mark of the jug."""
        tests = self.tests.get(tuple(sorted(one.food.id for one, _ in amounts)), ())
        level = self.plan.orders.flow_limit_level
        water_ml = self.ratio * mix.ml
        if tests and level is not None:
            grams = sum(one.g * count for one, count in amounts)
            proposal = propose_water(tests, most_left_ml=most_left_ml(level=level))
            water_ml = water_for_next_batch(proposal.value, tests=tests).value * grams / 100
        return ceil(water_ml / self.wishes.water_step_ml - 1e-9) * self.wishes.water_step_ml


@dataclass(frozen=True, kw_only=True, slots=True)
class _Says:
    """What a loosened limit would buy, in words."""

    goal: float
    meals: int
    wishes: BlendWishes
    proposed: Mix | None
    days: int

    def one(self, found: LoosenedLimit, limits: Mapping[str, NutrientLimit]) -> Binding:
        buys = self._buys(found.mix)
        a_day = found.needed * self.goal / 1000
        if found.nutrient == VOLUME:
            beside_ml = self.wishes.flush_ml_per_meal + self.wishes.medicine_water_ml_per_meal
            load = write_number(ceil(10 * (a_day / self.meals + beside_ml) / self.wishes.weight_kg) / 10)
            return Binding(
                limit="the cap per meal",
                words=f"At {load} mL/kg a session there could be {buys}: only the vet may raise the cap.",
            )
        if found.nutrient == WATER:
            return Binding(
                limit="the most water a day", words=f"With more water a day there could be {buys}: ask the vet."
            )
        limit = limits[found.nutrient]
        bound = limit.least if found.is_least else limit.most
        way, name = ("at least", "least") if found.is_least else ("at most", "most")
        unit = next(one.unit for (_, nutrient), one in AAFCO_LEAST.items() if nutrient == found.nutrient)
        return Binding(
            limit=f"{name} {found.nutrient}",
            words=f"With {write_number(found.needed, digits=3)} {unit} of {found.nutrient} (AAFCO: {way} "
            f"{write_number(bound or 0.0)}) there could be {buys}: ask the vet.",
        )

    def _buys(self, mix: Mix) -> str:
        if self.proposed is None:
            return f"a mix, {mix}"
        if mix.uses_whole_cans and not self.proposed.uses_whole_cans:
            return "no part of a can left over"
        less = (self.proposed.ml / self.proposed.kcal - mix.ml / mix.kcal) * self.goal
        return f"{write_number(max(1, round(less)))} mL less food a day"
