"""Temperature, breathing, cough and bloat: what is a reason to call."""

import pytest

from fillmark.core.food.energy import Species
from fillmark.core.values.errors import BadEntry, BadNumber, OutOfRange
from fillmark.core.watch.vital_signs import (
    Call,
    Temperature,
    bloat,
    breathing,
    temperature,
)


@pytest.mark.parametrize(
    ("celsius", "place"),
    [
        (37.6, Temperature.BELOW),
        (37.7, Temperature.INSIDE),
        (39.5, Temperature.INSIDE),
        (39.6, Temperature.ABOVE),
    ],
)
def test_both_ends_of_the_interval_belong_to_it(celsius, place):
    """Outside it the vet is called; inside it nothing is ruled out."""
    found = temperature(species=Species.DOG, rectal_celsius=celsius)

    assert found.value is place
    inside = place is Temperature.INSIDE
    assert found.cautions == (
        ("A number inside print does not rule out pneumonia or anything else.",) if inside else ("Call the vet.",)
    )


@pytest.mark.hazard("H20")
def test_the_vets_own_limits_go_before_print():
    """Each for itself; print is named only where it was used."""
    own = temperature(species=Species.DOG, rectal_celsius=39.2, vet_low_celsius=37.5, vet_high_celsius=39)
    assert own.value is Temperature.ABOVE
    assert own.figures == ()
    assert own.because == "39.2 °C (102.6 °F) against 37.5 to 39 °C"

    low = temperature(species=Species.DOG, rectal_celsius=37.6, vet_low_celsius=37.5)
    assert low.value is Temperature.INSIDE
    assert [figure.id for figure in low.figures] == [
        "vital_signs.temperature_dog",
        "vital_signs.numbers_rule_nothing_out",
    ]


def test_a_temperature_in_fahrenheit_is_recognized():
    """A slip of the unit is offered back, another one is measured again."""
    with pytest.raises(OutOfRange) as refused:
        temperature(species=Species.DOG, rectal_celsius=101.5)
    assert str(refused.value) == ("A temperature of 101.5 °C. Allowed: 30 to 44 °C. Was it °F? 101.5 °F is 38.6 °C.")
    with pytest.raises(OutOfRange, match="Measure again"):
        temperature(species=Species.DOG, rectal_celsius=12)
    with pytest.raises(BadNumber):
        temperature(species=Species.DOG, rectal_celsius=float("nan"))


@pytest.mark.parametrize("species", [Species.DOG, Species.CAT])
@pytest.mark.parametrize(
    ("per_minute", "call"),
    [(30, Call.NOT_RAISED), (30.5, Call.TODAY), (40, Call.TODAY), (40.5, Call.NOW)],
)
def test_breathing_over_print_is_a_call(species, per_minute, call):
    """A printed number itself is not over it."""
    assert breathing(species=species, per_minute=per_minute).value is call


@pytest.mark.hazard("H20")
def test_the_vets_own_rate_goes_before_print_but_not_before_what_is_urgent():
    """The animal's own number is asked for where there is none."""
    lower = breathing(species=Species.DOG, per_minute=26, vet_call_over_per_minute=25)
    assert (lower.value, lower.because) == (Call.TODAY, "26 a minute is over the vet's 25: call the vet today")
    assert (lower.cautions, lower.figures) == ((), ())
    assert breathing(species=Species.DOG, per_minute=35, vet_call_over_per_minute=36).value is Call.NOT_RAISED
    assert breathing(species=Species.DOG, per_minute=41, vet_call_over_per_minute=50).value is Call.NOW

    over = breathing(species=Species.DOG, per_minute=35)
    assert over.cautions == (
        "This number comes from healthy animals and heart patients: ask the vet for this animal's own.",
    )
    printed = breathing(species=Species.DOG, per_minute=20)
    assert printed.because == "20 a minute is not over the printed 30"
    assert printed.cautions == (
        "A number inside print does not rule out pneumonia or anything else.",
        "This number comes from healthy animals and heart patients: ask the vet for this animal's own.",
    )


@pytest.mark.parametrize("per_minute", [1, 301])
def test_a_rate_that_cannot_be_is_refused(per_minute):
    """A slip of the count."""
    with pytest.raises(OutOfRange, match="Count again"):
        breathing(species=Species.DOG, per_minute=per_minute)


@pytest.mark.hazard("H31")
@pytest.mark.parametrize(
    ("signs", "call"),
    [
        (["tight swollen belly"], Call.NOW),
        (["retching with nothing coming up"], Call.NOW),
        (["drooling", "restless"], Call.NOW),
        (["drooling"], Call.TODAY),
        (["drooling", "drooling"], Call.TODAY),
        (["restless"], Call.TODAY),
    ],
)
def test_signs_of_bloat(signs, call):
    """One hard sign or two soft ones are an emergency; even one soft one is a call."""
    assert bloat(signs=signs).value is call


def test_bloat_is_told_in_words():
    """And never without a sign."""
    assert bloat(signs=["restless", "drooling"]).because == "drooling and restless: an emergency, go to the vet now"
    assert bloat(signs=["restless"]).because == "restless: call the vet today"
    with pytest.raises(BadEntry, match=r"Bloat without a sign\. Allowed: at least one sign\. Name what is seen"):
        bloat(signs=[])


@pytest.mark.hazard("H19")
def test_no_answer_calls_an_animal_well():
    """The tool never says fine, safe, normal or healthy of this animal."""
    answers = [
        temperature(species=Species.DOG, rectal_celsius=38.6),
        breathing(species=Species.CAT, per_minute=20),
        bloat(signs=["restless"]),
    ]
    said = " ".join(" ".join((str(a.value), a.because, *a.cautions)) for a in answers).lower()
    for word in ("fine", "safe", "normal", "well", "no need"):
        assert f" {word}" not in said, word
