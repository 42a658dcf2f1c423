"""An order between its steps, and how many doses a day it comes to."""

import pytest

from fillmark.core.orders.stages import doses_per_day, stages
from tests.support.medicines import a_medicine


def test_each_step_is_an_order_of_its_own():
    """With its dose and the rhythm that holds by then."""
    order = a_medicine(
        clocks=("08:00", "20:00"),
        steps=(
            {"from_on": "2026-12-01", "dose": "4 mg"},
            {"from_on": "2026-12-08", "dose": "3 mg", "every_hours": 24, "clocks": ("08:00",)},
            {"from_on": "2026-12-15", "dose": "2 mg"},
        ),
    )
    found = list(stages(order))

    assert [one.medicine.dose for one in found] == ["5 mg", "4 mg", "3 mg", "2 mg"]
    assert [one.medicine.every_hours for one in found] == [12, 12, 24, 24]
    assert [one.label for one in found] == ["Drug", "Drug, step 1", "Drug, step 2", "Drug, step 3"]
    assert [one.field("dose") for one in found] == ["dose", "steps[1].dose", "steps[2].dose", "steps[3].dose"]
    assert not any(one.medicine.steps for one in found)
    assert [one.medicine.name for one in stages(a_medicine())] == ["Drug"]


@pytest.mark.hazard("H4")
@pytest.mark.parametrize(
    ("changed", "meals_a_day", "per_day"),
    [
        ({"every_hours": 12}, 0, 2),
        ({"every_hours": 10, "clocks": ("01:00", "06:00", "11:00", "16:00", "21:00")}, 0, 5),
        ({"every_hours": 24, "clocks": ("08:00",)}, 0, 1),
        ({"every_hours": 48, "clocks": ("08:00",), "start_on": "2026-12-01"}, 0, 0.5),
        ({"times_per_day": 3}, 0, 3),
        ({"times_per_day": 3, "clocks": ("08:00", "14:00", "20:00")}, 0, 3),
        ({"with_each_meal": True}, 4, 4),
        ({"with_each_meal": True}, 0, None),
        ({"when_needed": {"reason": "cough", "min_gap_hours": 4, "max_per_day": 3}}, 5, 3),
    ],
)
def test_doses_a_day_are_those_that_stand_in_the_plan(changed, meals_a_day, per_day):
    """The clocks go before the hours, the meals of the plan before nothing."""
    assert doses_per_day(a_medicine(**changed), meals_a_day=meals_a_day) == per_day
    assert doses_per_day(a_medicine(with_each_meal=True)) is None
