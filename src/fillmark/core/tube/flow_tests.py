"""What flow tests say about the water that a batch needs."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from fillmark.core.tube.flow import LEFT_LIMITS_ML
from fillmark.core.values.errors import OutOfRange
from fillmark.core.values.explain import Explained
from fillmark.core.values.limits import check_range
from fillmark.core.values.quantities import write_number
from fillmark.published.flow import (
    FLOW_NOISE_ML,
    FLOW_TEST_SYRINGE_ML,
    PASS_CHANCE,
    PRIOR_THINNING_PER_ML,
    PRIOR_THINNING_SPREAD,
    PRIOR_WATER_ML_PER_100_G,
    PRIOR_WATER_SPREAD_ML_PER_100_G,
    UNTRIED_STEP_FRACTION,
    WATER_LIMITS_ML_PER_100_G,
)


@dataclass(frozen=True, kw_only=True, slots=True)
class FlowTest:
    """One flow test of a batch of this food."""

    water_ml_per_100_g: float
    left_ml: float

    def __post_init__(self) -> None:
        check_range(field="water_ml_per_100_g", value=self.water_ml_per_100_g, limits=WATER_LIMITS_ML_PER_100_G)
        check_range(field="left_ml", value=self.left_ml, limits=LEFT_LIMITS_ML, remedy="Read the syringe again.")


@dataclass(frozen=True, kw_only=True, slots=True)
class WaterProposal:
    """Water to stir in so that the batch is likely to pass, and how sure that is."""

    water_ml_per_100_g: float
    chance_to_pass: float
    pass_point_low_ml: float  # where the food just passes: 5 % and 95 % of what the tests leave possible
    pass_point_high_ml: float
    energy_kept_fraction: float  # energy per mL beside the undiluted food


def _left_ml(thickness: float) -> float:
    """What is left after the test: the outflow slows with the head, so a log-thickness gives a Gompertz curve."""
    if thickness < -6:
        return 0.0
    return FLOW_TEST_SYRINGE_ML.value * math.exp(-math.exp(-thickness))


def _thickness(left_ml: float) -> float:
    return -math.log(-math.log(left_ml / FLOW_TEST_SYRINGE_ML.value))


def _grid(low: float, high: float, count: int) -> tuple[float, ...]:
    return tuple(low + (high - low) * index / (count - 1) for index in range(count))


_THINNINGS = tuple(
    PRIOR_THINNING_PER_ML.value * math.exp(PRIOR_THINNING_SPREAD.value * z) for z in _grid(-2.5, 2.5, 25)
)


_THINNING_WEIGHTS = tuple(-0.5 * z * z for z in _grid(-2.5, 2.5, 25))


_PASS_POINTS = _grid(-60.0, 160.0, 441)


def _chance_below(limit: float, mean: float, spread: float) -> float:
    return 0.5 * math.erfc((mean - limit) / (spread * math.sqrt(2)))


Weighed = tuple[tuple[float, float, float], ...]
"""What the tests leave possible: weight, thinning of each mL of water, water at which the food just passes."""


def _check_limit(most_left_ml: float) -> None:
    if not 0.1 <= most_left_ml <= 9.9:
        raise OutOfRange(
            field="most_left_ml",
            got=f"A flow limit of {write_number(most_left_ml)} mL left",
            allowed="0.1 mL to 9.9 mL",
            remedy="Enter what the clinic allows to be left in the syringe after 10 seconds.",
        )


@lru_cache(maxsize=64)  # a page asks for the proposal and for its curve
def _weigh(tests: tuple[FlowTest, ...], most_left_ml: float) -> Weighed:
    """Every pair of thinning and pass point, weighed by how well it explains the tests, but the next to impossible."""
    limit = _thickness(most_left_ml)
    hypotheses: list[tuple[float, float, float]] = []
    for thinning, weight_thinning in zip(_THINNINGS, _THINNING_WEIGHTS, strict=True):
        for pass_point in _PASS_POINTS:
            off = (pass_point - PRIOR_WATER_ML_PER_100_G.value) / PRIOR_WATER_SPREAD_ML_PER_100_G.value
            log_weight = weight_thinning - 0.5 * off * off
            for test in tests:
                expected = _left_ml(limit + thinning * (pass_point - test.water_ml_per_100_g))
                miss = (test.left_ml - expected) / FLOW_NOISE_ML.value
                # a heavy tail: one slip of the hand must not outvote the other tests
                log_weight -= 2.5 * math.log1p(miss * miss / 4)
            hypotheses.append((log_weight, thinning, pass_point))
    best = max(log_weight for log_weight, _, _ in hypotheses)
    return tuple((math.exp(w - best), thinning, point) for w, thinning, point in hypotheses if w > best - 9)


def _chance_to_pass(weighed: Weighed, *, water: float, most_left_ml: float) -> float:
    limit, noise = _thickness(most_left_ml), FLOW_NOISE_ML.value
    passing = sum(
        weight * _chance_below(most_left_ml, _left_ml(limit + thinning * (point - water)), noise)
        for weight, thinning, point in weighed
    )
    return passing / sum(weight for weight, _, _ in weighed)


def propose_water(
    tests: Sequence[FlowTest], *, most_left_ml: float, food_g_per_ml: float = 1.0
) -> Explained[WaterProposal]:
    """Water for 100 g of food so that the next batch has a 90 % chance to pass, learned from this food's own tests.

    Each mL of water thins the food by an unknown share, and the food passes at an unknown amount of water. Every pair
    is weighed by how well it explains the tests (a grid, so the answer is the same every time), and the least water
    that passes with the chance wanted is proposed.

    Args:
        tests: This food's tests, in any order; with none, the proposal rests on print alone and says so.
        most_left_ml: What may be left after 10 s for the tube in use [mL], above 0 and below 10.
        food_g_per_ml: Density of the food by the household's scale [g/mL].
    Raises:
        OutOfRange: the limit is none the test can show.
    Source:
        flow.noise, flow.pass_chance, flow.prior_*
    """
    _check_limit(most_left_ml)
    weighed = _weigh(tuple(tests), most_left_ml)

    def chance(water: float) -> float:
        return _chance_to_pass(weighed, water=water, most_left_ml=most_left_ml)

    low, high = WATER_LIMITS_ML_PER_100_G.low, WATER_LIMITS_ML_PER_100_G.high
    if chance(low) >= PASS_CHANCE.value:
        high = low
    while high - low > 0.05:
        middle = (low + high) / 2
        low, high = (low, middle) if chance(middle) >= PASS_CHANCE.value else (middle, high)
    water = high
    by_point = sorted((point, weight) for weight, _, point in weighed)
    whole = sum(weight for _, weight in by_point)
    kept_energy = (100 / food_g_per_ml) / (100 / food_g_per_ml + water)
    return Explained(
        value=WaterProposal(
            water_ml_per_100_g=water,
            chance_to_pass=chance(water),
            pass_point_low_ml=_quantile(by_point, 0.05 * whole),
            pass_point_high_ml=_quantile(by_point, 0.95 * whole),
            energy_kept_fraction=kept_energy,
        ),
        because=f"{len(tests)} test{'' if len(tests) == 1 else 's'} of this food: {write_number(water, digits=3)} mL "
        f"water for 100 g passes nine times of ten; {kept_energy:.0%} of the energy per mL is kept",
        figures=(
            FLOW_NOISE_ML,
            PASS_CHANCE,
            PRIOR_WATER_ML_PER_100_G,
            PRIOR_WATER_SPREAD_ML_PER_100_G,
            PRIOR_THINNING_PER_ML,
            PRIOR_THINNING_SPREAD,
        ),
        cautions=(
            () if tests else ("No test of this food yet: this rests on print about other foods. Test the first batch.",)
        ),
    )


def water_for_next_batch(proposal: WaterProposal, *, tests: Sequence[FlowTest]) -> Explained[float]:
    """Water to stir into the next batch [mL/100 g food]: as proposed, but no more than a step below what was tested.

    Args:
        proposal: What the tests propose.
        tests: These tests; with none, the proposal stands.
    Source:
        flow.untried_step
    """
    least = min((test.water_ml_per_100_g for test in tests), default=0.0) * (1 - UNTRIED_STEP_FRACTION.value)
    water = proposal.water_ml_per_100_g
    if water >= least:
        return Explained(value=water, because=f"{write_number(water, digits=3)} mL for 100 g, as proposed")
    return Explained(
        value=least,
        because=f"{write_number(water, digits=3)} mL for 100 g might pass too, but nothing near it was tested: "
        f"{write_number(least, digits=3)} mL is a fifth below the least that was",
        figures=(UNTRIED_STEP_FRACTION,),
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class FlowPoint:
    """What a test at this much water would leave in the syringe: the middle, and the span of nine tests of ten."""

    water_ml_per_100_g: float
    left_low_ml: float
    left_middle_ml: float
    left_high_ml: float
    chance_to_pass: float


def predict_flow(
    tests: Sequence[FlowTest], *, most_left_ml: float, waters_ml_per_100_g: Sequence[float]
) -> tuple[FlowPoint, ...]:
    """What this food's tests let expect at each amount of water, in the order asked.

    Args:
        tests: This food's tests, in any order.
        most_left_ml: What may be left after 10 s for the tube in use [mL], above 0 and below 10.
        waters_ml_per_100_g: Where to look [mL/100 g food].
    Raises:
        OutOfRange: the limit is none the test can show.
    Source:
        as `propose_water`
    """
    _check_limit(most_left_ml)
    weighed = _weigh(tuple(tests), most_left_ml)
    whole = sum(weight for weight, _, _ in weighed)
    limit = _thickness(most_left_ml)
    points = []
    for water in waters_ml_per_100_g:
        left = sorted((_left_ml(limit + thinning * (point - water)), weight) for weight, thinning, point in weighed)
        low, middle, high = (_quantile(left, share * whole) for share in (0.05, 0.5, 0.95))
        points.append(
            FlowPoint(
                water_ml_per_100_g=water,
                left_low_ml=low,
                left_middle_ml=middle,
                left_high_ml=high,
                chance_to_pass=_chance_to_pass(weighed, water=water, most_left_ml=most_left_ml),
            )
        )
    return tuple(points)


def _quantile(ordered: Sequence[tuple[float, float]], weight_below: float) -> float:
    seen = 0.0
    for value, weight in ordered:
        seen += weight
        if seen >= weight_below:
            return value
    return ordered[-1][0]
