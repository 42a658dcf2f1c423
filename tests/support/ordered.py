"""The orders of a household in words, and what stands against an act by these words alone.

None of it is taken from the gate: the orders are plain values, the record is read line by line, and each rule is
written as the order says it. Where an order leaves a window open, it is that of ISMP's "Acute Care Guidelines for
Timely Administration of Scheduled Medications" (2011): 30 minutes for time-critical doses, 1 hour for several a day,
2 hours for one a day or less. The household's day begins at 04:00.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from fillmark.core.record.care_entries import BatchChosen, FeedingLocked, FlowTested
from fillmark.core.record.medicine_entries import BottleOpened, MedicineGiven, Outcome, SecondCheck
from fillmark.core.record.session_entries import (
    CameBack,
    FillGiven,
    FlushGiven,
    MealEnded,
    SessionEnded,
    SessionSkipped,
    SessionStarted,
    SessionStopped,
)

ZONE = ZoneInfo("Europe/Dublin")
NOTHING_IN = (Outcome.HELD, Outcome.REFUSED, Outcome.MISSED)


@dataclass(frozen=True, kw_only=True)
class Dose:
    """One medicine, as the sheet has it; all of them are liquids through the tube.

    Attributes:
        hours: From one dose to the next; none where it is given when needed.
        least_hours: The least time between two doses, where the sheet states one.
        most_a_day: The most in 24 hours, where the sheet states one.
        before_food: How long before food [minutes].
        after_food: How long after food [minutes].
        apart: Another medicine, and how many hours lie between them.
        late: How late it may be by the vet's word [minutes].
        then: From which day on how many mg, where the dose changes.
    """

    id: str
    name: str
    mg: int
    mg_per_ml: int
    hours: int | None = None
    clocks: tuple[time, ...] = ()
    least_hours: float | None = None
    most_a_day: int | None = None
    before_food: int | None = None
    after_food: int | None = None
    apart: tuple[str, float] | None = None
    first_on: date | None = None
    last_on: date | None = None
    held: str | None = None
    second_reader: bool = False
    late: int | None = None
    critical: bool = False
    then: tuple[date, int] | None = None

    def mg_on(self, day: date) -> int:
        """What is given on a day."""
        return self.then[1] if self.then is not None and day >= self.then[0] else self.mg


@dataclass(frozen=True, kw_only=True)
class Ordered:
    """What the sheet says of meals, and its medicines.

    Attributes:
        meals: When a meal begins.
        gap_hours: From the start of one meal to the start of the next, at least.
        most_ml_per_kg: The most at once.
        keeps_days: How long a batch keeps, the day it was made being the first.
    """

    weight_kg: float
    meals: tuple[time, ...]
    gap_hours: float
    most_ml_per_kg: float
    keeps_days: int
    doses: tuple[Dose, ...]

    def dose(self, key: str) -> Dose:
        """The order of a medicine."""
        return next(one for one in self.doses if one.id == key)


@dataclass(frozen=True, kw_only=True)
class Line:
    """One line of the record."""

    at: datetime
    by: UUID
    payload: Any


@dataclass(frozen=True, kw_only=True)
class Act:
    """What somebody is about to do: the line that it would write, and how much the whole session comes to [mL]."""

    at: datetime
    by: UUID
    payload: Any
    session_ml: float
    meal_ml: float
    fill_ml: float


def against(orders: Ordered, record: Sequence[Line], act: Act) -> set[str]:
    """What stands against an act, each in the name of its slip."""
    found = set(_about_the_session(record, act))
    if isinstance(act.payload, SessionStarted | FillGiven | MealEnded):
        found |= set(_about_the_meal(orders, record, act))
    if isinstance(act.payload, MedicineGiven):
        found |= set(_about_the_dose(orders.dose(act.payload.medicine), orders, record, act))
    return found


def _of(record: Iterable[Line], *kinds: type) -> list[Line]:
    return [one for one in record if isinstance(one.payload, kinds)]


def _about_the_session(record: Sequence[Line], act: Act) -> Iterator[str]:
    payload = act.payload
    mine = [one for one in record if getattr(one.payload, "session", None) == payload.session and payload.session]
    if _of(record, FeedingLocked):
        yield "feeding is locked"
    stopped = _of(record, SessionStopped)
    if stopped and isinstance(payload, SessionStarted):
        yield "the session before was stopped"
    started = _of(mine, SessionStarted)
    if started and started[-1].by != act.by:
        yield "another person has it in hand"
    if isinstance(payload, SessionStarted) and _of(mine, SessionEnded, SessionSkipped):
        yield "the session was given"
    if isinstance(payload, FillGiven) and any(one.payload.fill == payload.fill for one in _of(mine, FillGiven)):
        yield "the fill was given"
    if isinstance(payload, CameBack) and payload.ml > sum(_went_in(one) for one in mine):
        yield "more came back than was in"
    if isinstance(payload, FillGiven) and mine and isinstance(mine[-1].payload, CameBack):
        yield "food came back"
    doses = [one.payload.medicine for one in _of(mine, MedicineGiven)]
    if isinstance(payload, MedicineGiven) and payload.medicine in doses:
        yield "the dose was given"


def _went_in(line: Line) -> float:
    payload = line.payload
    if isinstance(payload, FillGiven | FlushGiven):
        return payload.ml
    if isinstance(payload, MealEnded):
        return float(payload.total_ml)
    if isinstance(payload, MedicineGiven) and payload.outcome not in NOTHING_IN:
        return float(payload.ml or 0)
    return 0.0


def _about_the_meal(orders: Ordered, record: Sequence[Line], act: Act) -> Iterator[str]:
    gap, payload = timedelta(hours=orders.gap_hours), act.payload
    began: dict[str, datetime] = {}
    for one in _of(record, FillGiven, MealEnded):
        began.setdefault(one.payload.session, one.at)
    others = {session: at for session, at in began.items() if session != payload.session}
    if any(act.at - at < gap for at in others.values()):
        yield "inside the meal gap"
    day = timedelta(hours=24) - gap
    if sum(act.at - at < day for at in others.values()) >= len(orders.meals):
        yield "one meal more than a day has"
    most_ml = orders.most_ml_per_kg * orders.weight_kg
    if act.session_ml > most_ml:
        yield "over the most at once"
    own_ml = act.session_ml
    if isinstance(payload, FillGiven):  # the others of this meal are still to come, and asked about when they do
        mine = [one for one in record if getattr(one.payload, "session", None) == payload.session]
        own_ml = sum(_went_in(one) for one in mine) + payload.ml
    elsewhere = [one for one in record if getattr(one.payload, "session", None) != payload.session]
    before = sum(_went_in(one) for one in elsewhere if act.at - one.at < gap)
    if before and before + own_ml > most_ml:
        yield "over the most with what was just given"
    for dose in orders.doses:
        given = [one.at for one in _doses(record, dose.id)]
        if dose.before_food and given and act.at - given[-1] < timedelta(minutes=dose.before_food):
            yield "food too soon after a medicine"
    yield from _about_the_batch(orders, record, act)
    if isinstance(payload, FillGiven) and payload.ml > act.fill_ml:
        yield "more than the syringe was to hold"
    if isinstance(payload, MealEnded) and payload.total_ml > act.meal_ml:
        yield "more than the meal"


def _about_the_batch(orders: Ordered, record: Sequence[Line], act: Act) -> Iterator[str]:
    if not isinstance(act.payload, FillGiven):
        return
    batches = _of(record, FlowTested, BatchChosen)
    if batches and isinstance(batches[-1].payload, FlowTested) and not batches[-1].payload.has_flowed:
        yield "the batch failed its test"
    if batches and _day(act.at) > batches[-1].payload.made_on + timedelta(days=orders.keeps_days - 1):
        yield "the batch is past its day"


def _doses(record: Iterable[Line], medicine: str) -> list[Line]:
    return [
        one
        for one in _of(record, MedicineGiven)
        if one.payload.medicine == medicine and one.payload.outcome not in NOTHING_IN
    ]


def _day(at: datetime) -> date:
    return (at.astimezone(ZONE) - timedelta(hours=4)).date()


def _planned(act: Act) -> datetime | None:
    session = act.payload.session
    return datetime.fromisoformat(session).replace(tzinfo=ZONE).astimezone(UTC) if session else None


def _about_the_dose(dose: Dose, orders: Ordered, record: Sequence[Line], act: Act) -> Iterator[str]:
    given, planned = [one.at for one in _doses(record, dose.id)], _planned(act)
    day = _day(planned or act.at)
    if dose.held:
        yield "the medicine is on hold"
    if dose.first_on and day < dose.first_on:
        yield "the course has not begun"
    if dose.last_on and day > dose.last_on:
        yield "the course is over"
    window = timedelta(minutes=30 if dose.critical else 120 if (dose.hours or 0) >= 24 else 60)
    least = timedelta(hours=dose.least_hours) if dose.least_hours else timedelta(hours=dose.hours or 0) - 2 * window
    if given and act.at - given[-1] < least:
        yield "too soon after the last dose"
    if planned and act.at < planned - window:
        yield "before its time"
    if planned and act.at > planned + (timedelta(minutes=dose.late) if dose.late else timedelta(hours=2)):
        yield "after its time"
    if dose.most_a_day and sum(act.at - at < timedelta(hours=22) for at in given) >= dose.most_a_day:
        yield "over the most a day"
    pairs = [(one.id, *one.apart) for one in orders.doses if one.apart]
    for one, other, hours in (*pairs, *((other, one, hours) for one, other, hours in pairs)):
        if one == dose.id and any(act.at - line.at < timedelta(hours=hours) for line in _doses(record, other)):
            yield "too close to another medicine"
    food = [one.at for one in _of(record, FillGiven, MealEnded)]
    if dose.after_food and food and act.at - max(food) < timedelta(minutes=dose.after_food):
        yield "too soon after food"
    yield from _about_the_bottle(dose, record, act)
    yield from _about_the_reading(dose, record, act, day)
    if act.payload.dose_mg != dose.mg_on(day):
        yield "another dose than the order's"


def _about_the_bottle(dose: Dose, record: Sequence[Line], act: Act) -> Iterator[str]:
    opened = [one.payload for one in _of(record, BottleOpened) if one.payload.medicine == dose.id]
    if opened and opened[-1].strength != f"{dose.mg_per_ml} mg/mL":
        yield "the bottle has another strength"
    if opened and opened[-1].discard_on and act.at.astimezone(ZONE).date() > opened[-1].discard_on:
        yield "the bottle is past its last day"


def _about_the_reading(dose: Dose, record: Sequence[Line], act: Act, day: date) -> Iterator[str]:
    if not dose.second_reader:
        return
    read = [
        one.payload.ml
        for one in _of(record, SecondCheck)
        if (one.payload.medicine, one.payload.session) == (dose.id, act.payload.session) and one.by != act.by
    ]
    if not read:
        yield "no second person has read it"
    elif abs(float(read[-1]) - dose.mg_on(day) / dose.mg_per_ml) > 0.1:
        yield "the second person read another amount"
