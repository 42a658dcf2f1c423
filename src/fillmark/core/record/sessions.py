"""What one session adds up to: its standing, its blend, its doses."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from enum import StrEnum
from uuid import UUID

from fillmark.core.record.amounts import Amount, add_up, came_back, cap_back, exactly, kept_blend, ml_of, sum_known
from fillmark.core.record.care_entries import FeedingLocked
from fillmark.core.record.corrections import Together, counting_entries
from fillmark.core.record.day_entries import BothGiven
from fillmark.core.record.entries import KeptEntry
from fillmark.core.record.fields import NOT_KNOWN
from fillmark.core.record.medicine_entries import MedicineGiven, Outcome
from fillmark.core.record.session_entries import (
    CameBack,
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
from fillmark.core.record.two_walks import PossibleDouble, one_question_per_walk
from fillmark.published.record_rules import UNFINISHED_AFTER_MINUTES

CAME_BACK = "food came back up"
"""Why a session is paused that nobody paused: somebody decides whether it goes on."""


class Standing(StrEnum):
    """How far a session has come, by what was recorded and nothing else."""

    NO_ENTRY = "no entry"
    IN_HAND = "in hand"
    PAUSED = "paused"
    STOPPED = "stopped"
    ENDED = "ended"
    SKIPPED = "skipped"
    NOT_KNOWN = "not known"


@dataclass(frozen=True, kw_only=True, slots=True)
class Fill:
    """One syringe-full that went in, as far as the record knows."""

    number: int
    amount: Amount
    by_name: str
    at: datetime


@dataclass(frozen=True, kw_only=True, slots=True)
class Dose:
    """What became of one medicine in a session.

    Attributes:
        low_mg: The least that may have gone in [mg]; none where the order has no mass.
        high_mg: The most that may have gone in [mg]; none where the order has no mass.
        times: How many records say that some of it may have gone in.
    """

    medicine: str
    outcome: Outcome
    amount: str | None
    low_mg: Decimal | None
    high_mg: Decimal | None
    by_name: str
    at: datetime
    reason: str | None
    times: int


@dataclass(frozen=True, kw_only=True, slots=True)
class SessionRecord:
    """One session as the record has it. `None` for an amount means that nothing was recorded: it is never 0.

    Attributes:
        held_by: Who has it in hand: whoever last started it, took it over or went on with it. One person at a time.
        blend: What went in [mL].
        back: What came back [mL]; with no entry of it, none was reported.
        kept: What went in, less what came back [mL].
        flush: Water through the tube beside the blend [mL].
        next_fill: The number of the first fill not yet recorded, from 1.
        steps_done: The steps that are behind, in the order they were done.
        steps_skipped: The steps left out, with the reason of each.
        clashes: The questions to ask.
    """

    session: str
    standing: Standing
    started_by: str | None = None
    started_at: datetime | None = None
    held_by: UUID | None = None
    held_by_name: str | None = None
    last_at: datetime | None = None
    last_by: str | None = None
    reason: str | None = None
    steps_done: tuple[str, ...] = ()
    steps_skipped: Mapping[str, str]
    fills: tuple[Fill, ...] = ()
    next_fill: int = 1
    blend: Amount | None = None
    flush: Amount | None = None
    back: Amount | None = None
    kept: Amount | None = None
    doses: tuple[Dose, ...] = ()
    clashes: tuple[PossibleDouble, ...] = ()


def read_session(*, session: str, entries: Iterable[KeptEntry], now: datetime) -> SessionRecord:
    """One session from the entries of its animal.

    Args:
        session: Which one; entries of others are left aside.
        entries: In any order, with everything that corrects them.
        now: An unfinished session with nothing new for long is "not known".
    Source:
        record.unfinished_after_minutes
    """
    mine = [one for one in counting_entries(entries) if one.entry.session == session]
    return read_one_session(session, mine, now)


def read_sessions(*, entries: Iterable[KeptEntry], now: datetime) -> dict[str, SessionRecord]:
    """Every session that the entries speak of, by its identity; see `read_session`.

    Args:
        entries: All that the record keeps of these days, in any order.
        now: The present instant.
    Source:
        record.unfinished_after_minutes
    """
    by_session: dict[str, list[KeptEntry]] = defaultdict(list)
    for one in counting_entries(entries):
        if one.entry.session is not None:
            by_session[one.entry.session].append(one)
    return {session: read_one_session(session, mine, now) for session, mine in by_session.items()}


def read_one_session(session: str, mine: Sequence[KeptEntry], now: datetime) -> SessionRecord:
    """How far one session has come.

    Args:
        session: The session's identity.
        mine: Its entries that count, in the order they happened.
        now: The present instant.
    """
    if not mine:
        return SessionRecord(session=session, standing=Standing.NO_ENTRY, steps_skipped={})
    twice = find_told(mine)
    facts = [one for one in mine if not isinstance(one.entry.payload, BothGiven)]
    if not facts:
        return SessionRecord(session=session, standing=Standing.NO_ENTRY, steps_skipped={})
    clashes: list[PossibleDouble] = []
    blend, fills = _read_blend(facts, twice, clashes)
    flush = _read_flush(facts, twice, clashes)
    doses = _read_doses(facts, twice, clashes)
    reported = [came_back(one.entry.payload.ml) for one in facts if isinstance(one.entry.payload, CameBack)]
    back = sum_known(reported)
    standing, reason = _standing(facts, now)
    recorded_fills = {fill.number for fill in fills}
    claims = [one for one in facts if isinstance(one.entry.payload, SessionStarted | SessionTaken | SessionResumed)]
    holder = claims[-1] if claims else facts[-1]
    return SessionRecord(
        session=session,
        standing=standing,
        started_by=facts[0].by_name,
        started_at=facts[0].entry.at,
        held_by=holder.by,
        held_by_name=holder.by_name,
        last_at=facts[-1].entry.at,
        last_by=facts[-1].by_name,
        reason=reason,
        steps_done=tuple(
            dict.fromkeys(
                one.entry.payload.step for one in facts if isinstance(one.entry.payload, StepDone | FlushGiven)
            )
        ),
        steps_skipped={
            one.entry.payload.step: one.entry.payload.reason
            for one in facts
            if isinstance(one.entry.payload, StepSkipped)
        },
        fills=fills,
        next_fill=next(number for number in range(1, len(recorded_fills) + 2) if number not in recorded_fills),
        blend=blend,
        flush=flush,
        back=cap_back(back, blend),
        kept=kept_blend(blend, back),
        doses=doses,
        clashes=one_question_per_walk(clashes, facts),
    )


def _standing(facts: Sequence[KeptEntry], now: datetime) -> tuple[Standing, str | None]:
    """Ended and skipped stay so; else the newest entry decides, and long silence makes it not known."""
    payloads = [one.entry.payload for one in facts]
    if any(isinstance(payload, SessionEnded) for payload in payloads):
        return Standing.ENDED, None
    last = payloads[-1]
    if isinstance(last, SessionStopped):
        return Standing.STOPPED, last.reason
    if isinstance(last, FeedingLocked):
        return Standing.STOPPED, f"{last.trouble.words}. {last.words}" if last.words else last.trouble.words
    if isinstance(last, SessionSkipped):
        return Standing.SKIPPED, last.reason
    if now - facts[-1].entry.at > timedelta(minutes=UNFINISHED_AFTER_MINUTES.value):
        return Standing.NOT_KNOWN, None
    if isinstance(last, CameBack):  # what comes next is a decision, and never the next fill
        return Standing.PAUSED, CAME_BACK
    return (Standing.PAUSED if isinstance(last, SessionPaused) else Standing.IN_HAND), None


def _read_blend(
    facts: Sequence[KeptEntry], twice: Sequence[frozenset[UUID]], clashes: list[PossibleDouble]
) -> tuple[Amount | None, tuple[Fill, ...]]:
    """What went in: the fills of the walk, checked by the totals that closed it, beside amounts written afterwards."""
    by_number: dict[int, list[KeptEntry]] = defaultdict(list)
    closings: list[Amount] = []
    afterwards: list[tuple[KeptEntry, Amount]] = []
    for one in facts:
        payload = one.entry.payload
        if isinstance(payload, FillGiven):
            by_number[payload.fill].append(one)
        elif isinstance(payload, MealEnded) and payload.total_ml != NOT_KNOWN:
            total = Amount(float(payload.total_ml), float(payload.total_ml))
            if payload.fills:
                closings.append(total)
            else:
                afterwards.append((one, total))
    fills = []
    for number in sorted(by_number):
        same = by_number[number]
        amount = _once_or_twice(
            same, [exactly(ml_of(one)) for one in same], twice, clashes, what=f"fill {number} of the meal"
        )
        fills.append(Fill(number=number, amount=amount, by_name=same[-1].by_name, at=same[-1].entry.at))
    walk = _walked([fill.amount for fill in fills], closings)
    records = ([walk] if walk else []) + [amount for _, amount in afterwards]
    if len(records) < 2:
        return (records[0] if records else None), tuple(fills)
    walkers = [one for one in facts if isinstance(one.entry.payload, FillGiven)]
    if not walkers:
        walkers = [one for one in facts if isinstance(one.entry.payload, MealEnded) and one.entry.payload.fills]
    involved = [*walkers[:1], *(one for one, _ in afterwards)]
    return _once_or_twice(involved, records, twice, clashes, what="the meal"), tuple(fills)


def _walked(fills: Sequence[Amount], closings: Sequence[Amount]) -> Amount | None:
    """The walk's own amount: a range where fills and closing total differ, as a fill may still be on its way."""
    said = [*([add_up(fills)] if fills else []), *closings]
    if not said:
        return None
    return Amount(min(amount.low_ml for amount in said), max(amount.high_ml for amount in said))


def _read_flush(
    facts: Sequence[KeptEntry], twice: Sequence[frozenset[UUID]], clashes: list[PossibleDouble]
) -> Amount | None:
    by_step: dict[str, list[KeptEntry]] = defaultdict(list)
    for one in facts:
        if isinstance(one.entry.payload, FlushGiven):
            by_step[one.entry.payload.step].append(one)
    return sum_known(
        _once_or_twice(same, [exactly(ml_of(one)) for one in same], twice, clashes, what=f"the flush of step {step}")
        for step, same in sorted(by_step.items())
    )


def _read_doses(
    facts: Sequence[KeptEntry], twice: Sequence[frozenset[UUID]], clashes: list[PossibleDouble]
) -> tuple[Dose, ...]:
    by_medicine: dict[str, list[KeptEntry]] = defaultdict(list)
    for one in facts:
        if isinstance(one.entry.payload, MedicineGiven):
            by_medicine[one.entry.payload.medicine].append(one)
    doses = []
    for medicine, same in sorted(by_medicine.items()):
        payloads = {one.entry.id: one.entry.payload for one in same if isinstance(one.entry.payload, MedicineGiven)}
        giving = [one for one in same if payloads[one.entry.id].outcome not in NOTHING_WENT_IN]
        is_open = len(giving) > 1 and not are_told((one.entry.id for one in giving), told=twice)
        if is_open:
            clashes.append(
                PossibleDouble(what=f"the medicine {medicine}", entry_ids=tuple(one.entry.id for one in giving))
            )
        last = (giving or same)[-1]
        went_in = [_went_in(payloads[one.entry.id]) for one in giving]
        lows = [low for low, _ in went_in if low is not None]
        highs = [high for _, high in went_in if high is not None]
        has_mass = len(lows) == len(giving) == len(highs)
        doses.append(
            Dose(
                medicine=medicine,
                outcome=payloads[last.entry.id].outcome,
                amount=payloads[last.entry.id].amount,
                low_mg=(min(lows) if is_open else sum(lows, Decimal())) if has_mass else None,
                high_mg=sum(highs, Decimal()) if has_mass else None,
                by_name=last.by_name,
                at=last.entry.at,
                reason=payloads[last.entry.id].reason,
                times=len(giving),
            )
        )
    return tuple(doses)


NOTHING_WENT_IN = (Outcome.HELD, Outcome.REFUSED, Outcome.MISSED)


def _went_in(payload: MedicineGiven) -> tuple[Decimal | None, Decimal | None]:
    """The least and the most that may have gone in [mg], of a dose of which anything may have."""
    if payload.outcome is Outcome.GIVEN:
        return payload.dose_mg, payload.dose_mg
    if isinstance(payload.given_mg, Decimal):
        return payload.given_mg, payload.given_mg
    return Decimal(), payload.dose_mg


def _once_or_twice(
    same: Sequence[KeptEntry],
    amounts: Sequence[Amount],
    twice: Sequence[frozenset[UUID]],
    clashes: list[PossibleDouble],
    *,
    what: str,
) -> Amount:
    """Records of what may be one thing: from the least of them to all, until someone has said that all happened."""
    everything = add_up(amounts)
    if len(amounts) < 2 or are_told((one.entry.id for one in same), told=twice):
        return everything
    clashes.append(PossibleDouble(what=what, entry_ids=tuple(one.entry.id for one in same)))
    return Amount(min(amount.low_ml for amount in amounts), everything.high_ml)


def find_told(entries: Iterable[KeptEntry]) -> tuple[frozenset[UUID], ...]:
    """Which entries someone has said all happened: by a `both_given`, or by a dose given despite others, with why.

    Args:
        entries: Those that count.
    """
    told = []
    for one in entries:
        payload = one.entry.payload
        if isinstance(payload, BothGiven):
            told.append(frozenset(payload.entries))
        elif isinstance(payload, MedicineGiven) and payload.despite:
            told.append(frozenset((one.entry.id, *payload.despite)))
    return tuple(told)


def are_told(ids: Iterable[UUID], *, told: Iterable[frozenset[UUID]]) -> bool:
    """Whether someone has said of all of these that they happened, at once or one beside the next.

    Args:
        ids: The entries in question.
        told: The groups that someone has said all happened.
    """
    wanted = frozenset(ids)
    groups = Together()
    for one in wanted:
        groups.join(one, one)
    for said in told:
        both = tuple(said & wanted)
        for one in both[1:]:
            groups.join(one, both[0])
    return len(groups.all()) <= 1
