"""What a household may count on when it takes in a plan of its own."""

from datetime import date

import pytest

from fillmark.core.gates.plan_gate import check_plan
from fillmark.core.plan.reading import read_plan
from fillmark.core.plan.words import compare_plans
from fillmark.core.values.errors import BadPlan
from fillmark.core.values.finding import Weight
from fillmark.exchange.plan_file import plan_as_toml
from tests.core.plan.test_words import a_plan
from tests.services.test_take_in import confirm, read
from tests.support.builders import Home


@pytest.mark.hazard("H28")
@pytest.mark.django_db
def test_a_plan_holds_only_after_a_lead_confirmed_what_was_shown(home: Home) -> None:
    """Reading changes nothing; another plan than the one on the page is refused; the vet's words stand beside it."""
    reading = read(home)
    with pytest.raises(BadPlan, match="no longer read as it was shown"):
        confirm(home, reading, a_plan(("upright_minutes = 20", "upright_minutes = 30")))

    assert confirm(home, reading).vet_words == "As on the sheet."


@pytest.mark.hazard("H4")
@pytest.mark.hazard("H5")
def test_a_weight_or_dose_that_jumped_since_the_last_plan_is_asked_about() -> None:
    """Pounds read as kg, and a point that moved, each named as the likely slip before the plan may hold."""
    heavy = a_plan(("kg = 17.4,", "kg = 38.4, checked = true,"))
    tenth = a_plan(('dose = "12 mg"', 'dose = "1.2 mg"'))
    told = [
        one.text
        for new in (heavy, tenth)
        for one in check_plan(new, on=date(2026, 11, 25), animal_name="Juniper", old=a_plan()).of(Weight.ASKED)
    ]

    assert any("kg and lb may be swapped" in text for text in told)
    assert any("a point may have moved" in text for text in told)


@pytest.mark.hazard("H27")
@pytest.mark.parametrize("name", ["juniper", "sorrel"])
def test_every_version_of_a_plan_can_be_taken_along_as_a_file_and_read_again(name: str) -> None:
    """The same plan, value by value."""
    plan = a_plan(name=name)

    assert compare_plans(plan, read_plan(plan_as_toml(plan).encode(), kind="toml")) == ()
