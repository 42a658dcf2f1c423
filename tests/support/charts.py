"""Plans in force and charts of medicines for tests: Drug twice a day, and Puff when needed."""

from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal

from fillmark.core.chart.chart import Cell, Chart, PlanInForce
from fillmark.core.chart.read_chart import read_chart
from fillmark.core.day.plan_day import plan_day
from fillmark.core.orders.rhythm import WhenNeeded
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.medicine_entries import MedicineGiven, Outcome
from tests.support.builders import NOON, SEVEN, junipers_plan
from tests.support.medicines import a_medicine

WEDNESDAY = date(2026, 11, 25)
LONG_AGO = datetime(2026, 1, 1, tzinfo=UTC)
DRUG = a_medicine(id="drug", name="Drug", clocks=(time(7), time(19)))
PUFF = a_medicine(
    id="puff",
    name="Puff",
    every_hours=None,
    when_needed=WhenNeeded(reason="Wheezing", min_gap_hours=4, max_per_day=4),
)


def a_plan(*medicines, **household) -> CarePlan:
    """Juniper's packaged plan with other medicines."""
    plan = junipers_plan()
    home = plan.household.model_copy(update=household)
    return plan.model_copy(update={"medicines": tuple(medicines), "household": home})


def in_force(*medicines, number=1, from_at=LONG_AGO, until_at=None, **household) -> PlanInForce:
    """Such a plan as a version; the first, and since long ago, unless said."""
    return PlanInForce(number=number, plan=a_plan(*medicines, **household), from_at=from_at, until_at=until_at)


def chart(*entries, plans=(), first=WEDNESDAY, last=WEDNESDAY, now=NOON, clashes=()) -> Chart:
    """The chart of the days from the given plans, each session by the one in force at its time."""
    plans = tuple(plans) or (in_force(DRUG, PUFF),)
    days = [first + timedelta(days=number) for number in range((last - first).days + 1)]
    sessions = [
        session
        for plan in plans
        for day in days
        for session in plan_day(plan.plan, on=day).sessions
        if plan.holds(session.at)
    ]
    home = plans[0].plan.household
    return read_chart(
        first=first,
        last=last,
        plans=plans,
        sessions=sessions,
        entries=entries,
        now=now,
        time_zone=home.time_zone,
        day_starts=home.day_starts,
        clashes=clashes,
    )


def given(*, session=SEVEN, medicine="drug", outcome=Outcome.GIVEN, **changed) -> MedicineGiven:
    """A dose of Drug as planned for seven o'clock unless said."""
    values = {"dose_mg": Decimal(5), "ml": Decimal(5)}
    return MedicineGiven(session=session, medicine=medicine, outcome=outcome, **{**values, **changed})


def cell(found: Chart, *, row=0, on=WEDNESDAY, clock=time(7)) -> Cell:
    """One dose of a chart; the first of the day unless said."""
    one = next((one for one in found.rows[row].cells if (one.day, one.clock) == (on, clock)), None)
    assert one is not None
    return one
