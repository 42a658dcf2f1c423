"""What a day asks for: its doses, its sessions, its questions."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, time

from fillmark.core.day.steps import Step
from fillmark.core.orders.course import CourseNotes
from fillmark.core.orders.medicine import Medicine
from fillmark.core.orders.tablets import TabletParts
from fillmark.core.plan.tasks import Task
from fillmark.core.tube.meals import Load
from fillmark.core.tube.syringe import Mark
from fillmark.core.tube.water import WaterLedger
from fillmark.core.values.explain import Explained
from fillmark.core.values.quantities import Mass


@dataclass(frozen=True, kw_only=True, slots=True)
class VetQuestion:
    """Something nobody has said yet. `blocks` says that nothing can be worked out without it."""

    field: str
    ask: str
    blocks: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class DueMedicine:
    """A medicine that is due at a time of day.

    Attributes:
        due_at: The order's own time for it, where its hours are counted; none where it is the time of day itself.
        caution: What a person must be told where that is far from the time of day.
        is_last: Whether its course has no dose after it.
    """

    medicine: Medicine
    due_at: datetime | None = None
    caution: str | None = None
    is_last: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class PlannedDose:
    """One dose of a session: the order, and what the hand does, with its working.

    Attributes:
        due_at: The order's own time for it, where its hours are counted from its first dose; none otherwise.
        notes: Where it stands in its course.
        problem: Why it cannot be drawn; none where it can.
    """

    medicine: Medicine
    working: Explained[Mark | TabletParts]
    due_at: datetime | None = None
    notes: CourseNotes = field(default_factory=CourseNotes)
    problem: str | None = None

    @property
    def is_to_give(self) -> bool:
        """Whether it is given at all: neither on hold nor without a mark."""
        return self.medicine.held is None and self.problem is None

    @property
    def drawn(self) -> Mark | TabletParts:
        """The line to fill a syringe to, or the pieces to take."""
        return self.working.value

    @property
    def mass(self) -> Mass | None:
        """The mass that was ordered; none where the order counts pieces."""
        return next((part.value for part in self.working.all_parts() if isinstance(part.value, Mass)), None)

    @property
    def amount(self) -> str:
        """The amount as people say it ("5.2 mL", "half a tablet")."""
        return str(self.drawn.drawn) if isinstance(self.drawn, Mark) else self.drawn.reading

    @property
    def water_ml(self) -> float:
        """What it adds to the stomach: the liquid itself, or the water it is given in [mL]; 0 for what is not given."""
        if not self.is_to_give or self.medicine.route not in ("tube", "mouth"):
            return 0.0
        return float(self.drawn.drawn.ml) if isinstance(self.drawn, Mark) else self.drawn.water_ml or 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class PlannedSession:
    """One trip to the animal, as planned.

    Attributes:
        key: Its identity: the local date and time of day ("2026-11-25T07:00").
        clock: The planned local time of day.
        at: The planned instant, in the household's zone.
        meal_ml: Blend of its meal [mL], 0 for medicines only.
        fills: The marks of the meal, in order.
        medicines: What is given, in order.
        steps: The walk.
        load: What it puts into the stomach, against the vet's limits.
        tasks: Care beside food and medicines.
        idle_flush_ml: Water that keeps an idle tube open, where nothing else goes through it [mL].
    """

    key: str
    clock: time
    at: datetime
    meal_ml: float
    fills: tuple[Mark, ...]
    medicines: tuple[PlannedDose, ...]
    flush_ml: float
    steps: tuple[Step, ...]
    load: Explained[Load]
    tasks: tuple[Task, ...] = ()
    idle_flush_ml: float = 0.0

    @property
    def to_give(self) -> tuple[PlannedDose, ...]:
        """Its medicines without those that the vet has stopped for now, and those that cannot be drawn."""
        return tuple(dose for dose in self.medicines if dose.is_to_give)

    @property
    def label(self) -> str:
        """What people call it."""
        kinds = ["meal"] if self.meal_ml else []
        if count := len(self.to_give):
            kinds.append(f"{count} medicine{'s' * (count > 1)}")
        if self.idle_flush_ml:
            kinds.append("flush")
        kinds += [task.name for task in self.tasks]
        return f"{self.clock:%H:%M} {' and '.join(kinds)}"


@dataclass(frozen=True, kw_only=True, slots=True)
class DayPlan:
    """One household day of one animal, as the plan wants it."""

    on: date
    energy: Explained[float]
    batch: Explained[tuple[float, float]]
    kcal_per_ml: Explained[float]
    day_ml: Explained[float]
    meals: Explained[tuple[float, ...]]
    kcal_planned: Explained[float]
    water: Explained[WaterLedger]
    sessions: tuple[PlannedSession, ...]
    questions: tuple[VetQuestion, ...]

    def explained(self) -> Iterator[Explained[object]]:
        """Every explained number of the day, in the order of the work."""
        yield from (self.energy, self.batch, self.kcal_per_ml, self.day_ml, self.meals, self.kcal_planned, self.water)
        for session in self.sessions:
            yield session.load
            yield from (dose.working for dose in session.medicines)

    def cautions(self) -> tuple[str, ...]:
        """Everything a person must be told about this day, each once; what is about sessions with their times."""
        return tuple(f"{', '.join(at)}: {words}" if at else words for words, at in self.timed_cautions().items())

    def timed_cautions(self) -> dict[str, tuple[str, ...]]:
        """Each caution, with the times of the sessions that it is about; none where it is about the whole day."""
        of_the_day = (self.energy, self.batch, self.kcal_per_ml, self.day_ml, self.meals, self.kcal_planned, self.water)
        found: dict[str, tuple[str, ...]] = {words: () for number in of_the_day for words in number.all_cautions()}
        whole_day = frozenset(found)
        for session in self.sessions:
            clock = f"{session.clock:%H:%M}"
            for number in (session.load, *(dose.working for dose in session.medicines)):
                for words in number.all_cautions():
                    clocks = found.get(words, ())
                    if words not in whole_day and clock not in clocks:
                        found[words] = (*clocks, clock)
        return found
