"""Mixes at random, and the same program solved by another solver."""

import random
from collections.abc import Mapping, Sequence

import numpy
from scipy.optimize import Bounds, LinearConstraint, milp

from fillmark.core.food.mixes import MixFood, NutrientLimit


def a_kitchen(
    chance: random.Random, *, foods: int, nutrients: int, with_cans: bool = False
) -> tuple[list[MixFood], dict[str, NutrientLimit], float]:
    """Random foods, a third of them canned where that is asked for, limits around what they hold, and a goal [kcal]."""
    names = [f"n{index}" for index in range(nutrients)]
    listed = [
        MixFood(
            name=f"food {index}",
            kcal_per_portion=chance.uniform(5, 120),
            ml_per_portion=chance.uniform(5, 120),
            most_portions=chance.randint(1, 12),
            nutrients_per_portion={name: chance.uniform(0, 3) for name in names if chance.random() < 0.8},
            portions_per_can=4 if with_cans and index % 3 == 0 else None,
        )
        for index in range(foods)
    ]
    whole = sum(food.kcal_per_portion for food in listed)
    typical = {name: 1000 * sum(food.nutrients_per_portion.get(name, 0) for food in listed) / whole for name in names}
    limits = {
        name: NutrientLimit(least=typical[name] * chance.uniform(0.3, 1.0), most=typical[name] * chance.uniform(1.2, 3))
        for name in names
    }
    goal = sum(food.kcal_per_portion * food.most_portions for food in listed) * chance.uniform(0.2, 0.6)
    return listed, limits, goal


def solve_with_highs(
    foods: Sequence[MixFood], limits: Mapping[str, NutrientLimit], least_kcal: float, most_kcal: float
) -> float | None:
    """The least volume by SciPy's HiGHS [mL]; None when nothing keeps the limits."""
    kcal = numpy.array([food.kcal_per_portion for food in foods])
    constraints = [LinearConstraint(kcal, least_kcal, most_kcal)]
    for name, limit in limits.items():
        held = numpy.array([food.nutrients_per_portion.get(name, 0.0) for food in foods])
        constraints.append(LinearConstraint(held - limit.least * kcal / 1000, 0, numpy.inf))
        constraints.append(LinearConstraint(limit.most * kcal / 1000 - held, 0, numpy.inf))
    solved = milp(
        numpy.array([food.ml_per_portion for food in foods]),
        constraints=constraints,
        integrality=numpy.ones(len(foods)),
        bounds=Bounds(0, numpy.array([food.most_portions for food in foods])),
        options={"mip_rel_gap": 0},
    )
    return solved.fun if solved.success else None
