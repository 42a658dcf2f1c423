"""Quarry Lane in the test database: Noor leads, Sam helps, Juniper has her packaged plan and a day behind her."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from fillmark.core.day.values import PlannedSession
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.entries import Entry
from fillmark.core.record.medicine_entries import MedicineGiven, Outcome
from fillmark.core.record.session_entries import FillGiven, SessionEnded, SessionStarted
from fillmark.core.tube.syringe import Mark
from fillmark.core.values.people import Role
from fillmark.services import household, plans, record, sign_in
from tests.support.builders import adopt, an_entry, junipers_plan
from tests.support.kept_rows import made_once
from tests.support.sides import side_of


@dataclass(frozen=True, kw_only=True)
class Household:
    id: UUID
    animal_id: UUID
    noor: UUID
    sam: UUID

    @property
    def ids(self) -> dict[str, UUID]:
        """What the services ask for."""
        return {"household_id": self.id, "animal_id": self.animal_id}

    def link(self, person: UUID, *, now: datetime) -> str:
        """The path that signs a person in."""
        token = sign_in.make_link(
            household_id=self.id, by=person, person_id=person, now=now, valid_for=timedelta(hours=1)
        )
        return f"/sign-in/{token}/"

    def write(self, payload: object, *, at: datetime, by: UUID | None = None, **changed: object) -> Entry:
        """One entry of Noor's, or of whoever is named, without a screen."""
        entry = an_entry(payload, at=at, animal_id=self.animal_id, **changed)
        record.record_entry(household_id=self.id, by=by or self.noor, entry=entry, now=at)
        return entry

    def entries(self, *, now: datetime) -> list[Entry]:
        """Every entry of today that counts."""
        day = household.today(household_id=self.id, now=now)
        shown = record.day_entries(side_of(**self.ids, now=now), day=day)
        return [one.kept.entry for one in shown if one.counts]

    def all_ids(self) -> list[UUID]:
        """The id of every entry in the record, also of those that were taken back."""
        return [one.entry.id for one in record.entries_since(household_id=self.id, seq=0)]


def quarry_lane(*, now: datetime, recorded: bool = True, plan: CarePlan | None = None, asked: bool = True) -> Household:
    """The household as it stands at an instant; with `recorded`, every session before it was given as planned.

    Without `asked`, the plan was let in by a version that did not ask about it.
    """
    plan = plan or junipers_plan()
    return made_once(
        (now, recorded, plan, asked), lambda: _quarry_lane(now=now, recorded=recorded, plan=plan, asked=asked)
    )


def _quarry_lane(*, now: datetime, recorded: bool, plan: CarePlan, asked: bool) -> Household:
    home = plan.household
    lead = household.open_household(
        name=home.name, time_zone=home.time_zone, day_starts=home.day_starts, lead_name="Noor"
    )
    who = {"household_id": lead.household_id, "by": lead.id, "now": now}
    sam = household.add_person(**who, name="Sam", role=Role.HELPER)
    animal = household.add_animal(**who, name=plan.animal.name)
    made = Household(id=lead.household_id, animal_id=animal.id, noor=lead.id, sam=sam.id)
    said = {"words": plan.vet.words or "", "on": plan.vet.said_on}
    adopt(made, plan, from_at=now - timedelta(days=2), now=now, asked=asked, **said)
    today = household.today(household_id=made.id, now=now)
    for session in plans.planned_sessions(**made.ids, day=today):
        if recorded and session.at < now:
            _give(made, session, now=now)
    return made


def _give(made: Household, session: PlannedSession, *, now: datetime) -> None:
    payloads: list[object] = [SessionStarted(session=session.key)]
    payloads += [
        MedicineGiven(
            session=session.key,
            medicine=dose.medicine.id,
            dose_mg=dose.mass.mg if dose.mass is not None else None,
            amount=dose.amount,
            ml=dose.drawn.drawn.ml if isinstance(dose.drawn, Mark) else None,
            outcome=Outcome.GIVEN,
        )
        for dose in session.to_give
    ]
    payloads += [
        FillGiven(session=session.key, fill=number, ml=float(mark.drawn.ml))
        for number, mark in enumerate(session.fills, start=1)
    ]
    payloads.append(SessionEnded(session=session.key))
    for place, payload in enumerate(payloads):
        at = session.at + timedelta(minutes=2 * place)
        entry = an_entry(payload, at=at, animal_id=made.animal_id)
        record.record_entry(household_id=made.id, by=made.noor, entry=entry, now=now)
