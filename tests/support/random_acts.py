"""A household that does as the sheet says, up to the act that comes next: two days, line by line as written."""

import random
import tomllib
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from functools import lru_cache
from typing import Any
from uuid import UUID

from fillmark.core.day.values import PlannedSession
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import read_plan
from fillmark.core.record.care_entries import FlowTested
from fillmark.core.record.medicine_entries import BottleOpened, MedicineGiven, Outcome, SecondCheck
from fillmark.core.record.session_entries import FillGiven, FlushGiven, SessionEnded, SessionStarted
from fillmark.examples import example_plan
from tests.support.builders import NOOR, SAM
from tests.support.gated import TODAY, Gated
from tests.support.ordered import Act, Dose, Line, Ordered
from tests.support.random_plans import written

ABOUT = timedelta(minutes=20)
"""How far from its time a session of a right story may be."""


def _clocks(*texts: str) -> tuple[time, ...]:
    return tuple(time.fromisoformat(text) for text in texts)


def _texts(clocks: tuple[time, ...]) -> list[str]:
    return [f"{one:%H:%M}" for one in clocks]


def a_sheet(chance: random.Random) -> Ordered:
    """Orders that fit each other: what lies apart, before and after food is kept by the times of the day."""
    shift = chance.choice([-10, -5, 0, 5, 10])

    def at(*texts: str) -> tuple[time, ...]:
        return tuple((datetime.combine(TODAY, one) + timedelta(minutes=shift)).time() for one in _clocks(*texts))

    mg, part = chance.randint(1, 9), chance.choice([2, 4, 6, 8, 10])
    doses = (
        Dose(id="acid", name="Acid drops", mg=2 * mg, mg_per_ml=2, hours=12, clocks=at("06:30", "18:30"),
             before_food=30),
        Dose(id="binder", name="Binder", mg=200 * mg, mg_per_ml=200, hours=12, clocks=at("09:45", "22:15"),
             apart=("acid", chance.choice([1.5, 2, 2.5])), late=chance.choice([None, 90])),
        Dose(id="empty", name="Stomach drops", mg=part, mg_per_ml=5, hours=12, clocks=at("13:45", "01:45"),
             before_food=30, after_food=chance.choice([60, 90])),
        Dose(id="checked", name="Strong drops", mg=part, mg_per_ml=2, hours=12, clocks=at("08:00", "20:00"),
             second_reader=True, critical=chance.random() < 0.5),
        Dose(id="often", name="Gut drops", mg=mg, mg_per_ml=1, hours=8, clocks=at("05:15", "13:15", "21:15"),
             least_hours=chance.choice([None, 6, 7]), most_a_day=3),
        Dose(id="needed", name="Retching drops", mg=4 * mg, mg_per_ml=4, least_hours=chance.choice([6, 8]),
             most_a_day=2),
        Dose(id="course", name="Lung drops", mg=50 * part, mg_per_ml=50, hours=24, clocks=at("11:30"),
             first_on=TODAY - timedelta(days=6), last_on=TODAY + timedelta(days=chance.choice([1, 4]))),
        Dose(id="taper", name="Calming drops", mg=2 * part, mg_per_ml=4, hours=24, clocks=at("15:00"),
             first_on=TODAY - timedelta(days=9), then=(TODAY - timedelta(days=chance.choice([0, 3])), part)),
    )  # fmt: skip
    sheet = Ordered(
        weight_kg=chance.choice([9.5, 13.0, 17.4, 24.0]),
        meals=at("07:00", "11:30", "15:00", "20:00"),
        gap_hours=chance.choice([2.5, 3]),
        most_ml_per_kg=60,
        keeps_days=2,
        doses=doses,
    )
    return replace(sheet, most_ml_per_kg=_most_planned(sheet) + chance.choice([0.5, 2, 5]))


def _most_planned(sheet: Ordered) -> float:
    """What the fullest stomach of the planned day holds, with all that went in during the gap before [mL/kg]."""
    day = Story(sheet, random.Random(0)).stored.day(TODAY).sessions
    gap = timedelta(hours=sheet.gap_hours)
    together = [
        sum(other.load.value.total_ml for other in day if timedelta(0) <= one.at - other.at < gap + ABOUT)
        for one in day
    ]
    return round(max(together) / sheet.weight_kg, 1)


def _order(dose: Dose) -> dict[str, Any]:
    made: dict[str, Any] = {
        "id": dose.id,
        "name": dose.name,
        "form": "liquid",
        "strength": f"{dose.mg_per_ml} mg/mL",
        "dose": f"{dose.mg} mg",
        "route": "tube",
        "crush": "not allowed",
        "start_on": dose.first_on,
        "stop_on": dose.last_on,
        "held": dose.held,
        "second_check": dose.second_reader,
        "late_window_minutes": dose.late,
        "time_critical": dose.critical,
    }
    if dose.hours is None:
        made["when_needed"] = {
            "reason": "Retching",
            "min_gap_hours": dose.least_hours,
            "max_per_day": dose.most_a_day,
        }
    else:
        made |= {"every_hours": dose.hours, "clocks": _texts(dose.clocks), "min_gap_hours": dose.least_hours}
        made["max_per_day"] = dose.most_a_day
    if dose.after_food:
        made["food"] = {"relation": "empty stomach", "minutes": dose.before_food, "after_minutes": dose.after_food}
    elif dose.before_food:
        made["food"] = {"relation": "before", "minutes": dose.before_food}
    if dose.apart:
        made["apart_from"] = [{"medicine": dose.apart[0], "hours": dose.apart[1]}]
    if dose.then:
        made["steps"] = [{"from_on": dose.then[0], "dose": f"{dose.then[1]} mg"}]
    return {key: value for key, value in made.items() if value not in (None, False)}


@lru_cache(maxsize=200)
def plan_of(sheet: Ordered) -> CarePlan:
    """The care plan that these orders make: a meal is so much that the day's four come near the most at once."""
    document = tomllib.loads(example_plan("juniper").decode())
    document["animal"]["weights"] = [{"on": TODAY - timedelta(days=7), "kg": sheet.weight_kg, "scale": "floor"}]
    document["tasks"] = []
    document["orders"] |= {
        "meal_gap_hours": sheet.gap_hours,
        "cap_ml_per_kg": sheet.most_ml_per_kg,
        "warn_ml_per_kg": sheet.most_ml_per_kg,
    }
    document["foods"][0]["keeps_days"] = sheet.keeps_days
    document["timetable"]["meals"] = _texts(sheet.meals)
    document["medicines"] = [_order(one) for one in sheet.doses]
    return read_plan(written(document), kind="json")


class Story(Gated):
    """The lines of a household under a sheet, and the act that comes next.

    Attributes:
        lines: The record as plain lines.
        session: The session of the act.
        payload: What the act would write.
    """

    def __init__(self, sheet: Ordered, chance: random.Random) -> None:
        super().__init__(plan_of(sheet), now=datetime.combine(TODAY, time(12), tzinfo=UTC), chance=chance)
        self.sheet = sheet
        self.lines: list[Line] = []
        self.session: PlannedSession = self.sessions[0]
        self.payload: Any = None

    def copy(self, sheet: Ordered | None = None) -> "Story":
        """The same story, perhaps under another sheet."""
        other = Story(sheet or self.sheet, random.Random(self.chance.random()))
        other.lines, other.session, other.payload, other.now = list(self.lines), self.session, self.payload, self.now
        return other

    def add(self, payload: Any, at: datetime, *, by: UUID = NOOR) -> None:
        """One more line."""
        self.lines.append(Line(at=at, by=by, payload=payload))

    def write_down(self) -> None:
        """Put the lines into the record, in the order they happened."""
        self.kept = []
        for one in sorted(self.lines, key=lambda line: line.at):
            self.write(one.payload, one.at, by=one.by)

    @property
    def act(self) -> Act:
        """What Noor is about to do."""
        fill = getattr(self.payload, "fill", None)
        marks = self.session.fills
        return Act(
            at=self.now,
            by=NOOR,
            payload=self.payload,
            session_ml=self.session.load.value.total_ml,
            meal_ml=self.session.meal_ml,
            fill_ml=float(marks[fill - 1].drawn.ml) if fill and fill <= len(marks) else 0.0,
        )

    @property
    def record(self) -> list[Line]:
        """The lines in the order they happened."""
        return sorted(self.lines, key=lambda line: line.at)

    # As the sheet says

    def begins(self, session: PlannedSession) -> datetime:
        """When it is begun: what belongs before food a little early, a meal on time or a little late."""
        is_early = any(self.sheet.dose(one.medicine.id).before_food for one in session.medicines)
        minutes = self.chance.randint(-12, -7) if is_early else self.chance.randint(0, 9)
        return session.at.astimezone(UTC) + timedelta(minutes=minutes)

    def given(self, medicine: str, session: PlannedSession | None) -> MedicineGiven:
        """A dose as it is ordered."""
        dose = self.sheet.dose(medicine)
        day = date.fromisoformat(session.key[:10]) if session else TODAY
        if session and session.clock < time(4):
            day -= timedelta(days=1)
        mg = dose.mg_on(day)
        return MedicineGiven(
            session=session.key if session else None,
            medicine=medicine,
            dose_mg=Decimal(mg),
            ml=Decimal(mg) / dose.mg_per_ml,
            outcome=Outcome.GIVEN,
        )

    def walk(self, session: PlannedSession) -> list[tuple[Any, UUID]]:
        """Every line of a session that is done as planned, and by whom."""
        key, made = session.key, [(SessionStarted(session=session.key), NOOR)]
        made.append((FlushGiven(session=key, step="flush-before", ml=10.0), NOOR))
        for one in session.to_give:
            dose = self.sheet.dose(one.medicine.id)
            if dose.second_reader:
                made.append((SecondCheck(session=key, medicine=dose.id, ml=self.given(dose.id, session).ml), SAM))
            made.append((self.given(dose.id, session), NOOR))
        for number, mark in enumerate(session.fills, start=1):
            made.append((FillGiven(session=key, fill=number, ml=float(mark.drawn.ml)), NOOR))
        return [*made, (FlushGiven(session=key, step="flush-after", ml=10.0), NOOR), (SessionEnded(session=key), NOOR)]

    def live_until(self, session: PlannedSession) -> None:
        """Every session of the day before this one, each as planned; bottles and a batch, all as they should be."""
        bottles = [one for one in self.sheet.doses if self.chance.random() < 0.5]
        for one in bottles:
            label = {"discard_on": TODAY + timedelta(days=20)}
            strength = f"{one.mg_per_ml} mg/mL"
            self.add(
                BottleOpened(medicine=one.id, strength=strength, ml=Decimal(100), **label),
                datetime.combine(TODAY - timedelta(days=1), time(3), tzinfo=UTC),
            )
        if self.chance.random() < 0.5:
            self.add(a_test(TODAY), datetime.combine(TODAY, time(3, 30), tzinfo=UTC))
        for one in self.sessions:
            if session.at - timedelta(hours=25) < one.at < session.at:
                self.do(one, at=self.begins(one))

    def do(self, session: PlannedSession, *, at: datetime, until: int | None = None) -> datetime:
        """The lines of a session, the first so many of them; when the last of them was written."""
        for payload, by in self.walk(session)[:until]:
            at += timedelta(seconds=self.chance.randint(20, 90))
            self.add(payload, at, by=by)
        return at


def a_test(made_on: date, *, has_flowed: bool = True) -> FlowTested:
    """A flow test of a jar."""
    return FlowTested(
        foods=("stew",),
        food_g=820.0,
        water_ml=160.0,
        left_ml=0.5 if has_flowed else 10.0,
        has_flowed=has_flowed,
        sieved=False,
        frozen=False,
        batch="Jar 7",
        made_on=made_on,
    )


def a_story(sheet: Ordered, chance: random.Random, *, what: str, medicine: str | None = None) -> Story:
    """A right story with the right act at its end.

    Args:
        sheet: The orders.
        chance: Where chance comes from.
        what: "start", "fill", "dose" or "needed".
        medicine: Of a dose, which one; none for any.
    """
    story = Story(sheet, chance)
    today = [one for one in story.sessions if one.key.startswith(TODAY.isoformat())]
    if what in ("start", "fill"):
        fits = [one for one in today if one.meal_ml]
    else:
        fits = [one for one in today if any(medicine in (None, d.medicine.id) for d in one.to_give)]
    story.session = chance.choice(fits or today)
    story.live_until(story.session)
    begins = story.begins(story.session)
    walk = [payload for payload, _ in story.walk(story.session)]
    if what == "start":
        story.now, story.payload = begins, walk[0]
    elif what == "needed":
        story.now, story.payload = begins - timedelta(minutes=3), story.given("needed", None)
    else:
        kind = FillGiven if what == "fill" else MedicineGiven
        places = [
            place for place, one in enumerate(walk)
            if isinstance(one, kind) and (medicine is None or getattr(one, "medicine", None) == medicine)
        ]  # fmt: skip
        place = chance.choice(places)
        story.now = story.do(story.session, at=begins, until=place) + timedelta(seconds=30)
        story.payload = walk[place]
    return story


def with_dose(sheet: Ordered, key: str, **changed: Any) -> Ordered:
    """The sheet with another order of one medicine."""
    return replace(sheet, doses=tuple(replace(one, **changed) if one.id == key else one for one in sheet.doses))
