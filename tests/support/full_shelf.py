"""A plan with every kind of order at once: counted in hours, a taper at its change, a course at its end, when needed,
on hold, crushed tablets, and one that a second person checks. Invented, and no order for a living animal."""

from datetime import date, datetime, time

from fillmark.core.orders.medicine import Medicine
from fillmark.core.orders.rhythm import WhenNeeded
from fillmark.core.plan.care_plan import CarePlan
from tests.support.builders import junipers_plan

TODAY = date(2026, 11, 25)


def medicine(key: str, name: str, **order: object) -> Medicine:
    """An order through the tube."""
    values = {"id": key, "name": name, "form": "liquid", "route": "tube", "crush": "not allowed"}
    return Medicine(**{**values, **order})


SHELF = (
    medicine(
        "prednisolone",
        "Prednisolone",
        form="tablet",
        strength="5 mg/tablet",
        dose="10 mg",
        every_hours=12,
        clocks=(time(7), time(20)),
        start_on=date(2026, 11, 18),
        stop_on=date(2026, 12, 15),
        steps=(
            {"from_on": TODAY, "dose": "7.5 mg"},
            {"from_on": date(2026, 12, 2), "dose": "5 mg", "every_hours": 24, "clocks": (time(7),)},
            {"from_on": date(2026, 12, 9), "dose": "5 mg", "every_hours": 48},
        ),
        crush="allowed",
        tablet_parts=2,
        carrier_water_ml=8,
        purpose="calms the gullet",
    ),
    medicine(
        "amoxicillin",
        "Amoxicillin",
        strength="50 mg/mL",
        dose="175 mg",
        every_hours=12,
        clocks=(time(7), time(20)),
        start_on=date(2026, 11, 19),
        stop_on=TODAY,
        purpose="lung infection",
        second_check=True,
    ),
    medicine(
        "appetite",
        "Appetite drops",
        strength="10 mg/mL",
        dose="6 mg",
        every_hours=36,
        first_dose=datetime(2026, 11, 22, 18, 30),  # noqa: DTZ001 - the household's clock
        purpose="appetite",
    ),
    medicine(
        "retching",
        "Ondansetron",
        strength="0.8 mg/mL",
        dose="4 mg",
        when_needed=WhenNeeded(reason="Retching", min_gap_hours=8, max_per_day=2),
    ),
    medicine(
        "binder",
        "Sucralfate",
        strength="200 mg/mL",
        dose="500 mg",
        times_per_day=2,
        clocks=(time(11, 30), time(22, 30)),
        held="Constipated since Monday. Dr. Marsh, 24 November",
    ),
)


def a_full_shelf() -> CarePlan:
    """Juniper's own two medicines, and these."""
    plan = junipers_plan()
    return plan.model_copy(update={"medicines": (*plan.medicines, *SHELF)})
