"""Product summary of pimobendan for dogs (EU).

European Medicines Agency. Here: dose, and time before food; the strength of the solution is that of 21 CFR 520.1782.
Rows in printed order; no clinician has checked them.
"""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.orders.dosing_days import ordered_dose
from fillmark.core.orders.drawing import dose_volume
from fillmark.core.orders.order_checks import check_order
from fillmark.published.medicine import MINUTES_BEFORE_FOOD
from tests.references.rows import row
from tests.support.medicines import a_medicine


def pimobendan(mg_per_kg, weight_kg):
    return a_medicine(
        name="Pimobendan", strength="1.5 mg/mL", dose=f"{mg_per_kg} mg/kg", dose_for_weight_kg=weight_kg, every_hours=12
    )


@pytest.mark.parametrize(("mg_per_kg", "weight_kg", "printed"), [row("MED013", 0.25, 20, "5 mg")])
def test_dose(mg_per_kg, weight_kg, printed):
    """Copied: exact."""
    assert str(ordered_dose(pimobendan(mg_per_kg, weight_kg), weight_kg=weight_kg).value) == printed


@pytest.mark.parametrize(("mg_per_kg", "weight_kg", "printed_ml"), [row("MED014", 0.25, 20, 3.3333)])
def test_volume(mg_per_kg, weight_kg, printed_ml):
    """Arithmetic on printed figures; 0.01 mL."""
    volume = dose_volume(pimobendan(mg_per_kg, weight_kg), weight_kg=weight_kg).value
    assert float(volume.ml) == pytest.approx(printed_ml, abs=0.01)


@pytest.mark.parametrize(
    ("mg_per_kg", "asked"),
    [row("MED058", 0.25, None), row("MED059", 2.5, "ten times as much as print says: a point may have moved")],
)
def test_against_print(mg_per_kg, asked):
    """Bound: inside print nothing is asked; ten times as much is, and the likely slip is named."""
    texts = [
        question.text
        for question in check_order(pimobendan(mg_per_kg, 10), species=Species.DOG, weight_kg=10)
        if question.code == "outside-print"
    ]
    assert bool(texts) == bool(asked)
    if asked:
        assert asked in texts[0]


@pytest.mark.parametrize("printed_minutes", [row("MED157", -60)])
def test_before_food(printed_minutes):
    """Copied: exact; an order that says nothing about food is asked about, one that keeps to it is not."""
    assert -MINUTES_BEFORE_FOOD["pimobendan"].value == printed_minutes

    def asked(food):
        order = a_medicine(name="Pimobendan", strength="1.5 mg/mL", dose="0.25 mg/kg", dose_for_weight_kg=10, food=food)
        return "food-timing" in [q.code for q in check_order(order, species=Species.DOG, weight_kg=10)]

    assert asked({"relation": "any"})
    assert not asked({"relation": "before", "minutes": 60})
