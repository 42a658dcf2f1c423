"""Whether any day at all holds the rules, however many sessions it takes: each dose and meal has a time of its own."""

from typing import Any

from fillmark.core.timetable.clock import DAY_MINUTES, Window
from fillmark.core.timetable.day import Session, Timetable
from fillmark.core.timetable.regimen import MEAL, BeforeMeal, EmptyStomach, Regimen, WithMeal
from fillmark.core.timetable.solver import fixed_solver


def find_any_day(*, regimen: Regimen, effort: float) -> Timetable | bool:
    """A day that holds every rule except a limit on the number of sessions.

    Args:
        regimen: The rules.
        effort: Deterministic time the solver may take.
    Returns:
        The day; False when it is proven that there is none; True when neither was found out.
    Source:
        arithmetic only
    """
    return _FreeModel(regimen).solve(effort)


class _FreeModel:
    def __init__(self, regimen: Regimen) -> None:
        from ortools.sat.python import cp_model

        self._cp = cp_model
        self.regimen = regimen
        self.grid = regimen.grid_minutes
        self.slots = DAY_MINUTES // self.grid
        self.model: Any = cp_model.CpModel()
        self.times: dict[str, list[Any]] = {}
        self.active: dict[str, list[Any]] = {}
        self.extra: list[Any] = []
        self._open = self._domain(
            slot for slot in range(self.slots) if not any(q.is_inside(slot * self.grid) for q in regimen.quiet)
        )
        self._add_meals()
        self._add_duties()
        self._add_water()
        for wish in regimen.insisted:
            slot, off = divmod(wish.clock, self.grid)
            if off:
                self.model.add_bool_or([])
            elif wish.what is None:
                self.extra.append(
                    self.model.new_int_var_from_domain(self._open.intersection_with(cp_model.Domain(slot, slot)), "")
                )
            else:
                self._one_of(wish.what, lambda time, slot=slot: (time, slot, slot), ())
        for pair in regimen.apart:
            steps = self._up(pair.minutes)
            self._keep_apart(pair.first, pair.second, steps, steps)
        self._hold_upright()

    def _up(self, minutes: int) -> int:
        return -(-minutes // self.grid)

    def _domain(self, slots: Any) -> Any:
        return self._cp.Domain.from_values(sorted(slots))

    def _within(self, window: Window) -> Any:
        return self._domain(slot for slot in range(self.slots) if window.holds(slot * self.grid))

    def _sequence(self, name: str, allowed: Any, fewest: int, most: int, shortest: int, longest: int) -> None:
        """So many times in rising order, those past the fewest optional, with gaps all round the clock."""
        model = self.model
        times = [model.new_int_var_from_domain(allowed, "") for _ in range(most)]
        active = [model.new_constant(1) if number < fewest else model.new_bool_var("") for number in range(most)]
        self.times[name], self.active[name] = times, active
        for number in range(most - 1):
            model.add_implication(active[number + 1], active[number])
            model.add_linear_constraint(times[number + 1] - times[number], max(1, shortest), longest).only_enforce_if(
                active[number + 1]
            )
        for number in range(max(fewest, 1) - 1, most):
            is_last = [active[number], *([active[number + 1].negated()] if number + 1 < most else [])]
            gap = times[0] + self.slots - times[number]
            model.add_linear_constraint(gap, min(shortest, self.slots) if number else 0, longest).only_enforce_if(
                is_last
            )
            if number == 0 and not shortest <= self.slots <= longest:
                model.add_bool_or([literal.negated() for literal in is_last])

    def _add_meals(self) -> None:
        meals = self.regimen.meals
        if meals is None:
            self.times[MEAL], self.active[MEAL] = [], []
            return
        allowed = self._open
        if meals.window is not None:
            allowed = allowed.intersection_with(self._within(meals.window))
        night = self.regimen.night
        if not meals.may_be_at_night and night is not None:
            by_day = self._domain(slot for slot in range(self.slots) if not night.is_inside(slot * self.grid))
            allowed = allowed.intersection_with(by_day)
        longest = self.slots if meals.longest_gap_minutes is None else meals.longest_gap_minutes // self.grid
        self._sequence(MEAL, allowed, meals.fewest, meals.most, self._up(meals.shortest_gap_minutes), longest)

    def _add_duties(self) -> None:
        model = self.model
        for duty in self.regimen.duties:
            allowed = self._open if duty.window is None else self._open.intersection_with(self._within(duty.window))
            if duty.times is None:
                self.times[duty.name], self.active[duty.name] = self.times[MEAL], self.active[MEAL]
                if duty.window is not None:
                    for time, active in zip(self.times[MEAL], self.active[MEAL], strict=True):
                        model.add_linear_expression_in_domain(time, allowed).only_enforce_if(active)
                continue
            longest = self.slots if duty.longest_gap_minutes is None else duty.longest_gap_minutes // self.grid
            self._sequence(
                duty.name, allowed, duty.times, duty.times, self._up(duty.shortest_gap_minutes), max(longest, 0)
            )
            match duty.food:
                case WithMeal():
                    for time in self.times[duty.name]:
                        self._one_of(MEAL, lambda meal, time=time: (meal - time, 0, 0), ())
                case EmptyStomach(after_minutes=after, before_minutes=before):
                    self._keep_apart(duty.name, MEAL, self._up(before), self._up(after))
                case BeforeMeal(least_minutes=least_minutes, most_minutes=most_minutes):
                    least, most = self._up(least_minutes), most_minutes // self.grid
                    self._keep_apart(duty.name, MEAL, least, 1)
                    for time in self.times[duty.name]:
                        self._one_of(
                            MEAL,
                            lambda meal, time=time, least=least, most=most: (meal - time, least, most),
                            (self.slots,),
                        )
                case _:
                    pass

    def _one_of(self, name: str, relation: Any, turns: tuple[int, ...]) -> None:
        """At least one time of this name stands in the relation, perhaps on the next day."""
        ways = []
        for time, active in zip(self.times[name], self.active[name], strict=True):
            expression, least, most = relation(time)
            for turn in (0, *turns):
                way = self.model.new_bool_var("")
                self.model.add_implication(way, active)
                if least <= most:
                    self.model.add_linear_constraint(expression + turn, least, most).only_enforce_if(way)
                else:
                    self.model.add_implication(way, way.negated())
                ways.append(way)
        self.model.add_bool_or(ways)

    def _keep_apart(self, first: str, second: str, ahead: int, behind: int) -> None:
        """So many steps from the first to the next second, and from the second to the next first."""
        forward = [[ahead, self.slots - behind], [ahead - self.slots, -behind]]
        domain = self._cp.Domain.from_intervals([pair for pair in forward if pair[0] <= pair[1]])
        for one, is_one in zip(self.times[first], self.active[first], strict=True):
            for other, is_other in zip(self.times[second], self.active[second], strict=True):
                if one is other:
                    self.model.add_bool_or([is_one.negated()])
                else:
                    self.model.add_linear_expression_in_domain(other - one, domain).only_enforce_if(is_one, is_other)

    def _add_water(self) -> None:
        """A chain of flushes round the clock, each of which may fall together with anything else or stand alone."""
        if self.regimen.water_gap_minutes is None:
            return
        most = self.regimen.water_gap_minutes // self.grid
        if most < 1:
            self.model.add_bool_or([])
            return
        chain = [
            self.model.new_int_var_from_domain(self._open, "")
            for _ in range(min(2 * -(-self.slots // most), self.slots))
        ]
        for earlier, later in zip(chain, [*chain[1:], chain[0] + self.slots], strict=True):
            self.model.add_linear_constraint(later - earlier, 0, most)
        self.extra += chain

    def _hold_upright(self) -> None:
        meals = self.regimen.meals
        if meals is None or self._up(meals.upright_minutes) <= 1:
            return
        steps = self._up(meals.upright_minutes)
        domain = self._cp.Domain.from_intervals([[steps - self.slots, 0], [steps, self.slots - 1]])
        others = [time for name, times in self.times.items() if name != MEAL for time in times] + self.extra
        for meal, active in zip(self.times[MEAL], self.active[MEAL], strict=True):
            for other in others:
                if not any(other is time for time in self.times[MEAL]):
                    self.model.add_linear_expression_in_domain(other - meal, domain).only_enforce_if(active)
            for other, too in zip(self.times[MEAL], self.active[MEAL], strict=True):
                if other is not meal:
                    self.model.add_linear_expression_in_domain(other - meal, domain).only_enforce_if(active, too)

    def solve(self, effort: float) -> Timetable | bool:
        solver = fixed_solver(effort=effort)
        solver.parameters.linearization_level = 0
        status = solver.solve(self.model)
        if status == self._cp.INFEASIBLE:
            return False
        if status not in (self._cp.OPTIMAL, self._cp.FEASIBLE):
            return True
        slots = {solver.value(time) for time in self.extra}
        held = {
            name: {
                solver.value(time)
                for time, active in zip(times, self.active[name], strict=True)
                if solver.value(active)
            }
            for name, times in self.times.items()
        }
        slots = slots.union(*held.values())
        return Timetable(
            sessions=tuple(
                Session(
                    clock=slot * self.grid,
                    has_meal=slot in held[MEAL],
                    duties=tuple(duty.name for duty in self.regimen.duties if slot in held[duty.name]),
                )
                for slot in sorted(slots)
            )
        )
