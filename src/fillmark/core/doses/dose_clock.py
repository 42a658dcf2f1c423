"""How does one planned dose stand to its time: early, due, late, or too late?"""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from fillmark.core.doses.giving import Verdict, on_time_window, shortest_gap
from fillmark.core.orders.medicine import Medicine
from fillmark.published.medicine import LATE_IS_FINE_HOURS


@dataclass(frozen=True, kw_only=True, slots=True)
class DoseClock:
    """The instants at which a planned dose changes how it stands; the record has no part in it.

    Attributes:
        planned_at: Its planned time [UTC].
        following: The planned time after it; none where that moves with the dose.
        early_until: Before this instant it is too early.
        due_until: Until this instant it is on time; after it, late.
        ask_after: After this instant the vet is asked whether to give it; none where the vet said how late it may be.
        too_late_after: After this instant it is too late by the vet's word; none without one.
        too_close_after: After this instant it would come too close to the following one; none where that moves.
    """

    planned_at: datetime
    following: datetime | None
    early_until: datetime
    due_until: datetime
    ask_after: datetime | None
    too_late_after: datetime | None
    too_close_after: datetime | None

    def verdict(self, at: datetime) -> Verdict:
        """How it stands at an instant."""
        now = at.astimezone(UTC)
        if now < self.early_until:
            return Verdict.EARLY
        if now <= self.due_until:
            return Verdict.DUE
        return Verdict.TOO_LATE if self.is_too_close(now) or _is_after(now, self.too_late_after) else Verdict.LATE

    def is_too_close(self, at: datetime) -> bool:
        """Whether the following dose would come too soon after one that is given at an instant."""
        return _is_after(at.astimezone(UTC), self.too_close_after)

    def asks_vet(self, at: datetime) -> bool:
        """Whether a late dose is for the vet to decide."""
        return _is_after(at.astimezone(UTC), self.ask_after)


def _is_after(now: datetime, end: datetime | None) -> bool:
    return end is not None and now > end


def dose_clock(order: Medicine, *, planned_at: datetime, following: datetime | None) -> DoseClock:
    """When a planned dose is early, due, late and too late.

    Args:
        order: The order with the rhythm of that day.
        planned_at: Its planned time.
        following: The planned time after it; none where that moves with the dose.
    Source:
        the vet's order; medicine.window_*, medicine.late_acceptable
    """
    planned, window, allowed = planned_at.astimezone(UTC), on_time_window(order), order.late_window_minutes
    # where the vet allows to be late, the next dose may have to wait inside its window; it is never lost
    latest_next = following and following + (window if allowed is not None else timedelta(0))
    return DoseClock(
        planned_at=planned,
        following=following,
        early_until=planned - window,
        due_until=planned + window,
        ask_after=planned + timedelta(hours=LATE_IS_FINE_HOURS.value) if allowed is None else None,
        too_late_after=planned + timedelta(minutes=allowed) if allowed is not None else None,
        too_close_after=latest_next - shortest_gap(order) if latest_next else None,
    )
