"""The medicine chart: what became of each dose of a week."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
from enum import StrEnum
from uuid import UUID

from fillmark.core.day.values import PlannedDose
from fillmark.core.doses.giving import NOT_TAKEN
from fillmark.core.doses.second_check import Checked
from fillmark.core.orders.medicine import Medicine
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.medicine_entries import Effect, Outcome


@dataclass(frozen=True, kw_only=True, slots=True)
class PlanInForce:
    """One version of the plan, and when it was in force; `until_at` is none for the newest."""

    number: int
    plan: CarePlan
    from_at: datetime
    until_at: datetime | None = None

    def holds(self, at: datetime) -> bool:
        """Whether it was in force at an instant."""
        return self.from_at <= at and (self.until_at is None or at < self.until_at)


class CellState(StrEnum):
    """How one planned dose stands, by what was recorded and nothing else."""

    STILL_TO_COME = "still to come"
    DUE = "due"
    NO_ENTRY = "no entry"
    RECORDED = "recorded"
    ONCE_OR_TWICE = "once or twice?"
    LEFT_OUT = "left out"
    HELD = "on hold"


class Timing(StrEnum):
    """How a dose stood to its planned time."""

    EARLY = "early"
    ON_TIME = "on time"
    LATE = "late"


@dataclass(frozen=True, kw_only=True, slots=True)
class Correction:
    """What took the place of a record. `reason` is there where the record was taken back."""

    by_name: str
    at: datetime
    is_withdrawn: bool
    reason: str | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class SeenEffect:
    """What someone saw a dose do."""

    effect: Effect
    words: str | None
    by_name: str
    at: datetime


@dataclass(frozen=True, kw_only=True, slots=True)
class LeftOut:
    """A dose that was left out with its session or its step, and why."""

    reason: str
    by_name: str
    at: datetime


@dataclass(frozen=True, kw_only=True, slots=True)
class ChartEntry:
    """One record of a medicine.

    Attributes:
        at: When it happened.
        recorded_at: When it was written.
        dose_mg: The dose it answers, exact [mg].
        ml: What was drawn up [mL].
        amount: The dose in words, where it was recorded so.
        given_mg: What went in of a part [mg]; "not known" is allowed.
        timing: Early, on time or late; none where nothing went in, or where no time was planned.
        checked: What a second person read, where the order asks for one and someone did.
        is_open: It may be the same dose as another record, and nobody has said yet.
        correction: What took its place; none while it counts.
        effects: What it was seen to do, oldest first.
    """

    entry_id: UUID
    day: date
    at: datetime
    recorded_at: datetime
    by_name: str
    outcome: Outcome
    dose_mg: Decimal | None
    ml: Decimal | None
    amount: str | None
    given_mg: Decimal | str | None
    reason: str | None
    timing: Timing | None
    checked: Checked | None
    is_open: bool
    correction: Correction | None
    effects: tuple[SeenEffect, ...]

    @property
    def counts(self) -> bool:
        """Whether nothing took its place."""
        return self.correction is None

    @property
    def went_in(self) -> bool | None:
        """Whether some of it went in; None where nobody knows."""
        return None if self.outcome is Outcome.NOT_KNOWN else self.outcome not in NOT_TAKEN


@dataclass(frozen=True, kw_only=True, slots=True)
class Cell:
    """One planned dose and everything recorded for it, corrected records too, in the order it happened.

    Attributes:
        session: The session it belongs to.
        version: The plan version that asked for it.
        planned_at: The planned instant.
        clock: The planned local time of day.
        dose: What the hand was to do.
        left_out: The session or the step was left out, and why.
    """

    day: date
    session: str
    version: int
    planned_at: datetime
    clock: time
    dose: PlannedDose
    state: CellState
    entries: tuple[ChartEntry, ...]
    left_out: LeftOut | None


@dataclass(frozen=True, kw_only=True, slots=True)
class CourseStep:
    """A stretch of days with one dose, as ordered; an end that nobody stated is none.

    Attributes:
        amount: The dose as a bare number, to draw steps of one order against each other.
    """

    from_on: date | None
    until_on: date | None
    dose: str
    amount: Decimal


@dataclass(frozen=True, kw_only=True, slots=True)
class CourseDay:
    """One day of a course, to be drawn as a piece of a line.

    Attributes:
        number: Which day it is, from 1; none without a stated first day.
        of: How many there are; none without a stated first and last day.
        dose: The dose of the day, as ordered.
        share: That dose as a share of the largest one of the course [fraction, above 0 to 1].
        is_first: The course begins on this day.
        is_last: It ends on this day.
        is_new_dose: Another dose begins on this day.
    """

    number: int | None
    of: int | None
    dose: str
    share: float
    is_first: bool
    is_last: bool
    is_new_dose: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Course:
    """From when to when an order runs, and its doses on the way.

    Attributes:
        days: How many days it has in all; none without a stated first and last day.
    """

    first_on: date | None
    last_on: date | None
    days: int | None
    steps: tuple[CourseStep, ...]

    def on(self, day: date) -> CourseDay | None:
        """One day of it; None before its first and after its last day."""
        if (self.first_on and day < self.first_on) or (self.last_on and day > self.last_on):
            return None
        step = [step for step in self.steps if step.from_on is None or step.from_on <= day][-1]
        return CourseDay(
            number=(day - self.first_on).days + 1 if self.first_on else None,
            of=self.days,
            dose=step.dose,
            share=float(step.amount / max(one.amount for one in self.steps)),
            is_first=day == self.first_on,
            is_last=day == self.last_on,
            is_new_dose=step is not self.steps[0] and day == step.from_on,
        )


@dataclass(frozen=True, kw_only=True, slots=True)
class ChartLine:
    """The doses of one order that stand in one line of the chart, one a day at most.

    Attributes:
        clock: Their time of day; none where each has its own.
    """

    clock: time | None
    cells: tuple[Cell, ...]

    @property
    def due(self) -> str:
        """What stands before the line."""
        return f"{self.clock:%H:%M}" if self.clock is not None else "by the hour"

    def on(self, day: date) -> Cell | None:
        """The dose of a day."""
        return next((cell for cell in self.cells if cell.day == day), None)


@dataclass(frozen=True, kw_only=True, slots=True)
class ChartRow:
    """One order as it stood unchanged. A changed order is a new row.

    Attributes:
        order: The order; none where no plan of these days names the medicine.
        versions: The plan versions that held it, lowest first.
        from_at: When it came into force, where that is within the days of the chart.
        until_at: When it was changed or taken out, where that is within the days of the chart.
        cells: Its planned doses, in order of time.
        needed_dose: What the hand does when it is needed; none for an order with planned doses.
        others: Records that answer none of its planned doses: given when needed, or at another time.
        course: Its course or taper; none where it has neither first nor last day nor steps.
        lock: Why nothing is drawn of it now: its bottle in use has another strength; none where it has not.
    """

    medicine_id: str
    name: str
    order: Medicine | None
    versions: tuple[int, ...]
    from_at: datetime | None
    until_at: datetime | None
    cells: tuple[Cell, ...]
    needed_dose: PlannedDose | None
    others: tuple[ChartEntry, ...]
    course: Course | None
    lock: str | None = None

    @property
    def lines(self) -> tuple["ChartLine", ...]:
        """Its planned doses by their time of day, in the order of the household's day.

        Where hours are counted from the first dose no time of day comes back: the first dose of each day stands in one
        line, the second in the next.
        """
        if self.order is not None and self.order.first_dose is not None:
            days = defaultdict(list)
            for cell in self.cells:
                days[cell.day].append(cell)
            most = max(map(len, days.values()), default=0)
            return tuple(
                ChartLine(clock=None, cells=tuple(cells[number] for cells in days.values() if number < len(cells)))
                for number in range(most)
            )
        places = {
            cell.clock: cell.planned_at - datetime.combine(cell.day, time(), tzinfo=cell.planned_at.tzinfo)
            for cell in self.cells
        }
        return tuple(
            ChartLine(clock=clock, cells=tuple(cell for cell in self.cells if cell.clock == clock))
            for clock in sorted(places, key=places.__getitem__)
        )

    def others_on(self, on: date) -> tuple[ChartEntry, ...]:
        """What was recorded on a day beside the planned doses."""
        return tuple(entry for entry in self.others if entry.day == on)

    @property
    def last_given(self) -> ChartEntry | None:
        """The newest record that counts and says that some of it may have gone in."""
        found = [
            entry
            for entry in (*(entry for cell in self.cells for entry in cell.entries), *self.others)
            if entry.counts and entry.went_in is not False
        ]
        return max(found, key=lambda entry: entry.at, default=None)


@dataclass(frozen=True, kw_only=True, slots=True)
class Chart:
    """The medicines of some days of one animal.

    Attributes:
        plans: The versions in force on these days, oldest first.
        problem: Why the doses of some day could not be worked out, so that they are missing here; none when all could.
    """

    days: tuple[date, ...]
    plans: tuple[PlanInForce, ...]
    rows: tuple[ChartRow, ...]
    problem: str | None = None

    def entries(self) -> Iterator[ChartEntry]:
        """Every record in it, each once."""
        for row in self.rows:
            for cell in row.cells:
                yield from cell.entries
            yield from row.others
