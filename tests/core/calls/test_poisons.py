"""How much of a poison went in."""

import pytest

from fillmark.core.calls.poisons import xylitol_eaten
from fillmark.core.food.energy import Species
from fillmark.core.values.errors import OutOfRange


def eaten(grams, *, species=Species.DOG, weight_kg=10):
    return xylitol_eaten(species=species, weight_kg=weight_kg, eaten_g=grams)


@pytest.mark.hazard("H31")
@pytest.mark.parametrize(
    ("grams", "risk"),
    [
        (0, "under the printed doses"),
        (1, "under the printed doses"),
        (1.01, "low blood sugar"),
        (5, "low blood sugar"),
        (5.01, "liver failure"),
    ],
)
def test_every_amount_is_a_call_now(grams, risk):
    """A printed dose itself is not over it; nobody is told to wait."""
    found = eaten(grams).value

    assert found.risk == risk
    assert " now" in found.call


def test_the_working_and_its_print_are_at_hand():
    """For the person who calls."""
    found = eaten(2.5678)

    assert found.because == "2.568 g ÷ 10 kg = 0.257 g/kg of xylitol"
    assert [figure.id for figure in found.figures] == ["poisons.xylitol_sugar", "poisons.xylitol_liver"]


def test_print_is_about_dogs():
    """A cat that ate it is a call as well."""
    found = eaten(10, species=Species.CAT, weight_kg=4).value

    assert found.risk == "not known in this species"
    assert found.call == "Call the vet now: print is about dogs."


def test_an_amount_or_weight_that_cannot_be_is_refused():
    """Before anything is divided."""
    with pytest.raises(OutOfRange, match="Read the package again"):
        eaten(-1)
    with pytest.raises(OutOfRange):
        eaten(1, weight_kg=0)


def test_less_than_a_gram_is_an_amount():
    """A piece of chewing gum."""
    assert eaten(0.3).value.g_per_kg == pytest.approx(0.03)
