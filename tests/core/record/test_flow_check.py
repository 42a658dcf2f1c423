"""A batch's flow test: its level, what it means for this tube, and which tests teach what."""

import pytest

from fillmark.core.plan.reading import read_plan
from fillmark.core.record.care_entries import FlowTested
from fillmark.core.record.flow_check import FlowVerdict, foods_of, judge_flow, learning_tests, most_left_ml
from fillmark.core.tube.flow import iddsi_level
from fillmark.core.values.errors import OutOfRange
from fillmark.examples import example_plan


def a_test(**changes: object) -> FlowTested:
    values = {"foods": ("stew",), "food_g": 820.0, "water_ml": 160.0, "left_ml": 3.5, "sieved": False, "frozen": False}
    return FlowTested(**{**values, **changes})


@pytest.mark.parametrize("level", [0, 1, 2, 3])
def test_the_most_that_may_be_left_is_still_of_that_level(level):
    """A step of the syringe more is thicker; the test's last level ends with the syringe."""
    most = most_left_ml(level=level)

    assert iddsi_level(left_ml=most).value == level
    if level < 3:
        assert iddsi_level(left_ml=most + 0.1).value == level + 1


def test_a_level_the_test_cannot_tell_is_refused():
    """Level 4 does not flow at all."""
    with pytest.raises(OutOfRange, match="A flow limit of level 4"):
        most_left_ml(level=4)


@pytest.mark.hazard("H9")
@pytest.mark.parametrize(
    ("left_ml", "has_flowed", "limit", "level", "verdict"),
    [
        (3.5, True, 2, 1, FlowVerdict.PASSES),
        (8, True, 2, 2, FlowVerdict.PASSES),
        (8.2, True, 2, 3, FlowVerdict.TOO_THICK),
        (1, True, 0, 1, FlowVerdict.TOO_THICK),
        (10, False, 3, None, FlowVerdict.TOO_THICK),
        (3.5, True, None, 1, FlowVerdict.NOT_JUDGED),
    ],
)
def test_a_batch_passes_up_to_the_vets_level(left_ml, has_flowed, limit, level, verdict):
    """What does not flow never passes; without the vet's limit nothing is judged."""
    result = judge_flow(left_ml=left_ml, has_flowed=has_flowed, limit_level=limit)
    said = {
        FlowVerdict.PASSES: (),
        FlowVerdict.TOO_THICK: ("Do not give this batch through the tube.",),
        FlowVerdict.NOT_JUDGED: ("Ask the vet: how thick may the blend be for this tube?",),
    }

    assert (result.value.level, result.value.verdict) == (level, verdict)
    assert result.cautions == said[verdict]


def test_only_tests_of_the_same_food_handled_alike_teach_anything():
    """A sieved or thawed batch is another thing; what did not flow left a full syringe."""
    tests = [
        a_test(),
        a_test(frozen=True),
        a_test(sieved=True),
        a_test(foods=("puree",)),
        a_test(left_ml=10, has_flowed=False),
    ]
    learned = learning_tests(tests, foods=("stew",), sieved=False, frozen=False)

    assert [test.left_ml for test in learned] == [3.5, 10]
    assert learned[0].water_ml_per_100_g == pytest.approx(19.512, abs=0.001)


def test_only_the_newest_twenty_tests_teach():
    """Thirty tests of one food: the cans of long ago say little of today's."""
    tests = [a_test(left_ml=float(place % 9)) for place in range(30)]
    learned = learning_tests(tests, foods=("stew",), sieved=False, frozen=False)

    assert [test.left_ml for test in learned] == [float(place % 9) for place in range(10, 30)]


def test_a_blend_is_named_by_its_foods_in_one_order():
    """Whatever the order in the plan, and each food once."""
    text = example_plan("juniper").decode()
    more = '[{ food = "stew", cans = 2 }, { food = "puree", g = 50 }, { food = "stew", g = 9 }]'
    mixed = text.replace('[{ food = "stew", cans = 2 }]', more)

    assert foods_of(read_plan(text.encode(), kind="toml")) == ("stew",)
    assert foods_of(read_plan(mixed.encode(), kind="toml")) == ("puree", "stew")
