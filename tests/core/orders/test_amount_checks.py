"""So many tablets, so many mL, rounded up, at these times."""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.orders.order_checks import check_order
from fillmark.core.values.finding import Weight
from tests.support.medicines import FIVE, SHELF, TEN, a_medicine, a_tablet


def found(order, *, weight_kg=10.0, **changed):
    """The findings, by the name of the check."""
    return {one.code: one for one in check_order(order, species=Species.DOG, weight_kg=weight_kg, **changed)}


@pytest.mark.hazard("H3")
def test_more_than_five_of_one_dose_are_asked_about():
    """Tablets by their strength, vials by their count; drops are many by nature."""
    assert "many-pieces" not in found(a_tablet(dose="50 mg"))
    assert found(a_tablet(dose="51.25 mg"))["many-pieces"].text == (
        "Drug: one dose is 5.12 of them. Read the dose and the label again, and ask the vet whether that many are "
        "meant."
    )
    vial = {"form": "nebulizer vial", "route": "nebulizer", "strength": "not stated"}
    assert "many-pieces" in found(a_medicine(dose="6 vials", **vial))
    assert "many-pieces" not in found(a_medicine(dose="5 vials", **vial))
    assert "many-pieces" in found(a_medicine(**{**vial, "strength": "1 units/vial"}, dose="6 units"))
    assert "many-pieces" not in found(a_medicine(form="drops", dose="20 drops", strength="not stated"))


@pytest.mark.hazard("H3")
def test_more_than_two_ml_for_each_kg_are_asked_about():
    """By the weight of this animal; units are drawn too."""
    assert "much-liquid" not in found(a_medicine(dose="20 mg"))
    one = found(a_medicine(dose="20.1 mg"))["much-liquid"]
    assert one.text.startswith("Drug: one dose is 20.1 mL, for 10 kg. Read the dose and the label again")
    assert [figure.basis.value for figure in one.figures] == ["our own choice"]
    assert "much-liquid" in found(a_medicine(dose="21 units", strength="1 unit/mL"))
    assert "much-liquid" not in found(a_medicine(dose="21 mg", strength="not stated"))


@pytest.mark.hazard("H6")
def test_what_rounds_up_is_said_and_what_rounds_down_is_not():
    """The size in percent, of what the line stands for."""
    up = found(a_medicine(dose="5.15 mg"), syringes=[TEN])["rounded-up"]
    assert up.text == "Drug: 5.15 mg is rounded up to 5.2 mg, 1.0% more than ordered."
    assert (up.weight, up.blocks) == (Weight.SAID, False)
    assert "rounded-up" not in found(a_medicine(dose="5.25 mg"), syringes=[TEN])
    assert "rounded-up" not in found(a_medicine(dose="5.2 mg"), syringes=[TEN])
    assert "rounded-up" not in found(a_medicine(dose="5.15 mg"))
    assert "3.9% more" in found(a_tablet(dose="7.7 mg", strength="8 mg/tablet"))["rounded-up"].text
    assert (
        "10.3 mg is rounded up to 10.4 mg"
        in found(a_medicine(dose="10.3 mg", strength="2 mg/mL"), syringes=[TEN])["rounded-up"].text
    )
    units = found(a_medicine(dose="5.15 units", strength="1 unit/mL"), syringes=[TEN])["rounded-up"]
    assert units.text == "Drug: 5.15 units is rounded up to 5.2 units, 1.0% more than ordered."
    assert "rounded-up" not in found(a_medicine(dose="0.3 mg"), syringes=[FIVE])


@pytest.mark.hazard("H4")
@pytest.mark.parametrize(
    ("changed", "said"),
    [
        (
            {"every_hours": 10, "clocks": ("08:00", "18:00")},
            "every 10 hours is 2.4 doses a day, and its times give it 2",
        ),
        ({"every_hours": 10, "clocks": ("08:00",)}, "its times give it once a day"),
        ({"every_hours": 12, "clocks": ("08:00", "20:00")}, None),
        ({"every_hours": 12, "clocks": ("08:00", "17:00")}, None),
        (
            {"every_hours": 12, "clocks": ("08:00", "16:55")},
            "stand 8.92 hours apart, when it is ordered every 12 hours",
        ),
        ({"every_hours": 12, "clocks": ("20:00", "04:55")}, "stand 8.92 hours apart"),
        (
            {"times_per_day": 3, "clocks": ("07:00", "12:00", "22:00")},
            "stand 5 hours apart, when it is ordered every 8",
        ),
        ({"every_hours": 12, "clocks": ("08:00", "18:00"), "min_gap_hours": 10}, None),
        ({"every_hours": 12, "clocks": ("08:00", "17:59"), "min_gap_hours": 10}, "stand 9.98 hours apart"),
        ({"every_hours": 24, "clocks": ("08:00",)}, None),
        ({"every_hours": 48, "clocks": ("08:00",), "start_on": "2026-12-01"}, None),
        ({"with_each_meal": True}, None),
        ({"every_hours": 24, "clocks": ("08:00",), "min_gap_hours": 25}, "stand 24 hours apart"),
        ({"every_hours": 7, "clocks": ("08:00",)}, "is 3.43 doses a day"),
        (
            {"times_per_day": 7, "clocks": tuple(f"{hour:02}:00" for hour in (1, 3, 7, 11, 14, 17, 21))},
            "stand 2 hours apart, when it is ordered every 3.43 hours",
        ),
    ],
)
def test_times_that_do_not_keep_the_rhythm_are_asked_about(changed, said):
    """Across midnight too; the vet's own gap goes before ours."""
    one = found(a_medicine(**changed), syringes=SHELF).get("clocks-against-interval")

    assert (one is None) is (said is None)
    if one is not None:
        assert said in one.text
        assert (one.field, one.weight) == ("clocks", Weight.ASKED)
        is_ours = "apart" in one.text and "min_gap_hours" not in changed
        assert [figure.id for figure in one.figures] == (["medicine.clocks_closer"] if is_ours else [])


def test_the_times_of_a_step_are_named_as_its_own():
    """Where it stands in the order."""
    step = {"from_on": "2026-12-01", "dose": "5 mg", "every_hours": 8, "clocks": ("06:00", "10:00", "22:00")}
    one = found(a_medicine(clocks=("08:00", "20:00"), steps=(step,)))["clocks-against-interval"]

    assert one.field == "steps[1].clocks"
    assert one.text.startswith("Drug, step 1: two of its times stand 4 hours apart")
