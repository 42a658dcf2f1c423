"""Whether a press still means what it says: one person holds a session, and nothing is written twice by mistake.

Facts are never refused because they clash. This holds only for a press that is made now, by a person whose screen can
still be put right: what another phone wrote meanwhile is shown first, and then asked about.
"""

from uuid import UUID

from fillmark.core.record.entries import Payload
from fillmark.core.record.medicine_entries import MedicineGiven, Outcome
from fillmark.core.record.session_entries import (
    FillGiven,
    FlushGiven,
    MealEnded,
    SessionEnded,
    SessionPaused,
    SessionResumed,
    SessionSkipped,
    SessionStarted,
    SessionStopped,
    SessionTaken,
    StepDone,
    StepSkipped,
)
from fillmark.core.record.sessions import NOTHING_WENT_IN, SessionRecord, Standing
from fillmark.core.values.errors import AlreadyRecorded, HeldByAnother

_FITS = {
    SessionStarted: {Standing.NO_ENTRY},
    SessionTaken: {Standing.IN_HAND, Standing.PAUSED},
    SessionPaused: {Standing.IN_HAND},
    SessionResumed: {Standing.PAUSED, Standing.STOPPED, Standing.NOT_KNOWN},
    SessionStopped: {Standing.IN_HAND, Standing.PAUSED, Standing.NOT_KNOWN},
    SessionEnded: {Standing.IN_HAND, Standing.STOPPED},
    SessionSkipped: {Standing.NO_ENTRY},
    FillGiven: {Standing.IN_HAND},
    FlushGiven: {Standing.IN_HAND},
    StepDone: {Standing.IN_HAND},
    StepSkipped: {Standing.IN_HAND},
    # Both are also written down when a session is over, without a walk.
    MedicineGiven: {Standing.IN_HAND, Standing.NO_ENTRY, Standing.ENDED},
    MealEnded: {Standing.IN_HAND, Standing.NO_ENTRY},
}
"""In which standing a press still means what the screen said; in another one, someone else was faster."""
_HOLDER_ONLY = (SessionPaused, SessionEnded, FillGiven, FlushGiven, StepDone, StepSkipped, MedicineGiven, MealEnded)


def check_press(payload: Payload, *, by: UUID, record: SessionRecord) -> None:
    """Refuse a press whose screen was overtaken by what others wrote.

    Args:
        payload: What the press would write.
        by: Who presses.
        record: The session as the record holds it now.
    Raises:
        HeldByAnother: another person has this session in hand; taking it over is one press.
        AlreadyRecorded: the record holds this already, or the session has gone on meanwhile.
    Source:
        arithmetic only
    """
    allowed = _FITS.get(type(payload))
    if allowed is None:
        return
    is_held = record.standing is Standing.IN_HAND and record.held_by is not None
    if is_held and record.held_by != by and isinstance(payload, _HOLDER_ONLY):
        raise HeldByAnother(
            field="session",
            got=f"A press in the {record.session[11:]} session, which {record.held_by_name} has in hand",
            allowed="one person in a session",
            remedy=f"Ask {record.held_by_name}, or take the session over first.",
        )
    if record.standing not in allowed or _is_behind(payload, record):
        raise AlreadyRecorded(
            field="session",
            got=f"A press in the {record.session[11:]} session, which has gone on meanwhile ({record.standing.value})",
            allowed="the step that the record asks for now",
            remedy="Look at what the record holds; if it happened a second time, write that down.",
        )


def _is_behind(payload: Payload, record: SessionRecord) -> bool:
    """Whether the record says already what became of this step."""
    if isinstance(payload, StepDone | StepSkipped | FlushGiven):
        return payload.step in record.steps_done or payload.step in record.steps_skipped
    if isinstance(payload, FillGiven):
        return any(fill.number == payload.fill for fill in record.fills)
    if isinstance(payload, MedicineGiven):
        # what was held in a session that is over can be given once that is over too
        may_be_held = record.standing is Standing.ENDED and payload.outcome not in NOTHING_WENT_IN
        return any(
            dose.medicine == payload.medicine and not (may_be_held and dose.outcome is Outcome.HELD)
            for dose in record.doses
        )
    return False
