"""The plain way to model a day, as peers: one truth value per duty and grid step, into CP-SAT and HiGHS."""

import time
from dataclasses import dataclass, field

from fillmark.core.timetable.clock import DAY_MINUTES
from fillmark.core.timetable.regimen import MEAL, BeforeMeal, EmptyStomach, Regimen, WithMeal


@dataclass
class TimeIndexed:
    """Rows over 0/1 columns: (column → factor, least, most); the columns named (session, step) are counted."""

    columns: dict[tuple[str, int], int] = field(default_factory=dict)
    rows: list[tuple[dict[int, int], float, float]] = field(default_factory=list)

    def column(self, name: str, step: int) -> int:
        return self.columns.setdefault((name, step), len(self.columns))

    def row(self, names: list[tuple[str, int, int]], least: float, most: float) -> None:
        factors: dict[int, int] = {}
        for name, step, factor in names:
            column = self.column(name, step)
            factors[column] = factors.get(column, 0) + factor
        self.rows.append((factors, least, most))


def time_indexed(regimen: Regimen) -> TimeIndexed:
    """The rules of a regimen as linear rows."""
    model, grid = TimeIndexed(), regimen.grid_minutes
    steps = DAY_MINUTES // grid
    never = 10**6

    def apart(first: str, second: str, ahead: int, behind: int) -> None:
        for s in range(steps):
            for gap in range(-behind + 1, ahead):
                model.row([(first, s, 1), (second, (s + gap) % steps, 1)], 0, 1)

    def gaps(name: str, shortest: int, longest: int | None) -> None:
        for s in range(steps):
            if shortest > 1:
                model.row([(name, (s + gap) % steps, 1) for gap in range(-(-shortest // grid))], 0, 1)
            if longest is not None and longest // grid < steps:
                ways = [(name, (s + gap) % steps, -1) for gap in range(1, longest // grid + 1)]
                model.row([(name, s, 1), *ways], -never, 0)

    names = [duty.name for duty in regimen.duties] + ([MEAL] if regimen.meals else [])
    for s in range(steps):
        model.column("session", s)
        for name in names:
            model.row([(name, s, 1), ("session", s, -1)], -1, 0)
        if any(quiet.is_inside(s * grid) for quiet in regimen.quiet):
            model.row([("session", s, 1)], 0, 0)
    meals = regimen.meals
    if meals is not None:
        model.row([(MEAL, s, 1) for s in range(steps)], meals.fewest, meals.most)
        gaps(MEAL, meals.shortest_gap_minutes, meals.longest_gap_minutes)
        for s in range(steps):
            at_night = regimen.night is not None and regimen.night.is_inside(s * grid) and not meals.may_be_at_night
            if at_night or (meals.window is not None and not meals.window.holds(s * grid)):
                model.row([(MEAL, s, 1)], 0, 0)
            for gap in range(1, -(-meals.upright_minutes // grid)):
                model.row([(MEAL, s, 1), ("session", (s + gap) % steps, 1)], 0, 1)
    for duty in regimen.duties:
        assert duty.times is not None
        model.row([(duty.name, s, 1) for s in range(steps)], duty.times, duty.times)
        gaps(duty.name, duty.shortest_gap_minutes, duty.longest_gap_minutes)
        for s in range(steps):
            if duty.window is not None and not duty.window.holds(s * grid):
                model.row([(duty.name, s, 1)], 0, 0)
            if isinstance(duty.food, WithMeal):
                model.row([(duty.name, s, 1), (MEAL, s, -1)], -1, 0)
            if isinstance(duty.food, BeforeMeal):
                reach = range(-(-duty.food.least_minutes // grid), duty.food.most_minutes // grid + 1)
                model.row([(duty.name, s, 1), *[(MEAL, (s + gap) % steps, -1) for gap in reach]], -never, 0)
        if isinstance(duty.food, BeforeMeal):
            apart(duty.name, MEAL, -(-duty.food.least_minutes // grid), 1)
        if isinstance(duty.food, EmptyStomach):
            apart(duty.name, MEAL, -(-duty.food.before_minutes // grid), -(-duty.food.after_minutes // grid))
    for pair in regimen.apart:
        apart(pair.first, pair.second, -(-pair.minutes // grid), -(-pair.minutes // grid))
    if regimen.water_gap_minutes is not None:
        for s in range(steps):
            model.row([("session", (s + gap) % steps, 1) for gap in range(regimen.water_gap_minutes // grid)], 1, never)
    for wish in regimen.insisted:
        model.row([(wish.what or "session", wish.clock // grid, 1)], 1, 1)
    return model


def by_cp_sat(regimen: Regimen, *, limit_s: float) -> tuple[float, int | None, bool]:
    """Seconds, sessions found (None when none), and whether it was settled; with two workers."""
    from ortools.sat.python import cp_model

    begun = time.perf_counter()
    plain = time_indexed(regimen)
    model = cp_model.CpModel()
    columns = [model.new_bool_var("") for _ in plain.columns]
    for factors, least, most in plain.rows:
        model.add_linear_constraint(sum(f * columns[c] for c, f in factors.items()), int(least), int(most))
    model.minimize(sum(columns[c] for (name, _), c in plain.columns.items() if name == "session"))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    solver.parameters.max_time_in_seconds = limit_s
    status = solver.solve(model)
    seconds = time.perf_counter() - begun
    found = round(solver.objective_value) if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) else None
    return seconds, found, status in (cp_model.OPTIMAL, cp_model.INFEASIBLE)


def by_highs(regimen: Regimen, *, limit_s: float) -> tuple[float, int | None, bool]:
    """Seconds, sessions found (None when none), and whether it was settled."""
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import coo_array

    begun = time.perf_counter()
    plain = time_indexed(regimen)
    entries = [(row, c, f) for row, (factors, _, _) in enumerate(plain.rows) for c, f in factors.items()]
    rows, columns, values = (np.array(part) for part in zip(*entries, strict=True))
    matrix = coo_array((values, (rows, columns)), shape=(len(plain.rows), len(plain.columns))).tocsr()
    cost = np.array([1.0 if name == "session" else 0.0 for name, _ in plain.columns])
    result = milp(
        cost,
        constraints=LinearConstraint(matrix, [r[1] for r in plain.rows], [r[2] for r in plain.rows]),
        integrality=np.ones(len(cost)),
        bounds=Bounds(0, 1),
        options={"time_limit": limit_s},
    )
    seconds = time.perf_counter() - begun
    return seconds, (round(result.fun) if result.x is not None else None), result.status in (0, 2)
