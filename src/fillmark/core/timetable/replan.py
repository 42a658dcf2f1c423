"""The day planned anew from now: what moves, and what is let go."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from fillmark.core.timetable.axis import FLUSH, Axis, Item
from fillmark.core.timetable.check import Event, check_events
from fillmark.core.timetable.clock import DAY_MINUTES, clock_at, instant_at, write_clock, write_duration
from fillmark.core.timetable.day import Timetable
from fillmark.core.timetable.model import SEED
from fillmark.core.timetable.regimen import MEAL, Regimen
from fillmark.core.values.errors import BadPlan

EFFORT = 1.0
"""Deterministic time the solver may take for one attempt."""


REACH_MINUTES = 6 * 60
"""Nothing is moved further than this from its usual time in one day [minutes]."""


MOST_DAYS = 3
"""So many days at most may differ before the usual times return."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Settled:
    """What became of something that was planned: when it was given, or None when it was missed or let go."""

    what: str
    planned_at: datetime
    given_at: datetime | None


@dataclass(frozen=True, kw_only=True, slots=True)
class Placed:
    """Something still to come: its usual instant, and when it is to come now."""

    what: str
    usual_at: datetime
    at: datetime

    @property
    def moved_minutes(self) -> int:
        """How much later (or earlier, below 0) than usual [minutes]."""
        return round((self.at - self.usual_at).total_seconds() / 60)


@dataclass(frozen=True, kw_only=True, slots=True)
class LetGo:
    """Something that is not made up, and why."""

    what: str
    usual_at: datetime
    because: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Replan:
    """The way back to the usual day.

    Attributes:
        placed: What is still to come until the usual times return, in order of time.
        let_go: What is left out, never doubled.
        usual_again_on: The first local day that is lived wholly at the usual times.
        is_proven: Whether no day that keeps the rules lets less go and moves less.
    """

    placed: tuple[Placed, ...]
    let_go: tuple[LetGo, ...]
    usual_again_on: date
    is_proven: bool

    @property
    def because(self) -> str:
        """What changes, for a person."""
        moved = sum(1 for placed in self.placed if placed.moved_minutes)
        lines = [
            f"{moved} moved, the usual times again on {self.usual_again_on.isoformat()}" if moved else "nothing moves"
        ]
        return "; ".join(lines + [gone.because for gone in self.let_go])


def replan_day(
    *,
    regimen: Regimen,
    timetable: Timetable,
    zone: ZoneInfo,
    now: datetime,
    settled: Sequence[Settled] = (),
    late_minutes: dict[str, int] | None = None,
) -> Replan:
    """What is still to come, moved as little as the rules allow.

    Also the way to live a day on which the clocks change: with `now` at its start.

    Args:
        regimen: The rules.
        timetable: The usual day.
        zone: Where the animal is.
        now: The present instant.
        settled: What became of what was planned, for yesterday and today; an older time is taken to have been kept.
        late_minutes: How late each may still be given, in the vet's missed-dose rule [minutes]; without it as late as
            its interval's tolerance.
    Raises:
        BadPlan: `now` has no zone.
    Source:
        the vet's orders; arithmetic on instants
    """
    if now.tzinfo is None:
        raise BadPlan(
            field="now", got="a time without its zone", allowed="an instant with its zone", remedy="Add the zone."
        )
    today, _ = clock_at(instant=now, zone=zone)
    attempts = [(days, False) for days in range(1, MOST_DAYS + 1)] + [(1, True), (MOST_DAYS, True)]
    for days, may_let_go in attempts:
        found = _Path(regimen, timetable, zone, today, now, settled, late_minutes or {}, days).solve(may_let_go)
        if found is not None:
            return found
    raise AssertionError("letting everything go is always possible")


class _Path(Axis):
    """The movable part of some days between what is done and the usual day that follows."""

    def __init__(
        self,
        regimen: Regimen,
        timetable: Timetable,
        zone: ZoneInfo,
        today: date,
        now: datetime,
        settled: Sequence[Settled],
        late: dict[str, int],
        days: int,
    ) -> None:
        super().__init__(regimen, zone=zone, now=now, origin=instant_at(day=today, clock=0, zone=zone))
        self.timetable, self.late = timetable, late
        self.today, self.days = today, days
        known = {(one.what, one.planned_at.astimezone(UTC)): one for one in settled}
        self.gone: list[LetGo] = []
        for day_number in range(-2, days + 2):
            day = today + timedelta(days=day_number)
            for session in timetable.sessions:
                names = [*session.duties, *([MEAL] if session.has_meal else [])] or [FLUSH]
                at = instant_at(day=day, clock=session.clock, zone=zone)
                for name in names:
                    self._sort(name, at, day_number, (day, session.clock), known.get((name, at)))

    def _sort(self, name: str, at: datetime, day_number: int, session: tuple[date, int], known: Settled | None) -> None:
        if known is not None:
            if known.given_at is not None:
                self.given.append(Event(name, known.given_at.astimezone(UTC), is_given=True))
            else:
                self.broken.add(name)
        elif day_number < 0:
            self.given.append(Event(name, at, is_given=True))
        elif day_number >= self.days:
            self.after.append(Event(name, at))
        elif self.now - at <= timedelta(minutes=self._late(name)):
            self.items.append(Item(name, session, self._slot(at)))
        else:
            self.broken.add(name)
            late = write_duration(self._late(name))
            words = f"{name} of {write_clock(session[1])} is let go: it is more than {late} late"
            self.gone.append(LetGo(what=name, usual_at=at, because=f"{words}, and nothing is doubled to make up"))

    def _late(self, name: str) -> int:
        if name in self.late:
            return self.late[name]
        shortest, longest = self._gaps(name)
        if longest is not None:
            return max(0, (longest - shortest) // 2)
        times = len(self.timetable.clocks_of(name)) or 1
        return DAY_MINUTES // times // 4

    def _allowed(self, item: Item) -> list[int]:
        """Where this may be moved to, by the clock on the wall."""
        reach = REACH_MINUTES // self.grid
        regimen = self.regimen
        windows = []
        if item.what == MEAL and regimen.meals is not None and regimen.meals.window is not None:
            windows.append(regimen.meals.window)
        if item.what not in (MEAL, FLUSH):
            window = regimen.duty(item.what).window
            windows += [window] if window is not None else []
        by_day = item.what == MEAL and regimen.meals is not None and not regimen.meals.may_be_at_night
        night = regimen.night if by_day else None
        found = []
        for slot in range(max(item.usual - reach, self.first), item.usual + reach + 1):
            _, clock = clock_at(instant=self._at(slot), zone=self.zone)
            if (
                all(window.holds(clock) for window in windows)
                and not any(quiet.is_inside(clock) for quiet in regimen.quiet)
                and not (night is not None and night.is_inside(clock))
            ):
                found.append(slot)
        return found

    def solve(self, may_let_go: bool) -> Replan | None:
        from ortools.sat.python import cp_model

        model: Any = cp_model.CpModel()
        leaders: dict[tuple[date, int], Any] = {}
        costs = []
        for item in self.items:
            allowed = self._allowed(item)
            if not allowed and not may_let_go:
                return None
            time = model.new_int_var_from_domain(cp_model.Domain.from_values(allowed or [item.usual]), "")
            kept = model.new_bool_var("") if may_let_go and item.what != FLUSH else model.new_constant(1)
            if not allowed:
                model.add(kept == 0)
            self.times.append(time)
            self.kept.append(kept)
            moved = model.new_int_var(0, 10_000, "")
            model.add_abs_equality(moved, time - item.usual)
            leader = leaders.setdefault(item.session, time)
            if leader is not time:
                together = model.new_bool_var("")
                model.add(time == leader).only_enforce_if(together)
                costs.append(1_000 - 1_000 * together)
            costs += [moved, 100_000 - 100_000 * kept]
        self._add_rules(model)
        model.minimize(sum(costs) if costs else 0)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = SEED
        solver.parameters.max_deterministic_time = EFFORT
        solver.parameters.cp_model_probing_level = 0
        solver.parameters.symmetry_level = 0
        status = solver.solve(model)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return None
        return self._read(solver, status == cp_model.OPTIMAL)

    def _read(self, solver: Any, is_proven: bool) -> Replan:
        placed, gone = [], list(self.gone)
        for item, time, kept in zip(self.items, self.times, self.kept, strict=True):
            usual_at = self._at(item.usual)
            if solver.value(kept):
                placed.append(Placed(what=item.what, usual_at=usual_at, at=self._at(solver.value(time))))
            else:
                words = f"{item.what} of {write_clock(item.session[1])} is let go: no time keeps its rules"
                gone.append(LetGo(what=item.what, usual_at=usual_at, because=f"{words}, and nothing is doubled"))
        placed.sort(key=lambda one: (one.at, one.what))
        events = [*self.given, *(Event(one.what, one.at) for one in placed), *self.after]
        faults = check_events(regimen=self.regimen, events=events, until=self._at(self._end()))
        if faults:
            raise AssertionError(f"the new day breaks a rule: {' '.join(faults)}")
        changed = [clock_at(instant=one.usual_at, zone=self.zone)[0] for one in placed if one.moved_minutes]
        changed += [clock_at(instant=one.usual_at, zone=self.zone)[0] for one in gone]
        again = max(changed, default=self.today - timedelta(days=1)) + timedelta(days=1)
        return Replan(placed=tuple(placed), let_go=tuple(gone), usual_again_on=again, is_proven=is_proven)

    def _end(self) -> int:
        return self._slot(instant_at(day=self.today + timedelta(days=self.days), clock=0, zone=self.zone))
