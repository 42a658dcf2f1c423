"""The rest of one day at other times, its sessions kept whole and in order: moved as little as the rules allow.

What was given and what tomorrow brings stand still. Nothing comes sooner than its gap, nothing is added, and what
finds no time is skipped and said so.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from fillmark.core.timetable.axis import FLUSH, Axis, Item
from fillmark.core.timetable.check import Event, check_events
from fillmark.core.timetable.clock import write_duration
from fillmark.core.timetable.regimen import MEAL, Kind, Regimen
from fillmark.core.timetable.solver import fixed_solver

EFFORT = 1.0
"""Deterministic time the solver may take; about as many seconds on an ordinary machine."""
APART_MINUTES = 15
"""Two sessions that move stay so far apart, or as far as they were planned [minutes]."""


DOSE_COST, MEAL_COST, FLUSH_COST, TASK_COST = 100_000, 90_000, 80_000, 50_000
"""What letting one thing go weighs, in steps moved: the fewest things go, and of two a meal before a dose, since what a
meal leaves out may be spread by the vet's rule and a dose may not."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Movable:
    """One thing of a session still to come.

    Attributes:
        what: Its name in the regimen.
        session: The session it belongs to.
        usual_at: When the plan has it.
        earliest_at: Not before this.
        latest_at: Skipped when it would come later.
    """

    what: str
    session: str
    usual_at: datetime
    earliest_at: datetime
    latest_at: datetime


@dataclass(frozen=True, slots=True)
class Away:
    """Nobody can come from one instant until another; at both of them somebody can."""

    from_at: datetime
    until_at: datetime

    def holds(self, at: datetime) -> bool:
        """Whether nobody can come at this instant."""
        return self.from_at < at < self.until_at


@dataclass(frozen=True, slots=True)
class NotPlaced:
    """One thing that is skipped, and why."""

    what: str
    session: str
    because: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Rest:
    """When each session still to come is to be.

    Attributes:
        at: The instant of each session of which something is kept.
        let_go: What finds no time.
        is_proven: Whether nothing that keeps the rules lets less go and moves less.
    """

    at: dict[str, datetime]
    let_go: tuple[NotPlaced, ...]
    is_proven: bool


def place_rest(
    *,
    regimen: Regimen,
    zone: ZoneInfo,
    now: datetime,
    ends_at: datetime,
    given: Sequence[Event],
    movable: Sequence[Movable],
    after: Sequence[Event],
    away: Away | None = None,
) -> Rest:
    """The best times for what is still to come today.

    Args:
        regimen: The rules; how far apart two of the same may be at most plays no part.
        zone: Where the animal is.
        now: The present instant.
        ends_at: The end of the day.
        given: What went in, or may have, today and before.
        movable: What is still to come today, in the order of its sessions.
        after: What the next days bring, at their usual times.
        away: When nobody can come.
    Raises:
        AssertionError: the answer breaks a rule; it is never shown.
    Source:
        the vet's orders; arithmetic on instants
    """
    if not movable:
        return Rest(at={}, let_go=(), is_proven=True)
    axis = _RestAxis(regimen, zone=zone, now=now, ends_at=ends_at, movable=movable, away=away)
    axis.given, axis.after = list(given), list(after)
    return axis.solve()


class _RestAxis(Axis):
    """One variable for each session, one for each thing that may be skipped."""

    def __init__(
        self,
        regimen: Regimen,
        *,
        zone: ZoneInfo,
        now: datetime,
        ends_at: datetime,
        movable: Sequence[Movable],
        away: Away | None,
    ) -> None:
        bare = replace(
            regimen,
            duties=tuple(replace(duty, longest_gap_minutes=None) for duty in regimen.duties),
            meals=regimen.meals and replace(regimen.meals, longest_gap_minutes=None),
        )
        # on the steps that the planned times stand on, so that a moment later the answer is still the same
        super().__init__(bare, zone=zone, now=now, origin=movable[0].usual_at)
        self.movable, self.away, self.ends_at = movable, away, ends_at
        self.items = [Item(one.what, one.session, self._slot(one.usual_at)) for one in movable]
        self.sessions = list(dict.fromkeys(one.session for one in movable))
        self.reach = {
            session: [
                slot
                for slot in range(self.first, self._slot(ends_at))
                if away is None or not away.holds(self._at(slot))
            ]
            for session in self.sessions
        }

    def solve(self) -> Rest:
        from ortools.sat.python import cp_model

        model: Any = cp_model.CpModel()
        starts: dict[str, Any] = {}
        usual = {item.session: item.usual for item in self.items}
        costs: list[Any] = []
        for session, slots in self.reach.items():
            domain = cp_model.Domain.from_values(slots or [self.first])
            starts[session] = model.new_int_var_from_domain(domain, "")
            moved = model.new_int_var(0, 10_000, "")
            model.add_abs_equality(moved, starts[session] - usual[session])
            costs.append(moved)
        for one in self.movable:
            start, kept = starts[one.session], model.new_bool_var("")
            low, high = self._exact(one.earliest_at), self._exact(one.latest_at)
            fits = [slot for slot in self.reach[one.session] if low - 1e-9 <= slot <= high + 1e-9]
            if fits:
                model.add_linear_expression_in_domain(start, cp_model.Domain.from_values(fits)).only_enforce_if(kept)
            else:
                model.add(kept == 0)
            self.times.append(start)
            self.kept.append(kept)
            cost = self._cost(one.what)
            costs.append(cost - cost * kept)
        self._keep_order(model, starts, usual)
        self._add_rules(model)
        model.minimize(sum(costs))
        solver = fixed_solver(effort=EFFORT)
        status = solver.solve(model)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            raise AssertionError("letting everything go is always possible")
        return self._read(solver, starts, is_proven=status == cp_model.OPTIMAL)

    def _cost(self, what: str) -> int:
        if what in (MEAL, FLUSH):
            return MEAL_COST if what == MEAL else FLUSH_COST
        return TASK_COST if self.regimen.duty(what).kind is Kind.TASK else DOSE_COST

    def _keep_order(self, model: Any, starts: dict[str, Any], usual: dict[str, int]) -> None:
        """Sessions of which something is kept stay in their order, a little apart."""
        held: dict[str, Any] = {}
        for session in self.sessions:
            held[session] = model.new_bool_var("")
            mine = [kept for item, kept in zip(self.items, self.kept, strict=True) if item.session == session]
            model.add_max_equality(held[session], mine)
        for place, one in enumerate(self.sessions):
            for other in self.sessions[place + 1 :]:
                planned = usual[other] - usual[one]
                least = min(max(planned, 0), -(-APART_MINUTES // self.grid))
                model.add(starts[other] - starts[one] >= least).only_enforce_if(held[one], held[other])

    def _read(self, solver: Any, starts: dict[str, Any], *, is_proven: bool) -> Rest:
        at: dict[str, datetime] = {}
        gone = []
        for one, kept in zip(self.movable, self.kept, strict=True):
            if solver.value(kept):
                at[one.session] = self._at(solver.value(starts[one.session]))
            else:
                gone.append(NotPlaced(one.what, one.session, self._why(one)))
        found = Rest(at=at, let_go=tuple(gone), is_proven=is_proven)
        faults = tuple(self._faults(found))
        if faults:
            raise AssertionError(f"the new times break a rule: {' '.join(faults)}")
        return found

    def _why(self, one: Movable) -> str:
        """Why it finds no time: it would come too late, nobody is there, or a rule between two things forbids it."""
        late = one.latest_at - one.usual_at
        if self.now > one.latest_at:
            return f"it is more than {write_duration(round(late.total_seconds() / 60))} late"
        if self.away is not None and not any(
            one.earliest_at <= self._at(slot) <= one.latest_at for slot in self.reach[one.session]
        ):
            return "nobody is there while it may be given"
        return "no time left today keeps its distance to the others"

    def _faults(self, found: Rest) -> Iterator[str]:
        """An independent look, in plain arithmetic."""
        gone = {(one.what, one.session) for one in found.let_go}
        kept = [one for one in self.movable if (one.what, one.session) not in gone]
        coming = [Event(one.what, found.at[one.session]) for one in kept]
        given = [replace(event, is_given=True) for event in self.given]
        yield from check_events(regimen=self.regimen, events=[*given, *coming, *self.after], until=self.ends_at)
        for one in kept:
            at = found.at[one.session]
            if not (max(self.now, one.earliest_at) <= at <= one.latest_at and at < self.ends_at):
                yield f"{one.what} at {at:%H:%M} UTC is outside its time."
            if self.away is not None and self.away.holds(at):
                yield f"{one.what} at {at:%H:%M} UTC is while nobody is there."
        if MEAL in (one.what for one in kept) and self.regimen.meals is None:
            yield "There is a meal that nobody ordered."
