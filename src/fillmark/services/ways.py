"""Other ways to feed the plan's day. Nothing changes until a lead accepts."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from fillmark.core.changes import feeding_ways
from fillmark.core.changes.feeding_change import FeedingChange, plan_with_change
from fillmark.core.changes.feeding_ways import Compared, Ways
from fillmark.core.changes.what_if import Journey
from fillmark.core.values.errors import BadPlan
from fillmark.core.values.explain import Explained
from fillmark.core.values.quantities import write_number
from fillmark.records import homes
from fillmark.services import plans, timetable
from fillmark.services.flow import tests_for
from fillmark.services.plans import Confirmation, StoredPlan
from fillmark.services.timetable import Usual


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


def find_ways(*, household_id: UUID, animal_id: UUID, now: datetime) -> tuple[Usual, Ways]:
    """The plan's day from tomorrow on, and every other way to feed it. Nothing changes.

    Raises:
        FillmarkError: there is no plan, or something nobody has said stands in the way.
    """
    usual = timetable.find_usual(household_id=household_id, animal_id=animal_id, now=now)
    tests = tests_for(usual.plan, household_id=household_id, animal_id=animal_id)
    return usual, feeding_ways.find_ways(usual.plan, on=usual.starts_at.date(), tests=tests)


def compare(*, household_id: UUID, animal_id: UUID, change: FeedingChange, now: datetime) -> FeedingOffer:
    """The plan from tomorrow on beside the same plan with a change. Nothing changes.

    Raises:
        FillmarkError: there is no plan, or the new day cannot be worked out.
    """
    usual = timetable.find_usual(household_id=household_id, animal_id=animal_id, now=now)
    on = usual.starts_at.date()
    new_plan = plan_with_change(usual.plan, change, on=on)
    tests = tests_for(new_plan, household_id=household_id, animal_id=animal_id)
    compared = feeding_ways.compare(usual.plan, change, on=on, tests=tests)
    return FeedingOffer(usual=usual, change=change, compared=compared)


def away(*, household_id: UUID, animal_id: UUID, change: FeedingChange, days: int, now: datetime) -> Explained[Journey]:
    """Some days away, fed as the plan has it, or as it would be with a change. Nothing changes.

    Raises:
        FillmarkError: there is no plan, or the days cannot be worked out.
    """
    usual = timetable.find_usual(household_id=household_id, animal_id=animal_id, now=now)
    on = usual.starts_at.date()
    plan = plan_with_change(usual.plan, change, on=on)
    return feeding_ways.away(plan, on=on, days=days)


def put_in_force(confirmed: Confirmation, *, animal_id: UUID, change: FeedingChange, seen: str) -> StoredPlan:
    """Put a change of feeding in force as a new version of the plan, from the start of the household's next day on.

    Args:
        confirmed: Who confirms it, and what the vet said about it.
        animal_id: For which animal.
        change: What is different.
        seen: `FeedingOffer.seen` of what the lead saw.
    Raises:
        NotAllowed: this person may not change the plan.
        BadPlan: it is no longer what was seen, nothing would change, it breaks a limit of the vet's, or no vet stands
            behind it.
    """
    plans.check_may_change(confirmed)
    with transaction.atomic():
        homes.find_home(household_id=confirmed.household_id, lock=True)
        offer = compare(household_id=confirmed.household_id, animal_id=animal_id, change=change, now=confirmed.now)
        _check_acceptable(offer, seen)
        return plans.adopt_plan(
            confirmed,
            animal_id=animal_id,
            document=offer.compared.new_plan,
            effective_from=offer.usual.starts_at,
        )


def _check_acceptable(offer: FeedingOffer, seen: str) -> None:
    compared = offer.compared
    plans.check_seen(offer.seen == seen, what="plan", remedy="Look at old and new again, then accept it.")
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
