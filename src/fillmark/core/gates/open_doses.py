"""Which doses are due, and nobody has said what became of them? They stay until someone has, or they are too late."""

from dataclasses import dataclass
from datetime import datetime

from fillmark.core.bedside.next_session import NextAndLast, SessionView
from fillmark.core.bedside.side import Side
from fillmark.core.day.values import PlannedDose
from fillmark.core.doses.dose_clock import DoseClock
from fillmark.core.doses.giving import Verdict
from fillmark.core.doses.may_give import find_dose_clock
from fillmark.core.record.medicine_entries import Outcome
from fillmark.core.record.sessions import Standing

_MAY_BE_OPEN = {Standing.NO_ENTRY, Standing.ENDED}
"""A session that is in hand, stopped or not known has its own page; one that was left out took its doses along."""


@dataclass(frozen=True, kw_only=True, slots=True)
class OpenDose:
    """One dose that is due.

    Attributes:
        session: The session it belongs to.
        step: The step of its walk.
        at: When that session came.
        held: Why it was held, where someone wrote that; it can be given once that is over.
        until: After this instant it is too late; none where only the vet can say.
    """

    session: str
    step: str
    at: datetime
    dose: PlannedDose
    held: str | None
    until: datetime | None


def find_open_doses(side: Side, state: NextAndLast) -> tuple[OpenDose, ...]:
    """The doses whose session is behind and of which nobody has written what became, oldest first.

    Args:
        side: The animal's side.
        state: What is next, and what was before it.
    Source:
        the vet's order; medicine.window_*, medicine.late_acceptable
    """
    stored, found = side.stored, []
    on_hold = {one.id: one.held is not None for one in stored.plan.medicines} if stored else {}
    for view in state.sessions:
        planned = view.planned
        is_behind = planned is not None and planned.at <= side.now and view is not state.next
        if planned is None or not is_behind or view.record.standing not in _MAY_BE_OPEN:
            continue
        for dose in planned.medicines:
            if on_hold.get(dose.medicine.id, True):
                continue
            clock = find_dose_clock(
                dose.medicine, planned_at=planned.at, time_zone=side.home.time_zone, day_starts=side.home.day_starts
            )
            is_open, held = _stands(view, dose)
            if is_open and clock.verdict(side.now) is not Verdict.TOO_LATE:
                found.append(
                    OpenDose(
                        session=view.session,
                        step=f"medicine-{dose.medicine.id}",
                        at=planned.at,
                        dose=dose,
                        held=held,
                        until=_until(clock),
                    )
                )
    return tuple(found)


def _stands(view: SessionView, dose: PlannedDose) -> tuple[bool, str | None]:
    """Whether a dose is open, and why it was held where someone wrote that."""
    record = view.record
    if f"medicine-{dose.medicine.id}" in record.steps_skipped:
        return False, None
    mine = next((one for one in record.doses if one.medicine == dose.medicine.id), None)
    if mine is None:
        return True, None
    return (True, mine.reason) if mine.outcome is Outcome.HELD else (False, None)


def _until(clock: DoseClock) -> datetime | None:
    ends = [end for end in (clock.too_late_after, clock.too_close_after) if end is not None]
    return min(ends, default=None)
