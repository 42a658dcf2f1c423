"""What should be asked about an order before it is used."""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.orders.order_checks import check_order
from fillmark.core.orders.slips import find_slip
from fillmark.core.orders.strength_change import strength_change
from tests.support.medicines import SHELF, a_medicine, a_tablet


def questions(order, *, species=Species.DOG, weight_kg=10.0, **changed):
    """What is asked, by the name of the check."""
    return {question.code: question for question in check_order(order, species=species, weight_kg=weight_kg, **changed)}


def pimobendan(dose, **changed):
    """An order of a medicine that print gives at 0.1 to 0.3 mg/kg."""
    return a_medicine(
        **{"name": "Pimobendan", "dose": dose, "dose_for_weight_kg": 10, "strength": "1.5 mg/mL", **changed}
    )


@pytest.mark.parametrize(
    ("value", "reference", "said"),
    [
        (10, 1, "ten times as much: a point may have moved"),
        (1, 10, "ten times less: a point may have moved"),
        (100, 1, "a hundred times as much: a point may have moved"),
        (1, 1000, "a thousand times less: mg and mcg may be swapped"),
        (22, 10, "2.2 times as much: kg and lb may be swapped"),
        (10, 22, "2.2 times less: kg and lb may be swapped"),
        (95.5, 1, "a hundred times as much: a point may have moved"),
        (950.5, 1, "a thousand times as much: mg and mcg may be swapped"),
        (1.5, 1, None),
        (0, 1, None),
        (-10, 1, None),
        (1, 0, None),
    ],
)
@pytest.mark.hazard("H4")
@pytest.mark.hazard("H5")
def test_the_usual_slips_are_named(value, reference, said):
    """Up and down alike."""
    assert find_slip(value=value, reference=reference) == said


@pytest.mark.hazard("H4")
@pytest.mark.parametrize(
    ("before", "after"), [("5 mg", "50 mg"), ("500 mcg", "50 mg"), ("5 mg", "5 mcg"), ("5 mg", "0.5 mg")]
)
def test_a_new_order_that_looks_like_a_slip_locks_the_medicine(before, after):
    """Against the dose before it, in both directions."""
    question = questions(a_medicine(dose=after), previous=a_medicine(dose=before))["slip-from-last"]

    assert question.blocks
    assert question.text.endswith("Ask the vet before giving it.")


@pytest.mark.hazard("H5")
def test_a_dose_made_with_pounds_is_asked_about():
    """2.2 times the dose before it."""
    question = questions(a_medicine(dose="11 mg"), previous=a_medicine(dose="5 mg"))["slip-from-last"]

    assert question.text == (
        "Drug was 5 mg and is now 11 mg, 2.2 times as much: kg and lb may be swapped. Ask the vet before giving it."
    )


def test_an_ordinary_change_of_dose_locks_nothing():
    """The vet changes doses; most changes are meant."""
    assert "slip-from-last" not in questions(a_medicine(dose="7.5 mg"), previous=a_medicine(dose="5 mg"))


@pytest.mark.hazard("H5")
def test_a_moved_weight_is_asked_about():
    """More than a tenth since the order."""
    assert "weight-moved" in questions(pimobendan("0.25 mg/kg"), weight_kg=11.5)
    assert "weight-moved" not in questions(pimobendan("0.25 mg/kg"), weight_kg=11)
    assert "weight-moved" not in questions(pimobendan("0.25 mg/kg"), weight_kg=9)


@pytest.mark.hazard("H3")
def test_a_new_strength_locks_until_it_is_read_again():
    """And what the old amount would be is said."""
    old, new = a_medicine(strength="5 mg/mL"), a_medicine(strength="20 mg/mL")
    question = questions(new, previous=old)["strength-changed"]

    assert question.blocks
    assert question.text == (
        "Drug was 5 mg/mL and is now 20 mg/mL: the old amount would be 4 times the dose. Read the label again with a "
        "second person."
    )
    assert "strength-changed" not in questions(new, previous=new)


@pytest.mark.hazard("H3")
def test_old_and_new_mark_stand_side_by_side():
    """For the same dose."""
    change = strength_change(
        old=a_medicine(strength="5 mg/mL"), new=a_medicine(strength="10 mg/mL"), weight_kg=10, syringes=SHELF
    )

    assert (str(change.old.value.drawn), str(change.new.value.drawn)) == ("1 mL", "0.5 mL")
    assert change.same_amount_ratio == 2
    assert strength_change(old=a_medicine(), new=a_medicine(), weight_kg=10, syringes=SHELF) is None


@pytest.mark.hazard("H3")
def test_another_form_or_salt_locks():
    """The same mg is not the same effect."""
    tablet = a_tablet(name="Levothyroxine", dose="0.2 mg", strength="0.2 mg/tablet")
    liquid = a_medicine(name="Levothyroxine", dose="0.2 mg", route="mouth")
    base, salt = a_medicine(counts_as="base"), a_medicine(counts_as="hydrochloride")

    assert questions(liquid, previous=tablet)["form-changed"].blocks
    assert "the same mg is not the same effect" in questions(liquid, previous=tablet)["form-changed"].text
    assert questions(salt, previous=base)["salt-changed"].blocks


@pytest.mark.hazard("H21")
@pytest.mark.parametrize(("crush", "said"), [("ask", "May Drug be crushed"), ("not allowed", "must not be crushed")])
def test_a_tablet_for_a_tube_locks_until_crushing_is_answered(crush, said):
    """Unknown is a question, not a yes."""
    question = questions(a_tablet(route="tube", crush=crush))["crush"]

    assert question.blocks
    assert said in question.text
    assert "crush" not in questions(a_tablet(route="tube", crush="allowed"))


@pytest.mark.hazard("H21")
def test_what_harms_the_caregiver_is_said():
    """And never opened for a tube."""
    order = a_tablet(name="Azathioprine", dose="10 mg", route="tube", crush="allowed")

    assert questions(order)["hazardous"].blocks
    assert not questions(a_tablet(name="Azathioprine", route="mouth"))["hazardous"].blocks


def test_a_tube_below_the_stomach_is_asked_about():
    """Some medicines need what it passes by."""
    assert questions(a_medicine(name="Sucralfate"), tube_kind="jejunostomy")["jejunum"].blocks
    assert not questions(a_medicine(), tube_kind="jejunostomy")["jejunum"].blocks
    assert "jejunum" not in questions(a_medicine(), tube_kind="gastrostomy")


def test_the_label_is_read_for_what_harms_this_species():
    """Xylitol for a dog, propylene glycol and alcohol for a cat; nobody calls an amount harmless."""
    assert "xylitol" in questions(a_medicine())["excipients"].text
    assert "propylene glycol" in questions(a_medicine(), species=Species.CAT)["excipients"].text
    assert "excipients" not in questions(a_tablet())


def test_salt_or_base_is_asked_where_it_matters():
    """Until the order says what its mg count."""
    assert "salt-or-base" in questions(a_medicine(name="Metoclopramide"))
    assert "salt-or-base" not in questions(a_medicine(name="Metoclopramide", counts_as="hydrochloride"))


def test_a_dose_that_hangs_on_what_is_not_stated_is_compared_with_nothing():
    """The order before had no weight: there is no ratio to ask about."""
    before = a_medicine(dose="1 mg/kg")

    assert "slip-from-last" not in questions(a_medicine(dose="50 mg"), previous=before)


@pytest.mark.hazard("H4")
def test_words_that_are_misread_are_asked_about():
    """Each once, wherever in the order they stand."""
    order = a_medicine(purpose="stomach", words="5 mg BID", missed_dose_words="skip, then BID", held="x 3d")
    found = [
        question for question in check_order(order, species=Species.DOG, weight_kg=10) if "misread" in question.code
    ]

    assert [question.text for question in found] == [
        'The order of Drug says "BID", which can be misread. "BID" is for trained readers: write "every 12 hours". '
        "Ask the vet what is meant.",
        'The order of Drug says "x 3d", which can be misread. x3d: read as doses, not days. Ask the vet what is meant.',
    ]
    gate = {"reason": "retching, SID", "min_gap_hours": 6, "max_per_day": 2}
    assert "misread-words" in questions(a_medicine(when_needed=gate))
    assert "misread-words" not in questions(a_medicine(words="5 mg every 12 hours"))


def test_each_fact_is_named_with_its_question():
    """So that a person can see where it comes from."""
    asked = questions(a_tablet(name="Azathioprine", route="tube", crush="allowed"), tube_kind="jejunostomy")

    assert [figure.id for figure in asked["hazardous"].figures] == ["medicine.hazardous.azathioprine"]
    assert asked["jejunum"].figures == ()
    assert [f.id for f in questions(a_medicine(name="Sucralfate"), tube_kind="jejunostomy")["jejunum"].figures] == [
        "medicine.stomach.sucralfate"
    ]
    assert [f.id for f in questions(a_medicine())["excipients"].figures] == ["poisons.xylitol_sugar"]


@pytest.mark.hazard("H3")
@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("3 mg/mL", "10 mg/mL", "was 3 mg/mL and is now 10 mg/mL: the old amount would be 3.33 times the dose."),
        ("not stated", "10 mg/mL", "was of unknown strength and is now 10 mg/mL."),
        ("3 mg/mL", "not stated", "was 3 mg/mL and is now of unknown strength."),
    ],
)
def test_a_strength_that_came_or_went_locks_too(old, new, said):
    """Nothing is worked out from what is not stated."""
    question = questions(a_medicine(strength=new), previous=a_medicine(strength=old))["strength-changed"]

    assert question.text == f"Drug {said} Read the label again with a second person."
    assert question.blocks


@pytest.mark.hazard("H3")
@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("base", "hydrochloride", "counted base and now count hydrochloride"),
        ("not stated", "hydrochloride", "counted something not stated and now count hydrochloride"),
        ("base", "not stated", "counted base and now count something not stated"),
    ],
)
def test_what_the_mg_counted_is_told(old, new, said):
    """Before and now."""
    question = questions(a_medicine(counts_as=new), previous=a_medicine(counts_as=old))["salt-changed"]

    assert question.text == f"The mg of Drug {said}. Ask the vet for the dose in these mg."


@pytest.mark.parametrize(
    ("name", "said"), [("Sucralfate", "needs the stomach."), ("Drug", "may work differently there.")]
)
def test_below_the_stomach_is_told_by_medicine(name, said):
    """What needs the stomach, and what nobody knows."""
    assert questions(a_medicine(name=name), tube_kind="jejunostomy")["jejunum"].text == (
        f"This tube ends in the gut below the stomach, and {name} {said} Ask the vet."
    )


@pytest.mark.hazard("H4")
def test_a_slip_between_two_steps_of_a_taper_is_asked_about():
    """5 mg, then 0.5 mg where 2.5 mg may be meant; a halving is asked about by nobody."""
    steps = ({"from_on": "2026-12-01", "dose": "2.5 mg"}, {"from_on": "2026-12-08", "dose": "0.25 mg"})
    assert questions(a_medicine(dose="5 mg", steps=steps))["slip-between-steps"].text == (
        "Drug goes from 2.5 mg to 0.25 mg, ten times less: a point may have moved. Ask the vet whether this is meant."
    )
    assert "slip-between-steps" not in questions(a_medicine(dose="5 mg", steps=steps[:1]))
    mixed = ({"from_on": "2026-12-01", "dose": "0.5 mg/kg"},)
    order = a_medicine(dose="5 mg", dose_for_weight_kg=10, steps=mixed)
    assert "slip-between-steps" not in questions(order), "a dose per kg is no tenth of one in mg"
