"""The animal's care plan: one document per version, in force from an instant on, with who stands behind it."""

import json
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.db import transaction

from fillmark.core.errors import BadPlan
from fillmark.core.people import Capability
from fillmark.records import queries
from fillmark.records.queries import StoredPlan
from fillmark.services.households import check_person

__all__ = ["StoredPlan"]


@dataclass(frozen=True, kw_only=True, slots=True)
class PlannedSession:
    """One session of a day as the plan wants it.

    Attributes:
        session: Its identity in the record.
        label: What people call it ("7:00 meal").
        at: The planned instant.
        blend_ml: The blend planned [mL]; 0 for a session without a meal.
    """

    session: str
    label: str
    at: datetime
    blend_ml: float


@transaction.atomic
def adopt_plan(
    *,
    household_id: UUID,
    animal_id: UUID,
    document: str | dict[str, Any],
    effective_from: datetime,
    confirmed_by: UUID,
    vet_words: str,
    vet_said_on: date,
    now: datetime,
) -> StoredPlan:
    """Put a new version of the plan in force. Earlier days keep the version they had.

    Args:
        household_id: Whose.
        animal_id: For which animal.
        document: The plan, as JSON text or the values it holds.
        effective_from: From when on it holds.
        confirmed_by: The lead who read it and confirms it.
        vet_words: What the vet said, in the vet's own words.
        vet_said_on: On which day.
        now: The present instant.
    Raises:
        BadPlan: the document cannot be used, or nothing says that a vet stands behind it.
        NotAllowed: `confirmed_by` may not change plans, or the animal lives elsewhere.
    """
    queries.find_home(household_id=household_id, lock=True)
    check_person(household_id=household_id, by=confirmed_by, what=Capability.CHANGE_PLAN, now=now)
    queries.find_animal(household_id=household_id, animal_id=animal_id)
    _check_vet_stands_behind(vet_words, vet_said_on, now)
    return queries.add_plan(
        household_id=household_id,
        animal_id=animal_id,
        document=document if isinstance(document, str) else json.dumps(document),
        effective_from=effective_from,
        confirmed_by=confirmed_by,
        vet_words=vet_words,
        vet_said_on=vet_said_on,
        now=now,
    )


def current_plan(*, household_id: UUID, animal_id: UUID, at: datetime) -> StoredPlan | None:
    """The version in force at an instant; none before the first."""
    return queries.plan_at(household_id=household_id, animal_id=animal_id, at=at)


def all_versions(*, household_id: UUID, animal_id: UUID) -> tuple[StoredPlan, ...]:
    """Every version there has been, oldest first."""
    return queries.plans_of(household_id=household_id, animal_id=animal_id)


def planned_sessions(*, household_id: UUID, animal_id: UUID, day: date) -> tuple[PlannedSession, ...]:
    """The sessions that the plan in force wanted on this day, in order of time."""
    return ()


def medicines_ever_planned(*, household_id: UUID, animal_id: UUID) -> frozenset[str] | None:
    """The ids of the medicines that any version of this animal's plan names; none when it never had a plan."""
    return None


def _check_vet_stands_behind(vet_words: str, vet_said_on: date, now: datetime) -> None:
    if not vet_words.strip():
        raise BadPlan(
            field="vet_words",
            got="A plan without the vet's words",
            allowed="what the vet said about it, in the vet's own words",
            remedy="Ask the vet, and write down what they say.",
        )
    if vet_said_on > now.date():
        raise BadPlan(
            field="vet_said_on",
            got=f"A plan that the vet will have spoken about on {vet_said_on}",
            allowed=f"{now.date()} or earlier",
            remedy="Enter the day on which the vet said it.",
        )
