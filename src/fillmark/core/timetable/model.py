"""A day with a fixed number of sessions, as a model for CP-SAT.

The times of the sessions are whole grid steps in rising order; meals and doses are assigned to them. That a pair of
sessions lies far enough apart is one truth value per pair and distance, shared by every rule that asks for it.
"""

import itertools
from collections.abc import Iterable
from typing import Any

from fillmark.core.timetable.clock import DAY_MINUTES, Window
from fillmark.core.timetable.day import Aim, Session, Timetable
from fillmark.core.timetable.regimen import MEAL, BeforeMeal, Duty, EmptyStomach, Regimen, WithMeal
from fillmark.core.timetable.solver import fixed_solver


class SessionModel:
    """The rules of a regimen over `count` sessions, with the wishes added as they are asked for."""

    def __init__(self, regimen: Regimen, count: int) -> None:
        from ortools.sat.python import cp_model

        self._cp = cp_model
        self.regimen = regimen
        self.count = count
        self.grid = regimen.grid_minutes
        self.slots = DAY_MINUTES // self.grid
        self.model: Any = cp_model.CpModel()
        self._far: dict[tuple[int, int, int, bool], Any] = {}
        self._near: dict[tuple[int, int, int, int], Any] = {}
        self._dose_times: dict[str, list[Any]] = {}
        self.aims: dict[Aim, Any] = {}
        self._add_sessions()
        self._add_meals()
        for duty in regimen.duties:
            self._add_duty(duty)
        for pair in regimen.apart:
            self._keep_apart(self.at[pair.first], self.at[pair.second], self._up(pair.minutes), self._up(pair.minutes))
        for wish in regimen.insisted:
            self._insist(wish.clock, wish.what)

    def _up(self, minutes: int) -> int:
        return -(-minutes // self.grid)

    def _down(self, minutes: int) -> int:
        return minutes // self.grid

    def _domain(self, allowed: Iterable[int]) -> Any:
        return self._cp.Domain.from_values(sorted(allowed))

    def _slots_in(self, window: Window) -> list[int]:
        return [slot for slot in range(self.slots) if window.holds(slot * self.grid)]

    def _ahead(self, first: int, second: int) -> Any:
        """Grid steps from one session to another, across midnight when that one comes earlier in the day."""
        return self.t[second] - self.t[first] + (0 if second > first else self.slots)

    def _at_least(self, first: int, second: int, steps: int) -> Any:
        """True only when the second session comes at least so many steps after the first."""
        if steps <= (second - first) % self.count:
            return None  # sessions are at least one step apart
        key = (first, second, steps, True)
        if key not in self._far:
            literal = self.model.new_bool_var("")
            self.model.add(self._ahead(first, second) >= steps).only_enforce_if(literal)
            self._far[key] = literal
        return self._far[key]

    def _between(self, first: int, second: int, least: int, most: int) -> Any:
        """True only when the second session comes so many steps after the first."""
        key = (first, second, least, most)
        if key not in self._near:
            literal = self.model.new_bool_var("")
            self.model.add_linear_constraint(self._ahead(first, second), least, most).only_enforce_if(literal)
            self._near[key] = literal
        return self._near[key]

    def _require(self, literal: Any, *conditions: Any) -> None:
        """The literal must hold when all conditions do."""
        if literal is not None:
            self.model.add_bool_or([literal, *(condition.negated() for condition in conditions)])

    # --- rules

    def _add_sessions(self) -> None:
        model, last = self.model, self.slots - 1
        quiet = [
            slot
            for slot in range(self.slots)
            if not any(window.is_inside(slot * self.grid) for window in self.regimen.quiet)
        ]
        domain = self._domain(quiet)
        self.t = [
            model.new_int_var_from_domain(
                domain.intersection_with(self._cp.Domain(place, last - self.count + 1 + place)), ""
            )
            for place in range(self.count)
        ]
        for earlier, later in zip(self.t, self.t[1:], strict=False):
            model.add(later > earlier)
        if self.regimen.water_gap_minutes is not None:
            for place in range(self.count):
                most = self._down(self.regimen.water_gap_minutes)
                if self.count == 1:
                    if most < self.slots:
                        model.add_bool_or([])
                else:
                    model.add(self._ahead(place, (place + 1) % self.count) <= most)
        self.at: dict[str, list[Any]] = {}

    def _add_meals(self) -> None:
        meals, model = self.regimen.meals, self.model
        here = [model.new_bool_var("") for _ in range(self.count)]
        self.at[MEAL] = here
        if meals is None:
            model.add_bool_and([literal.negated() for literal in here])
            return
        self.meal_count = model.new_int_var(meals.fewest, meals.most, "")
        model.add(sum(here) == self.meal_count)
        allowed = self._slots_in(meals.window) if meals.window else list(range(self.slots))
        night = self.regimen.night
        if not meals.may_be_at_night and night is not None:
            allowed = [slot for slot in allowed if not night.is_inside(slot * self.grid)]
        self._confine(here, allowed)
        self._space(here, self._up(meals.shortest_gap_minutes))
        if meals.longest_gap_minutes is not None:
            most = self._down(meals.longest_gap_minutes)
            for place, literal in enumerate(here):
                ways = [] if most < self.slots else [literal]
                for other in range(self.count):
                    if other != place:
                        way = model.new_bool_var("")
                        model.add_implication(way, here[other])
                        model.add_implication(way, self._between(place, other, 0, most))
                        ways.append(way)
                model.add_bool_or([*ways, literal.negated()])
        if meals.upright_minutes and self.count > 1:
            for place, literal in enumerate(here):
                self._require(self._at_least(place, (place + 1) % self.count, self._up(meals.upright_minutes)), literal)

    def _confine(self, here: list[Any], allowed: list[int]) -> None:
        if len(allowed) < self.slots:
            domain = self._domain(allowed)
            for time, literal in zip(self.t, here, strict=True):
                self.model.add_linear_expression_in_domain(time, domain).only_enforce_if(literal)

    def _space(self, here: list[Any], steps: int) -> None:
        for first in range(self.count):
            for second in range(first + 1, self.count):
                for one, other in ((first, second), (second, first)):
                    self._require(self._at_least(one, other, steps), here[first], here[second])

    def _keep_apart(self, one: list[Any], other: list[Any], one_first: int, other_first: int) -> None:
        """So many steps from `one` to the next `other`, and so many from `other` to the next `one`."""
        for first in range(self.count):
            for second in range(self.count):
                if first == second:
                    self.model.add_bool_or([one[first].negated(), other[second].negated()])
                else:
                    self._require(self._at_least(first, second, one_first), one[first], other[second])
                    self._require(self._at_least(second, first, other_first), one[first], other[second])

    def _add_duty(self, duty: Duty) -> None:
        model = self.model
        if duty.times is None:
            self.at[duty.name] = self.at[MEAL]
        else:
            here = [model.new_bool_var("") for _ in range(self.count)]
            self.at[duty.name] = here
            model.add(sum(here) == duty.times)
            self._space(here, self._up(duty.shortest_gap_minutes))
            if duty.times > 1 and duty.longest_gap_minutes is not None:
                times = self._times_of(duty.name, duty.times)
                most = self._down(duty.longest_gap_minutes)
                least = self._up(duty.shortest_gap_minutes)
                for earlier, later in zip(times, [*times[1:], times[0] + self.slots], strict=True):
                    model.add_linear_constraint(later - earlier, least, most)
        here = self.at[duty.name]
        if duty.window is not None:
            self._confine(here, self._slots_in(duty.window))
        meals = self.at[MEAL]
        match duty.food:
            case WithMeal():
                for literal, meal in zip(here, meals, strict=True):
                    model.add_implication(literal, meal)
            case EmptyStomach(after_minutes=after, before_minutes=before):
                self._keep_apart(here, meals, self._up(before), self._up(after))
            case BeforeMeal(least_minutes=least_minutes, most_minutes=most_minutes):
                least, most = self._up(least_minutes), self._down(most_minutes)
                self._keep_apart(here, meals, least, 0)
                for place, literal in enumerate(here):
                    ways = []
                    for other in range(self.count):
                        if other != place:
                            way = model.new_bool_var("")
                            model.add_implication(way, meals[other])
                            model.add_implication(way, self._between(place, other, least, most))
                            ways.append(way)
                    model.add_bool_or([*ways, literal.negated()])
            case _:
                pass

    def _times_of(self, name: str, times: int) -> list[Any]:
        """The times of a duty or of a settled number of meals as numbers, in rising order."""
        if name not in self._dose_times:
            model, here = self.model, self.at[name]
            found = [model.new_int_var(0, self.slots - 1, "") for _ in range(times)]
            chosen = [
                {place: model.new_bool_var("") for place in range(number, self.count - times + 1 + number)}
                for number in range(times)
            ]
            for number, places in enumerate(chosen):
                model.add_exactly_one(places.values())
                for place, literal in places.items():
                    model.add(found[number] == self.t[place]).only_enforce_if(literal)
            for place in range(self.count):
                model.add(sum(places[place] for places in chosen if place in places) == here[place])
            for earlier, later in itertools.pairwise(found):
                model.add(later > earlier)
            self._dose_times[name] = found
        return self._dose_times[name]

    def _insist(self, clock: int, what: str | None) -> None:
        slot, off = divmod(clock, self.grid)
        ways = []
        for place in range(self.count) if not off else ():
            way = self.model.new_bool_var("")
            self.model.add(self.t[place] == slot).only_enforce_if(way)
            if what is not None:
                self.model.add_implication(way, self.at[what][place])
            ways.append(way)
        self.model.add_bool_or(ways)

    # --- wishes

    def aim_for(self, aim: Aim) -> Any:
        """The cost of an aim as an expression, in sessions, meals or grid steps; 0 when it asks nothing."""
        if aim not in self.aims:
            cost = {
                Aim.NIGHT: self._night_cost,
                Aim.PEOPLE: self._people_cost,
                Aim.MEALS: self._meals_cost,
                Aim.MOVED: self._moved_cost,
                Aim.EVEN: self._even_cost,
            }[aim]()
            self.aims[aim] = cost
        return self.aims[aim]

    def _inside(self, place: int, allowed: list[int]) -> Any:
        """True only when this session lies in these slots."""
        literal = self.model.new_bool_var("")
        self.model.add_linear_expression_in_domain(self.t[place], self._domain(allowed)).only_enforce_if(literal)
        return literal

    def _night_cost(self) -> Any:
        night = self.regimen.night
        if night is None:
            return 0
        by_day = [slot for slot in range(self.slots) if not night.is_inside(slot * self.grid)]
        return self.count - sum(self._inside(place, by_day) for place in range(self.count))

    def _people_cost(self) -> Any:
        regimen, model = self.regimen, self.model
        if not regimen.people:
            return 0
        upright = regimen.meals.upright_minutes if regimen.meals else 0
        clocks = [slot * self.grid for slot in range(self.slots)]
        alike: dict[tuple[tuple[tuple[int, ...], tuple[int, ...]], ...], int] = {}
        for weekday in regimen.weekdays:
            pattern = tuple(
                (
                    tuple(s for s, c in enumerate(clocks) if who.is_available(weekday=weekday, clock=c)),
                    tuple(
                        s for s, c in enumerate(clocks) if who.is_available(weekday=weekday, clock=c, minutes=upright)
                    ),
                )
                for who in regimen.people
            )
            alike[pattern] = alike.get(pattern, 0) + 1
        costs = []
        for place in range(self.count):
            for pattern, days in alike.items():
                ways = []
                for who, (free, stays) in zip(regimen.people, pattern, strict=True):
                    if not free:
                        continue
                    way = self._inside(place, list(free))
                    for duty in regimen.duties:
                        if duty.skill is not None and duty.skill not in who.skills:
                            model.add_implication(way, self.at[duty.name][place].negated())
                    meal = self.at[MEAL][place]
                    if regimen.meals and regimen.meals.skill is not None and regimen.meals.skill not in who.skills:
                        model.add_implication(way, meal.negated())
                    elif stays != free:
                        self.model.add_linear_expression_in_domain(self.t[place], self._domain(stays)).only_enforce_if(
                            way, meal
                        )
                    ways.append(way)
                conflict = model.new_bool_var("")
                model.add_bool_or([*ways, conflict])
                costs.append(days * conflict)
        return sum(costs)

    def _meals_cost(self) -> Any:
        meals = self.regimen.meals
        if meals is None:
            return 0
        own = [wish.clocks for wish in self.regimen.usual if wish.what == MEAL]
        wanted = sum(map(len, own)) if own else meals.fewest
        cost = self.model.new_int_var(0, 24, "")
        self.model.add_abs_equality(cost, self.meal_count - wanted)
        return cost

    def _moved_cost(self) -> Any:
        model = self.model
        elements: dict[tuple[tuple[int, ...], int], Any] = {}
        costs = []
        for name in [MEAL, *(duty.name for duty in self.regimen.duties if duty.times is not None)]:
            usual = self.regimen.usual_clocks(name)
            if not usual or (name == MEAL and self.regimen.meals is None):
                continue
            table = tuple(
                min(min((c * self.grid - u) % DAY_MINUTES, (u - c * self.grid) % DAY_MINUTES) for u in usual)
                for c in range(self.slots)
            )
            for place in range(self.count):
                if (table, place) not in elements:
                    element = model.new_int_var(0, max(table), "")
                    model.add_element(self.t[place], list(table), element)
                    elements[table, place] = element
                cost = model.new_int_var(0, max(table), "")
                model.add(cost >= elements[table, place]).only_enforce_if(self.at[name][place])
                costs.append(cost)
        return sum(costs) if costs else 0

    def _even_cost(self) -> Any:
        """The spread between longest and shortest gap, summed [minutes]; the number of meals must be settled."""
        model, costs = self.model, []
        numbers = {duty.name: duty.times for duty in self.regimen.duties if duty.times is not None}
        if self.regimen.meals is not None and self.regimen.meals.fewest == self.regimen.meals.most:
            numbers[MEAL] = self.regimen.meals.fewest
        for name, times in numbers.items():
            if times < 2:
                continue
            found = self._times_of(name, times)
            longest = model.new_int_var(-(-self.slots // times), self.slots, "")
            shortest = model.new_int_var(0, self.slots // times, "")
            for earlier, later in zip(found, [*found[1:], found[0] + self.slots], strict=True):
                model.add(longest >= later - earlier)
                model.add(shortest <= later - earlier)
            costs.append((longest - shortest) * self.grid)
        return sum(costs) if costs else 0

    # --- answers

    def hint(self, timetable: Timetable) -> None:
        """Start the search from a known day with as many sessions."""
        self.model.clear_hints()
        for place, session in enumerate(timetable.sessions):
            self.model.add_hint(self.t[place], session.clock // self.grid)
            for name, here in self.at.items():
                duty = None if name == MEAL else self.regimen.duty(name)
                if duty is None or duty.times is not None:
                    self.model.add_hint(here[place], session.holds(name))

    def solve(self, *, effort: float, minimize: Any = None) -> tuple[str, Timetable | None, int, int]:
        """Search with one worker and a fixed seed, as long as `effort` (deterministic time) allows.

        Args:
            effort: Deterministic time, the solver's own unit.
            minimize: What is made least; None to find any day.
        Returns:
            "found", "best", "impossible" or "unknown"; the day; its cost and the proven bound of what was minimized.
        """
        solver = fixed_solver(effort=effort)
        solver.parameters.linearization_level = 1 if minimize is not None else 0
        if minimize is not None:
            self.model.minimize(minimize)
        status = solver.solve(self.model)
        if status == self._cp.INFEASIBLE:
            return "impossible", None, 0, 0
        if status not in (self._cp.OPTIMAL, self._cp.FEASIBLE):
            return "unknown", None, 0, 0
        sessions = tuple(
            Session(
                clock=solver.value(self.t[place]) * self.grid,
                has_meal=bool(solver.value(self.at[MEAL][place])),
                duties=tuple(d.name for d in self.regimen.duties if solver.value(self.at[d.name][place])),
            )
            for place in range(self.count)
        )
        best = status == self._cp.OPTIMAL
        cost = bound = 0
        if minimize is not None:
            cost, bound = round(solver.objective_value), -(-round(solver.best_objective_bound * 1000) // 1000)
        return ("best" if best else "found"), Timetable(sessions=sessions), cost, (cost if best else bound)
