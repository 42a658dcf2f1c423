"""The rest of today after something came late, was missed or was cut short; days on which the clocks change; and trips.

Gaps are counted in real time between instants. Nothing comes closer to its own last time than its shortest gap, nothing
is given twice to make up, and the usual times return as soon as the rules allow.
"""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from fillmark.core.errors import BadPlan
from fillmark.core.timetable.axis import FLUSH, Axis, Item
from fillmark.core.timetable.check import Event, check_events
from fillmark.core.timetable.clock import DAY_MINUTES, clock_at, instant_at, write_clock, write_duration
from fillmark.core.timetable.day import Timetable
from fillmark.core.timetable.model import SEED
from fillmark.core.timetable.regimen import MEAL, BeforeMeal, EmptyStomach, Regimen

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


@dataclass(frozen=True, kw_only=True, slots=True)
class Trip:
    """The way from one time zone's usual day to another's, a little each session.

    Attributes:
        days: For each day from the first, the instants of the usual sessions, in their order.
        usual_on: The first day that is lived wholly at the usual clock times of the new zone.
    """

    days: tuple[tuple[datetime, ...], ...]
    usual_on: date
    because: str


def shift_for_trip(
    *,
    regimen: Regimen,
    timetable: Timetable,
    from_zone: ZoneInfo,
    to_zone: ZoneInfo,
    first_day: date,
    most_days: int = 60,
) -> Trip:
    """Move the whole day to another zone's clock as fast as the gaps allow, sessions kept whole and in order.

    Windows and quiet hours of the clock are not held on the way; they hold again once the usual times are reached.

    Args:
        regimen: The rules.
        timetable: The usual day.
        from_zone: The zone whose clock was kept until the day before.
        to_zone: The zone whose clock is to be kept.
        first_day: The first day on which times may move.
        most_days: How many days the way may take.
    Raises:
        BadPlan: the gaps leave no room to move, or the way takes longer.
    Source:
        arithmetic only
    """
    clocks = [session.clock for session in timetable.sessions]
    old = instant_at(day=first_day, clock=0, zone=from_zone)
    new = instant_at(day=first_day, clock=0, zone=to_zone)
    shift = round((new - old).total_seconds() / 60)
    shift = (shift + DAY_MINUTES // 2) % DAY_MINUTES - DAY_MINUTES // 2
    if not clocks:
        return Trip(days=(), usual_on=first_day, because="There is no session to move.")
    for days in range(1, most_days + 1):
        offsets = _largest_offsets(regimen, timetable, abs(shift), later=shift >= 0, days=days)
        last = offsets[-len(clocks) :]
        if all(offset == abs(shift) for offset in last):
            break
    else:
        raise BadPlan(
            field="trip",
            got=f"a shift of {write_duration(abs(shift))}",
            allowed=f"what the gaps allow within {most_days} days",
            remedy="Ask the vet for a wider tolerance, or keep the old clock during the trip.",
        )
    sign = 1 if shift >= 0 else -1
    per_day = len(clocks)
    instants = tuple(
        tuple(
            old + timedelta(minutes=day * DAY_MINUTES + clocks[place] + sign * offsets[day * per_day + place])
            for place in range(per_day)
        )
        for day in range(days)
    )
    moved_all = [
        day for day in range(days) if all(o == abs(shift) for o in offsets[day * per_day : (day + 1) * per_day])
    ]
    usual_on = first_day + timedelta(days=moved_all[0])
    way = "later" if shift >= 0 else "earlier"
    return Trip(
        days=instants,
        usual_on=usual_on,
        because=f"{write_duration(abs(shift))} {way}, at the usual times of the new zone from {usual_on.isoformat()}",
    )


def _largest_offsets(regimen: Regimen, timetable: Timetable, shift: int, *, later: bool, days: int) -> list[int]:
    """The furthest each session can be moved towards the shift [minutes].

    All bounds are on differences of two times, so the furthest solution exists and lowering offsets until every bound
    holds finds it. The day before stays where it was.
    """
    clocks = [session.clock for session in timetable.sessions]
    count = len(clocks)
    base = [(place // count - 1) * DAY_MINUTES + clocks[place % count] for place in range((days + 1) * count)]
    grid = regimen.grid_minutes
    offsets = [0] * count + [shift // grid * grid if shift % grid else shift] * (days * count)
    bounds = _session_bounds(regimen, timetable, base)
    sign = 1 if later else -1
    is_changing = True
    while is_changing:
        is_changing = False
        for earlier, after, least, most in bounds:
            gap = base[after] - base[earlier]
            # gap + sign * (offset[after] - offset[earlier]) must stay within least and most
            room_up, room_down = most - gap, gap - least
            ahead, behind = (room_up, room_down) if sign > 0 else (room_down, room_up)
            if offsets[after] > offsets[earlier] + ahead:
                offsets[after] = (offsets[earlier] + ahead) // grid * grid
                is_changing = True
            if offsets[earlier] > offsets[after] + behind:
                offsets[earlier] = (offsets[after] + behind) // grid * grid
                is_changing = True
    return offsets[count:]


def _session_bounds(regimen: Regimen, timetable: Timetable, base: list[int]) -> list[tuple[int, int, int, int]]:
    """Least and most minutes between pairs of sessions, by place."""
    sessions = timetable.sessions
    count, never = len(sessions), 10**6
    bounds: list[tuple[int, int, int, int]] = []
    holders = {
        name: [place for place in range(len(base)) if sessions[place % count].holds(name)]
        for name in [MEAL, *(duty.name for duty in regimen.duties)]
    }

    def chain(places: list[int], shortest: int, longest: int | None) -> None:
        for one, other in itertools.pairwise(places):
            bounds.append((one, other, max(shortest, 1), never if longest is None else longest))

    def keep(ahead_of: str, behind: str, minutes: int) -> None:
        for one in holders[ahead_of]:
            for other in holders[behind]:
                if 0 < base[other] - base[one] <= DAY_MINUTES:
                    bounds.append((one, other, minutes, never))

    chain(list(range(len(base))), regimen.grid_minutes, regimen.water_gap_minutes)
    for duty in regimen.duties:
        chain(holders[duty.name], duty.shortest_gap_minutes, duty.longest_gap_minutes)
        match duty.food:
            case EmptyStomach(after_minutes=after, before_minutes=before):
                keep(duty.name, MEAL, before)
                keep(MEAL, duty.name, after)
            case BeforeMeal(least_minutes=least, most_minutes=most):
                for one in holders[duty.name]:
                    following = [other for other in holders[MEAL] if base[other] > base[one]]
                    if following:
                        bounds.append((one, following[0], least, most))
            case _:
                pass
    for pair in regimen.apart:
        keep(pair.first, pair.second, pair.minutes)
        keep(pair.second, pair.first, pair.minutes)
    if regimen.meals is not None:
        chain(holders[MEAL], regimen.meals.shortest_gap_minutes, regimen.meals.longest_gap_minutes)
        for place in holders[MEAL]:
            if place + 1 < len(base):
                bounds.append((place, place + 1, regimen.meals.upright_minutes, never))
    return bounds
