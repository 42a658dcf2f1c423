"""Flow: the test's levels, the bore of a tube, and water learned from the household's own tests."""

import pytest

from fillmark.core.tube.flow import bore, iddsi_level, outer_diameter, push_compared
from fillmark.core.tube.flow_tests import FlowTest, predict_flow, propose_water, water_for_next_batch
from fillmark.core.values.errors import NotStated, OutOfRange


@pytest.mark.parametrize(("left_ml", "level"), [(0, 0), (0.9, 0), (1, 1), (3.9, 1), (4, 2), (8, 2), (8.1, 3), (10, 3)])
def test_levels_change_at_their_printed_marks(left_ml, level):
    """Each start belongs to the level it starts, and 8 mL is still level 2."""
    assert iddsi_level(left_ml=left_ml).value == level


@pytest.mark.hazard("H9")
def test_a_blend_that_does_not_flow_is_not_given_a_level():
    """The test says nothing about it; the message says what to do."""
    with pytest.raises(OutOfRange, match="add water, sieve it and test again"):
        iddsi_level(left_ml=10, has_flowed=False)


def test_french_is_the_outside_and_the_bore_comes_from_the_maker():
    """20 Fr is 6.67 mm outside; the inside is never worked out from it."""
    assert outer_diameter(french=20).value == pytest.approx(6.667, abs=0.001)
    assert bore(french=20, inner_mm=4.7).value == 4.7
    with pytest.raises(NotStated):
        bore(french=20, inner_mm=None)
    with pytest.raises(OutOfRange):
        bore(french=14, inner_mm=14)


def test_half_the_bore_pushes_sixteen_times_as_hard():
    """The fourth power for a thin liquid, less for a blend that thins when pushed; both only compared."""
    assert push_compared(inner_mm=2, than_mm=4).value == pytest.approx(16)
    blend = push_compared(inner_mm=2, than_mm=4, flow_index=0.3)
    assert blend.value == pytest.approx(2**1.9)
    assert blend.cautions == ("A comparison only: never a pressure to push with.",)


def test_without_a_test_the_proposal_says_that_it_rests_on_print():
    """The first batch is to be tested."""
    result = propose_water([], most_left_ml=6)

    assert result.cautions == (
        "No test of this food yet: this rests on print about other foods. Test the first batch.",
    )
    assert result.value.chance_to_pass >= 0.9


def test_each_test_narrows_what_is_possible():
    """After three tests less is possible than after one, and after one less than before."""
    tests = [
        FlowTest(water_ml_per_100_g=30, left_ml=4),
        FlowTest(water_ml_per_100_g=25, left_ml=5.2),
        FlowTest(water_ml_per_100_g=22, left_ml=5.9),
    ]
    spans = []
    for known in (0, 1, 3):
        proposal = propose_water(tests[:known], most_left_ml=6).value
        spans.append(proposal.pass_point_high_ml - proposal.pass_point_low_ml)

    assert spans == sorted(spans, reverse=True)
    assert len(set(spans)) == 3


def test_more_water_leaves_less_energy_and_says_so():
    """Energy is kept in view: 25 mL in 100 mL of food leaves four fifths."""
    proposal = propose_water([FlowTest(water_ml_per_100_g=30, left_ml=4)] * 3, most_left_ml=6)

    assert proposal.value.energy_kept_fraction == pytest.approx(100 / (100 + proposal.value.water_ml_per_100_g))
    assert "of the energy per mL is kept" in proposal.because


def test_a_stricter_limit_asks_for_more_water():
    """Less may be left for a thinner tube, so more water goes in."""
    tests = [FlowTest(water_ml_per_100_g=30, left_ml=4)]

    thin_tube, thick_tube = (propose_water(tests, most_left_ml=left).value.water_ml_per_100_g for left in (2, 7))
    assert thin_tube > thick_tube


def test_a_limit_the_test_cannot_show_is_refused():
    """10 mL left is no flow at all."""
    with pytest.raises(OutOfRange, match=r"A flow limit of 10 mL left\. Allowed: 0\.1 mL to 9\.9 mL"):
        propose_water([], most_left_ml=10)


def test_what_a_test_would_show_falls_with_water_and_is_surest_where_it_was_tested():
    """The middle lies near the tests, the span widens away from them, and the chance to pass only rises with water."""
    tests = [FlowTest(water_ml_per_100_g=25, left_ml=5.2), FlowTest(water_ml_per_100_g=30, left_ml=4)]
    points = predict_flow(tests, most_left_ml=6, waters_ml_per_100_g=(10, 25, 30, 60))
    middles = [point.left_middle_ml for point in points]
    chances = [point.chance_to_pass for point in points]

    assert middles == sorted(middles, reverse=True)
    assert chances == sorted(chances)
    assert middles[1] == pytest.approx(5.2, abs=0.5)
    assert middles[2] == pytest.approx(4, abs=0.5)
    assert all(point.left_low_ml <= point.left_middle_ml <= point.left_high_ml for point in points)
    at_10, at_30 = points[0], points[2]
    assert at_10.left_high_ml - at_10.left_low_ml > at_30.left_high_ml - at_30.left_low_ml


def test_the_water_proposed_has_the_chance_that_its_curve_shows():
    """Proposal and picture come from the same weighing."""
    tests = [FlowTest(water_ml_per_100_g=25, left_ml=5.2)] * 3
    proposal = propose_water(tests, most_left_ml=4).value
    (point,) = predict_flow(tests, most_left_ml=4, waters_ml_per_100_g=[proposal.water_ml_per_100_g])

    assert point.chance_to_pass == pytest.approx(proposal.chance_to_pass)


PIPE = {"length_m": 0.3, "flow_m3_per_s": 1e-6, "radius_m": 0.002}


@pytest.mark.hazard("H9")
def test_the_next_batch_goes_no_further_than_a_fifth_below_what_was_tested():
    """Tests that all pass with room to spare would propose next to no water: the curve is not followed that far."""
    tests = [FlowTest(water_ml_per_100_g=20, left_ml=3)] * 8
    proposal = propose_water(tests, most_left_ml=8).value
    thick = propose_water([FlowTest(water_ml_per_100_g=20, left_ml=9)], most_left_ml=8).value

    assert proposal.water_ml_per_100_g < 10
    assert water_for_next_batch(proposal, tests=tests).value == pytest.approx(16)
    assert "nothing near it was tested: 16 mL" in water_for_next_batch(proposal, tests=tests).because
    assert water_for_next_batch(thick, tests=tests).value == thick.water_ml_per_100_g
    assert water_for_next_batch(proposal, tests=()).value == proposal.water_ml_per_100_g


@pytest.mark.parametrize(
    ("ask", "message"),
    [
        (
            lambda: iddsi_level(left_ml=11),
            "left_ml = 11 mL. Allowed: 0 to 10 mL. Read the mark on the syringe again.",
        ),
        (
            lambda: iddsi_level(left_ml=10, has_flowed=False),
            "A blend of which nothing flowed out. Allowed: a blend that flows (levels 0 to 3). It is too thick for the "
            "test and for the tube: add water, sieve it and test again.",
        ),
        (
            lambda: outer_diameter(french=2),
            "french = 2 Fr. Allowed: 3.5 to 40 Fr. Check the number and its unit.",
        ),
        (
            lambda: bore(french=20, inner_mm=0.2),
            "tube.inner_mm = 0.2 mm. Allowed: 0.3 mm or more. Read the package again.",
        ),
        (
            lambda: bore(french=15, inner_mm=5),
            "An inner diameter of 5 mm in a tube of 15 Fr. Allowed: less than 5 mm. Check that the inner diameter is "
            "in mm, and that French was not entered for it.",
        ),
        (
            lambda: push_compared(inner_mm=0.2, than_mm=4),
            "inner_mm = 0.2 mm. Allowed: 0.3 mm or more. Check the inner diameter.",
        ),
        (
            lambda: push_compared(inner_mm=4, than_mm=0.2),
            "than_mm = 0.2 mm. Allowed: 0.3 mm or more. Check the inner diameter.",
        ),
        (
            lambda: FlowTest(water_ml_per_100_g=-1, left_ml=4),
            "water_ml_per_100_g = -1 mL/100 g food. Allowed: 0 to 400 mL/100 g food. Check the number and its unit.",
        ),
        (
            lambda: FlowTest(water_ml_per_100_g=30, left_ml=11),
            "left_ml = 11 mL. Allowed: 0 to 10 mL. Read the syringe again.",
        ),
        (
            lambda: predict_flow([], most_left_ml=0, waters_ml_per_100_g=[10]),
            "A flow limit of 0 mL left. Allowed: 0.1 mL to 9.9 mL. Enter what the clinic allows to be left in the "
            "syringe after 10 seconds.",
        ),
    ],
)
def test_a_number_that_can_only_be_a_slip_is_refused(ask, message):
    """The whole message of each."""
    with pytest.raises(OutOfRange) as caught:
        ask()
    assert str(caught.value) == message
