"""Feeding: other ways for the plan's day, and the household's flow tests. Nothing changes until a lead accepts."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction

from fillmark.core.changes import feeding_ways
from fillmark.core.changes.feeding_change import FeedingChange, plan_with_change
from fillmark.core.changes.feeding_ways import Compared, Ways
from fillmark.core.changes.mix_parts import MixWays, foods_on_hand
from fillmark.core.changes.mix_ways import find_mix_ways
from fillmark.core.changes.what_if import Journey
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.plan.foods import Food
from fillmark.core.record.care_entries import FlowTested, FoodKept
from fillmark.core.record.corrections import counting_entries
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.flow_check import foods_of, learning_tests
from fillmark.core.today import intake
from fillmark.core.today.intake import Drunk
from fillmark.core.tube.flow_tests import FlowTest
from fillmark.core.values.errors import BadPlan
from fillmark.core.values.explain import Explained
from fillmark.core.values.people import Capability
from fillmark.core.values.quantities import write_number
from fillmark.records import homes, written
from fillmark.services import households, plans, timetables
from fillmark.services.plans import StoredPlan
from fillmark.services.timetables import Usual


@dataclass(frozen=True, kw_only=True, slots=True)
class Handling:
    """How a batch is treated before it is tested; each way thins a food by itself, and is learned for itself."""

    sieved: bool = False
    frozen: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class FeedingOffer:
    """A change of feeding, worked out for one version of a plan."""

    usual: Usual
    change: FeedingChange
    compared: Compared

    @property
    def seen(self) -> str:
        """What a person saw of it; accepting repeats it, so that nothing else than what was seen is put in force."""
        plan = self.compared.new_plan
        clocks = " ".join(f"{clock:%H:%M}" for clock in plan.timetable.meals)
        foods = " ".join(f"{part.food} {part.cans or part.g}" for part in plan.blend.foods)
        energy = self.compared.new.kcal_per_ml.value
        return (
            f"{self.usual.stored.number}: {clocks}; {foods}; {plan.blend.water_ml:g} mL; {write_number(energy)} kcal/mL"
        )


def flow_tests(*, household_id: UUID, animal_id: UUID) -> tuple[KeptEntry, ...]:
    """This animal's flow tests that count, oldest first."""
    entries = written.entries_of_kinds(household_id=household_id, animal_id=animal_id, kinds=("flow_test",))
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


def food_entries(*, household_id: UUID, animal_id: UUID) -> tuple[KeptEntry, ...]:
    """The labels of foods on hand that count, oldest first."""
    entries = written.entries_of_kinds(household_id=household_id, animal_id=animal_id, kinds=("food_kept",))
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
    usual = timetables.find_usual(**ids, now=now)
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


def water_drunk(*, household_id: UUID, animal_id: UUID, day: date) -> Drunk:
    """What the animal drank by itself in one day, as far as it was written down."""
    entries = written.entries_of_days(household_id=household_id, animal_id=animal_id, first=day, last=day)
    return intake.water_drunk(counting_entries(entries), day=day)


def find_ways(*, household_id: UUID, animal_id: UUID, now: datetime) -> tuple[Usual, Ways]:
    """The plan's day from tomorrow on, and every other way to feed it. Nothing changes.

    Raises:
        FillmarkError: there is no plan, or something nobody has said stands in the way.
    """
    usual = timetables.find_usual(household_id=household_id, animal_id=animal_id, now=now)
    tests = _tests_for(usual.plan, household_id=household_id, animal_id=animal_id)
    return usual, feeding_ways.find_ways(usual.plan, on=usual.starts_at.date(), tests=tests)


def compare(*, household_id: UUID, animal_id: UUID, change: FeedingChange, now: datetime) -> FeedingOffer:
    """The plan from tomorrow on beside the same plan with a change. Nothing changes.

    Raises:
        FillmarkError: there is no plan, or the new day cannot be worked out.
    """
    usual = timetables.find_usual(household_id=household_id, animal_id=animal_id, now=now)
    on = usual.starts_at.date()
    new_plan = plan_with_change(usual.plan, change, on=on)
    tests = _tests_for(new_plan, household_id=household_id, animal_id=animal_id)
    compared = feeding_ways.compare(usual.plan, change, on=on, tests=tests)
    return FeedingOffer(usual=usual, change=change, compared=compared)


def away(*, household_id: UUID, animal_id: UUID, change: FeedingChange, days: int, now: datetime) -> Explained[Journey]:
    """Some days away, fed as the plan has it, or as it would be with a change. Nothing changes.

    Raises:
        FillmarkError: there is no plan, or the days cannot be worked out.
    """
    usual = timetables.find_usual(household_id=household_id, animal_id=animal_id, now=now)
    on = usual.starts_at.date()
    plan = plan_with_change(usual.plan, change, on=on)
    return feeding_ways.away(plan, on=on, days=days)


def accept(
    *,
    household_id: UUID,
    animal_id: UUID,
    by: UUID,
    change: FeedingChange,
    seen: str,
    vet_words: str,
    vet_said_on: date,
    now: datetime,
) -> StoredPlan:
    """Put a change of feeding in force as a new version of the plan, from the start of the household's next day on.

    Args:
        household_id: Whose.
        animal_id: For which animal.
        by: The lead who accepts.
        change: What is different.
        seen: `FeedingOffer.seen` of what the lead saw.
        vet_words: What the vet said about it.
        vet_said_on: On which day.
        now: The present instant.
    Raises:
        NotAllowed: `by` may not change the plan.
        BadPlan: it is no longer what was seen, nothing would change, it breaks a limit of the vet's, or no vet stands
            behind it.
    """
    households.check_person(household_id=household_id, by=by, what=Capability.CHANGE_PLAN, now=now)
    with transaction.atomic():
        homes.find_home(household_id=household_id, lock=True)
        offer = compare(household_id=household_id, animal_id=animal_id, change=change, now=now)
        _check_acceptable(offer, seen)
        return plans.adopt_plan(
            household_id=household_id,
            animal_id=animal_id,
            document=offer.compared.new_plan,
            effective_from=offer.usual.starts_at,
            confirmed_by=by,
            vet_words=vet_words,
            vet_said_on=vet_said_on,
            now=now,
        )


def _tests_for(plan: CarePlan, *, household_id: UUID, animal_id: UUID) -> tuple[FlowTest, ...]:
    tests, foods = flow_tests(household_id=household_id, animal_id=animal_id), foods_of(plan)
    return tests_of(tests, foods=foods, handling=usual_handling(tests, foods=foods))


def _check_acceptable(offer: FeedingOffer, seen: str) -> None:
    compared = offer.compared
    if offer.seen != seen:
        raise BadPlan(
            field="seen",
            got="A plan that is no longer the one you saw",
            allowed="the plan as it was shown",
            remedy="Look at old and new again, then accept it.",
        )
    if compared.new_plan == compared.old_plan:
        raise BadPlan(
            field="change",
            got="A plan in which nothing changes",
            allowed="another number of meals, another can or another amount of water",
            remedy="Change something first.",
        )
    if compared.breaks:
        raise BadPlan(
            field="change",
            got=f"A plan that breaks the vet's limit ({compared.breaks[0].rstrip('.')})",
            allowed="a plan inside the limits that the vet ordered",
            remedy="Choose smaller meals. Only the vet may change a limit; then the order is changed first.",
        )
