"""A household in the database with a week of medicines behind it: kept, late, twice, corrected, left out and silent."""

from datetime import UTC, date, datetime, time, timedelta
from uuid import UUID

from fillmark.core.orders.medicine import Medicine
from fillmark.core.orders.rhythm import DoseStep, WhenNeeded
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.day_entries import Withdrawn
from fillmark.core.record.entries import Entry, make_entry_id
from fillmark.core.record.medicine_entries import EffectSeen, MedicineGiven, Outcome
from fillmark.core.record.session_entries import SessionSkipped
from fillmark.core.tube.syringe import Mark
from fillmark.core.values.people import Role
from fillmark.services import household, plans, record
from tests.journeys.household import Household
from tests.support.builders import adopt, junipers_plan

NOW = datetime(2026, 11, 26, 14, 20, tzinfo=UTC)
"""A Thursday afternoon in Dublin."""

TAPER = Medicine(
    id="prednisolone",
    name="Prednisolone",
    form="liquid",
    strength="5 mg/mL",
    dose="5 mg",
    route="tube",
    every_hours=24,
    clocks=(time(7),),
    start_on=date(2026, 11, 23),
    stop_on=date(2026, 12, 2),
    steps=(DoseStep(from_on=date(2026, 11, 27), dose="2.5 mg"),),
)
WHEEZE = Medicine(
    id="salbutamol",
    name="Salbutamol",
    form="nebulizer vial",
    dose="1 vial",
    route="nebulizer",
    when_needed=WhenNeeded(reason="Wheezing", min_gap_hours=4, max_per_day=4),
)


def a_plan_of_four() -> CarePlan:
    """Juniper's two medicines, a taper, and one when needed."""
    plan = junipers_plan()
    return plan.model_copy(update={"medicines": (*plan.medicines, TAPER, WHEEZE)})


def keep(home: Household, payload: object, *, at: datetime, by: UUID, corrects: UUID | None = None) -> UUID:
    """One entry in the record."""
    number = len(record.entries_since(household_id=home.id, seq=0))
    entry = Entry(
        id=make_entry_id(at=at, chance=number.to_bytes(10, "big")),
        animal_id=home.animal_id,
        at=at,
        zone="Europe/Dublin",
        device="kitchen-phone",
        payload=payload,
        corrects=corrects,
    )
    record.record_entry(household_id=home.id, by=by, entry=entry, now=NOW)
    return entry.id


def a_medicine_week() -> Household:
    """Quarry Lane with the plan of four since Sunday, and most of its doses recorded until Thursday afternoon."""
    plan = a_plan_of_four()
    home = plan.household
    lead = household.open_household(
        name=home.name, time_zone=home.time_zone, day_starts=home.day_starts, lead_name="Noor"
    )
    who = {"household_id": lead.household_id, "by": lead.id, "now": NOW}
    sam = household.add_person(**who, name="Sam", role=Role.HELPER)
    animal = household.add_animal(**who, name="Juniper")
    made = Household(id=lead.household_id, animal_id=animal.id, noor=lead.id, sam=sam.id)
    adopt(made, plan, from_at=datetime(2026, 11, 22, 12, tzinfo=UTC), now=NOW)
    people = (made.noor, made.sam)
    kept: dict[tuple[str, str], UUID] = {}
    for number in range(4):
        day = date(2026, 11, 23) + timedelta(days=number)
        for place, session in enumerate(plans.planned_sessions(household_id=made.id, animal_id=animal.id, day=day)):
            if session.at > NOW or session.key == "2026-11-25T18:30":
                continue
            if session.key == "2026-11-24T18:30":
                left_out = SessionSkipped(session=session.key, reason="At the clinic all evening")
                keep(made, left_out, at=session.at, by=made.sam)
                continue
            for dose in session.medicines:
                minutes = 70 if session.key == "2026-11-25T06:30" else 2 + place
                refused = session.key == "2026-11-24T07:00"
                given = MedicineGiven(
                    session=session.key,
                    medicine=dose.medicine.id,
                    dose_mg=dose.mass.mg if dose.mass else None,
                    ml=dose.drawn.drawn.ml if isinstance(dose.drawn, Mark) else None,
                    outcome=Outcome.HELD if refused else Outcome.GIVEN,
                    reason="Vomited twice; the vet said to wait" if refused else None,
                )
                at = session.at + timedelta(minutes=minutes)
                kept[session.key, dose.medicine.id] = keep(made, given, at=at, by=people[(number + place) % 2])
    again = MedicineGiven(session="2026-11-26T06:30", medicine="omeprazole", dose_mg="12", ml="6", outcome="given")
    keep(made, again, at=datetime(2026, 11, 26, 6, 50, tzinfo=UTC), by=made.noor)
    wrong = kept["2026-11-23T14:30", "metoclopramide"]
    keep(
        made,
        Withdrawn(reason="Pressed twice"),
        at=datetime(2026, 11, 23, 14, 50, tzinfo=UTC),
        by=made.noor,
        corrects=wrong,
    )
    puff = MedicineGiven(medicine="salbutamol", amount="one vial", outcome="given", reason="Wheezing after the walk")
    first = keep(made, puff, at=datetime(2026, 11, 24, 22, 10, tzinfo=UTC), by=made.sam)
    eased = EffectSeen(of=first, effect="eased", words="Sleeps")
    keep(made, eased, at=datetime(2026, 11, 24, 22, 40, tzinfo=UTC), by=made.sam)
    keep(made, puff, at=datetime(2026, 11, 26, 2, 5, tzinfo=UTC), by=made.noor)
    return made
