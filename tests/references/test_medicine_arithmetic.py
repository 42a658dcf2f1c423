"""Rows that are arithmetic on seen figures, or from reports that lend no number of their own.

A bulletin of 2017 (flecainide), a statement of 2019 on remembered volumes, poison centers' figures on double doses, van
Dijl 2014 (levothyroxine solution, strength second-hand), data sheets of amoxicillin drops.
Rows in printed order; no clinician has checked them.
"""

from datetime import date, datetime, time
from zoneinfo import ZoneInfo

import pytest

from fillmark.core.day.steps import DrawnMedicine, SessionOrders, StepKind
from fillmark.core.day.walk import plan_walk
from fillmark.core.doses.giving import History, Verdict, planned_times
from fillmark.core.doses.may_give import may_give
from fillmark.core.food.energy import Species
from fillmark.core.orders.drawing import dose_volume, draw
from fillmark.core.orders.order_checks import check_order
from fillmark.core.orders.strength_change import strength_change
from fillmark.core.values.quantities import Mass, Strength, Volume
from tests.references.rows import row
from tests.support.medicines import SHELF, a_giving, a_medicine


@pytest.mark.parametrize(("mg_per_kg", "ml_per_kg", "printed"), [row("MED025", "12.5 mg", "0.25 mL", "50 mg/mL")])
def test_strength_from_a_dose_in_both(mg_per_kg, ml_per_kg, printed):
    """Arithmetic: exact."""
    assert str(Strength(Mass.read(mg_per_kg).mg / Volume.read(ml_per_kg).ml)) == printed


@pytest.mark.parametrize(
    ("old", "new", "times"), [row("MED026", "50 mg/mL", "62.5 mg/mL", 1.25), row("MED027", "5 mg/mL", "20 mg/mL", 4)]
)
def test_the_same_amount_from_another_bottle(old, new, times):
    """Arithmetic: exact."""
    change = strength_change(
        old=a_medicine(strength=old, dose="20 mg"),
        new=a_medicine(strength=new, dose="20 mg"),
        weight_kg=5,
        syringes=SHELF,
    )
    assert change.same_amount_ratio == times


@pytest.mark.parametrize(("old", "new", "dose", "printed"), [row("MED029", "5 mg/mL", "10 mg/mL", "10 mg", "1 mL")])
def test_a_new_strength_locks_and_gives_the_new_amount(old, new, dose, printed):
    """Arithmetic and rule: exact."""
    before, after = a_medicine(strength=old, dose=dose), a_medicine(strength=new, dose=dose)
    assert str(dose_volume(after, weight_kg=5).value) == printed
    asked = check_order(after, species=Species.DOG, weight_kg=5, previous=before)
    assert [question.blocks for question in asked if question.code == "strength-changed"] == [True]


@pytest.mark.parametrize(
    ("dose", "strength", "weight_kg", "printed_ml"), [row("MED044", "20 mcg/kg", "1 mg/mL", 30, 0.6)]
)
def test_levothyroxine_solution(dose, strength, weight_kg, printed_ml):
    """Dose seen, strength second-hand; 0.001 mL."""
    order = a_medicine(strength=strength, dose=dose, dose_for_weight_kg=weight_kg)
    assert float(dose_volume(order, weight_kg=weight_kg).value.ml) == pytest.approx(printed_ml, abs=0.001)


@pytest.mark.parametrize(("zone", "day", "hours"), [row("MED149", "Europe/London", date(2026, 3, 28), 11)])
def test_hours_between_two_doses_over_a_clock_change(zone, day, hours):
    """Arithmetic on instants: exact."""
    order = a_medicine(clocks=(time(8), time(20)))
    evening = planned_times(order, on=day, time_zone=zone)[1]
    morning = planned_times(order, on=date(2026, 3, 29), time_zone=zone)[0]
    assert (morning - evening).total_seconds() / 3600 == hours


@pytest.mark.parametrize(("given", "asked", "by"), [row("MED150", "08:02", "08:20", "A")])
def test_the_second_person_is_stopped(given, asked, by):
    """Rule: the name and the time of the first are told."""
    zone = ZoneInfo("Europe/London")

    def at(clock):
        return datetime.combine(date(2026, 11, 25), time.fromisoformat(clock), tzinfo=zone)

    order = a_medicine(clocks=(time(8), time(20)))
    history = History([a_giving(at(given), by=by, planned_at=at("08:00"))])
    decision = may_give(order, now=at(asked), time_zone=zone.key, history=history, planned_at=at("08:00"))
    assert decision.verdict is Verdict.ALREADY_GIVEN
    assert f"{by} gave it at {given}." in decision.because


@pytest.mark.parametrize(("ordered", "full", "given", "printed"), [row("MED151", "100 mg", "2 mL", "1.2 mL", "60 mg")])
def test_mass_of_a_partial_dose(ordered, full, given, printed):
    """Arithmetic: exact."""
    strength = Strength(Mass.read(ordered).mg / Volume.read(full).ml)
    assert str(Volume.read(given) * strength) == printed


@pytest.mark.parametrize(("medicines", "flush_ml", "printed_ml"), [row("MED163", 4, 5, 25)])
def test_flushes_of_medicines(medicines, flush_ml, printed_ml):
    """Arithmetic, n + 1 flushes: exact."""
    orders = [a_medicine(id=f"drug-{number}") for number in range(medicines)]
    steps = plan_walk(
        medicines=[DrawnMedicine(medicine=o, drawn=draw(o, weight_kg=10, syringes=SHELF).value) for o in orders],
        orders=SessionOrders(
            flush_before_ml=flush_ml,
            flush_between_ml=flush_ml,
            flush_after_ml=flush_ml,
            tube_kind="gastrostomy",
            mark_at_skin_cm=6,
        ),
    )
    assert sum(step.ml for step in steps if step.kind is StepKind.FLUSH) == printed_ml
