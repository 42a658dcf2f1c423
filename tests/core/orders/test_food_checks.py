"""The time from a medicine to food, against print, and an order that says nothing about it."""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.orders.order_checks import check_order
from fillmark.core.values.finding import Weight
from tests.support.medicines import a_medicine


def questions(order, *, species=Species.DOG, weight_kg=10.0, **changed):
    """What is found, by the name of the check."""
    return {one.code: one for one in check_order(order, species=species, weight_kg=weight_kg, **changed)}


def pimobendan(dose, **changed):
    """An order of a medicine that print gives at 0.1 to 0.3 mg/kg."""
    return a_medicine(
        **{"name": "Pimobendan", "dose": dose, "dose_for_weight_kg": 10, "strength": "1.5 mg/mL", **changed}
    )


@pytest.mark.hazard("H22")
@pytest.mark.parametrize(("relation", "said"), [("any", "nothing about food"), ("with", "with food")])
def test_a_time_before_food_that_print_gives_is_asked_about(relation, said):
    """Only where the order does not have it before food."""
    question = questions(pimobendan("0.25 mg/kg", food={"relation": relation}))["food-timing"]

    assert question.text == (
        f"Print gives Pimobendan about 60 minutes before food; the order says {said}. Ask the vet."
    )
    assert not question.blocks
    for food in ({"relation": "before", "minutes": 20}, {"relation": "empty stomach", "minutes": 30}):
        assert "food-timing" not in questions(pimobendan("0.25 mg/kg", food=food))
    assert "food-timing" not in questions(a_medicine(food={"relation": relation}))


@pytest.mark.hazard("H22")
def test_an_empty_stomach_has_two_sides():
    """How long after food is asked where the order is silent; what is shorter than all print is asked about."""

    def asked(**food):
        return questions(a_medicine(food={"relation": "empty stomach", **food})).get("empty-stomach")

    assert asked(minutes=30).text == (
        "How long after food may Drug be given? Its order says how long before, and not how long after."
    )
    assert asked(minutes=20, after_minutes=60).text == (
        "Drug: 20 minutes before and 60 minutes after food, when the shortest in print is 30 and 30. Ask the vet."
    )
    assert asked(minutes=60, after_minutes=120) is None
    assert "empty-stomach" not in questions(a_medicine(food={"relation": "before", "minutes": 5}))


@pytest.mark.hazard("H22")
def test_an_order_that_leaves_food_out_is_asked_or_said():
    """Asked where print has something to say about it; said where not; nothing for what does not go to the stomach."""
    asked = questions(a_medicine(name="Sucralfate"))["food-timing"]
    assert asked.text == (
        "Sucralfate: Print gives it on an empty stomach, an hour before food or two hours "
        "after it. The order says nothing about food. Ask the vet."
    )
    assert (asked.weight, [figure.id for figure in asked.figures]) == (Weight.ASKED, ["medicine.food.sucralfate"])
    assert "food-timing" not in questions(a_medicine(name="Sucralfate", food={"relation": "before", "minutes": 60}))
    said = questions(a_medicine())["food-not-stated"]
    assert said.text == "The order of Drug says nothing about food; it is planned without regard to it."
    assert (said.weight, said.field, said.figures) == (Weight.SAID, "food", ())
    assert "food-not-stated" not in questions(a_medicine(food={"relation": "any"}))
    assert "food-not-stated" not in questions(a_medicine(form="drops", route="ear"))
