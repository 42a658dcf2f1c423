"""What must lie between a dose and food, or another medicine?"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from fillmark.core.doses.giving import Giving, History
from fillmark.core.orders.medicine import Medicine, hours_apart


@dataclass(frozen=True, kw_only=True, slots=True)
class CloseOther:
    """Another medicine that was given too close to a dose; `free_at` is when that is over."""

    other: Medicine
    giving: Giving
    hours: float

    @property
    def free_at(self) -> datetime:
        """When enough time lies between them."""
        return self.giving.at.astimezone(UTC) + timedelta(hours=self.hours)


def close_others(
    medicine: Medicine, *, others: Iterable[Medicine], history: History, at: datetime
) -> tuple[CloseOther, ...]:
    """Each other medicine that must be kept apart from a dose of an instant and was given too close, its newest dose.

    Args:
        medicine: The order.
        others: The other medicines of the plan.
        history: What was given, of all medicines.
        at: The instant.
    Source:
        the vet's order
    """
    now, found = at.astimezone(UTC), []
    for other in others:
        hours = hours_apart(medicine, other)
        gap = timedelta(hours=hours)
        near = [one for one in history.since(medicine_id=other.id, at=now - gap) if one.at.astimezone(UTC) < now + gap]
        if near:
            found.append(CloseOther(other=other, giving=near[-1], hours=hours))
    return tuple(found)


def stomach_empty_at(medicine: Medicine, *, last_meal_at: datetime | None) -> datetime | None:
    """From when on the stomach is empty enough for a dose that needs it so; none where the order asks for nothing.

    Args:
        medicine: The order.
        last_meal_at: When food last went in; none where none did.
    Source:
        the vet's order
    """
    minutes = medicine.food.after_minutes
    if medicine.food.relation != "empty stomach" or minutes is None or last_meal_at is None:
        return None
    return last_meal_at.astimezone(UTC) + timedelta(minutes=minutes)
