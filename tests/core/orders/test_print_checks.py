"""A dose, its rhythm and its bottle beside print: what is asked just over a limit, and not on it."""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.orders.order_checks import check_order
from fillmark.core.values.finding import Weight
from fillmark.published.dose_ranges import DOSE_RANGES, ranges_for
from tests.support.medicines import SHELF, TEN, a_medicine, a_tablet


def questions(order, *, species=Species.DOG, weight_kg=10.0, **changed):
    """What is found, by the name of the check."""
    return {one.code: one for one in check_order(order, species=species, weight_kg=weight_kg, **changed)}


def pimobendan(dose, **changed):
    """An order of a medicine that print gives at 0.1 to 0.3 mg/kg."""
    return a_medicine(
        **{"name": "Pimobendan", "dose": dose, "dose_for_weight_kg": 10, "strength": "1.5 mg/mL", **changed}
    )


@pytest.mark.hazard("H4")
def test_a_dose_outside_print_shows_each_range_and_the_likely_slip():
    """It asks; it never says that a dose inside print is right."""
    question = questions(pimobendan("2.5 mg/kg"))["outside-print"]

    assert "2.5 against 0.1 to 0.3 mg/kg per dose (MSD Veterinary Manual)" in question.text
    assert "5 against 0.2 to 0.6 mg/kg per day" in question.text
    assert question.text.endswith("Ask your vet.")
    assert "outside-print" not in questions(pimobendan("0.25 mg/kg"))


def test_ranges_that_disagree_are_both_shown():
    """No envelope hides that print does not agree."""
    bands = ranges_for(name="Cisapride", species="dog")

    assert [(band.low, band.high) for band in bands] == [(0.1, 0.5), (0.5, 1.5)]
    assert len({band.source.id for band in bands}) == 2


def test_no_range_has_a_unit_that_the_check_cannot_read():
    """Each printed range is per kg and dose, per kg and day, or per dose."""
    assert {band.unit for band in DOSE_RANGES} == {"mg/kg per dose", "mg/kg per day", "mg per dose"}
    assert len(DOSE_RANGES) >= 80


def test_over_a_printed_maximum_locks():
    """A cat's eyes do not come back."""
    order = a_tablet(name="Enrofloxacin", dose="22.7 mg", strength="22.7 mg/tablet", every_hours=24)
    question = questions(order, species=Species.CAT, weight_kg=4)["over-printed-maximum"]

    assert question.blocks
    assert "5.68 mg/kg per day, when print names 5 as the most" in question.text
    assert "over-printed-maximum" not in questions(order, species=Species.CAT, weight_kg=4.6)


def test_when_needed_counts_at_its_most():
    """The printed maximum of a day is held against the most the gate lets through."""
    gate = {"reason": "breathing", "min_gap_hours": 4, "max_per_day": 4}
    order = a_medicine(name="Furosemide", dose="16 mg", when_needed=gate)

    assert "over-printed-maximum" in questions(order, species=Species.CAT, weight_kg=10)
    assert "over-printed-maximum" not in questions(order, species=Species.CAT, weight_kg=11)


def test_a_table_by_weight_is_held_against_the_order():
    """Print has a dose for this weight; a tenth more or less is rounding."""

    def asked(mg, **changed):
        values = {"name": "Metoclopramide", "dose": f"{mg} mg", "strength": "1 mg/tablet", "every_hours": 6, **changed}
        return questions(a_tablet(**values), weight_kg=10).get("weight-table")

    assert asked(5).text == (
        "Metoclopramide: 5 mg per dose, when print gives 2.5 for 10 kg (Product summary of metoclopramide oral "
        "solution 1 mg/mL for dogs and cats (UK), with the Danish tablets). Ask your vet."
    )
    assert asked(2.75) is None
    assert asked(2.25) is None
    assert asked(2.8) is not None
    assert asked(2.2) is not None


def test_a_table_of_a_day_needs_to_know_how_often():
    """Vitamin B12 twice a day is twice the dose of a day."""

    def asked(**changed):
        order = a_medicine(**{"name": "Cyanocobalamin", "dose": "0.5 mg", **changed})
        return questions(order, weight_kg=20).get("weight-table")

    assert asked() is None
    assert asked(every_hours=24).text.startswith("Cyanocobalamin: 0.5 mg per day, when print gives 1 for 20 kg")
    assert asked(with_each_meal=True) is None


@pytest.mark.hazard("H4")
@pytest.mark.hazard("H5")
@pytest.mark.parametrize(
    ("dose", "slip"),
    [
        ("2.5 mg/kg", "ten times as much as print says: a point may have moved"),
        ("0.025 mg/kg", "ten times less than print says: a point may have moved"),
        ("25 mg/kg", "a hundred times as much as print says: a point may have moved"),
        ("0.0025 mg/kg", "a hundred times less than print says: a point may have moved"),
        ("250 mg/kg", "a thousand times as much as print says: mg and mcg may be swapped"),
        ("0.25 mcg/kg", "a thousand times less than print says: mg and mcg may be swapped"),
        ("0.55 mg/kg", "2.2 times as much as print says: kg and lb may be swapped"),
        ("0.06 mg/kg", "2.2 times less than print says: kg and lb may be swapped"),
    ],
)
def test_a_slip_at_entry_is_named_for_the_first_order_of_a_medicine(dose, slip):
    """There is nothing before it to compare with but print."""
    text = questions(pimobendan(dose))["outside-print"].text

    assert f"This is {slip}." in text


def test_a_dose_inside_one_of_two_ranges_is_not_asked_about():
    """Print disagrees with itself: that alone is no question."""
    assert "outside-print" not in questions(a_medicine(name="Cisapride", dose="3 mg"))
    assert "outside-print" in questions(a_medicine(name="Cisapride", dose="16 mg"))


def test_a_range_for_each_animal_is_compared_as_it_is():
    """Not for each kg; three digits are enough to see how far it is off."""
    text = questions(a_medicine(name="Sucralfate", dose="103.26 mg"))["outside-print"].text

    assert text == (
        "Sucralfate, 103.3 mg: outside what print says, 103 against 250 to 1,000 mg per dose (Clinical Small Animal "
        "Internal Medicine). Ask your vet."
    )
    assert "outside-print" not in questions(a_medicine(name="Sucralfate", dose="500 mg"))


def test_a_table_by_weight_shows_three_digits():
    """As it shows ranges."""
    order = a_tablet(name="Metoclopramide", dose="3.3333 mg", strength="1 mg/tablet", every_hours=6)

    assert questions(order)["weight-table"].text.startswith("Metoclopramide: 3.33 mg per dose, when print gives 2.5")


@pytest.mark.hazard("H5")
@pytest.mark.parametrize(("mg", "is_outside"), [(10.1, False), (10.11, True), (4.95, False), (4.94, True)])
def test_a_hundredth_beyond_print_is_a_rounded_weight(mg, is_outside):
    """0.5 to 1 mg/kg of omeprazole, ten kilograms."""
    order = a_medicine(name="Omeprazole", dose=f"{mg} mg")

    assert ("outside-print" in questions(order)) is is_outside


def test_what_is_given_when_needed_may_come_to_less_in_a_day():
    """The most of a day is held against the upper end only; one dose against both."""

    def codes(dose, most):
        gate = {"reason": "vomiting", "min_gap_hours": 8, "max_per_day": most}
        return questions(a_medicine(name="Metoclopramide", dose=dose, when_needed=gate))

    assert "outside-print" not in codes("2.5 mg", 1)
    assert "2 against 0.5 to 1 mg/kg per day" in codes("5 mg", 4)["outside-print"].text
    assert "outside-print" in codes("1 mg", 1)


def test_ranges_of_a_dose_hide_no_range_of_a_day():
    """0.25 mg/kg of pimobendan fits a dose; four of them fit no day. The finding names what is broken, and no more."""
    one = questions(a_medicine(name="Pimobendan", dose="2.5 mg", every_hours=6))["outside-print"]

    assert one.text == (
        "Pimobendan, 2.5 mg: outside what print says, 1 against 0.2 to 0.6 mg/kg per day (Product summary of "
        "pimobendan for dogs (EU)). This is 2.2 times as much as print says: kg and lb may be swapped. Ask your vet."
    )
    assert (one.weight, one.field, [band.unit for band in one.figures]) == (Weight.ASKED, "dose", ["mg/kg per day"])


def test_print_far_apart_is_told_whole():
    """Every range with its source; the point is read again only where it would not be seen."""
    text = (
        "Famotidine, 5 mg: print has 0.1 to 0.2 mg/kg per dose (Small Animal Internal Medicine, 6th edition); 0.5 to 1 "
    )
    text += "mg/kg per dose (Clinical Small Animal Internal Medicine), ten times apart"
    assert questions(a_medicine(name="Famotidine", dose="5 mg"))["print-far-apart"].text == f"{text}."
    assert questions(a_medicine(name="Famotidine", dose="10 mg"))["print-far-apart"].text == (
        f"{text.replace('5 mg:', '10 mg:')}, so a point that moved would not be seen here. Read the point in the order "
        "once more, with the vet."
    )


def test_print_far_apart_is_said_or_asked():
    """Said where it is as wide as a point that moved, asked where the point itself would land in print."""
    assert questions(a_medicine(name="Famotidine", dose="5 mg"))["print-far-apart"].weight is Weight.SAID
    assert questions(a_medicine(name="Famotidine", dose="10 mg"))["print-far-apart"].weight is Weight.ASKED
    assert questions(a_medicine(name="Famotidine", dose="1 mg"))["print-far-apart"].weight is Weight.ASKED
    assert questions(a_medicine(name="Cisapride", dose="8 mg"))["print-far-apart"].weight is Weight.SAID
    assert "print-far-apart" not in questions(a_medicine(name="Enalapril", dose="5 mg"))
    # a range of a day and one of a dose are held side by side as multiples of this dose
    assert "print-far-apart" not in questions(a_medicine(name="Metoclopramide", dose="2.5 mg"))
    assert "print-far-apart" not in questions(a_medicine(name="Pyridostigmine", dose="10 mg"), weight_kg=60)


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
    one = questions(a_medicine(name="Omeprazole", dose="5 mg", **changed), meals_a_day=5)["too-often"]

    assert one.text == (
        f"Omeprazole: {doses} doses a day, when print gives it every 12 to 24 hours (Clinical Small Animal Internal "
        "Medicine). Ask your vet."
    )
    assert one.field == field
    assert "too-often" not in questions(a_medicine(name="Omeprazole", dose="5 mg", times_per_day=2))
    assert "3.43 doses a day" in questions(a_medicine(name="Omeprazole", dose="5 mg", every_hours=7))["too-often"].text
    assert "too-often" not in questions(a_medicine(name="Omeprazole", dose="5 mg", with_each_meal=True))
    assert "every 24 hours (" in questions(a_medicine(name="Capromorelin", dose="30 mg"))["too-often"].text


@pytest.mark.hazard("H6")
def test_the_mark_may_not_carry_a_dose_over_the_most():
    """What is ordered just at the most is over it as soon as more than a hundredth is added by rounding."""
    order = a_medicine(name="Enrofloxacin", dose="50 mg", strength="22.7 mg/mL", every_hours=24)
    at_most = {"species": Species.CAT, "weight_kg": 10}
    assert "over-printed-maximum" not in questions(order, **at_most, syringes=SHELF)
    coarse = questions(order.model_copy(update={"strength": "19.6 mg/mL"}), **at_most, syringes=[TEN])
    assert coarse["over-printed-maximum"].text.startswith("Enrofloxacin as it is given, 50.96 mg: 5.1 mg/kg per day")
    tablet = a_tablet(name="Enrofloxacin", dose="50 mg", strength="51 mg/tablet", every_hours=24)
    one = questions(tablet, **at_most)["over-printed-maximum"]
    assert one.text.startswith("Enrofloxacin as it is given, 51 mg: 5.1 mg/kg per day, when print names 5 as the most")
    assert (one.blocks, one.weight) == (True, Weight.NEEDS_VET)
    twice = check_order(tablet.model_copy(update={"dose": "50.5 mg"}), **at_most)
    assert [one.text[:16] for one in twice if one.code == "over-printed-maximum"] == ["Enrofloxacin: 5."]
    hardly = tablet.model_copy(update={"strength": "50.4 mg/tablet"})
    assert "over-printed-maximum" not in questions(hardly, **at_most)


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
    one = questions(a_medicine(name="Furosemide", dose="20 mg", form=form, strength=strength)).get("strength-slip")

    assert (one.text if one else None) == (
        said
        and f"Furosemide: {strength} is {said} in print (Code of Federal Regulations, title 21, part 520: "
        "oral dosage form new animal drugs). Read the label once more."
    )


def test_a_strength_in_print_is_no_slip_of_another():
    """10 mg and 1 mg of enalapril are both in print; 2 mg are not, and 20 mg are."""
    for strength in ("10 mg/tablet", "1 mg/tablet", "2 mg/tablet"):
        order = a_tablet(name="Enalapril", dose="5 mg", strength=strength)
        assert ("strength-slip" in questions(order)) is (strength == "2 mg/tablet")
