"""What a caregiver may count on between the vet's order and the syringe, and when to call."""

from datetime import date
from pathlib import Path

import pytest

from fillmark.cli.main import main
from fillmark.core.food.energy import Species
from fillmark.core.orders.drawing import draw
from fillmark.core.orders.shelf_life import beyond_use_day, use_until
from fillmark.core.tube.tube_care import tube_out, unclog_choices
from fillmark.core.values.errors import CannotDraw, NotStated
from fillmark.core.watch.vital_signs import breathing, temperature
from fillmark.examples import example_plan
from tests.support.medicines import FIVE, SHELF, a_medicine, a_tablet


@pytest.mark.hazard("H4")
def test_a_point_that_moved_is_asked_about_before_the_first_dose(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Juniper's metoclopramide at 3 mg/kg instead of 0.3 is a question in the plan, with the likely slip."""
    text = example_plan("juniper").decode().replace('dose = "0.3 mg/kg"', 'dose = "3 mg/kg"')
    path = tmp_path / "plan.toml"
    path.write_text(text, encoding="utf-8")
    main(["plan", str(path)])
    said = " ".join(capsys.readouterr().out.split())

    assert "ten times as much as print says: a point may have moved" in said


@pytest.mark.hazard("H6")
def test_a_dose_that_no_syringe_measures_goes_to_the_vet():
    """More than a tenth off is never drawn, whatever is at hand."""
    with pytest.raises(CannotDraw, match=r"Do not give it like this\. Ask the vet"):
        draw(a_medicine(dose="0.3 mg"), weight_kg=10, syringes=[FIVE])


@pytest.mark.hazard("H21")
def test_without_a_word_on_crushing_nothing_is_crushed():
    """Unknown is a question, not a yes."""
    with pytest.raises(NotStated, match=r"Do not crush it\. Ask the vet or the pharmacy first"):
        draw(a_tablet(route="tube"), weight_kg=10, syringes=SHELF)


@pytest.mark.hazard("H3")
def test_the_pharmacys_label_goes_before_print():
    """A compounded liquid made on 1 March, good until 20 March by its label, ends on 20 March."""
    by_rule = beyond_use_day(compounded="water, preserved", made_on=date(2026, 3, 1))

    assert use_until(label_on=date(2026, 3, 20), by_rule=by_rule).value == date(2026, 3, 20)


@pytest.mark.hazard("H19")
def test_ordinary_numbers_never_talk_a_person_out_of_calling():
    """18 breaths a minute and 38.6 °C rule nothing out."""
    for number in (
        breathing(species=Species.DOG, per_minute=18),
        temperature(species=Species.DOG, rectal_celsius=38.6),
    ):
        assert "does not rule out pneumonia" in number.cautions[0]


@pytest.mark.hazard("H13")
def test_a_tube_that_is_out_is_never_put_back_at_home_into_a_young_hole():
    """In the first four weeks, and where nobody knows its age."""
    for placed_on in (date(2026, 11, 20), None):
        out = tube_out(tube_kind="gastrostomy", placed_on=placed_on, on=date(2026, 11, 25)).value
        assert out.do[0] == "Go to the emergency vet now."
        assert out.do_not[0].startswith("Do not put the tube or anything else into the hole")


@pytest.mark.hazard("H29")
def test_a_clog_is_met_with_warm_water_first_and_nothing_else_without_the_vet():
    """What print found worse than water says so."""
    first, *others = unclog_choices()

    assert first.liquid == "warm water"
    assert not any(choice.is_allowed for choice in others)
    assert [choice.liquid for choice in others if choice.advised_against] == [
        "cola",
        "half a teaspoon of pancreatic enzyme with bicarbonate",
    ]
