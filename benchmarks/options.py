"""Blend options and mixes: how long the exact search takes, beside the plain way and beside HiGHS.

Processor time, the best of some runs: another process on the machine must not decide.
"""

import random
import time
from collections.abc import Callable
from dataclasses import replace
from typing import Any, TypeVar

from fillmark.core.changes.blend_option import (
    BlendOption,
    BlendWishes,
    CannedFood,
    added_water_choices,
    limits_broken,
    make_option,
)
from fillmark.core.changes.options import find_blend_options
from fillmark.core.food.mixes import find_mixes
from fillmark.core.tube.water import WaterBand
from tests.support.mixes import a_kitchen, solve_with_highs

FOOD = CannedFood(name="stew", kcal_per_can=569, ml_per_can=383, water_ml_per_can=270, least_added_ml_per_can=0)
CUT = 8
"""So many of the best mixes of a large kitchen are enough to choose from."""

T = TypeVar("T")


def a_day(**changes: Any) -> BlendWishes:
    """A day on which every way pays off somewhere: nothing can be left out of the search."""
    return BlendWishes(
        **{
            "kcal_per_day": 820,
            "weight_kg": 17,
            "cap_ml_per_kg": 45,
            "flush_ml_per_meal": 20,
            "medicine_water_ml_per_meal": 5,
            "water_band": WaterBand(low_ml=2500, high_ml=9000),
            "by_mouth_water_ml": 0,
            "syringe_ml": 60,
            "step_ml": 5,
            "ml_per_minute": 10,
            **changes,
        }
    )


def seconds_of(work: Callable[[], T], *, runs: int) -> tuple[float, T]:
    """The best processor time of some runs, and the last result."""
    taken = []
    for _ in range(runs):
        start = time.process_time()
        result = work()
        taken.append(time.process_time() - start)
    return min(taken), result


def plain_best(wishes: BlendWishes) -> list[BlendOption]:
    """The best of their kind by holding every way against every other."""
    ways = [
        make_option(FOOD, wishes, meals=meals, added_ml_per_can=added)
        for meals in range(wishes.fewest_meals, wishes.most_meals + 1)
        for added in added_water_choices(FOOD, wishes)
    ]
    inside = [(way, way.costs) for way in ways if not limits_broken(way, wishes)]
    return [
        way
        for way, costs in inside
        if not any(
            other != costs and all(one <= two for one, two in zip(other, costs, strict=True)) for _, other in inside
        )
    ]


def _row(
    name: str, seconds: float, *, most: float | None, peer: str, ratio: float | None, agrees: bool
) -> dict[str, Any]:
    return {
        "name": f"options: {name}",
        "value": round(seconds * 1000, 1),
        "unit": "ms",
        "promise": f"{most * 1000:g} or less" if most else "shown only",
        "peer": peer,
        "ratio": ratio,
        "ok": agrees and (most is None or seconds <= most),
    }


def rows() -> list[dict[str, Any]]:
    """Rows for the table of promises; one is kept only if the peer finds the same."""
    usual, fine = a_day(), a_day(water_step_ml=1.0)
    plain, expected = seconds_of(lambda: plain_best(usual), runs=1)
    took, choice = seconds_of(lambda: find_blend_options(FOOD, usual).value, runs=5)
    table = [
        _row(
            f"one food, {len(expected)} ways, all of them best of their kind",
            took,
            most=0.05,
            peer=f"each against each {plain * 1000:.0f} ms, same ways",
            ratio=round(took / plain, 3),
            agrees=set(choice.best) == set(expected),
        )
    ]
    took, choice = seconds_of(lambda: find_blend_options(FOOD, fine).value, runs=5)
    table.append(
        _row(
            f"one food in steps of 1 mL, {len(choice.best)} ways",
            took,
            most=0.05,
            peer="none",
            ratio=None,
            agrees=len(choice.best) > 2000,
        )
    )
    foods, limits, goal = a_kitchen(random.Random(5), with_cans=True, foods=40, nutrients=30)
    span = {"least_kcal": goal, "most_kcal": goal * 1.1, "limits": limits}
    highs, least_ml = seconds_of(lambda: solve_with_highs(foods, limits, goal, goal * 1.1), runs=3)
    # what is left over of cans counts for nothing here, as for the peer
    loose = [replace(food, portions_per_can=None) for food in foods]
    took, mix = seconds_of(lambda: find_mixes(loose, **span, most_mixes=1).value.best[0], runs=3)
    table.append(
        _row(
            "least volume of 40 foods with 30 nutrients",
            took,
            most=1.0,
            peer=f"HiGHS by SciPy {highs * 1000:.0f} ms, same volume",
            ratio=round(took / highs, 2),
            agrees=abs(mix.ml - least_ml) < 1e-4 * least_ml,
        )
    )
    took, first = seconds_of(lambda: find_mixes(foods, **span, most_mixes=1).value, runs=3)
    table.append(
        _row(
            "the proposed mix of 40 foods with 30 nutrients",
            took,
            most=1.0,
            peer="none: whole cans first is no single cost",
            ratio=None,
            agrees=first.proposed.ml >= least_ml - 1e-6,
        )
    )
    took, some = seconds_of(lambda: find_mixes(foods, **span, most_mixes=CUT).value, runs=1)
    table.append(
        _row(
            f"the first {len(some.best)} best mixes of them{'' if some.is_all else ', cut there'}",
            took,
            most=None,
            peer="none",
            ratio=None,
            agrees=some.proposed == first.proposed,
        )
    )
    foods, limits, goal = a_kitchen(random.Random(5), with_cans=True, foods=10, nutrients=6)
    took, every = seconds_of(
        lambda: find_mixes(foods, least_kcal=goal, most_kcal=goal * 1.1, limits=limits).value, runs=1
    )
    table.append(
        _row(
            f"all {len(every.best)} best mixes of 10 foods with 6 nutrients",
            took,
            most=None,
            peer="none",
            ratio=None,
            agrees=every.is_all,
        )
    )
    return table
