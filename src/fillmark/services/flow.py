"""The household's flow tests, and what they teach about a food."""

from dataclasses import dataclass
from uuid import UUID

from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.care_entries import FlowTested
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.flow_check import foods_of, learning_tests
from fillmark.core.record.standing import TEST_KINDS
from fillmark.core.tube.flow_tests import FlowTest
from fillmark.records import standing


@dataclass(frozen=True, kw_only=True, slots=True)
class Handling:
    """How a batch is treated before it is tested; each way thins a food by itself, and is learned for itself."""

    sieved: bool = False
    frozen: bool = False


def flow_tests(*, household_id: UUID, animal_id: UUID) -> tuple[KeptEntry, ...]:
    """This animal's newest flow tests that count, of each blend and each way to treat it, oldest first."""
    entries = standing.standing_entries(household_id=household_id, animal_id=animal_id, kinds=TEST_KINDS)
    return tuple(one for one in counting_entries(entries) if isinstance(one.entry.payload, FlowTested))


def usual_handling(tests: tuple[KeptEntry, ...], *, foods: tuple[str, ...]) -> Handling:
    """How the newest tested batch of these foods was treated; without one, neither sieved nor frozen."""
    for one in reversed(tests):
        payload = one.entry.payload
        if isinstance(payload, FlowTested) and tuple(sorted(payload.foods)) == foods:
            return Handling(sieved=payload.sieved, frozen=payload.frozen)
    return Handling()


def tests_of(tests: tuple[KeptEntry, ...], *, foods: tuple[str, ...], handling: Handling) -> tuple[FlowTest, ...]:
    """What these tests teach about these foods, treated in this way."""
    payloads = [one.entry.payload for one in tests if isinstance(one.entry.payload, FlowTested)]
    return learning_tests(payloads, foods=foods, sieved=handling.sieved, frozen=handling.frozen)


def tests_for(plan: CarePlan, *, household_id: UUID, animal_id: UUID) -> tuple[FlowTest, ...]:
    """What the household's tests teach about the blend of a plan, treated as its newest batch was."""
    tests, foods = flow_tests(household_id=household_id, animal_id=animal_id), foods_of(plan)
    return tests_of(tests, foods=foods, handling=usual_handling(tests, foods=foods))
