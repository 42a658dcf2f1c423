"""Does this batch pass the flow test, and may it be given? What the household's own tests say of its food."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.care_entries import FlowTested
from fillmark.core.tube.flow import iddsi_level
from fillmark.core.tube.flow_tests import FlowTest
from fillmark.core.values.errors import OutOfRange
from fillmark.core.values.explain import Explained
from fillmark.published.flow import FLOW_LEVEL_STARTS_ML, FLOW_TEST_SYRINGE_ML

_STEP_ML = 0.1
"""The finest a 10 mL syringe is read to."""


_LEARNED_TESTS = 20
SHOWN_TESTS = 30
"""So many are shown, the newest; no page looks further back."""


class FlowVerdict(StrEnum):
    """What one flow test says of its batch."""

    PASSES = "passes"
    TOO_THICK = "too thick"
    NOT_JUDGED = "no limit stated"


@dataclass(frozen=True, kw_only=True, slots=True)
class FlowResult:
    """One flow test as it was read: its level, none where nothing flowed, and what that means for this tube."""

    level: int | None
    verdict: FlowVerdict


def most_left_ml(*, level: int) -> float:
    """The most that may be left in the syringe for a blend to be of this level or thinner [mL].

    Raises:
        OutOfRange: the test shows levels 0 to 3 only.
    Source:
        flow.level_1_from, flow.level_2_from (from memory), flow.level_3_from (from memory)
    """
    if level not in range(4):
        raise OutOfRange(
            field="flow_limit_level",
            got=f"A flow limit of level {level}",
            allowed="level 0 to 3",
            remedy="The syringe test tells these levels only. Ask the vet which one holds for this tube.",
        )
    level_1, level_2, level_3 = (figure.value for figure in FLOW_LEVEL_STARTS_ML)
    # a level ends below the start of the next; the last line above its start
    return (level_1 - _STEP_ML, level_2 - _STEP_ML, level_3, FLOW_TEST_SYRINGE_ML.value - _STEP_ML)[level]


def judge_flow(*, left_ml: float, has_flowed: bool, limit_level: int | None) -> Explained[FlowResult]:
    """What a flow test means for this tube.

    Args:
        left_ml: What was left in the syringe after 10 s [mL].
        has_flowed: Whether anything came out at all.
        limit_level: The thickest level the vet allows, or None when not stated.
    Raises:
        OutOfRange: a reading that the syringe cannot show.
    Source:
        flow.level_*; the vet's limit
    """
    if not has_flowed:
        return Explained(
            value=FlowResult(level=None, verdict=FlowVerdict.TOO_THICK),
            because="nothing flowed out in 10 seconds: thicker than the test can tell",
            cautions=("Do not give this batch through the tube.",),
        )
    level = iddsi_level(left_ml=left_ml)
    if limit_level is None:
        return Explained(
            value=FlowResult(level=level.value, verdict=FlowVerdict.NOT_JUDGED),
            because=f"level {level.value}; the vet stated no limit for this tube",
            parts=(level,),
            cautions=("Ask the vet: how thick may the blend be for this tube?",),
        )
    passes = level.value <= limit_level
    return Explained(
        value=FlowResult(level=level.value, verdict=FlowVerdict.PASSES if passes else FlowVerdict.TOO_THICK),
        because=f"level {level.value}, and the vet allows level {limit_level} or thinner",
        parts=(level,),
        cautions=() if passes else ("Do not give this batch through the tube.",),
    )


def foods_of(plan: CarePlan) -> tuple[str, ...]:
    """The foods of the blend by their ids, as a flow test names them."""
    return tuple(sorted({part.food for part in plan.blend.foods}))


def learning_tests(
    tests: Iterable[FlowTested], *, foods: Sequence[str], sieved: bool, frozen: bool
) -> tuple[FlowTest, ...]:
    """Of all tests, the newest that tell of this food handled in this way: sieving and freezing change a food too much.

    Older ones are left out, since cans of another year say little of today's.

    Args:
        tests: All flow tests of the record, oldest first.
        foods: Ids of the blend's foods, sorted.
        sieved: Whether the blend is sieved.
        frozen: Whether it is kept frozen.
    Source:
        arithmetic only
    """
    mine = [
        test
        for test in tests
        if tuple(sorted(test.foods)) == tuple(foods) and (test.sieved, test.frozen) == (sieved, frozen)
    ]
    # nothing flowed is read as a full syringe: no less was left
    return tuple(
        FlowTest(
            water_ml_per_100_g=100 * test.water_ml / test.food_g,
            left_ml=test.left_ml if test.has_flowed else FLOW_TEST_SYRINGE_ML.value,
        )
        for test in mine[-_LEARNED_TESTS:]
    )
