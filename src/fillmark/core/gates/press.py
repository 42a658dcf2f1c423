"""May this be written? One question to one animal's side, for whatever is written and by whichever road it comes.

Facts are never refused because they clash: only a press that is made now, by a person who can still be asked, is held
against what the record says.
"""

from datetime import timedelta

from fillmark.core.bedside.next_session import session_state
from fillmark.core.bedside.side import Side
from fillmark.core.gates.act_gate import hold_back_act
from fillmark.core.record.care_entries import BatchChosen, FeedingCleared
from fillmark.core.record.corrections import NoRight, missing_right
from fillmark.core.record.day_entries import DayReplanned
from fillmark.core.record.entries import SITTER_KINDS, Entry, KeptEntry, Payload, check_clock, entry_day, session_day
from fillmark.core.record.medicine_entries import (
    BottleOpened,
    MedicineGiven,
    SecondCheck,
    StockCounted,
    StrengthConfirmed,
)
from fillmark.core.record.session_entries import SessionEnded, SessionResumed
from fillmark.core.record.sessions import Standing
from fillmark.core.values.errors import BadEntry, NotAllowed
from fillmark.core.values.people import Capability, Caregiver, check_may
from fillmark.published.record_rules import CLOCK_AHEAD_MINUTES, LATE_SENDING_DAYS

OF_ONE_MEDICINE = (MedicineGiven, SecondCheck, BottleOpened, StrengthConfirmed, StockCounted)


def check_press(side: Side, entry: Entry, *, is_fresh: bool, is_accepted: bool = False) -> timedelta | None:
    """Refuse what may not be written, or what a person must answer first.

    Args:
        side: The animal's side as the record has it now.
        entry: What would be written.
        is_fresh: It is pressed now, by a person who can still be asked.
        is_accepted: It was worked out by us and accepted on its page, as only that page may write it.
    Returns:
        How far the device's clock runs ahead, where that is worth asking about.
    Raises:
        FillmarkError: a fresh press that the gate of an act holds back; see `hold_back_act`.
        BadEntry: a date far ahead, new times that nobody accepted, or a medicine of another animal.
        NotAllowed: the person may not record this.
    Source:
        record.clock_ahead_minutes, record.late_sending_days
    """
    ahead = check_clock(entry, now=side.now)
    _check_may_record(side, entry, is_fresh=is_fresh)
    if isinstance(entry.payload, DayReplanned) and not is_accepted:
        raise BadEntry(
            field="kind",
            got="New times for a day, sent like something that happened",
            allowed="new times that were accepted on their page",
            remedy="Open the page of the new times, and accept them there.",
        )
    if isinstance(entry.payload, OF_ONE_MEDICINE):
        _check_medicine(side, entry.payload.medicine)
    if is_fresh:
        hold_back_act(side, entry)
        if entry.session is not None and entry.corrects is None:
            _check_session(side, entry, entry.session)
    return ahead if ahead > timedelta(minutes=CLOCK_AHEAD_MINUTES.value) else None


def _check_may_record(side: Side, entry: Entry, *, is_fresh: bool) -> None:
    person, what = side.person, _needs(entry)
    happened_on = entry_day(entry, time_zone=side.home.time_zone, day_starts=side.home.day_starts)
    check_may(person, what=what, on=happened_on)
    check_may(person, what=what, on=side.today, days_late=int(LATE_SENDING_DAYS.value))
    corrected = side.kept.get(entry.corrects) if entry.corrects is not None and is_fresh else None
    if corrected is not None:
        check_may_correct(person, entry.payload, corrected=corrected)


def check_may_correct(person: Caregiver, payload: Payload, *, corrected: KeptEntry) -> None:
    """Refuse a correction that its person may not write. What comes late is kept, and judged when the record is read.

    Args:
        person: Who would write it.
        payload: What it says.
        corrected: The entry it is to replace.
    Raises:
        NotAllowed: the person may not put this entry right in this way.
    """
    no_right = missing_right(payload, by=person.id, role=person.role, corrected=corrected)
    if no_right is NoRight.OF_A_LOCK:
        raise NotAllowed(
            field="corrects",
            got="A lock on feeding, taken back without a word of the vet",
            allowed="a lock that a lead clears, with what the vet said",
            remedy="A lead opens the card of the lock, and writes down there who said what.",
        )
    if no_right is NoRight.OF_ANOTHERS:
        raise NotAllowed(
            field="corrects",
            got=f"{person.name} ({person.role.value}) asking to {Capability.CORRECT_OTHERS.value}",
            allowed="a correction of what they wrote themselves",
            remedy="Write a note, or ask a lead of this household.",
        )


def _needs(entry: Entry) -> Capability:
    """What a person must be allowed to, to write this."""
    if isinstance(entry.payload, FeedingCleared):
        return Capability.CLEAR_LOCK
    if isinstance(entry.payload, StrengthConfirmed):
        return Capability.CHANGE_PLAN
    if isinstance(entry.payload, BatchChosen) and entry.payload.reason is not None:
        return Capability.OVERRULE_BATCH
    return Capability.RECORD_SESSION if entry.kind in SITTER_KINDS else Capability.RECORD_ANYTHING


def _check_medicine(side: Side, medicine: str) -> None:
    """A session belongs to one animal: only medicines that a plan of this animal names can be recorded for it."""
    if medicine not in side.medicines:
        raise BadEntry(
            field="medicine",
            got=f'The medicine "{medicine}", which no plan of this animal names',
            allowed="a medicine of this animal's plan",
            remedy="Check that this is the right animal. If another animal's medicine was given, call the vet now.",
        )


def _check_session(side: Side, entry: Entry, session: str) -> None:
    """After a stop, only who may record everything goes on."""
    is_stopped = session_state(side, session).standing is Standing.STOPPED
    if is_stopped and isinstance(entry.payload, SessionResumed | SessionEnded):
        day = session_day(session, day_starts=side.home.day_starts)
        check_may(side.person, what=Capability.RECORD_ANYTHING, on=day)
