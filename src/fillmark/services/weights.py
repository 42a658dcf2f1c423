"""The animal's weighings, and a draft of the plan that follows one."""

from uuid import UUID

from fillmark.core.plan.answers import Raw
from fillmark.core.plan.care_plan import CarePlan
from fillmark.core.record.weights import (
    WEIGHT_KINDS,
    ScaleReading,
    plans_weight,
    read_weights,
    weight_to_follow,
    with_weight,
)
from fillmark.core.values.errors import BadEntry
from fillmark.records import plan_versions, written
from fillmark.services import drafts
from fillmark.services.drafts import Who


def weights_of(*, household_id: UUID, animal_id: UUID) -> tuple[ScaleReading, ...]:
    """Every weighing that counts, oldest first."""
    return read_weights(written.entries_of_kinds(household_id=household_id, animal_id=animal_id, kinds=WEIGHT_KINDS))


def to_follow(
    weights: tuple[ScaleReading, ...], *, household_id: UUID, animal_id: UUID
) -> tuple[ScaleReading, CarePlan] | None:
    """The newest weighing that the newest plan does not count with yet, and that plan; none where it does.

    Args:
        weights: Those of the record.
        household_id: Whose.
        animal_id: Of which animal.
    """
    stored = plan_versions.newest_plan(household_id=household_id, animal_id=animal_id)
    found = weight_to_follow(weights, stored.plan) if stored else None
    return (found, stored.plan) if found and stored else None


def begin_to_follow(who: Who, *, animal_id: UUID, entry_id: UUID) -> UUID:
    """A draft of the plan that counts with a weighing of the record.

    Args:
        who: Who begins it.
        animal_id: Of which animal.
        entry_id: Which weighing.
    Raises:
        NotAllowed: they may not prepare a plan.
        BadEntry: it is not the newest weighing any more, or the plan counts with it.
    """
    ids = {"household_id": who.household_id, "animal_id": animal_id}
    found = to_follow(weights_of(**ids), **ids)
    if found is None or found[0].entry_id != entry_id:
        raise BadEntry(
            field="entry",
            got="A weight that is not the newest, or that the plan counts with already",
            allowed="the newest weight of the record",
            remedy="Look at the page of the weights again.",
        )
    weight, plan = found

    def change(document: Raw) -> Raw:
        return with_weight(document, weight, last_kg=plans_weight(plan).kg)

    return drafts.begin(who, animal_id=animal_id, change=change)
