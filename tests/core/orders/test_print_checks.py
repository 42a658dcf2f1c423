"""A dose, its rhythm and its bottle beside print: what is asked just over a limit, and not on it."""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.orders.order_checks import check_order
from fillmark.core.values.finding import Weight
from tests.support.medicines import SHELF, TEN, a_medicine, a_tablet

WITH_FOOD = {"food": {"relation": "with"}}


def found(order, *, species=Species.DOG, weight_kg=10.0, **changed):
    """The findings, by the name of the check."""
    return {one.code: one for one in check_order(order, species=species, weight_kg=weight_kg, **changed)}


@pytest.mark.hazard("H5")
@pytest.mark.parametrize(("mg", "is_outside"), [(10.1, False), (10.11, True), (4.95, False), (4.94, True)])
def test_a_hundredth_beyond_print_is_a_rounded_weight(mg, is_outside):
    """0.5 to 1 mg/kg of omeprazole, ten kilograms."""
    order = a_medicine(name="Omeprazole", dose=f"{mg} mg", **WITH_FOOD)

    assert ("outside-print" in found(order)) is is_outside


def test_what_is_given_when_needed_may_come_to_less_in_a_day():
    """The most of a day is held against the upper end only; one dose against both."""

    def codes(dose, most):
        gate = {"reason": "vomiting", "min_gap_hours": 8, "max_per_day": most}
        return found(a_medicine(name="Metoclopramide", dose=dose, when_needed=gate))

    assert "outside-print" not in codes("2.5 mg", 1)
    assert "2 against 0.5 to 1 mg/kg per day" in codes("5 mg", 4)["outside-print"].text
    assert "outside-print" in codes("1 mg", 1)


def test_ranges_of_a_dose_hide_no_range_of_a_day():
    """0.25 mg/kg of pimobendan fits a dose; four of them fit no day. The finding names what is broken, and no more."""
    one = found(a_medicine(name="Pimobendan", dose="2.5 mg", every_hours=6))["outside-print"]

    assert one.text == (
        "Pimobendan, 2.5 mg: outside what print says, 1 against 0.2 to 0.6 mg/kg per day (Product summary of "
        "pimobendan for dogs (EU)). This is 2.2 times as much as print says: kg and lb may be swapped. Ask your vet."
    )
    assert (one.weight, one.field, [band.unit for band in one.figures]) == (Weight.ASKED, "dose", ["mg/kg per day"])


def test_print_far_apart_is_said_or_asked():
    """Said where it is as wide as a point that moved, asked where the point itself would land in print."""
    assert found(a_medicine(name="Famotidine", dose="5 mg"))["print-far-apart"].weight is Weight.SAID
    assert found(a_medicine(name="Famotidine", dose="10 mg"))["print-far-apart"].weight is Weight.ASKED
    assert found(a_medicine(name="Famotidine", dose="1 mg"))["print-far-apart"].weight is Weight.ASKED
    assert found(a_medicine(name="Cisapride", dose="8 mg"))["print-far-apart"].weight is Weight.SAID
    assert "print-far-apart" not in found(a_medicine(name="Enalapril", dose="5 mg"))
    assert "print-far-apart" not in found(a_medicine(name="Pyridostigmine", dose="10 mg"), weight_kg=60)


@pytest.mark.parametrize(
    ("changed", "field", "doses"),
    [
        ({"every_hours": 8}, "every_hours", "3"),
        ({"times_per_day": 4}, "times_per_day", "4"),
        ({"with_each_meal": True}, "with_each_meal", "5"),
        ({"when_needed": {"reason": "acid", "min_gap_hours": 4, "max_per_day": 6}}, "when_needed", "6"),
    ],
)
def test_more_often_than_print_is_asked_about_in_any_rhythm(changed, field, doses):
    """Omeprazole is printed every 12 to 24 hours."""
    one = found(a_medicine(name="Omeprazole", dose="5 mg", **changed), meals_a_day=5)["too-often"]

    assert one.text == (
        f"Omeprazole: {doses} doses a day, when print gives it every 12 to 24 hours (Clinical Small Animal Internal "
        "Medicine). Ask your vet."
    )
    assert one.field == field
    assert "too-often" not in found(a_medicine(name="Omeprazole", dose="5 mg", times_per_day=2))
    assert "every 24 hours (" in found(a_medicine(name="Capromorelin", dose="30 mg"))["too-often"].text


@pytest.mark.hazard("H6")
def test_the_mark_may_not_carry_a_dose_over_the_most():
    """What is ordered just at the most is over it as soon as more than a hundredth is added by rounding."""
    order = a_medicine(name="Enrofloxacin", dose="50 mg", strength="22.7 mg/mL", every_hours=24)
    at_most = {"species": Species.CAT, "weight_kg": 10}
    assert "over-printed-maximum" not in found(order, **at_most, syringes=SHELF)
    coarse = found(order.model_copy(update={"strength": "19.6 mg/mL"}), **at_most, syringes=[TEN])
    assert coarse["over-printed-maximum"].text.startswith("Enrofloxacin as it is given, 50.96 mg: 5.1 mg/kg per day")
    tablet = a_tablet(name="Enrofloxacin", dose="50 mg", strength="51 mg/tablet", every_hours=24)
    one = found(tablet, **at_most)["over-printed-maximum"]
    assert one.text.startswith("Enrofloxacin as it is given, 51 mg: 5.1 mg/kg per day, when print names 5 as the most")
    assert (one.blocks, one.weight) == (True, Weight.NEEDS_VET)
    hardly = tablet.model_copy(update={"strength": "50.4 mg/tablet"})
    assert "over-printed-maximum" not in found(hardly, **at_most)


@pytest.mark.hazard("H3")
@pytest.mark.parametrize(
    ("strength", "form", "said"),
    [
        ("100 mg/mL", "liquid", "ten times as strong as the 10 mg/mL"),
        ("1 mg/mL", "liquid", "ten times weaker than the 10 mg/mL"),
        ("0.1 mg/mL", "liquid", "a hundred times weaker than the 10 mg/mL"),
        ("1.25 mg/tablet", "tablet", "ten times weaker than the 12.5 mg/tablet"),
        ("500 mg/tablet", "tablet", "ten times as strong as the 50 mg/tablet"),
        ("10.4 mg/mL", "liquid", None),
        ("40 mg/mL", "liquid", None),
        ("12.5 mg/tablet", "tablet", None),
        ("not stated", "liquid", None),
    ],
)
def test_a_point_that_moved_on_a_label_is_named(strength, form, said):
    """Liquids and tablets of furosemide; any other strength may be made by a pharmacy."""
    one = found(a_medicine(name="Furosemide", dose="20 mg", form=form, strength=strength)).get("strength-slip")

    assert (one.text if one else None) == (
        said
        and f"Furosemide: {strength} is {said} in print (Code of Federal Regulations, title 21, part 520: "
        "oral dosage form new animal drugs). Read the label once more."
    )


def test_a_strength_between_two_in_print_is_no_slip():
    """20 mg of enalapril are in print beside 2: a tenth of the one may be the other."""
    assert "strength-slip" not in found(a_tablet(name="Enalapril", dose="5 mg", strength="10 mg/tablet"))
