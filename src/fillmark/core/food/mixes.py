"""Which mixes of several foods hold the day's energy inside every nutrient limit, and which are the best of their kind?

Whole portions of each food, found by a mixed-integer program and solved to the proven best.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil, fsum, lcm
from typing import Any

from fillmark.core.values.errors import FillmarkError
from fillmark.core.values.explain import Explained
from fillmark.core.values.limits import check_at_least
from fillmark.core.values.quantities import write_number
from fillmark.published.blend import WHOLE_CAN_SLACK

_TINY = 1e-9
_LEAST_GAIN_ML = 1.0
"""Less volume than this is no gain worth telling."""
_LAST_WEIGHT = 1e-4
"""What a can left over weighs beside a milliliter, where the volume is to decide and only then the rest."""


@dataclass(frozen=True, kw_only=True, slots=True)
class MixFood:
    """One food or additive of a mix, in portions that are measured whole (a quarter can, a teaspoon, 10 g).

    Attributes:
        portions_per_can: How many portions a can holds; None for what keeps once it is opened (oil, a powder).
    """

    name: str
    kcal_per_portion: float
    ml_per_portion: float
    most_portions: int
    nutrients_per_portion: Mapping[str, float]
    portions_per_can: int | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class NutrientLimit:
    """Least and most of a nutrient for each 1,000 kcal of the mix, in the unit the foods use."""

    least: float | None = None
    most: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Mix:
    """Whole portions of each food, by name.

    Attributes:
        kcal: Its energy [kcal].
        ml: Its volume before water [mL]: the less, the fewer meals and fills.
        waste_cans: What is left over of the cans that were opened for it.
    """

    portions: Mapping[str, int]
    kcal: float
    ml: float
    waste_cans: float

    @property
    def uses_whole_cans(self) -> bool:
        """Whether next to nothing of the opened cans is left over."""
        return self.waste_cans <= WHOLE_CAN_SLACK.value + _TINY

    def __str__(self) -> str:
        return ", ".join(f"{count} × {name}" for name, count in self.portions.items()) or "nothing"


@dataclass(frozen=True, kw_only=True, slots=True)
class MixChoice:
    """The mixes worth choosing from, and the one proposed.

    Attributes:
        best: The best of their kind, the proposed one first, then by volume: each has less left over, or less volume,
            than any other.
        proposed: Whole cans first, then the least volume, which makes for the fewest meals and fills.
        is_all: Whether `best` holds every one; false when the search was cut short.
    """

    best: tuple[Mix, ...]
    proposed: Mix
    is_all: bool


class NoMix(FillmarkError):
    """No mix of these foods keeps the limits."""

    code = "no-mix"
    exit_code = 3


class _Program:
    """The mixed-integer program: portions that keep the energy and every limit, and what they cost."""

    def __init__(
        self, foods: Sequence[MixFood], *, least_kcal: float, most_kcal: float, limits: Mapping[str, NutrientLimit]
    ) -> None:
        from ortools.linear_solver import pywraplp

        self.foods = foods
        self.parameters = pywraplp.MPSolverParameters()
        self.parameters.SetDoubleParam(pywraplp.MPSolverParameters.RELATIVE_MIP_GAP, 0.0)
        self.optimal = pywraplp.Solver.OPTIMAL
        self.solver = pywraplp.Solver.CreateSolver("SCIP")
        self.portions = [self.solver.IntVar(0, food.most_portions, food.name) for food in foods]
        self._keep(least_kcal, [food.kcal_per_portion for food in foods], most_kcal)
        no_end = self.solver.infinity()
        for nutrient, limit in limits.items():
            # linear, since the limit goes with the energy: Σ (nutrient − limit × kcal / 1000) × portions
            for bound, low, high in ((limit.least, 0.0, no_end), (limit.most, -no_end, 0.0)):
                if bound is not None:
                    surplus = [
                        food.nutrients_per_portion.get(nutrient, 0.0) - bound * food.kcal_per_portion / 1000
                        for food in foods
                    ]
                    self._keep(low, surplus, high)
        self.ml = self._sum([food.ml_per_portion for food in foods])

    def _sum(self, factors: Sequence[float]) -> Any:
        return sum(factor * portions for factor, portions in zip(factors, self.portions, strict=True))

    def _keep(self, least: float, factors: Sequence[float], most: float) -> None:
        row = self.solver.Constraint(least, most)
        for factor, portions in zip(factors, self.portions, strict=True):
            row.SetCoefficient(portions, factor)

    def weigh_cans(self) -> None:
        """Add what is left over of cans to what can be minimized and bounded."""
        left_over = []
        for food, portions in zip(self.foods, self.portions, strict=True):
            if food.portions_per_can is not None:
                cans = self.solver.IntVar(0, ceil(food.most_portions / food.portions_per_can), "")
                self.solver.Add(food.portions_per_can * cans >= portions)
                left_over.append(cans - portions / food.portions_per_can)
        self.waste: Any = sum(left_over)
        self.most_waste = self.solver.Add(self.waste <= self.solver.infinity())

    def least_volume(self, *, most_waste: float | None = None) -> Mix | None:
        """The mix with the least volume, and of those the one with the least left over, under a bound of that."""
        self.most_waste.SetUb(self.solver.infinity() if most_waste is None else most_waste)
        return self.least(self.ml + _LAST_WEIGHT * self.waste)

    def least_waste(self) -> Mix | None:
        """The mix with the least left over."""
        self.most_waste.SetUb(self.solver.infinity())
        return self.least(self.waste)

    def least(self, cost: Any) -> Mix | None:
        """The mix with the least of this cost; None when nothing keeps every limit."""
        self.solver.Minimize(cost)
        if self.solver.Solve(self.parameters) != self.optimal:
            return None
        counts = [round(portions.solution_value()) for portions in self.portions]
        chosen = [(food, count) for food, count in zip(self.foods, counts, strict=True) if count]
        canned = [(count, food.portions_per_can) for food, count in chosen if food.portions_per_can is not None]
        return Mix(
            portions={food.name: count for food, count in chosen},
            kcal=fsum(food.kcal_per_portion * count for food, count in chosen),
            ml=fsum(food.ml_per_portion * count for food, count in chosen),
            waste_cans=fsum(ceil(count / per_can) - count / per_can for count, per_can in canned),
        )


def _check(*, least_kcal: float, most_kcal: float) -> None:
    check_at_least(field="least_kcal", value=least_kcal, least=0, unit="kcal", remedy="Check the energy goal.")
    check_at_least(field="most_kcal", value=most_kcal, least=least_kcal, unit="kcal", remedy="Check the energy goal.")


def _no_mix(foods: Sequence[MixFood], *, least_kcal: float, most_kcal: float) -> NoMix:
    return NoMix(
        field="blend.foods",
        got=f"Foods of which no mix keeps every limit ({', '.join(food.name for food in foods)})",
        allowed=f"a mix of {write_number(least_kcal)} to {write_number(most_kcal)} kcal inside every limit",
        remedy="Add a food, or ask the vet which limit may be loosened.",
    )


_NOT_COMPLETE = "A mix of several foods is not shown to be complete: ask the vet."


def find_mixes(
    foods: Sequence[MixFood],
    *,
    least_kcal: float,
    most_kcal: float,
    limits: Mapping[str, NutrientLimit],
    most_mixes: int | None = None,
) -> Explained[MixChoice]:
    """Every mix that is the best of its kind: less volume before water, or less left over of cans, than any other.

    The least volume first; then the least with less left over than that, and so on until nothing is left: so no one is
    missed. Of mixes that are alike in both, one stands for all.

    Args:
        foods: What may go in.
        least_kcal: Least energy of the mix [kcal].
        most_kcal: Most energy of the mix [kcal].
        limits: For each nutrient, least and most for each 1,000 kcal.
        most_mixes: Stop after so many; the proposed one is among them. Without it, all are found.
    Raises:
        NoMix: nothing keeps all limits; the vet or a nutritionist is asked.
    Source:
        the limits given; solved to proven optimality; blend.whole_can_slack
    """
    _check(least_kcal=least_kcal, most_kcal=most_kcal)
    program = _Program(foods, least_kcal=least_kcal, most_kcal=most_kcal, limits=limits)
    proposed = _propose(program)
    if proposed is None:
        raise _no_mix(foods, least_kcal=least_kcal, most_kcal=most_kcal)
    finest = lcm(*(food.portions_per_can for food in foods if food.portions_per_can is not None))
    found = [proposed]
    most_waste: float | None = None
    is_all = False
    while not is_all and (most_mixes is None or len(found) < most_mixes):
        mix = program.least_volume(most_waste=most_waste)
        if mix is not None:
            most_waste = mix.waste_cans - 0.5 / finest
            # of the best of their kind no two have as much left over
            if round((mix.waste_cans - proposed.waste_cans) * finest):
                found.append(mix)
        is_all = mix is None or most_waste is None or most_waste < 0
    return Explained(
        value=MixChoice(best=tuple(found), proposed=proposed, is_all=is_all),
        because=f"{'all' if is_all else 'the first'} {len(found)} mixes worth choosing from; proposed: {proposed}, "
        f"{proposed.kcal:,.0f} kcal in {proposed.ml:,.0f} mL before water, "
        f"{write_number(proposed.waste_cans, digits=2)} of a can left over",
        figures=(WHOLE_CAN_SLACK,),
        cautions=(_NOT_COMPLETE,),
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class LoosenedLimit:
    """What one bound of one nutrient, loosened and nothing else, would buy.

    Attributes:
        nutrient: Which one.
        is_least: Whether its least would be lowered, else its most raised.
        needed: What it would have to be, for each 1,000 kcal, in the unit the foods use.
        mix: The mix that this would allow.
    """

    nutrient: str
    is_least: bool
    needed: float
    mix: Mix


def loosen_limits(
    foods: Sequence[MixFood],
    *,
    least_kcal: float,
    most_kcal: float,
    limits: Mapping[str, NutrientLimit],
    proposed: Mix | None,
) -> tuple[LoosenedLimit, ...]:
    """Each bound that holds the proposed mix back, or leaves none at all, with the mix that its loosening would allow.

    Bound by bound the program is solved again without it: what comes out better shows that it binds.

    Args:
        foods: What may go in.
        least_kcal: Least energy of the mix [kcal].
        most_kcal: Most energy of the mix [kcal].
        limits: For each nutrient, least and most for each 1,000 kcal.
        proposed: The mix proposed with all limits; none where there is none.
    Source:
        solved to proven optimality; blend.whole_can_slack
    """
    found = []
    for nutrient, limit in limits.items():
        for bound, without in ((limit.least, replace(limit, least=None)), (limit.most, replace(limit, most=None))):
            if bound is None:
                continue
            looser = {**limits, nutrient: without}
            mix = _propose(_Program(foods, least_kcal=least_kcal, most_kcal=most_kcal, limits=looser))
            if mix is not None and (proposed is None or _is_better(mix, proposed)):
                held = fsum(
                    food.nutrients_per_portion.get(nutrient, 0.0) * mix.portions.get(food.name, 0) for food in foods
                )
                found.append(
                    LoosenedLimit(
                        nutrient=nutrient, is_least=without.least is None, needed=held / mix.kcal * 1000, mix=mix
                    )
                )
    return tuple(found)


def _is_better(mix: Mix, other: Mix) -> bool:
    """Whole cans where the other leaves some, or as whole and less volume."""
    if mix.uses_whole_cans != other.uses_whole_cans:
        return mix.uses_whole_cans
    return mix.ml < other.ml - _LEAST_GAIN_ML


def _propose(program: _Program) -> Mix | None:
    """Whole cans first, then the least volume; where no mix uses whole cans, the least left over."""
    program.weigh_cans()
    return program.least_volume(most_waste=WHOLE_CAN_SLACK.value) or _least_left_over(program)


def _least_left_over(program: _Program) -> Mix | None:
    """Where no mix uses whole cans: the least left over, and of that the least volume."""
    least = program.least_waste()
    return least and program.least_volume(most_waste=least.waste_cans + _TINY)
