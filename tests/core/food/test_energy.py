"""Energy: the vet's order, the printed forms, and what is refused."""

import pytest

from fillmark.core.food.energy import (
    DailyEnergy,
    EnergyPerKg,
    RestingFactor,
    Species,
    energy_goal,
    explain_disagreement,
    maintenance_forms,
    resting_energy,
    resting_energy_linear,
)
from fillmark.core.values.errors import BadNumber, OutOfRange


def test_resting_energy_shows_its_working_and_its_figures():
    """The sum as a person would write it."""
    resting = resting_energy(weight_kg=12)

    assert resting.value == pytest.approx(451.3, abs=0.05)
    assert resting.because == "70 × 12 kg^0.75 = 451 kcal/day"
    assert [figure.id for figure in resting.figures] == ["energy.resting_factor", "energy.resting_power"]


@pytest.mark.hazard("H5")
@pytest.mark.parametrize(("weight_kg", "came"), [(4500, "4,500 kg"), (0.2, "0.2 kg"), (0, "0 kg"), (-3, "-3 kg")])
def test_a_weight_nobody_has_is_refused(weight_kg, came):
    """Grams, zero and negative weights are slips."""
    with pytest.raises(OutOfRange) as caught:
        resting_energy(weight_kg=weight_kg)
    assert str(caught.value) == (
        f"weight_kg = {came}. Allowed: 0.5 to 100 kg. "
        "If the scale showed grams, divide by 1000 and enter it again; if it showed pounds, choose lb."
    )


def test_no_number_is_refused():
    """NaN is no weight."""
    with pytest.raises(BadNumber):
        resting_energy(weight_kg=float("nan"))


@pytest.mark.parametrize(("weight_kg", "kcal_per_day"), [(2, 130), (10, 370), (45, 1420)])
def test_the_straight_line_holds_at_both_ends_of_its_range(weight_kg, kcal_per_day):
    """30 × kg + 70, ends included."""
    assert resting_energy_linear(weight_kg=weight_kg).value == kcal_per_day


@pytest.mark.parametrize(
    ("order", "because", "kcal_per_day"),
    [
        (RestingFactor(factor=1.4), "586 kcal/day × 1.4 = 820 kcal/day", 820.47),
        (DailyEnergy(kcal_per_day=800), "the vet ordered 800 kcal/day", 800),
        (EnergyPerKg(kcal_per_kg=50), "50 kcal/kg × 17 kg = 850 kcal/day", 850),
    ],
)
def test_each_kind_of_order_becomes_the_days_energy(order, because, kcal_per_day):
    """A factor, an amount a day, an amount for each kg."""
    goal = energy_goal(weight_kg=17, order=order)

    assert goal.because == because
    assert goal.value == pytest.approx(kcal_per_day, abs=0.01)
    assert goal.cautions == ()


@pytest.mark.parametrize(("factor", "asks"), [(0.79, True), (0.8, False), (2.0, False), (2.01, True)])
def test_only_a_goal_outside_the_usual_is_asked_about(factor, asks):
    """The band's own ends raise no question."""
    assert bool(energy_goal(weight_kg=16, order=RestingFactor(factor=factor)).cautions) is asks


@pytest.mark.hazard("H4")
@pytest.mark.parametrize(
    "order", [RestingFactor(factor=14), DailyEnergy(kcal_per_day=8), EnergyPerKg(kcal_per_kg=5000)]
)
def test_a_tenfold_slip_in_the_order_is_refused(order):
    """A lost or gained point is caught."""
    with pytest.raises(OutOfRange):
        energy_goal(weight_kg=17, order=order)


def test_the_straight_line_is_left_out_where_print_does_not_allow_it():
    """At 50 kg only the power form stands for resting energy."""
    assert "resting, straight line" in maintenance_forms(species=Species.DOG, weight_kg=45)
    assert "resting, straight line" not in maintenance_forms(species=Species.DOG, weight_kg=50)


def test_dogs_and_cats_have_forms_of_their_own():
    """No cat form for a dog and none the other way."""
    dog = maintenance_forms(species=Species.DOG, weight_kg=15)
    cat = maintenance_forms(species=Species.CAT, weight_kg=4)

    assert dog["active dog"].value == pytest.approx(838, abs=1)
    assert cat["overweight cat"].value == pytest.approx(130 * 4**0.4)
    assert set(dog) & set(cat) == {"resting", "resting, straight line"}


def test_a_factor_that_can_only_be_a_slip_names_the_order():
    """The message speaks of the factor, not of what it would come to."""
    with pytest.raises(OutOfRange) as caught:
        energy_goal(weight_kg=60, order=RestingFactor(factor=6.5))
    assert str(caught.value) == (
        "energy.factor = 6.5 × resting energy. Allowed: 0.2 to 6 × resting energy. Read the vet's order again."
    )


def test_an_unusual_goal_is_said_in_two_digits():
    """2.456 times is as good as 2.5 times for a question."""
    assert energy_goal(weight_kg=17, order=RestingFactor(factor=2.456)).cautions == (
        "This goal is 2.5 times the resting energy, outside the usual 0.8 to 2: ask the vet whether it is meant.",
    )


def test_a_disagreement_of_print_says_whom_to_follow():
    """The forms are for healthy adults."""
    forms = maintenance_forms(species=Species.DOG, weight_kg=17)

    assert explain_disagreement(forms).cautions == (
        "These forms are for healthy adults and differ: the vet's order counts, and weight over time tells.",
    )
