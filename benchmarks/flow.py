"""How well the water for a 90 % chance to pass is learned, on simulated foods whose truth is known.

Foods thin log-linearly or not, tests are read to within half a milliliter. The household tests at the water proposed,
enters what it saw, and asks again. The oracle knows the food and uses the least water that passes nine times of ten.
"""

import math
import random
import statistics
import time

from fillmark.core.record.flow_check import most_left_ml
from fillmark.core.tube.flow_tests import FlowTest, propose_water
from fillmark.published.flow import FLOW_NOISE_ML, PASS_CHANCE

LIMITS_ML = {"level 1": most_left_ml(level=1), "6 mL": 6.0, "level 2": most_left_ml(level=2)}
"""What a vet may allow to be left in the syringe: two levels, and an amount between them."""


def a_food(chance, limit_ml):
    """True mL left at a water content: log-linear thinning, or one that bends by up to a third over 20 mL."""
    pass_point = chance.uniform(12, 40)
    thinning = 0.039 * math.exp(chance.gauss(0, 0.3))
    bend = chance.choice([0.0, 0.0, chance.uniform(-0.3, 0.3)])
    limit = -math.log(-math.log(limit_ml / 10))

    def left_ml(water):
        short = (pass_point - water) * thinning
        return 10 * math.exp(-math.exp(-(limit + short * (1 + bend * math.tanh(short)))))

    return left_ml


def chance_to_pass(left_ml, water, limit_ml):
    """Chance that a test of a batch with this water passes."""
    return 0.5 * math.erfc((left_ml(water) - limit_ml) / (FLOW_NOISE_ML.value * math.sqrt(2)))


def oracle_water(left_ml, limit_ml):
    """Least water that passes with the chance wanted, knowing the food."""
    low, high = 0.0, 400.0
    while high - low > 0.01:
        middle = (low + high) / 2
        low, high = (low, middle) if chance_to_pass(left_ml, middle, limit_ml) >= PASS_CHANCE.value else (middle, high)
    return high


def simulate(*, foods, seed, after, limit_ml):
    """Mean chance to pass, and mean water beyond the oracle's [fraction], after so many tests."""
    chance = random.Random(seed)
    passed, extra = [], []
    for _ in range(foods):
        left_ml = a_food(chance, limit_ml)
        tests = []
        for _ in range(after):
            water = propose_water(tests, most_left_ml=limit_ml).value.water_ml_per_100_g
            seen = min(10.0, max(0.0, left_ml(water) + chance.gauss(0, FLOW_NOISE_ML.value)))
            tests.append(FlowTest(water_ml_per_100_g=water, left_ml=seen))
        water = propose_water(tests, most_left_ml=limit_ml).value.water_ml_per_100_g
        passed.append(chance_to_pass(left_ml, water, limit_ml))
        extra.append(water / oracle_water(left_ml, limit_ml) - 1)
    return statistics.mean(passed), statistics.mean(extra)


def rows(foods=60):
    """Rows for the table of promises, for each limit."""
    table = []
    for limit, limit_ml in LIMITS_ML.items():
        for after, most_extra in ((1, None), (3, 0.12), (6, 0.06)):
            passed, extra = simulate(foods=foods, seed=after, after=after, limit_ml=limit_ml)
            tests = f"after {after} test{'s' if after > 1 else ''}, limit {limit}"
            table.append(
                {
                    "name": f"flow: proposed water passes {tests}",
                    "value": round(passed, 3),
                    "unit": "of repeats",
                    "promise": "0.85 to 0.95" if after > 1 else "shown only",
                    "peer": "an oracle that knows the food",
                    "ratio": round(passed / PASS_CHANCE.value, 3),
                    "ok": after == 1 or 0.85 <= passed <= 0.95,
                }
            )
            table.append(
                {
                    "name": f"flow: water beyond the oracle's {tests}",
                    "value": round(extra, 3),
                    "unit": "of the oracle's water",
                    "promise": f"{most_extra} or less" if most_extra else "shown only",
                    "peer": "an oracle that knows the food",
                    "ratio": round(1 + extra, 3),
                    "ok": most_extra is None or extra <= most_extra,
                }
            )
    start = time.process_time()
    propose_water([FlowTest(water_ml_per_100_g=30, left_ml=4)] * 6, most_left_ml=LIMITS_ML["6 mL"])
    seconds = time.process_time() - start
    table.append(
        {
            "name": "flow: one proposal from six tests",
            "value": round(seconds * 1000, 1),
            "unit": "ms",
            "promise": "100 or less",
            "peer": "none",
            "ratio": None,
            "ok": seconds <= 0.1,
        }
    )
    return table
