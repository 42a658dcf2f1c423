"""How far a medicine is in print here, by its name and for this animal."""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.orders.order_checks import check_order
from fillmark.core.values.finding import Weight
from fillmark.published.dose_ranges import ranges_for
from tests.support.medicines import a_medicine


def questions(order, *, species=Species.DOG, weight_kg=10.0, **changed):
    """What is found, by the name of the check."""
    return {one.code: one for one in check_order(order, species=species, weight_kg=weight_kg, **changed)}


def test_a_mix_is_not_taken_for_its_part():
    """The longest name found is the medicine."""
    assert {band.id.split(".")[1] for band in ranges_for(name="Amoxicillin-clavulanate", species="dog")} == {
        "amoxicillin-clavulanate"
    }
    assert {band.id.split(".")[1] for band in ranges_for(name="Esomeprazole 20", species="cat")} == {"esomeprazole"}
    assert ranges_for(name="Unheard of", species="dog") == ()


def test_what_has_no_mass_is_not_compared():
    """Five drops are five drops; only that nothing was checked is said."""
    assert list(questions(a_medicine(form="drops", dose="5 drops", route="ear"))) == ["not-in-print"]


def test_names_spelled_otherwise_are_found():
    """American and old names are the same medicines."""
    assert ranges_for(name="Aluminum hydroxide", species="dog")
    assert ranges_for(name="Vitamin B12 drops", species="cat")
    assert questions(a_medicine(name="Ciclosporin", form="liquid"))["hazardous"]
    assert questions(a_medicine(name="Aluminum hydroxide gel"), tube_kind="jejunostomy")["jejunum"].blocks


@pytest.mark.parametrize(
    ("name", "species", "code", "said"),
    [
        ("Drug", Species.DOG, "not-in-print", "Drug is not in print here: nothing was checked about its dose."),
        (
            "Prednisolone and omeprazole",
            Species.DOG,
            "not-in-print",
            "Prednisolone and omeprazole is not in print here as this mix: nothing was checked about its dose.",
        ),
        (
            "Amoxicillin and sulbactam",
            Species.DOG,
            "not-in-print",
            "Amoxicillin and sulbactam is not in print here as this mix: nothing was checked about its dose.",
        ),
        (
            "Phenobarbital",
            Species.CAT,
            "not-in-print",
            "Phenobarbital is not in print here: nothing was checked about its dose.",
        ),
        (
            "Gabapentin",
            Species.CAT,
            "no-range-for-species",
            "Gabapentin: print has no range for a cat here, only for a dog: its dose was not checked.",
        ),
        (
            "Metronidazole benzoate",
            Species.DOG,
            "no-range-for-species",
            "Metronidazole benzoate: print has no range for a dog here, only for a cat: its dose was not checked.",
        ),
        (
            "Furosemide forte plus",
            Species.DOG,
            "name-partly-known",
            'Furosemide forte plus was looked up as furosemide; "forte plus" in its name means nothing here.',
        ),
        ("Furosemide", Species.DOG, None, None),
    ],
)
def test_how_far_print_reaches_is_said(name, species, code, said):
    """Once for each medicine; it asks nothing."""
    codes = ("not-in-print", "no-range-for-species", "name-partly-known")
    found = [one for one in questions(a_medicine(name=name), species=species).values() if one.code in codes]

    assert [(one.code, one.text, one.weight) for one in found] == ([(code, said, Weight.SAID)] if code else [])


@pytest.mark.hazard("H21")
def test_what_print_warns_of_for_a_cat_locks():
    """With its reason; a dog is not warned."""
    one = questions(a_medicine(name="Azathioprine"), species=Species.CAT)["not-for-this-species"]

    assert one.text == (
        "Azathioprine is ordered for a cat. A report tells of a cat that azathioprine poisoned; print gives it to dogs "
        "only. Ask the vet before giving it."
    )
    assert (one.weight, one.blocks, one.field) == (Weight.NEEDS_VET, True, "name")
    assert [figure.id for figure in one.figures] == ["medicine.not_for_cats.azathioprine"]
    assert "not-for-this-species" not in questions(a_medicine(name="Azathioprine"))
    assert "not-for-this-species" not in questions(a_medicine(name="Prednisolone"), species=Species.CAT)


@pytest.mark.parametrize(
    ("counts_as", "is_asked"), [(None, False), ("benzoate", False), ("metronidazole", True), (" Base ", True)]
)
def test_a_salt_is_judged_as_what_its_mg_count(counts_as, is_asked):
    """25 mg/kg of the benzoate are in print for a cat; 25 mg/kg of metronidazole are not."""
    order = a_medicine(name="Metronidazole benzoate", dose="100 mg", counts_as=counts_as or "not stated")

    assert ("outside-print" in questions(order, species=Species.CAT, weight_kg=4)) is is_asked
    plain = a_medicine(name="Furosemide", dose="8 mg", counts_as="base")
    assert "not-in-print" not in questions(plain, species=Species.CAT, weight_kg=4)
