"""An invented household to look around in: plans from the packaged examples, and ten days as they may have been.

The same chance each time, so that two people who look see the same days. What a visitor records stays: only sessions
that nobody has touched are filled in.
"""

import random
import re
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from decimal import Decimal
from uuid import UUID

from django.db import transaction

from fillmark.core.day.steps import Step, StepKind
from fillmark.core.day.values import PlannedSession
from fillmark.core.orders.dosing_days import ordered_dose
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.reading import read_plan
from fillmark.core.record.care_entries import FlowTested, Note, Weighed
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.record.entries import Entry, Payload, make_entry_id
from fillmark.core.record.medicine_entries import BottleOpened, MedicineGiven, Outcome
from fillmark.core.record.session_entries import (
    CameBack,
    FillGiven,
    FlushGiven,
    MealEnded,
    SessionEnded,
    SessionSkipped,
    SessionStarted,
    SessionStopped,
    StepDone,
)
from fillmark.core.tube.syringe import Mark
from fillmark.core.values.errors import NotStated
from fillmark.core.values.people import Caregiver, Role
from fillmark.core.values.quantities import Mass
from fillmark.examples import example_plan
from fillmark.services import bedside, household, plans, record
from fillmark.services.plans import Confirmation

DAYS = 10
_WRITTEN_ON = date(2026, 11, 25)
"""The day that the examples are written for."""
ANIMALS = ("juniper", "sorrel")
_LONGEST = timedelta(minutes=50)
"""No invented session lasts longer, so that none of them reaches into the future."""
_NOTES = ("Slept through.", "Licked her lips a lot before the meal.", "Brighter today.", "Tube clean, skin dry.")


@transaction.atomic
def bring_up_to_date(*, now: datetime) -> Caregiver:
    """Open the invented household if there is none, and fill in what has passed since; its lead comes out."""
    plan_of = {name: read_plan(_as_of_now(example_plan(name), now), kind="toml") for name in ANIMALS}
    lead = household.find_first_lead() or _open(plan_of, now)
    people = [person for person in household.find_people(household_id=lead.household_id) if person.role != Role.SITTER]
    for animal in household.find_animals(household_id=lead.household_id):
        plan = plan_of.get(animal.name.lower())
        if plan is not None:
            _fill_in(animal.id, plan, people, now)
    return lead


def _as_of_now(plan: bytes, now: datetime) -> bytes:
    """An example with its dates as many whole weeks later as it is old: an invented plan shall look like a new one."""
    weeks = timedelta(weeks=(now.date() - _WRITTEN_ON).days // 7)

    def later(found: re.Match[str]) -> str:
        return (date.fromisoformat(found[0]) + weeks).isoformat()

    return re.sub(r"\b\d{4}-\d{2}-\d{2}\b", later, plan.decode()).encode()


def _open(plan_of: dict[str, CarePlan], now: datetime) -> Caregiver:
    home = plan_of[ANIMALS[0]].household
    names = {person.name: Role(person.role) for person in home.people}
    first = next(name for name, role in names.items() if role is Role.LEAD)
    lead = household.open_household(
        name=home.name, time_zone=home.time_zone, day_starts=home.day_starts, lead_name=first
    )
    for name, role in names.items():
        if name != first:
            household.add_person(household_id=lead.household_id, by=lead.id, name=name, role=role, now=now)
    for plan in plan_of.values():
        animal = household.add_animal(household_id=lead.household_id, by=lead.id, name=plan.animal.name, now=now)
        confirmed = Confirmation(
            household_id=lead.household_id,
            by=lead.id,
            vet_words=plan.vet.words or "As on the sheet.",
            vet_said_on=min(plan.vet.said_on, now.date()),
            now=now,
        )
        since = now - timedelta(days=DAYS + 1)
        plans.adopt_plan(confirmed, animal_id=animal.id, document=plan, effective_from=since)
        _open_bottles(animal.id, plan, lead, now)
    return lead


def _open_bottles(animal_id: UUID, plan: CarePlan, lead: Caregiver, now: datetime) -> None:
    """One bottle of each liquid, opened a few days ago, made by a pharmacy with preserved water."""
    opened_at = now - timedelta(days=min(DAYS, 4))
    for number, medicine in enumerate(plan.medicines):
        if not medicine.is_drawn or medicine.strength is None:
            continue
        entry = Entry(
            id=make_entry_id(at=opened_at, chance=animal_id.bytes[:9] + bytes([number])),
            animal_id=animal_id,
            at=opened_at,
            zone=plan.household.time_zone,
            device="kitchen-phone",
            payload=BottleOpened(
                medicine=medicine.id,
                strength=medicine.strength,
                ml=Decimal(120),
                filled_on=opened_at.date(),
                keeps_as="water, preserved",
                lot=f"Q{opened_at:%j}{number}",
            ),
        )
        record.record_entry(household_id=lead.household_id, by=lead.id, entry=entry, now=now)


def _fill_in(animal_id: UUID, plan: CarePlan, people: list[Caregiver], now: datetime) -> None:
    household_id = people[0].household_id
    side = bedside.load_by_ids(household_id=household_id, by=people[0].id, animal_id=animal_id, now=now)
    for days_ago in range(DAYS, -1, -1):
        day = side.today - timedelta(days=days_ago)
        shown = record.day_entries(side, day=day)
        touched = {one.kept.entry.session for one in shown}
        for session in plans.planned_sessions(household_id=household_id, animal_id=animal_id, day=day):
            if session.key in touched or session.at + _LONGEST > now:
                continue
            story = _Story(animal_id=animal_id, plan=plan, session=session, day_number=day.toordinal())
            by = people[story.chance.randrange(len(people))]
            entries = (*story.tell(), *story.tomorrows_batch())
            bedside.keep_together(household_id=household_id, by=by.id, entries=entries, now=now)


class _Story:
    """One invented session, entry by entry, at the pace of a real one."""

    def __init__(self, *, animal_id: UUID, plan: CarePlan, session: PlannedSession, day_number: int) -> None:
        self.chance = random.Random(f"{plan.animal.name} {session.key}")  # noqa: S311  # a story, not a secret
        self._plan, self._session, self._animal_id = plan, session, animal_id
        self._weighs = bool(session.meal_ml) and session.clock == min(plan.timetable.meals) and day_number % 3 == 0
        self._at = session.at + timedelta(minutes=self.chance.randrange(9), seconds=self.chance.randrange(60))

    def tell(self) -> Iterator[Entry]:
        luck = self.chance.random()
        key = self._session.key
        if luck < 0.02:
            return  # nobody wrote anything: the record shows silence
        if luck < 0.035 and self._session.meal_ml:
            yield self._entry(SessionSkipped(session=key, reason="Vomiting; the vet said to leave this meal out."))
            return
        yield self._entry(SessionStarted(session=key))
        if self._weighs:
            kg = self._plan.animal.weight.weight_kg * (1 + self.chance.uniform(-0.006, 0.006))
            yield self._entry(Weighed(weight_kg=round(kg, 1), scale="hall scale"))
        given_ml, fills = 0.0, 0
        stops_at = 2 if luck > 0.985 else None
        for step in self._session.steps:
            if step.kind is StepKind.FILL:
                fills += 1
                given_ml += step.ml or 0.0
            first = self._entry(self._payload(step))
            yield first
            if step.kind is StepKind.FLUSH and 0.10 < luck < 0.12:
                second = self._entry(self._payload(step))
                yield second
                yield self._entry(Withdrawn(reason="Pressed twice; it was one flush."), corrects=second.id)
                luck = 1.0
            if fills == stops_at:
                yield self._entry(SessionStopped(session=key, reason="Coughed. Stopped and called the vet."))
                return
        if fills:
            yield self._entry(MealEnded(session=key, total_ml=given_ml, fills=fills))
        yield self._entry(SessionEnded(session=key))
        if self._session.meal_ml and 0.2 < luck < 0.28:
            back_ml = float(self.chance.randrange(5, 30, 5))
            yield self._entry(CameBack(session=key, ml=back_ml if luck < 0.26 else "not known"))
        if 0.3 < luck < 0.36:
            yield self._entry(Note(text=self.chance.choice(_NOTES)))

    def tomorrows_batch(self) -> Iterator[Entry]:
        """After the last meal of the day the next batch is made and tested; now and then it is thinned first."""
        if not self._session.meal_ml or self._session.clock != max(self._plan.timetable.meals):
            return
        blend = self._plan.blend
        foods = {part.food: self._plan.food(part.food).can_g for part in blend.foods}
        food_g = sum(part.g or (part.cans or 0) * (foods[part.food] or 0) for part in blend.foods)
        if not food_g:
            return
        is_thick_at_first = self.chance.random() < 0.15
        for water_ml, left_ml in [(blend.water_ml - 30, 8.6)] * is_thick_at_first + [(blend.water_ml, 3.4)]:
            yield self._entry(
                FlowTested(
                    foods=tuple(foods),
                    food_g=food_g,
                    water_ml=water_ml + self.chance.choice([-5, 0, 5]),
                    left_ml=round(left_ml + self.chance.uniform(-0.6, 0.5), 1),
                    sieved=True,
                    frozen=False,
                    batch=f"{self._session.at:%A} jar",
                    made_on=date.fromisoformat(self._session.key[:10]),
                )
            )

    def _payload(self, step: Step) -> Payload:
        key = self._session.key
        if step.kind is StepKind.FILL and step.fill_number and step.ml:
            return FillGiven(session=key, fill=step.fill_number, ml=step.ml)
        if step.kind is StepKind.FLUSH and step.ml:
            return FlushGiven(session=key, step=step.id, ml=step.ml)
        dose = next((dose for dose in self._session.medicines if dose.medicine.id == step.medicine_id), None)
        if dose is None:
            return StepDone(session=key, step=step.id)
        dose_mg: Decimal | None = None
        try:
            weight_kg = self._plan.animal.weight.weight_kg
            ordered = ordered_dose(dose.medicine, weight_kg=weight_kg, on=self._session.at.date()).value
            dose_mg = ordered.mg if isinstance(ordered, Mass) else None
        except NotStated:  # counted in pieces whose strength nobody stated
            pass
        return MedicineGiven(
            session=key,
            medicine=dose.medicine.id,
            dose_mg=dose_mg,
            amount=dose.amount,
            ml=dose.drawn.drawn.ml if isinstance(dose.drawn, Mark) else None,
            outcome=Outcome.GIVEN,
        )

    def _entry(self, payload: Payload, *, corrects: UUID | None = None) -> Entry:
        self._at += timedelta(seconds=self.chance.randrange(20, 100))
        return Entry(
            id=make_entry_id(at=self._at, chance=self._animal_id.bytes[:4] + self.chance.randbytes(6)),
            animal_id=self._animal_id,
            at=self._at,
            zone=self._plan.household.time_zone,
            device="kitchen-phone",
            payload=payload,
            corrects=corrects,
        )
