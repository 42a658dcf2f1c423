"""What the plan in force asks of a day, for the screens: marks, steps, numbers to call."""

from contextlib import suppress
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from fillmark.core.bedside.versions import worked_out
from fillmark.core.day.values import DayPlan, PlannedSession
from fillmark.core.orders.dosing_days import ordered_dose
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.entries import session_day
from fillmark.core.today.replanned import newest_times
from fillmark.core.tube.syringe import Mark
from fillmark.core.values.errors import FillmarkError, NotStated
from fillmark.core.values.quantities import Mass
from fillmark.services.bedside import widen
from fillmark.web.bedside import Bedside
from fillmark.web.words import Names


@dataclass(frozen=True, kw_only=True, slots=True)
class PlannedDay:
    """The plan of one day: the document, and what it asks for; or why nothing can be worked out from it."""

    plan: CarePlan | None = None
    version: int | None = None
    day: DayPlan | None = None
    sessions: tuple[PlannedSession, ...] = ()
    error: FillmarkError | None = None
    names: Names = field(default_factory=Names)

    def find(self, session: str) -> PlannedSession | None:
        """The planned session with this identity."""
        return next((planned for planned in self.sessions if planned.key == session), None)

    def doses(self, session: str) -> dict[str, dict[str, str]]:
        """The ordered dose of each medicine of a session as the record keeps it: mass where there is one, mL, words."""
        found = self.find(session)
        # a dose after midnight belongs to the day before, as its mark does
        day = session_day(session, day_starts=self.plan.household.day_starts) if self.plan else None
        kept: dict[str, dict[str, str]] = {}
        for dose in found.medicines if found and self.plan else ():
            one = kept[dose.medicine.id] = {"amount": dose.amount}
            if isinstance(dose.drawn, Mark):
                one["ml"] = f"{dose.drawn.drawn.ml:f}"
            with suppress(NotStated):  # counted in pieces whose strength nobody stated
                weight_kg = self.plan.animal.weight.weight_kg  # type: ignore[union-attr]
                mass = ordered_dose(dose.medicine, weight_kg=weight_kg, on=day).value
                if isinstance(mass, Mass):  # units, mEq and mmol are kept in words
                    one["dose_mg"] = f"{mass.mg:f}"
        return kept


def planned_on(bedside: Bedside, day: date) -> PlannedDay:
    """The plan that is in force at the end of a day, or now where the day is not over."""
    ends_at = datetime.combine(day + timedelta(days=1), bedside.home.day_starts, tzinfo=bedside.zone)
    at = min(ends_at, bedside.now)
    side = widen(bedside.side, days=[day])
    stored = side.plan_at(at)
    if stored is None:
        return PlannedDay()
    plan, version = stored.plan, stored.number
    medicines = {medicine.id: medicine.name for medicine in plan.medicines}
    try:
        whole_day = stored.day(day)
        sessions = worked_out(side.sessions_of_days(day, day, new=newest_times(side.of_days(day, day)))[day])
    except FillmarkError as error:
        return PlannedDay(plan=plan, version=version, error=error, names=Names(medicines=medicines))
    steps = {step.id: step.title for session in sessions for step in session.steps}
    names = Names(medicines=medicines, steps=steps)
    return PlannedDay(plan=plan, version=version, day=whole_day, sessions=sessions, names=names)


def planned_for(bedside: Bedside, session: str) -> PlannedDay:
    """The plan of the day that a session belongs to."""
    return planned_on(bedside, session_day(session, day_starts=bedside.home.day_starts))
