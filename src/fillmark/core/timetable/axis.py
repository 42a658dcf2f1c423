"""Things to be placed on an axis of time, and what the rules of a regimen ask of any two of them.

Gaps are real time between instants. What was given and what follows stands still; what may move is a variable, and
may be skipped; a rule binds two things only while both are kept.
"""

import itertools
import math
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from fillmark.core.timetable.check import Event
from fillmark.core.timetable.clock import DAY_MINUTES
from fillmark.core.timetable.regimen import MEAL, AnyFood, BeforeMeal, EmptyStomach, Food, Regimen, WithMeal

FLUSH = "flush"
"""The name a session of water alone goes by."""


@dataclass(frozen=True, slots=True)
class Item:
    """One thing that may move, in grid steps from the axis's first instant."""

    what: str
    session: Any
    usual: int


class Axis:
    """The movable part of some days, between what is done and what follows."""

    def __init__(self, regimen: Regimen, *, zone: ZoneInfo, now: datetime, origin: datetime) -> None:
        self.regimen, self.zone, self.now, self.origin = regimen, zone, now, origin
        self.grid = regimen.grid_minutes
        self.first = math.ceil(self._exact(now))
        self.given: list[Event] = []
        self.items: list[Item] = []
        self.after: list[Event] = []
        self.broken: set[str] = set()
        self.times: list[Any] = []
        self.kept: list[Any] = []

    def _gaps(self, name: str) -> tuple[int, int | None]:
        if name == MEAL and self.regimen.meals is not None:
            return self.regimen.meals.shortest_gap_minutes, self.regimen.meals.longest_gap_minutes
        if name in (MEAL, FLUSH):
            return 0, None
        duty = self.regimen.duty(name)
        return duty.shortest_gap_minutes, duty.longest_gap_minutes

    def _slot(self, at: datetime) -> int:
        return round((at - self.origin).total_seconds() / 60 / self.grid)

    def _exact(self, at: datetime) -> float:
        return (at - self.origin).total_seconds() / 60 / self.grid

    def _at(self, slot: int) -> datetime:
        return self.origin + timedelta(minutes=slot * self.grid)

    def _entries(self, name: str) -> list[tuple[Any, Any, float]]:
        """Every time of this name as (time, kept, usual): what was given, what may move, what follows."""
        done = [(self._exact(e.at), None, self._exact(e.at)) for e in self.given if e.what == name]
        movable = [(self.times[n], self.kept[n], i.usual) for n, i in enumerate(self.items) if i.what == name]
        later = [(self._exact(e.at), None, self._exact(e.at)) for e in self.after if e.what == name]
        return sorted(done, key=lambda entry: entry[2]) + movable + later

    def _relate(self, model: Any, one: Any, other: Any, intervals: list[tuple[float, float]]) -> None:
        """other - one must lie in one of the intervals [grid steps] when both are kept."""
        (first, is_first, _), (second, is_second, _) = one, other
        conditions = [literal for literal in (is_first, is_second) if literal is not None]
        if not conditions:
            return
        fixed = 0.0
        expression: Any = 0
        for sign, value, literal in ((-1, first, is_first), (1, second, is_second)):
            if literal is None:
                fixed += sign * value
            else:
                expression = expression + sign * value
        from ortools.sat.python import cp_model

        whole = [(math.ceil(low - fixed - 1e-9), math.floor(high - fixed + 1e-9)) for low, high in intervals]
        whole = [pair for pair in whole if pair[0] <= pair[1]]
        domain = cp_model.Domain.from_intervals([list(pair) for pair in whole])
        model.add_linear_expression_in_domain(expression, domain).only_enforce_if(*conditions)

    def _add_rules(self, model: Any) -> None:
        far = 100_000.0
        names = [MEAL, *(duty.name for duty in self.regimen.duties)]
        for name in names:
            entries = self._entries(name)
            shortest, longest = self._gaps(name)
            # Between two of the same, however many between them are skipped.
            for place, one in enumerate(entries):
                for other in entries[place + 1 :]:
                    self._relate(model, one, other, [(max(shortest / self.grid, 0.01), far)])
            if longest is not None:
                for one, other in itertools.pairwise(entries):
                    is_past = one[1] is None and one[2] + longest / self.grid < self.first
                    if not is_past and name not in self.broken:
                        self._relate(model, one, other, [(-far, longest / self.grid)])
        for pair in self.regimen.apart:
            steps = pair.minutes / self.grid
            self._pairwise(model, pair.first, pair.second, [(-far, -steps), (steps, far)])
        meals = self._entries(MEAL)
        for duty in self.regimen.duties:
            self._add_food(model, duty.name, WithMeal() if duty.times is None else duty.food, meals)
        if self.regimen.meals is not None and self.regimen.meals.upright_minutes > 0:
            upright = self.regimen.meals.upright_minutes / self.grid
            for name in [*names[1:], FLUSH]:
                self._pairwise(model, MEAL, name, [(-far, 0.0), (upright, far)])

    def _pairwise(self, model: Any, first: str, second: str, intervals: list[tuple[float, float]]) -> None:
        for one in self._entries(first):
            for other in self._entries(second):
                self._relate(model, one, other, intervals)

    def _add_food(self, model: Any, name: str, food: Food, meals: list[tuple[Any, Any, float]]) -> None:
        far = 100_000.0
        match food:
            case EmptyStomach(after_minutes=after, before_minutes=before):
                self._pairwise(model, name, MEAL, [(-far, -after / self.grid), (before / self.grid, far)])
                return
            case BeforeMeal(least_minutes=least, most_minutes=most):
                low, high = least / self.grid, most / self.grid
                self._pairwise(model, name, MEAL, [(-far, -0.01), (low, far)])
            case WithMeal():
                low = high = 0.0
            case AnyFood():
                return
        for entry in self._entries(name):
            if entry[1] is None:
                continue
            ways = []
            for time, kept, usual in meals:
                if abs(usual - entry[2]) > DAY_MINUTES / self.grid:
                    continue
                way = model.new_bool_var("")
                if kept is not None:
                    model.add_implication(way, kept)
                self._relate(model, (entry[0], way, 0), (time, kept, usual), [(low, high)])
                ways.append(way)
            model.add_bool_or([*ways, entry[1].negated()])
