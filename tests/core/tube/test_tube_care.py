"""The tube and its hole: age, clogs, changes, and what it holds."""

from datetime import date, timedelta

import pytest

from fillmark.core.tube.tube_care import Tract, flush_question, tract_age, tube_out, unclog_choices, volume_inside
from fillmark.core.values.errors import OutOfRange

TODAY = date(2026, 11, 25)


def age(days, kind="gastrostomy"):
    return tract_age(tube_kind=kind, placed_on=None if days is None else TODAY - timedelta(days=days), on=TODAY)


@pytest.mark.hazard("H13")
@pytest.mark.parametrize(
    ("days", "tract"),
    [
        (0, Tract.EARLY),
        (9, Tract.EARLY),
        (27, Tract.EARLY),
        (28, Tract.GROWN),
        (400, Tract.GROWN),
        (None, Tract.NOT_KNOWN),
    ],
)
def test_a_tract_is_early_for_four_weeks(days, tract):
    """The day it is not early any more belongs to the grown ones."""
    assert age(days).value is tract


def test_a_tube_through_the_nose_has_no_tract():
    """Whenever it was placed."""
    assert age(3, "nasoesophageal").value is Tract.NONE
    assert age(None, "nasoesophageal").value is Tract.NONE


def test_a_tube_placed_tomorrow_is_refused():
    """A year was mistyped."""
    with pytest.raises(OutOfRange, match=r"A tube placed on 26 November 2026, looked at on 25 November 2026"):
        age(-1)


def test_the_age_says_how_old_and_from_which_print():
    """And the figure in dogs and cats stands beside the one in people while it is early."""
    assert age(20).because == "placed 20 days ago, less than 28"
    assert [figure.id for figure in age(20).figures] == ["tube_care.tract_early", "tube_care.tract_least"]
    assert age(28).because == "placed 28 days ago, not less than 28"
    assert [figure.id for figure in age(28).figures] == ["tube_care.tract_early", "tube_care.tract_narrows"]


@pytest.mark.hazard("H13")
@pytest.mark.parametrize("days", [3, None])
def test_nothing_goes_into_an_early_or_unknown_hole(days):
    """It can end in the belly: that is for the vet, now."""
    placed_on = None if days is None else TODAY - timedelta(days=days)
    out = tube_out(tube_kind="gastrostomy", placed_on=placed_on, on=TODAY).value

    assert out.do[0] == "Go to the emergency vet now."
    assert out.do_not == (
        "Do not put the tube or anything else into the hole: it can end in the belly.",
        "Do not feed and do not give water.",
    )


@pytest.mark.hazard("H13")
def test_a_hole_in_the_neck_leads_elsewhere():
    """What is pushed in there misses the gullet."""
    out = tube_out(tube_kind="esophagostomy", placed_on=None, on=TODAY).value

    assert out.do_not[0] == "Do not put the tube or anything else into the hole: it can miss the gullet."


@pytest.mark.hazard("H13")
@pytest.mark.parametrize("kind", ["gastrostomy", "esophagostomy", "jejunostomy", "nasoesophageal"])
@pytest.mark.parametrize("days", [3, 100, None])
def test_a_tube_that_is_out_is_always_a_call_now_and_never_a_feed(kind, days):
    """Whatever the tube and its age; nobody is told to wait."""
    placed_on = None if days is None else TODAY - timedelta(days=days)
    out = tube_out(tube_kind=kind, placed_on=placed_on, on=TODAY).value

    assert "now" in out.do[0]
    assert any("feed" in words for words in out.do_not)
    assert any("bring it" in words for words in out.do)


@pytest.mark.hazard("H29")
def test_plain_warm_water_is_the_first_and_needs_no_word():
    """Nothing else is allowed until the vet names it."""
    first, *others = unclog_choices()

    assert (first.liquid, first.is_first, first.is_allowed, first.advised_against) == ("warm water", True, True, None)
    assert not any(choice.is_first or choice.is_allowed for choice in others)


@pytest.mark.hazard("H29")
def test_what_the_vet_names_is_allowed_and_still_told_of():
    """The vet decides; what was found stands beside it."""
    allowed = {choice.liquid: choice for choice in unclog_choices(vet_allows=["cola"])}

    assert allowed["cola"].is_allowed
    assert allowed["cola"].advised_against == "Cola did worse than water."
    assert sum(choice.is_allowed for choice in allowed.values()) == 2


@pytest.mark.hazard("H29")
def test_a_flush_that_does_not_fill_the_tube_is_asked_about():
    """Some of the medicine would stay in it."""
    little = flush_question(flush_ml=3, inner_mm=4, length_cm=30)
    enough = flush_question(flush_ml=5, inner_mm=4, length_cm=30)

    assert little.value
    assert little.because == "3 mL is less than the tube holds (3.77 mL): some of a medicine stays inside it"
    assert little.cautions == ("Ask the vet whether the flush after a medicine should be larger.",)
    assert not enough.value
    assert enough.because == "5 mL fills the tube (3.77 mL)"
    inside = volume_inside(inner_mm=4, length_cm=30).value
    assert not flush_question(flush_ml=inside, inner_mm=4, length_cm=30).value


@pytest.mark.parametrize("unknown", [{"inner_mm": None}, {"length_cm": None}])
def test_a_tube_of_unknown_size_raises_no_question(unknown):
    """What print says about flushing is at hand all the same."""
    found = flush_question(**{"flush_ml": 1, "inner_mm": 4, "length_cm": 30, **unknown})

    assert (found.value, found.because) == (False, "what the tube holds is not known")
    assert len(found.figures) == 3


@pytest.mark.parametrize("changed", [{"inner_mm": -1}, {"length_cm": -1}])
def test_a_tube_smaller_than_nothing_is_refused(changed):
    """A number was mistyped."""
    with pytest.raises(OutOfRange):
        volume_inside(**{"inner_mm": 4, "length_cm": 30, **changed})
    with pytest.raises(OutOfRange, match="Read the vet's order again"):
        flush_question(flush_ml=-1, inner_mm=None, length_cm=None)


def test_what_a_tube_holds_is_told_in_three_digits():
    """More would promise what nobody measures."""
    assert volume_inside(inner_mm=4.3, length_cm=31).because == "π × (4.3 mm ÷ 2)² × 31 cm = 4.5 mL"
    assert flush_question(flush_ml=5, inner_mm=4.3, length_cm=31).because == "5 mL fills the tube (4.5 mL)"
    assert flush_question(flush_ml=0.5, inner_mm=4.3, length_cm=31).because == (
        "0.5 mL is less than the tube holds (4.5 mL): some of a medicine stays inside it"
    )


def test_the_narrowest_and_shortest_tubes_have_a_volume():
    """Less than a mm wide, less than a cm long."""
    assert volume_inside(inner_mm=0.8, length_cm=0.5).value == pytest.approx(0.002513, abs=1e-6)
