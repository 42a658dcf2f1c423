"""An animal's side as a test asks about it."""

from datetime import datetime
from uuid import UUID

from fillmark.core.bedside.side import Side
from fillmark.services import bedside, household


def side_of(*, household_id: UUID, animal_id: UUID, now: datetime) -> Side:
    """An animal's side with a lead of its household beside it."""
    lead = household.find_leads(household_id=household_id)[0]
    return bedside.load_by_ids(household_id=household_id, by=lead.id, animal_id=animal_id, now=now)
