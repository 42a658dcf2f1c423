"""Syringes, orders and givings for tests, with what a test does not care about filled in."""

from datetime import datetime

from fillmark.core.doses.giving import Giving
from fillmark.core.orders.medicine import Medicine
from fillmark.core.record.medicine_entries import Outcome
from fillmark.core.tube.syringe import Syringe


def a_syringe(size_ml=10, step_ml=0.2, numbered_every_ml=1, *, tip="low-dose enteral", **changed):
    """A syringe of the household; ten mL unless said."""
    name = f"{tip}-{size_ml}".replace(" ", "-").replace(".", "-").lower()
    values = {
        "id": name[:40],
        "size_ml": size_ml,
        "step_ml": step_ml,
        "numbered_every_ml": numbered_every_ml,
        "tip": tip,
    }
    return Syringe(**{**values, **changed})


ONE = a_syringe(1, 0.01, 0.1)
THREE = a_syringe(3, 0.1, 0.5)
FIVE = a_syringe(5, 0.2, 1)
TEN = a_syringe(10, 0.2, 1)
TWENTY = a_syringe(20, 1, 5)
SIXTY = a_syringe(60, 1, 10, tip="catheter")
SHELF = (ONE, THREE, TEN, SIXTY)
SHELVES = (
    (ONE, THREE, TEN, SIXTY),
    (a_syringe(1, 0.02, 0.2, tip="oral"), FIVE, TWENTY),
    (a_syringe(3, 0.1, 0.5, tip="enteral"), a_syringe(12, 0.5, 2, tip="enteral"), SIXTY),
    (TEN,),
    (a_syringe(0.5, 0.01, 0.1), a_syringe(2.5, 0.1, 0.5), a_syringe(35, 1, 5)),
    (a_syringe(6, 0.2, 1), a_syringe(14, 0.5, 5), a_syringe(140, 2, 10, tip="catheter")),
)
"""What six households own, from a full set to a single syringe."""


def a_medicine(**changed):
    """Invented drops for the stomach: 5 mg of 1 mg/mL through the tube every 12 hours."""
    values = {
        "id": "drug",
        "name": "Drug",
        "form": "liquid",
        "strength": "1 mg/mL",
        "dose": "5 mg",
        "route": "tube",
        "every_hours": 12,
    }
    if {"times_per_day", "with_each_meal", "when_needed"} & set(changed):
        del values["every_hours"]
    return Medicine(**{**values, **changed})


def a_tablet(**changed):
    """An order in tablets, by mouth unless said."""
    return a_medicine(**{"form": "tablet", "strength": "10 mg/tablet", "dose": "10 mg", "route": "mouth", **changed})


def a_giving(at: datetime, *, outcome=Outcome.GIVEN, by="Noor", medicine_id="drug", planned_at=None):
    """What became of one dose; given by Noor unless said."""
    return Giving(medicine_id=medicine_id, at=at, by=by, outcome=outcome, planned_at=planned_at)
