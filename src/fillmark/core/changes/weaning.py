"""How far is it to full feeding, or back to eating? The vet's steps beside what the record says."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from math import fsum

from fillmark.core.day.batch import food_energy_per_g, goal_of
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.care_entries import Ate
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.ledger import DayLedger
from fillmark.core.tube.ladders import next_step, weaning_tube_energy
from fillmark.core.values.document import read_document
from fillmark.core.values.errors import NotStated
from fillmark.core.values.explain import Explained
from fillmark.published.meals import IDLE_FLUSHES_PER_DAY, TAPER_FROM_BY_MOUTH_FRACTION


@dataclass(frozen=True, kw_only=True, slots=True)
class Eaten:
    """What an animal ate by mouth on one day, as far as it was written down.

    Attributes:
        kcal: What was weighed, together [kcal].
        unmeasured: How often it ate and nobody knows how much, or what a gram of it holds.
        entries: How often something was written down; without any, nothing is known of the day.
    """

    on: date
    kcal: float
    unmeasured: int
    entries: int


def read_eaten(entries: Iterable[KeptEntry], *, plan: CarePlan, on: date) -> Eaten:
    """What it ate by mouth on a day.

    Args:
        entries: Those that count, in any order.
        plan: The plan in force, with the labels of its foods.
        on: The household's day.
    Source:
        the record, and the labels
    """
    foods = {food.id: food for food in plan.foods}
    kcal, unmeasured = [], 0
    for one in entries:
        payload = one.entry.payload
        if one.day != on or not isinstance(payload, Ate):
            continue
        food = foods.get(payload.food)
        try:
            per_g = food_energy_per_g(food, species=plan.animal.species).value if food else None
        except NotStated:
            per_g = None
        if isinstance(payload.g, str) or per_g is None:
            unmeasured += 1
        else:
            kcal.append(payload.g * per_g)
    return Eaten(on=on, kcal=fsum(kcal), unmeasured=unmeasured, entries=len(kcal) + unmeasured)


class Rung(StrEnum):
    """A step of the way back to eating."""

    WHOLE = "Tube meals stay whole"
    REST = "The tube gives what is not eaten"
    IDLE = "The tube stands idle"
    OUT = "The vet takes the tube out"


@dataclass(frozen=True, kw_only=True, slots=True)
class WayBack:
    """The way back to eating.

    Attributes:
        goal_kcal: The goal, by tube and by mouth together [kcal/day].
        days: What was eaten on each of these days, oldest first.
        planned: The rung that the plan in force stands on.
        recorded: The rung that the last of these days would stand on; none where nobody wrote anything down.
        tube_kcal: What the tube would give after a day like the last one [kcal/day]; none where that is not known.
    """

    goal_kcal: Explained[float]
    days: tuple[Eaten, ...]
    planned: Rung
    recorded: Rung | None
    tube_kcal: Explained[float] | None

    @property
    def is_back(self) -> bool:
        """Whether the record stands on a lower rung than the plan."""
        order = list(Rung)
        return self.recorded is not None and order.index(self.recorded) < order.index(self.planned)


def way_back(plan: CarePlan, *, days: Sequence[Eaten]) -> WayBack:
    """Where the plan and the record stand on the way back to eating.

    Args:
        plan: The plan in force.
        days: What was eaten on some whole days, oldest first, one at least.
    Raises:
        NotStated: the vet has not ordered energy.
    Source:
        the vet's order; meals.taper_from, meals.idle_flushes
    """
    goal = goal_of(plan)
    ordered, last = plan.orders.weaning, days[-1]
    return WayBack(
        goal_kcal=goal,
        days=tuple(days),
        planned=_rung(goal.value, ordered.by_mouth_kcal_per_day if ordered else 0.0),
        recorded=_rung(goal.value, last.kcal) if last.entries else None,
        tube_kcal=weaning_tube_energy(goal_kcal=goal.value, by_mouth_kcal=last.kcal) if last.entries else None,
    )


def _rung(goal_kcal: float, by_mouth_kcal: float) -> Rung:
    if by_mouth_kcal >= goal_kcal:
        return Rung.IDLE
    return Rung.REST if by_mouth_kcal / goal_kcal >= TAPER_FROM_BY_MOUTH_FRACTION.value else Rung.WHOLE


def with_weaning(plan: CarePlan, *, by_mouth_kcal: float) -> CarePlan:
    """The plan with what is eaten by mouth counted off; a tube that then stands idle keeps its flushes.

    Without an order for an idle tube it is flushed as often as print says, at the times of the meals it replaces.

    Args:
        plan: The plan in force.
        by_mouth_kcal: What it eats on an ordinary day, by the vet's word [kcal/day].
    Raises:
        FillmarkError: the plan does not hold with it.
    Source:
        the vet's word; meals.idle_flushes
    """
    values = plan.model_dump(mode="json", exclude_unset=True)
    values["orders"] = {**values["orders"], "weaning": {"by_mouth_kcal_per_day": round(by_mouth_kcal, 1)}}
    is_idle = weaning_tube_energy(goal_kcal=goal_of(plan).value, by_mouth_kcal=by_mouth_kcal).value == 0
    if is_idle and plan.orders.idle_flush is None:
        times = int(IDLE_FLUSHES_PER_DAY.value)
        if len(plan.timetable.meals) < times:
            raise NotStated(
                field="orders.idle_flush",
                got=f"An idle tube, and fewer than {times} times of day at which it could be flushed",
                allowed="the vet's order for an idle tube, with its times",
                remedy="Ask the vet how often an idle tube is flushed, and add it to the plan with its times.",
            )
        values["orders"]["idle_flush"] = {"times_per_day": times}
        values["timetable"]["flushes"] = [f"{clock:%H:%M}" for clock in plan.timetable.meals[:times]]
    return read_document(CarePlan, values)


@dataclass(frozen=True, kw_only=True, slots=True)
class StepUp:
    """The vet's ladder to full feeding.

    Attributes:
        percents: Of the goal, on each day from the first [%].
        rung: Today's, 1 being the first; none before it begins.
        tomorrow: Where the record of today points; none once it is over, or before it begins.
    """

    percents: tuple[float, ...]
    starts_on: date
    rung: int | None
    tomorrow: Explained[int] | None


def step_up(plan: CarePlan, *, ledger: DayLedger, on: date) -> StepUp | None:
    """Where the vet's ladder stands today; none where the plan has no ladder, or it is behind.

    Args:
        plan: The plan in force.
        ledger: What today adds up to.
        on: The household's day.
    Source:
        the vet's ladder, and the record
    """
    ladder = plan.orders.ladder
    if ladder is None:
        return None
    rung = (on - ladder.starts_on).days + 1
    if rung > len(ladder.percent):
        return None
    tomorrow = None
    if rung >= 1:
        has_come_back = ledger.back is not None and ledger.back.high_ml > 0
        all_kept = ledger.kept is not None and ledger.planned_ml is not None and ledger.kept.low_ml >= ledger.planned_ml
        tomorrow = next_step(rung=rung, last=len(ladder.percent), vomited=has_come_back, all_kept=all_kept)
    return StepUp(
        percents=ladder.percent, starts_on=ladder.starts_on, rung=rung if rung >= 1 else None, tomorrow=tomorrow
    )
