"""The foods on hand, and the mixes of them that could feed the plan's day."""

from collections.abc import Collection, Mapping
from datetime import datetime
from uuid import UUID

from fillmark.core.changes.mix_parts import MixWays, foods_on_hand
from fillmark.core.changes.mix_ways import find_mix_ways
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.foods import Food
from fillmark.core.record.care_entries import FlowTested, FoodKept
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.standing import FOOD_KINDS
from fillmark.core.values.errors import BadPlan
from fillmark.records import standing
from fillmark.services import timetable
from fillmark.services.flow import flow_tests, tests_of, usual_handling
from fillmark.services.timetable import Usual


def food_entries(*, household_id: UUID, animal_id: UUID) -> tuple[KeptEntry, ...]:
    """The labels of foods on hand that count, oldest first."""
    entries = standing.standing_entries(household_id=household_id, animal_id=animal_id, kinds=FOOD_KINDS)
    return tuple(one for one in counting_entries(entries) if isinstance(one.entry.payload, FoodKept))


def find_foods(*, household_id: UUID, animal_id: UUID, plan: CarePlan) -> tuple[Food, ...]:
    """The foods on hand: those of the plan, and those written down from their labels."""
    return foods_on_hand(plan, food_entries(household_id=household_id, animal_id=animal_id))


def find_mixes(
    *,
    household_id: UUID,
    animal_id: UUID,
    foods: Collection[str],
    most_a_day: Mapping[str, int],
    days: int,
    with_binding: bool,
    now: datetime,
) -> tuple[Usual, MixWays]:
    """The plan's day from tomorrow on, and the mixes of these foods that could feed it. Nothing changes.

    Args:
        household_id: Whose.
        animal_id: For which animal.
        foods: What may go in, by the ids of foods on hand.
        most_a_day: The most portions a day of each additive, by its id.
        days: For how many days a batch is made.
        with_binding: Whether to work out what holds the proposed mix.
        now: The present instant.
    Raises:
        FillmarkError: there is no plan, nothing keeps every limit, or something nobody has said stands in the way.
    """
    ids = {"household_id": household_id, "animal_id": animal_id}
    usual = timetable.find_usual(**ids, now=now)
    chosen = [food for food in find_foods(**ids, plan=usual.plan) if food.id in foods]
    if not chosen:
        raise BadPlan(
            field="blend.foods",
            got="A mix of no food",
            allowed="one food on hand or more",
            remedy="Tick the foods that may go in.",
        )
    tests = flow_tests(**ids)
    kinds = {tuple(sorted(one.entry.payload.foods)) for one in tests if isinstance(one.entry.payload, FlowTested)}
    learned = {kind: tests_of(tests, foods=kind, handling=usual_handling(tests, foods=kind)) for kind in kinds}
    found = find_mix_ways(
        usual.plan,
        foods=chosen,
        most_a_day=most_a_day,
        days=days,
        on=usual.starts_at.date(),
        tests=learned,
        with_binding=with_binding,
    )
    return usual, found
