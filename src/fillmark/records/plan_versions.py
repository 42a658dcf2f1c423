"""The versions of an animal's care plan."""

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from fillmark.core.bedside.versions import Confirmation, StoredPlan, in_force_at
from fillmark.records import models
from fillmark.records.sides import PlanHead

_MOST_KNOWN = 512
_known: dict[UUID, StoredPlan] = {}
"""Versions that this process has read: a version never changes, and its id is never given twice."""


def _plan(row: models.PlanVersion) -> StoredPlan:
    return StoredPlan(
        id=row.pk,
        household_id=row.household_id,
        animal_id=row.animal_id,
        number=row.number,
        document=row.document,
        effective_from=row.effective_from,
        confirmed_by=row.confirmed_by_id,
        vet_words=row.vet_words,
        vet_said_on=row.vet_said_on,
        recorded_at=row.recorded_at,
    )


def add_plan(confirmed: Confirmation, *, animal_id: UUID, document: str, effective_from: datetime) -> StoredPlan:
    """Keep one more version of this animal's plan; its number is one higher than the last. The household is locked."""
    last = models.PlanVersion.objects.filter(animal_id=animal_id).order_by("-number").first()
    row = models.PlanVersion(
        household_id=confirmed.household_id,
        animal_id=animal_id,
        number=last.number + 1 if last else 1,
        document=document,
        effective_from=effective_from,
        confirmed_by_id=confirmed.by,
        vet_words=confirmed.vet_words,
        vet_said_on=confirmed.vet_said_on,
        recorded_at=confirmed.now,
    )
    row.save()
    return _plan(row)


def plan_at(*, household_id: UUID, animal_id: UUID, at: datetime) -> StoredPlan | None:
    """The version in force at an instant: of those in effect by then, the one adopted last."""
    rows = models.PlanVersion.objects.filter(household_id=household_id, animal_id=animal_id)
    heads = [
        PlanHead(id=version_id, number=number, effective_from=effective_from)
        for version_id, number, effective_from in rows.values_list("id", "number", "effective_from")
    ]
    head = in_force_at(heads, at)
    return plans_with([head])[0] if head else None


def plans_with(heads: Iterable[PlanHead]) -> tuple[StoredPlan, ...]:
    """The whole versions of these heads; only those that this process has not read before are asked for."""
    wanted = [head.id for head in heads]
    missing = [version_id for version_id in wanted if version_id not in _known]
    read = {row.pk: _plan(row) for row in models.PlanVersion.objects.filter(pk__in=missing)} if missing else {}
    found = tuple(read.get(version_id) or _known[version_id] for version_id in wanted)
    if len(_known) + len(read) > _MOST_KNOWN:
        _known.clear()
    _known.update(read)
    return found


def plans_of(*, household_id: UUID, animal_id: UUID) -> tuple[StoredPlan, ...]:
    rows = models.PlanVersion.objects.filter(household_id=household_id, animal_id=animal_id).order_by("number")
    return tuple(_plan(row) for row in rows)


def newest_plan(*, household_id: UUID, animal_id: UUID) -> StoredPlan | None:
    """The version adopted last, in force or still to be; none before the first."""
    rows = models.PlanVersion.objects.filter(household_id=household_id, animal_id=animal_id)
    row = rows.order_by("-number").first()
    return _plan(row) if row else None
