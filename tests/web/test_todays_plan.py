"""What the plan asks of a session, as the record will keep it."""

from datetime import date, time

import pytest

from fillmark.core.day.plan_day import plan_day
from fillmark.web.bedside.todays_plan import PlannedDay
from tests.support.charts import a_plan
from tests.support.medicines import a_medicine


@pytest.mark.hazard("H4")
def test_a_dose_after_midnight_is_recorded_as_it_is_drawn():
    """The dose changes on the 26th; at 1:00 of that night the day, and the syringe, are still those of the 25th."""
    steps = ({"from_on": date(2026, 11, 26), "dose": "2.5 mg"},)
    plan = a_plan(a_medicine(clocks=(time(13), time(1)), steps=steps))
    days = [plan_day(plan, on=date(2026, 11, day)) for day in (25, 26)]
    planned = PlannedDay(plan=plan, sessions=tuple(session for day in days for session in day.sessions))

    assert planned.doses("2026-11-26T01:00") == {"drug": {"amount": "5 mL", "ml": "5.0", "dose_mg": "5.0"}}
    assert planned.doses("2026-11-26T13:00") == {"drug": {"amount": "2.5 mL", "ml": "2.5", "dose_mg": "2.5"}}
